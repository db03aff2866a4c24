//! How an objective stands, as a line.

use super::history::Standing;
use super::table::Table;
use super::view::Node;

/// An objective, three notches, and the word that says the same.
pub(super) fn standing(table: &Table<'_>, id: &str) -> Node {
    let data = table.opened.data();
    let performance = data.objectives.get(id).map(|found| found.performance.clone());
    let standing = table.history.objective(table.opened, id, table.day);
    // words: practice.standing.{Standing}
    let name = table.opened.words().get(&format!("practice.standing.{}", standing.key()));
    // What fades was known once, so it has more than what was missed.
    let filled = match standing {
        Standing::Untried => 0,
        Standing::Missed => 1,
        Standing::Fading => 2,
        Standing::Steady => 3,
    };
    let notch = |at: usize| Node::new("i").class(if at < filled { "f" } else { "" });
    let notches = Node::new("span")
        .class("notch")
        .with("aria-hidden", "true")
        .holding((0..3).map(notch));
    Node::new("p").class("stand").holding([
        Node::text("span", performance.unwrap_or_default()),
        notches,
        Node::text("b", format!(" {name}")).with("class", standing_class(standing)),
    ])
}

const fn standing_class(standing: Standing) -> &'static str {
    match standing {
        Standing::Missed => "missed",
        Standing::Untried => "untried",
        Standing::Fading => "fading",
        Standing::Steady => "steady",
    }
}
