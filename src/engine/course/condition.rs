//! Under what a drill, a step or a critical stands: what the rig must have, and the modes
//! that can show it. What follows from that in a run is told by [`crate::scoring::stands`].

use super::{Critical, Cue, Drill, FoamClass, Mode, ProportionerKind, Rig, Step};

/// What something of a drill hangs on.
///
/// It borrows: in a file, a kit and a revision both fields stand beside the others, not in a
/// group of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Condition<'d> {
    /// What the rig must have, by a word of [`NEEDS`].
    pub needs: Option<&'d str>,
    /// Modes that can show it.
    pub modes: &'d [Mode],
}

/// Looks whether a rig has something.
type Has = fn(&Rig) -> bool;

/// All that a rig can be asked to have, and how it is looked for.
pub const NEEDS: &[(&str, Has)] = &[
    ("compressor", |rig| rig.compressor.is_some()),
    ("foam", Rig::foams),
    ("class-b", |rig| rig.has_class(FoamClass::B)),
    // A unit in the line is an eductor, though the list of those
    // carried beside it may be empty.
    ("eductor", |rig| {
        let unit = rig.proportioner.as_ref().map(|unit| unit.kind);
        !rig.eductors.is_empty() || unit == Some(ProportionerKind::InLineEductor)
    }),
    ("outlet", |rig| !rig.outlets.is_empty()),
    // Which of two tanks the pump draws from can be changed in mid-run only where there are two.
    ("two-foam-tanks", |rig| rig.foam_tanks().nth(1).is_some()),
];

/// Whether a rig has what a word of [`NEEDS`] names.
pub fn has(rig: &Rig, needs: &str) -> bool {
    let known = NEEDS.iter().find(|(word, _)| *word == needs);
    known.is_none_or(|(_, has)| has(rig))
}

impl<'d> Condition<'d> {
    /// What it needs and the rig does not have.
    ///
    /// What nobody knows how to look for counts as there, so that nothing is excused by a
    /// misspelled word.
    pub fn lacks(&self, rig: &Rig) -> Option<&'d str> {
        self.needs.filter(|needs| !has(rig, needs))
    }

    /// Whether a mode can show it. Without a word on modes every mode of the drill can, as
    /// the sheet prints it.
    pub fn shown_in(&self, mode: Mode) -> bool {
        self.modes.is_empty() || self.modes.contains(&mode)
    }
}

impl Drill {
    /// The class of foam that it is for; nothing where any will do.
    pub fn class(&self) -> Option<FoamClass> {
        self.rigs.as_ref().and_then(|rigs| rigs.class)
    }

    /// Whether this waits for foam: it stands in a mode in which foam flows, and the drill has none of
    /// these yet. It is told once for the drill, and not for each step.
    pub fn awaits_foam(&self, condition: &Condition<'_>) -> bool {
        // Training foam and the agent show the same: all that rests on foam.
        let foam = [Mode::TrainingFoam, Mode::Agent];
        !foam.iter().any(|mode| self.modes.contains(mode))
            && foam.iter().any(|mode| condition.modes.contains(mode))
    }

    /// Whether one of its modes shows this by doing it.
    pub fn does(&self, condition: &Condition<'_>) -> bool {
        // Pointing at a valve is not working it: a walk-through shows
        // words, and nothing that flows or turns.
        let mut done = self.modes.iter().filter(|mode| **mode != Mode::WalkThrough);
        done.any(|mode| condition.shown_in(*mode))
    }

    /// Whether it is done without any rig.
    pub fn without_rig(&self) -> bool {
        self.rigs.as_ref().is_some_and(|rigs| rigs.without)
    }
}

macro_rules! conditioned {
    ($($thing:ty),+) => {
        $(impl $thing {
            /// Under what it stands.
            pub fn condition(&self) -> Condition<'_> {
                Condition { needs: self.needs.as_deref(), modes: &self.modes }
            }
        })+
    };
}

conditioned!(Drill, Step, Critical, Cue);
