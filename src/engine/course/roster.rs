//! Who is due: sheets that are printed with the names on them.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::run::Evaluator;

/// A sheet to be run, as far as it is known before the day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Due {
    /// Drill id.
    pub drill: String,
    /// Rig id.
    pub rig: String,
    /// Candidate: a person's id.
    pub candidate: String,
    /// Role the candidate is scored in.
    pub role: String,
    /// Run id that the sheet will have, if it is given out already.
    pub run: Option<String>,
    /// Attempt, from 1; none while nobody knows.
    pub attempt: Option<u32>,
    /// Everybody else by role.
    pub crew: BTreeMap<String, String>,
    /// Evaluator; none while nobody is named.
    pub evaluator: Option<Evaluator>,
    /// Safety officer.
    pub safety_officer: Option<String>,
}
