//! What a department keeps of earlier revisions, so that an old run is still scored by what
//! its candidate was held to.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Drill, PassMark, Rig, UnsafeAct};
use crate::formulas::{Reach, System};

/// All that a candidate is held to in one drill, without the rig. The drill's revision is the
/// hash of its canonical JSON.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Standard {
    /// Version of the scoring rules.
    pub rules: u32,
    /// The drill.
    pub drill: Drill,
    /// Pass mark with its local source; none while it is not decided.
    pub pass_mark: Option<PassMark>,
    /// Acts that fail a run in every drill.
    pub unsafe_acts: Vec<UnsafeAct>,
    /// Units of the module.
    pub system: System,
    /// Formulas, tables and constants that the drill's measured values can reach.
    pub reach: Reach,
}

/// Earlier revisions by their hash of 64 hexadecimal digits, as it was when they were kept.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Kept {
    /// Drills with what belongs to them.
    pub drills: BTreeMap<String, Standard>,
    /// Rigs.
    pub rigs: BTreeMap<String, Rig>,
}
