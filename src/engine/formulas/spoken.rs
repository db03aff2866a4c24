//! What boards say in words: the sentences of the module, by key.

use super::library::Library;
use crate::quantity::Unit;
use crate::words::Words;

/// The groups of the words file that boards speak with.
pub const BOARD_WORDS: [&str; 2] = ["board.", "unit."];

impl Library {
    /// The same, speaking these words on its boards.
    #[must_use]
    pub fn speaking(mut self, words: &Words) -> Self {
        self.words = words.under(&BOARD_WORDS);
        self
    }

    /// The sentence under `board.` and a key.
    pub(super) fn phrase(&self, key: &str, blanks: &[(&str, &str)]) -> String {
        // words: board.{.phrase(..)}
        self.words.say(&format!("board.{key}"), blanks)
    }

    /// A unit in words.
    pub(super) fn unit_name(&self, unit: &Unit) -> String {
        unit_name(unit, &self.words)
    }
}

/// A unit in words, as it is read aloud: `US gallons a minute`.
pub fn unit_name(unit: &Unit, words: &Words) -> String {
    let mut key = String::from("unit.");
    for letter in unit.name.chars() {
        match letter {
            letter if letter.is_ascii_alphanumeric() => {
                key.push(letter.to_ascii_lowercase());
            }
            _ if key.ends_with(['-', '.']) => {}
            _ => key.push('-'),
        }
    }
    // A unit of an older kit, which has no name there, still has that of the program.
    // words: unit.{*}
    let said = words.find(key.trim_end_matches('-'));
    said.map_or_else(|| unit.name.to_owned(), str::to_owned)
}
