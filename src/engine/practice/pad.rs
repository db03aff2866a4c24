//! The keypad under a question, for a phone in one hand.

use super::table::Table;
use super::view::Node;
use crate::practice::view::{doing, valued};
use crate::quantity::Comma;

/// Marks that a number can hold once: a point or a comma, the colon of minutes and seconds.
const MARKS: [char; 3] = ['.', ',', ':'];

/// An answer longer than this is none: twenty digits are more than any question asks for.
const MOST: usize = 24;

/// What stands in the field after a key was pressed.
pub(super) fn pressed(text: &str, key: &str) -> String {
    if key == "back" {
        let mut shorter = text.to_owned();
        shorter.pop();
        return shorter;
    }
    let mut letters = key.chars();
    let (Some(letter), None) = (letters.next(), letters.next()) else {
        return text.to_owned();
    };
    // A thumb that slips hits a mark twice; a number has each of them once.
    let again = MARKS.contains(&letter) && text.contains(letter);
    let known = letter.is_ascii_digit() || MARKS.contains(&letter);
    if again || !known || text.chars().count() >= MOST {
        return text.to_owned();
    }
    format!("{text}{letter}")
}

/// The keys, three by four, with the key that takes the answer two rows high beside them.
pub(super) fn pad(table: &Table<'_>, minutes: bool) -> Node {
    let words = table.opened.words();
    let key = |text: &str, key: &str| {
        Node::button(text, doing("press", &[("key", valued(&key))]))
            // Whoever types needs no keys of a keypad to go through.
            .with("tabindex", "-1")
            // A digit twice is two digits, however fast; of other keys the
            // second of two quick taps does nothing.
            .with("data-again", "yes")
    };
    let digit = |digit: &str| key(digit, digit);
    let mark = match table.opened.comma() {
        Comma::Decimal => ",",
        Comma::Thousands | Comma::Unfixed => ".",
    };
    let back = key(&words.get("practice.pad.back-sign"), "back")
        .with("aria-label", words.get("practice.pad.back"));
    let colon = if minutes { key(":", ":") } else { Node::new("span") };
    let check = Node::text("button", words.get("practice.check"))
        .with("type", "submit")
        .with("id", "check")
        .class("tall first");
    let rows = [
        digit("7"),
        digit("8"),
        digit("9"),
        back,
        digit("4"),
        digit("5"),
        digit("6"),
        colon,
        digit("1"),
        digit("2"),
        digit("3"),
        check,
        digit("0").class("broad"),
        key(mark, mark),
    ];
    Node::new("div")
        .class("pad")
        .with("role", "group")
        .with("aria-label", words.get("practice.pad.of"))
        .holding(rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_write_what_a_keyboard_would() {
        let typed = |keys: &[&str]| {
            keys.iter().fold(String::new(), |text, key| pressed(&text, key))
        };
        assert_eq!(typed(&["0", ".", ".", "5"]), "0.5", "a second point is none");
        assert_eq!(typed(&["1", "2", ":", "3", ":", "0"]), "12:30");
        assert_eq!(typed(&["7", "back", "back"]), "");
        assert_eq!(typed(&["x", "12", "é", "4"]), "4");
        assert_eq!(typed(&["1"; 40]).len(), MOST);
    }
}
