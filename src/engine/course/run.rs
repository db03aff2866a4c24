//! A run sheet: what the evaluator saw. Never changed by scoring.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::drill::Mode;
use crate::quantity::Quantity;

/// Somebody named on a run sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Person {
    /// Id used on run sheets.
    pub id: String,
    /// Name printed on the sheet.
    pub name: String,
    /// Rank or office, as printed.
    pub rank: String,
}

/// Gives a closed list of marks its words, each once: as a run sheet has them and, with hyphens,
/// as keys of the words file.
macro_rules! written {
    ($type:ident: $($word:literal $variant:ident),+ $(,)?) => {
        impl $type {
            /// All of them with their words, in the order of their boxes.
            pub const ALL: &'static [(&'static str, Self)] =
                &[$(($word, Self::$variant)),+];

            /// As a run sheet has it.
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$variant => $word),+
                }
            }

            /// As a key of the words file.
            pub fn key(self) -> String {
                self.word().replace(' ', "-")
            }
        }
    };
}

written!(RunUse: "practice" Practice, "evaluation" Evaluation);
written!(Mark:
    "done" Done,
    "prompted" Prompted,
    "not done" NotDone,
    "not seen" NotSeen,
    "not applicable" NotApplicable,
);
written!(CriticalMark:
    "kept" Kept,
    "missed" Missed,
    "prompted" Prompted,
    "not seen" NotSeen,
    "not applicable" NotApplicable,
);
written!(StopCause:
    "candidate" Candidate,
    "crew" Crew,
    "equipment" Equipment,
    "outside" Outside,
);

/// Whether the run counts. Practice never counts against anyone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum RunUse {
    /// Does not count.
    Practice,
    /// Counts.
    Evaluation,
}

/// Mark of one step. There are no half points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mark {
    /// Done unprompted.
    Done,
    /// Done after a prompt.
    Prompted,
    /// Not done.
    NotDone,
    /// The evaluator could not see it.
    NotSeen,
    /// Does not apply on this rig.
    NotApplicable,
}

/// Mark of one critical.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CriticalMark {
    /// The failing act did not happen.
    Kept,
    /// It happened.
    Missed,
    /// It would have happened without a prompt: counts as missed.
    Prompted,
    /// Could not be seen: the run is incomplete, never a fail.
    NotSeen,
    /// Its written condition does not hold on this rig.
    NotApplicable,
}

/// The evaluator of a run.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Evaluator {
    /// Person.
    pub person: String,
    /// Qualification to evaluate.
    pub qualification: String,
    /// Relation to the candidate: "own officer", "other station" …
    pub relation: String,
}

/// Why a run was stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StopCause {
    /// The candidate's own act.
    Candidate,
    /// Somebody else of the crew.
    Crew,
    /// Rig or equipment.
    Equipment,
    /// Anything outside: weather, a real call, bystanders.
    Outside,
}

/// A stop of the run.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stop {
    /// Who called it: a person's id.
    pub by: String,
    /// Why.
    pub why: String,
    /// Cause.
    pub cause: StopCause,
}

/// What the watch showed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TimeTaken {
    /// From start event to stop event.
    pub taken: Quantity,
    /// Time held for delays that are not the candidate's; part of `taken`.
    pub held: Option<Quantity>,
}

/// One run of one drill by one candidate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RunSheet {
    /// Run id, unique in the department; the roles of a crew and the drills of a chain share it.
    pub id: String,
    /// Chain that the run is a part of; the other parts have the same run id.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chain: Option<String>,
    /// Drill id.
    pub drill: String,
    /// First letters of the drill's revision hash, as printed on the blank sheet.
    pub drill_revision: Option<String>,
    /// Rig id.
    pub rig: String,
    /// First letters of the rig's revision hash.
    pub rig_revision: Option<String>,
    /// Version of the scoring rules.
    pub rules: Option<u32>,
    /// Outlet used.
    pub outlet: String,
    /// Practice or evaluation, declared before the start.
    pub use_: RunUse,
    /// Mode, declared before the start.
    pub mode: Mode,
    /// Weather, in words.
    pub weather: String,
    /// Light, in words.
    pub light: String,
    /// Local date and time of the run: `2026-11-14 10:20`.
    pub performed_at: String,
    /// When it was entered, if later.
    pub entered_at: Option<String>,
    /// Attempt, from 1.
    pub attempt: u32,
    /// Candidate: a person's id.
    pub candidate: String,
    /// The role the candidate is scored in.
    pub role: String,
    /// Everybody else by role.
    pub crew: BTreeMap<String, String>,
    /// Evaluator.
    pub evaluator: Evaluator,
    /// Safety officer; neither evaluator nor candidate.
    pub safety_officer: String,
    /// Stop word that was briefed.
    pub stop_word: String,
    /// Marks by step.
    pub marks: BTreeMap<String, Mark>,
    /// Steps in the order in which they were done, where the evaluator confirms it.
    pub order_seen: Option<Vec<String>>,
    /// Steps the evaluator marked "out of order", where the whole order was not written down.
    pub out_of_order: Vec<String>,
    /// Marks by critical.
    pub criticals: BTreeMap<String, CriticalMark>,
    /// Unsafe acts of the common list that were seen.
    pub unsafe_acts: Vec<String>,
    /// Readings of the day.
    pub readings: BTreeMap<String, Quantity>,
    /// Measured values.
    pub measures: BTreeMap<String, Quantity>,
    /// Watch.
    pub time: Option<TimeTaken>,
    /// A stop.
    pub stop: Option<Stop>,
    /// Why the run is void; no attempt is used.
    pub void: Option<String>,
    /// Remediation given or ordered.
    pub remediation: Option<String>,
    /// The candidate's own words.
    pub words: Option<String>,
    /// Notes of the evaluator.
    pub notes: Option<String>,
}
