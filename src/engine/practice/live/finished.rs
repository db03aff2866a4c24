//! Finished runs that the browser still keeps: a list of heads, and each text under a key of its
//! own, so that a tap carries none of them.

use serde::{Deserialize, Serialize};

use super::super::decode::from_text;
use crate::fingerprint::hex_hash;

/// So many are kept of those that were handed over; the page says so. More would fill a tablet for
/// nothing.
pub(super) const KEPT: usize = 30;

/// Letters of a text's hash that name it in one browser: 64 bits never meet by chance.
const ID: usize = 16;

/// A finished run without its text.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Head {
    /// Made of the text, so that two tabs that finish a run never give one name to two texts.
    pub(super) id: String,
    /// The name of its file.
    pub(super) name: String,
    /// The run in one line.
    pub(super) title: String,
    /// Whether somebody took its file. That a browser was given one when the run was saved proves
    /// nothing: it may have refused it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(super) handed: bool,
}

impl Head {
    /// The head of a text.
    pub(super) fn of(name: String, title: String, text: &str) -> Self {
        let hash = hex_hash(text.as_bytes());
        Self {
            // From the text and not from a counter: the same run that is stored by two tabs
            // has one head.
            id: hash.get(..ID).unwrap_or_default().to_owned(),
            name,
            title,
            handed: false,
        }
    }
}

/// A finished run as releases before the heads stored it: all of them in one list, with texts.
#[derive(Deserialize)]
struct Whole {
    name: String,
    title: String,
    text: String,
}

/// The runs of such a list with their texts, newest first; nothing when it cannot be read.
pub(super) fn carried_over(stored: &str) -> Option<Vec<(Head, String)>> {
    let all: Vec<Whole> = from_text(stored)?;
    let one = |Whole { name, title, text }| (Head::of(name, title, &text), text);
    Some(all.into_iter().map(one).collect())
}
