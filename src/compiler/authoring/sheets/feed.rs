//! A formula with its givens, as questions and lessons call it.

use crate::course::{Bind, Feed, Tolerance};
use crate::wire::{Fields, Item, Layout, Wire, read, value};

/// `formula`, `answer` and `with` of the fields; the caller finishes them.
pub(super) fn feed(fields: &Fields<'_>) -> Option<Feed> {
    let formula = fields.need("formula").and_then(|item| item.id());
    let answer = fields.may("answer").and_then(|item| item.id());
    let with = fields.may("with").map(|item| value(item, Layout::Map, Bind::KIND));
    let with = with.and_then(Wire::take).unwrap_or_default();
    Some(Feed { formula: formula?, answer, with })
}

/// A unit symbol alone.
pub(super) fn unit(item: Item<'_>) -> Option<String> {
    item.unit()
}

/// `below` and `above`.
pub(super) fn tolerance(item: Item<'_>) -> Option<Tolerance> {
    read(item)
}
