//! What can be asked of an engine, as it stands in a request's JSON: `ask` names the kind of
//! request, the other fields are one of these.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::kit::PageKit;
use super::live::LiveKit;
use crate::course::RunSheet;

/// `open`: takes a kit; every later request is answered with it.
#[derive(Debug, Clone, Deserialize)]
pub struct Open {
    /// The kit.
    pub kit: PageKit,
}

/// `open` with a live sheet's kit.
#[derive(Debug, Clone, Deserialize)]
pub struct OpenLive {
    /// The kit.
    pub live: LiveKit,
}

/// `draw`: a variant of a question, and its key when it is wanted. `mark`: an answer to it.
#[derive(Debug, Clone, Deserialize)]
pub struct OfVariant {
    /// Id of the question.
    pub question: String,
    /// What it is drawn from.
    pub seed: String,
    /// From 1.
    pub attempt: u32,
    /// Whether the key comes along.
    #[serde(default)]
    pub key: bool,
    /// What was typed, or the letters that were chosen.
    #[serde(default)]
    pub written: String,
}

/// `list`: the questions of a session's code.
#[derive(Debug, Clone, Deserialize)]
pub struct List {
    /// The code as typed.
    pub code: String,
}

/// `score`: scores a run sheet.
#[derive(Debug, Clone, Deserialize)]
pub struct Score {
    /// The sheet.
    pub sheet: RunSheet,
}

/// `work`: works a formula.
#[derive(Debug, Clone, Deserialize)]
pub struct Work {
    /// Its id.
    pub formula: String,
    /// Its givens by name.
    #[serde(default)]
    pub givens: BTreeMap<String, Written>,
}

/// A given as it is written.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(untagged)]
pub enum Written {
    /// A quantity such as `95 gpm`, or a word.
    Text(String),
    /// Rows, by column.
    Rows(Vec<BTreeMap<String, String>>),
}
