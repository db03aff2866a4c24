//! Lines to write on, boxes, marked rows: what every side of a sheet is made of.

use std::borrow::Cow;

use crate::course::Caution;
use crate::page::Node;
use crate::words::Words;

/// A line with its label; its width is in sixths of the sheet.
pub(super) fn line<'t>(
    label: impl Into<Cow<'t, str>>,
    width: u8,
    value: impl Into<Cow<'t, str>>,
) -> Node {
    let class = match width {
        1 => "so-field so-w1",
        2 => "so-field so-w2",
        3 => "so-field so-w3",
        _ => "so-field so-w4",
    };
    Node::new("div").class(class).holding([
        Node::text("span", label).class("so-label"),
        Node::text("span", value).class("so-line"),
    ])
}

/// The same where what is written names or describes a person.
pub(super) fn private<'t>(
    label: impl Into<Cow<'t, str>>,
    width: u8,
    value: String,
) -> Node {
    let written = !value.is_empty();
    let line = line(label, width, value);
    if written { line.with("data-private", "") } else { line }
}

/// Lines beside one another.
pub(super) fn row(lines: impl IntoIterator<Item = Node>) -> Node {
    Node::new("div").class("so-fields").holding(lines)
}

/// The same, four in a row from four of them on: they take half the height.
pub(super) fn fours(lines: impl IntoIterator<Item = Node>) -> Node {
    let row = row(lines);
    // Up to three keep the wide boxes: handwriting with gloves on needs them more than the
    // sheet needs the room.
    if row.kids.len() >= 4 { row.class("so-fields so-four") } else { row }
}

/// A box, crossed or not.
fn crossed(class: &'static str, on: bool) -> Node {
    Node::text("span", if on { "X" } else { "" }).class(class)
}

/// A box with its label. The blank after it is seen only where the text is copied.
pub(super) fn tick(label: &str, on: bool) -> Node {
    let label = Node::text("span", format!("{label} "));
    Node::new("span").class("so-tick").holding([crossed("so-box so-small", on), label])
}

/// A box in a table.
pub(super) fn mark(on: bool) -> Node {
    Node::new("td").class("so-mark").holding([crossed("so-box", on)])
}

/// In place of a box that cannot be crossed here.
pub(super) fn no_mark() -> Node {
    Node::new("td").class("so-mark").holding([Node::text("span", "–").class("so-none")])
}

/// A line to be written on within a text, with the unit after it.
pub(super) fn write(unit: &str) -> [Node; 2] {
    [Node::new("span").class("so-write"), Node::text("span", format!(" {unit}"))]
}

/// A cell with a class of the sheet.
pub(super) fn cell<'t>(class: &'static str, text: impl Into<Cow<'t, str>>) -> Node {
    Node::text("td", text).class(class)
}

/// A cell with a thing in bold and something small about it.
pub(super) fn named<'t>(name: &str, about: impl Into<Cow<'t, str>>) -> Node {
    Node::new("td").class("so-act").holding([
        Node::text("b", format!("{name} ")),
        Node::text("span", about).class("so-sub"),
    ])
}

/// A cell with a note, and after it something that only holds here.
pub(super) fn noted(note: &str, extra: Option<String>) -> Node {
    match extra {
        None => cell("so-note", note),
        Some(extra) => {
            cell("so-note", format!("{note} ")).holding([Node::text("i", extra)])
        }
    }
}

/// A heading of a column.
pub(super) fn column<'t>(class: &'static str, text: impl Into<Cow<'t, str>>) -> Node {
    Node::text("th", text).class(class)
}

/// A table of marked rows. Each box has the word of its column with it, for a screen so narrow
/// that the columns stand under each other.
pub(super) fn table(
    class: &'static str,
    head: impl IntoIterator<Item = Node>,
    rows: impl IntoIterator<Item = Node>,
) -> Node {
    let head: Vec<Node> = head.into_iter().collect();
    // A head over two columns is that of two cells: else each box would have its neighbor's word.
    let columns = head.iter().flat_map(|column| {
        let span = column.with.get("colspan").and_then(|span| span.parse().ok());
        std::iter::repeat_n(column, span.unwrap_or(1))
    });
    let columns: Vec<Node> = columns.cloned().collect();
    let told = |mut row: Node| {
        for (cell, column) in row.kids.iter_mut().zip(&columns) {
            let class = cell.with.get("class").map_or("", String::as_str);
            if matches!(class, "so-mark" | "so-thin") && cell.tag == "td" {
                cell.with.insert("data-word", column.text.clone());
            }
        }
        row
    };
    let rows: Vec<Node> = rows.into_iter().map(told).collect();
    Node::new("table").class(class).holding([
        Node::new("thead").holding([Node::new("tr").holding(head)]),
        Node::new("tbody").holding(rows),
    ])
}

/// A paragraph that begins with a word in bold.
pub(super) fn led<'t>(lead: &str, text: impl Into<Cow<'t, str>>) -> Node {
    let lead = Node::text("b", format!("{lead}. "));
    Node::new("p").holding([lead, Node::text("span", text)])
}

/// A heading within a side.
pub(super) fn heading<'t>(text: impl Into<Cow<'t, str>>) -> Node {
    Node::text("p", text).class("so-h")
}

/// What stays on one side.
pub(super) fn block(kids: impl IntoIterator<Item = Node>) -> Node {
    Node::new("div").class("so-block").holding(kids)
}

/// Cautions in full. On the first side of a document their headlines are marked, so that they
/// can be looked for on every side.
pub(super) fn cautions(all: &[&Caution], first: bool, words: &Words) -> Node {
    let one = |caution: &&Caution| {
        let mut headline = Node::text("b", caution.headline.clone());
        // Once in a document: what searches the page counts each caution once.
        if first {
            headline = headline.with("data-caution-headline", caution.headline.clone());
        }
        let said = format!("{} {}", caution.hazard, caution.control);
        let line = Node::new("p").holding([
            Node::text("b", caution.signal.said(words)).class("so-signal"),
            // A blank inside the framed word would widen its frame.
            Node::text("span", " "),
            headline,
            Node::text("b", ". "),
            Node::text("span", format!("{said} ")),
            Node::text("i", caution.source.clone()).class("so-sub"),
        ]);
        Node::new("div").with("data-caution", caution.id.clone()).holding([line])
    };
    Node::new("div").class("so-cautions").holding(all.iter().map(one))
}

/// Headlines of the cautions, as they stand at the foot of a side.
pub(super) fn headlines(all: &[&Caution], words: &Words) -> Node {
    let one = |caution: &&Caution| {
        Node::new("span").class("so-headline").holding([
            Node::text("b", format!("{} ", caution.signal.said(words))),
            Node::text("span", format!("{} ", caution.headline)),
        ])
    };
    Node::new("p").holding(all.iter().map(one))
}
