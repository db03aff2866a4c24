//! Fields, boxes and tables of a printed sheet.

use super::Paper;
use crate::practice::view::Node;

/// A written line: the key of its label, its width in sixths, and what stands on it.
pub(super) type Written = (&'static str, u8, String);

impl Paper<'_> {
    /// A row of written lines.
    pub(super) fn fields(self, written: impl IntoIterator<Item = Written>) -> Node {
        let field = |(key, width, value): Written| {
            line(self.get(&format!("field.{key}")), width, value)
        };
        row(written.into_iter().map(field))
    }

    /// Boxes with their labels, the key of each and whether it is crossed.
    pub(super) fn ticks<'k>(
        self,
        group: &str,
        of: impl IntoIterator<Item = (&'k str, bool)>,
    ) -> Vec<Node> {
        let tick =
            |(key, on): (&str, bool)| tick(self.get(&format!("{group}.{key}")), on);
        of.into_iter().map(tick).collect()
    }

    /// A label in bold before its boxes.
    pub(super) fn bold(self, key: &str) -> Node {
        Node::text("b", self.get(&format!("label.{key}")))
    }
}

/// One written line.
pub(super) fn line(label: String, width: u8, value: String) -> Node {
    let class = match width {
        1 => "so-field so-w1",
        2 => "so-field so-w2",
        3 => "so-field so-w3",
        _ => "so-field so-w4",
    };
    Node::new("div").with("class", class).holding([
        Node::text("span", label).with("class", "so-label"),
        Node::text("span", value).with("class", "so-line"),
    ])
}

/// Written lines beside one another.
pub(super) fn row(lines: impl IntoIterator<Item = Node>) -> Node {
    Node::new("div").with("class", "so-fields").holding(lines)
}

/// A box with its label.
pub(super) fn tick(label: String, on: bool) -> Node {
    let box_ = Node::text("span", if on { "X" } else { "" });
    Node::new("span")
        .with("class", "so-tick")
        .holding([box_.with("class", "so-box so-small"), Node::text("span", label)])
}

/// A box in a table.
pub(super) fn crossed(on: bool) -> Node {
    let box_ = Node::text("span", if on { "X" } else { "" }).with("class", "so-box");
    Node::new("td").with("class", "so-mark").holding([box_])
}

/// A cell with a class of the sheet.
pub(super) fn cell(class: &'static str, text: impl Into<String>) -> Node {
    Node::text("td", text).with("class", class)
}

/// A table with its head: class and text of each column.
pub(super) fn table(
    class: &'static str,
    head: impl IntoIterator<Item = (&'static str, String)>,
    rows: impl IntoIterator<Item = Node>,
) -> Node {
    let column = |(class, text): (&'static str, String)| {
        // A column of numbers needs no name.
        let tag = if text.is_empty() { "td" } else { "th" };
        Node::text(tag, text).with("class", class)
    };
    let head = Node::new("tr").holding(head.into_iter().map(column));
    Node::new("table")
        .with("class", class)
        .holding([Node::new("thead").holding([head]), Node::new("tbody").holding(rows)])
}

/// A heading within the sheet.
pub(super) fn heading(text: String) -> Node {
    Node::text("p", text).with("class", "so-h")
}

/// A block that stays on one side.
pub(super) fn block(kids: impl IntoIterator<Item = Node>) -> Node {
    Node::new("div").with("class", "so-block").holding(kids)
}
