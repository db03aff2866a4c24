//! A walk as it is stored: a text that only this room reads.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::scoring::Readings;

/// What is asked now.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(super) enum Phase {
    /// What is done now.
    #[default]
    Choose,
    /// What is said on the radio.
    Words,
    /// Whether all of it was said.
    Aloud,
    /// What is done when no answer comes.
    Silent,
    /// What is set, read or said.
    Value,
    /// What would have happened.
    Harm,
    /// It is over.
    Done,
}

/// An act that would have hurt somebody.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Harm {
    /// The act, in words.
    pub(super) act: String,
    /// The step that was chosen; empty where it was none.
    pub(super) step: String,
    /// Criticals that it breaks, each with what speaks for it; a limit of every drill without a name.
    pub(super) broken: Vec<(String, String)>,
}

/// One walk.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Walk {
    /// Letters of the kit with which it was begun.
    pub(super) kit: String,
    pub(super) rig: String,
    pub(super) role: String,
    /// What its chance comes from, and which walk of it this is.
    pub(super) seed: String,
    pub(super) number: u32,
    /// Taps so far: a tap that was meant for another view does nothing.
    pub(super) taps: u32,
    pub(super) phase: Phase,
    /// Steps that were done, in that order, those of others too.
    pub(super) done: Vec<String>,
    /// Steps that were done after the page helped.
    pub(super) prompted: BTreeSet<String>,
    /// Criticals that would have happened, with what was seen.
    pub(super) happened: BTreeMap<String, String>,
    /// Values as they were said.
    pub(super) values: Readings,
    /// Cues that were given.
    pub(super) cues: Vec<String>,
    /// Whether the radio was silent once.
    pub(super) silent: bool,
    /// The step that is being done.
    pub(super) step: String,
    /// What is being typed.
    pub(super) written: String,
    /// What is told above the next question.
    pub(super) notes: Vec<String>,
    pub(super) harm: Harm,
}

impl Walk {
    pub(super) fn of(&self) -> String {
        format!("{}/{}/{}", self.seed, self.number, self.taps)
    }

    pub(super) fn is_done(&self, step: &str) -> bool {
        self.done.iter().any(|done| done == step)
    }
}
