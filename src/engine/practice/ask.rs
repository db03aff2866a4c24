//! What can be asked of an engine, as it stands in a request's JSON: `ask` names the kind of
//! request, the other fields are one of these.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::kit::PracticeKit;
use super::live::{At, LiveKit};
use super::walk::WalkKit;
use crate::course::RunSheet;
use crate::scoring::KitData;

/// `open`: takes a kit; every later request is answered with it.
#[derive(Debug, Clone, Deserialize)]
pub struct Open {
    /// The kit.
    pub kit: QuestionsKit,
}

/// What [`Questions`](super::Questions) reads of a [`PageKit`](super::PageKit).
#[derive(Debug, Clone, Deserialize)]
pub struct QuestionsKit {
    /// See [`FORMAT`](super::FORMAT).
    pub format: u32,
    /// What there is to practise.
    #[serde(default)]
    pub practice: Option<PracticeKit>,
}

/// `open` with the kit of a drill.
#[derive(Debug, Clone, Deserialize)]
pub struct OpenRun {
    /// The kit.
    pub kit: RunsKit,
}

/// What [`Runs`](super::Runs) reads of a [`PageKit`](super::PageKit).
#[derive(Debug, Clone, Deserialize)]
pub struct RunsKit {
    /// See [`FORMAT`](super::FORMAT).
    pub format: u32,
    /// What a run is scored with.
    #[serde(default)]
    pub run: Option<KitData>,
}

/// `open` with a live sheet's kit.
#[derive(Debug, Clone, Deserialize)]
pub struct OpenLive {
    /// The kit.
    pub live: LiveKit,
}

/// `open` with the walk of a drill.
#[derive(Debug, Clone, Deserialize)]
pub struct OpenWalk {
    /// The kit.
    pub walk: WalkKit,
}

/// `stored`: what the browser keeps, when a page opens, comes back, or another tab of the same
/// browser has stored something.
#[derive(Debug, Clone, Default, Deserialize)]
pub struct Stored {
    /// Texts by key, of the keys that `open` gave.
    #[serde(default)]
    pub stored: BTreeMap<String, String>,
    /// The page's clocks.
    #[serde(default)]
    pub at: At,
    /// Bytes of chance.
    #[serde(default)]
    pub chance: Vec<u8>,
    /// Whether the browser keeps nothing of what it is given.
    #[serde(default)]
    pub refused: bool,
    /// What is looked at: see [`Turn`](super::Turn).
    #[serde(default)]
    pub look: String,
}

/// `tap`: one event in a page.
#[derive(Debug, Clone, Default, Deserialize)]
pub struct Tap<E> {
    /// What happened.
    pub event: E,
    /// The page's clocks when it happened.
    #[serde(default)]
    pub at: At,
    /// Bytes of chance.
    #[serde(default)]
    pub chance: Vec<u8>,
    /// What was open when it happened: see [`Turn`](super::Turn).
    #[serde(default)]
    pub of: String,
    /// What is looked at: see [`Turn`](super::Turn).
    #[serde(default)]
    pub look: String,
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
