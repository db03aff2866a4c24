//! Spellings that more than one thing uses.

use super::table::{Spelled, Way};
use super::value::Value;

/// A unit, or the empty text for that of a bare number.
pub(super) static BARE_UNIT: Spelled = Spelled {
    name: "BareUnit",
    read: |item| match item.node.text() {
        Some("") => Some(Value::Text(String::new())),
        _ => item.unit().map(Value::Text),
    },
    ways: &[
        Way::Text("^$", "nothing between quotation marks, for a bare number"),
        Way::Text(".", "a unit"),
    ],
};

/// A text without which what stands beside it means nothing.
pub(super) static SAID: Spelled = Spelled {
    name: "Said",
    read: |item| item.text().map(Value::Text),
    ways: &[Way::Text("\\S", "a text, even in a draft")],
};

/// A file of the folder.
pub(super) static FILE: Spelled = Spelled {
    name: "File",
    read: |item| item.text().map(Value::Text),
    ways: &[Way::Text(".", "the path of a file, such as lessons/one.md")],
};
