//! What all views of a walk are made with.

use super::super::kit::Opened;
use crate::practice::view::Node;

/// A sentence of a walk.
pub(super) fn phrase(opened: &Opened, key: &str, blanks: &[(&str, &str)]) -> String {
    // words: walk.{phrase(_, ..)}
    opened.words().say(&format!("walk.{key}"), blanks)
}

/// The head of a view, which gets the focus: whoever listens hears where it begins.
pub(super) fn head(text: String) -> Node {
    Node::text("h2", text).with("id", "head").with("tabindex", "-1")
}
