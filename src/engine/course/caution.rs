//! Cautions and the acts that are unsafe in every drill.

use serde::{Deserialize, Serialize};

/// Signal words as ANSI Z535.4 defines them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum Signal {
    /// Will kill or gravely injure if not avoided.
    Danger,
    /// Could kill or gravely injure.
    Warning,
    /// Could injure lightly or moderately.
    Caution,
    /// Damage and practice, not injury.
    Notice,
}

/// One hazard with its control.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Caution {
    /// Id.
    pub id: String,
    /// How grave.
    pub signal: Signal,
    /// A few words for the foot of every sheet.
    pub headline: String,
    /// What can happen, in a sentence.
    pub hazard: String,
    /// What to do, in a sentence or two.
    pub control: String,
    /// Where the fact comes from.
    pub source: String,
    /// Whether it stands on pages that have no task of their own.
    #[serde(skip)]
    pub general: bool,
}

/// An act that fails a run in every drill.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct UnsafeAct {
    /// Id.
    pub id: String,
    /// The act, as seen.
    pub act: String,
    /// Why it is unsafe.
    pub reason: String,
    /// Source, or "common practice".
    pub source: String,
}
