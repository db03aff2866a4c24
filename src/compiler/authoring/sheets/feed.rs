//! A formula with its givens, as drills, questions and lessons call it.

use std::collections::BTreeMap;

use crate::course::{Bind, Feed};
use crate::quantity::Quantity;
use crate::wire::Fields;
use crate::wire::Item;
use crate::wire::Shape;

/// `formula`, `answer` and `with` of the fields; the caller finishes them.
pub(super) fn feed(fields: &Fields<'_>) -> Option<Feed> {
    let formula = fields.need("formula").and_then(|item| item.id());
    let answer = fields.may("answer").and_then(|item| item.id());
    let with = fields.may("with").map(bindings).unwrap_or_default();
    Some(Feed { formula: formula?, answer, with })
}

fn bindings(item: Item<'_>) -> BTreeMap<String, Bind> {
    let Shape::Map(entries) = &item.node.shape else {
        // Reports the wrong type.
        let _none = item.fields().is_none();
        return BTreeMap::new();
    };
    // Doubles are reported by opening the group.
    let _opened = item.fields().is_some();
    let bound = entries.iter().filter_map(|(key, node)| {
        let value = bind(Item { node, name: &key.text, ..item })?;
        Some((key.text.clone(), value))
    });
    bound.collect()
}

/// A quantity, a word, `rig.NAME`, `day.NAME`, `draw.NAME`, or rows.
pub(super) fn bind(item: Item<'_>) -> Option<Bind> {
    if let Shape::List(_) = item.node.shape {
        return Some(Bind::Rows(item.list().into_iter().map(bindings).collect()));
    }
    let text = item.text()?;
    if let Some(name) = text.strip_prefix("rig.") {
        return Some(Bind::Rig(name.to_owned()));
    }
    if let Some(name) = text.strip_prefix("day.").or_else(|| text.strip_prefix("draw.")) {
        return Some(Bind::Named(name.to_owned()));
    }
    if text.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '.') {
        return item.any_quantity().map(Bind::Value);
    }
    match Quantity::read(&text) {
        Ok(quantity) => Some(Bind::Value(quantity)),
        Err(_) => Some(Bind::Word(text)),
    }
}
