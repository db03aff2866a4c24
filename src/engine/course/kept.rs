//! What a department keeps of earlier revisions, so that an old run is still scored by what
//! its candidate was held to.

use std::collections::BTreeMap;

use super::{Asked, Drill, PassMark, Rig, UnsafeAct};
use crate::fingerprint::NotCanonical;
use crate::formulas::{Reach, System};
use crate::record;
use crate::wire::{Book, revision};

record! {
    /// All that a candidate is held to in one drill, without the rig, which has a revision of its own.
    Standard {
        /// Version of the scoring rules. A run sheet names it beside the revision: raising it makes no other drill.
        // Sheets from before the rules had a number were
        // printed under the first (rule 39).
        rules: u32 = may "rules", or "1", prose, eg "2";
        /// The drill.
        drill: Drill = need "drill";
        /// Pass mark with its local source; left out while it is not decided.
        pass_mark: Option<PassMark> = may "pass-mark";
        /// Acts that fail a run in every drill.
        unsafe_acts: Vec<UnsafeAct> = may "unsafe-acts";
        /// Units of the module.
        system: System = need "units", eg "us";
        /// Formulas, tables and constants that the drill's measured values can reach.
        // No more than they reach: a formula of another drill must not
        // change the letters of this one.
        reach: Reach = flat;
        /// Which formula a rig's percent basis asks for, of all that the drill leaves to the rig.
        bases: Vec<Asked> = may "bases";
    }
}

impl Standard {
    /// The drill's revision: 64 hexadecimal digits over the canonical form of what a candidate
    /// is held to.
    pub fn revision(&self) -> Result<String, NotCanonical> {
        revision(self)
    }
}

record! {
    /// A revision that the department took back for the sake of safety. It stands in a file of its own, because what is kept is never edited.
    Withdrawn {
        /// Hash of the drill's revision, all 64 digits.
        drill_revision: Option<String> = may "drill-revision", eg "0c1f…";
        /// Hash of the rig's revision.
        rig_revision: Option<String> = may "rig-revision", eg "77d0…";
        /// First day on which a run by it is refused; there is no grace.
        // Rule 37: the grace is for sheets that were printed before a
        // change, and not for what is unsafe.
        from: String = need "withdrawn-from" as DAY, eg "2026-12-01";
        /// What is unsafe in it.
        why: String = need "why", eg "It opened the air before the foam was confirmed.";
    }
}

/// Earlier revisions by their hash of 64 hexadecimal digits.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Kept {
    /// Drills with what belongs to them.
    // By all 64 digits: the eight on a sheet are for eyes, and
    // two revisions might share them.
    pub drills: BTreeMap<String, Standard>,
    /// Rigs.
    pub rigs: BTreeMap<String, Rig>,
    /// Revisions of either that were taken back.
    pub withdrawn: BTreeMap<String, Withdrawn>,
}

/// Help of what is kept.
pub(super) const BOOKS: &[Book] = &[Standard::BOOK, Withdrawn::BOOK];
