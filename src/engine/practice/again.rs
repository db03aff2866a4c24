//! Where the paragraph stands that answers a question: told after a mistake, and once more at the end
//! of a session.

use super::table::Table;
use super::view::Node;

/// The headings that answer a question, as one line; nothing where no lesson says which they are.
pub(super) fn again(table: &Table<'_>, question: &str) -> Option<Node> {
    let found = table.opened.data().reread.get(question)?;
    let label = table.opened.words().get("practice.reread");
    let mut line = Node::text("p", format!("{label} ")).class("again");
    for (at, (said, address)) in found.iter().enumerate() {
        let parted =
            if at == 0 { Node::text("span", "") } else { Node::text("span", "; ") };
        // A lesson that was sent alone has its own text above, and no page beside it.
        let head = match address.as_str() {
            "" => Node::text("span", said.clone()),
            address => Node::text("a", said.clone()).with("href", address),
        };
        line = line.holding([parted, head]);
    }
    Some(line)
}
