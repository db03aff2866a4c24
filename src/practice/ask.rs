//! What can be asked of an engine, as it stands in a request's JSON.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::kit::PageKit;
use crate::course::RunSheet;

/// One request. `ask` names it: `{"ask": "draw", "question": "half-percent", …}`.
#[derive(Debug, Clone, Deserialize)]
#[serde(tag = "ask", rename_all = "kebab-case")]
pub enum Request {
    /// Takes a kit; every later request is answered with it.
    Open {
        /// The kit.
        kit: Box<PageKit>,
    },
    /// A variant of a question: the item, and its key when it is wanted.
    Draw {
        /// Which.
        #[serde(flatten)]
        from: Ticketed,
        /// Whether the key comes along.
        #[serde(default)]
        key: bool,
    },
    /// Judges an answer to a variant.
    Mark {
        /// Which.
        #[serde(flatten)]
        from: Ticketed,
        /// What was typed, or the letters that were chosen.
        written: String,
    },
    /// Scores a run sheet.
    Score {
        /// The sheet.
        sheet: Box<RunSheet>,
    },
    /// Works a formula.
    Work {
        /// Its id.
        formula: String,
        /// Its givens by name.
        #[serde(default)]
        givens: BTreeMap<String, Written>,
    },
}

/// A variant of a question for practice.
#[derive(Debug, Clone, Deserialize)]
pub struct Ticketed {
    /// Id of the question.
    pub question: String,
    /// What it is drawn from.
    pub seed: String,
    /// From 1.
    pub attempt: u32,
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
