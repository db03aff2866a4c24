//! The figures a formula is shown with.

use std::collections::BTreeMap;

use crate::formulas::{ExampleGiven, Input};
use crate::quantity::Quantity;
use crate::wire::Item;
use crate::wire::Shape;

/// `example`: given by given a value, or `value`, `si` and `rig`, or rows of a list.
pub(super) fn example(item: Item<'_>) -> Vec<ExampleGiven> {
    entries(item)
        .into_iter()
        .filter_map(|(given, item)| {
            let (us, si, figure) = value(item)?;
            Some(ExampleGiven { given, us, si, figure })
        })
        .collect()
}

/// The fields of a map whose names are the author's.
fn entries<'d>(item: Item<'d>) -> Vec<(String, Item<'d>)> {
    // Reports doubles, and what is no map.
    let _opened = item.fields().is_some();
    let Shape::Map(entries) = &item.node.shape else { return Vec::new() };
    let entry = |(key, node): &'d (crate::wire::Key, crate::wire::Node)| {
        (key.text.clone(), Item { node, name: &key.text, ..item })
    };
    entries.iter().map(entry).collect()
}

fn value(item: Item<'_>) -> Option<(Input, Input, Option<String>)> {
    match item.node.shape {
        Shape::List(_) => {
            let rows = item.list().into_iter().map(row);
            let (us, si) = rows.collect::<Option<Vec<_>>>()?.into_iter().unzip();
            Some((Input::Rows(us), Input::Rows(si), None))
        }
        Shape::Map(_) => {
            let (us, si, figure) = quantity(item)?;
            Some((Input::Number(us), Input::Number(si), figure))
        }
        _ => {
            let text = item.text()?;
            if !text.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '.')
                && Quantity::read(&text).is_err()
            {
                return Some((Input::Word(text.clone()), Input::Word(text), None));
            }
            let plain = item.any_quantity()?;
            Some((Input::Number(plain), Input::Number(plain), None))
        }
    }
}

type Row = BTreeMap<String, Quantity>;

fn row(item: Item<'_>) -> Option<(Row, Row)> {
    let mut both = (Row::new(), Row::new());
    for (column, item) in entries(item) {
        let (us, si, _) = quantity(item)?;
        both.0.insert(column.clone(), us);
        both.1.insert(column, si);
    }
    Some(both)
}

/// A value for both systems, or `value` with `si` and `rig`.
pub(super) fn quantity(item: Item<'_>) -> Option<(Quantity, Quantity, Option<String>)> {
    if !matches!(item.node.shape, Shape::Map(_)) {
        let plain = item.any_quantity()?;
        return Some((plain, plain, None));
    }
    let fields = item.fields()?;
    let us = fields.need("value").and_then(|item| item.any_quantity());
    let si = fields.may("si").and_then(|item| item.any_quantity());
    let figure = fields.may_text("rig");
    fields.finish();
    let us = us?;
    Some((us, si.unwrap_or(us), figure))
}
