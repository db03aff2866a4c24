//! What documents speak with.

use std::collections::BTreeMap;

use crate::formulas::{SourceRef, Status};
use crate::quantity::prose_written;
use crate::words::Words;

/// Sentences, and the short forms of the sources that documents name.
#[derive(Debug, Clone, Copy)]
pub struct Wording<'w> {
    /// The sentences.
    pub words: &'w Words,
    /// Short forms of sources, by id.
    pub sources: &'w BTreeMap<String, String>,
}

impl Wording<'_> {
    /// The sentence under `page.` and a key.
    pub(super) fn get(self, key: &str) -> String {
        // words: page.{wording.get(..)|wording.say(..)}
        self.words.get(&format!("page.{key}"))
    }

    /// The same with its blanks filled.
    pub(super) fn say(self, key: &str, blanks: &[(&str, &str)]) -> String {
        self.words.say(&format!("page.{key}"), blanks)
    }

    /// A source in words, with how well it is founded.
    pub fn source(self, named: &SourceRef) -> String {
        let status = match named.status {
            Status::LookedUp => "looked-up",
            Status::Computed => "computed",
            Status::CommonPractice => "common-practice",
            Status::FromMemory => "from-memory",
        };
        // words: page.status.{looked-up|computed|common-practice|from-memory}
        let status = self.get(&format!("status.{status}"));
        let short = self.sources.get(&named.source).unwrap_or(&named.source);
        // "common practice (common practice)" would say it twice.
        if short.to_lowercase() == status.to_lowercase() {
            return short.clone();
        }
        format!("{short} ({status})")
    }

    /// The same with what it says there, where that needs saying.
    pub fn noted(self, named: &SourceRef) -> String {
        let source = self.source(named);
        named.note.as_ref().map_or_else(
            || source.clone(),
            |note| format!("{source}: {}", prose_written(note)),
        )
    }
}
