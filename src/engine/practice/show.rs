//! The views of a practice session.

use super::again::again;
use super::code::SessionCode;
use super::plan::LENGTH;
use super::question::{self, note};
use super::standing::standing;
use super::table::Table;
use super::view::{Node, View};
use crate::practice::view::does;

/// What is shown now.
pub(super) fn view(table: &Table<'_>) -> View {
    let Some(session) = &table.session else { return home(table) };
    let mut view = match table.place() {
        Some((_, variant)) if session.judged => question::judged(table, &variant),
        Some((_, variant)) => question::open(table, &variant),
        None => done(table),
    };
    let words = table.opened.words();
    if table.other_revision {
        let text = words.get("practice.code.other-revision");
        view.nodes.insert(0, Node::text("p", text).with("class", "note"));
    }
    // Last on every view, so that an instructor finds it and a learner is not held up by
    // it.
    view.nodes.push(code_line(table));
    view
}

fn code_line(table: &Table<'_>) -> Node {
    let code = table.session.as_ref().map_or("", |session| session.code.as_str());
    let label = table.opened.words().get("practice.code.is");
    Node::text("p", format!("{label} "))
        .with("class", "aside")
        .holding([Node::text("b", code).with("class", "code")])
}

fn say(table: &Table<'_>, key: &str, blanks: &[(&str, &str)]) -> String {
    // words: practice.{say(_, ..)}
    table.opened.words().say(&format!("practice.{key}"), blanks)
}

/// A paragraph of the words file.
fn paragraph(table: &Table<'_>, key: &str) -> Node {
    // words: practice.{paragraph(_, ..)}
    Node::text("p", say(table, key, &[]))
}

fn home(table: &Table<'_>) -> View {
    let data = table.opened.data();
    let heading = Node::text("h2", say(table, "home", &[]))
        .with("id", "head")
        .with("tabindex", "-1");
    let calculator = if data.calculator { "calculator-yes" } else { "calculator-no" };
    let count = LENGTH.min(data.questions.len() * 2).to_string();
    let start = Node::button(say(table, "start", &[("count", &count)]), does("start"))
        .with("id", "start")
        .with("class", "first");
    let typed = Node::new("input")
        .with("id", "code")
        .with("name", "text")
        .with("autocomplete", "off")
        .with("autocapitalize", "characters")
        .with("spellcheck", "false");
    let form = Node::new("form").acts(does("code")).holding([
        Node::text("label", say(table, "code.typed", &[])).with("for", "code"),
        typed,
        Node::text("button", say(table, "code.show", &[])).with("type", "submit"),
    ]);
    let mut nodes = vec![heading];
    nodes.extend(note(table));
    nodes.extend([
        paragraph(table, calculator),
        paragraph(table, "no-hurry"),
        Node::new("p").holding([start]),
    ]);
    nodes.push(Node::text("h3", say(table, "standings", &[])));
    nodes.push(standings(table));
    nodes.push(Node::text("h3", say(table, "code.head", &[])));
    nodes.push(form);
    nodes.push(Node::text("h3", say(table, "kept-head", &[])));
    nodes.push(paragraph(table, "kept"));
    nodes.push(Node::new("p").with("class", "buttons").holding([
        Node::button(say(table, "export", &[]), does("export")).with("id", "export"),
        Node::button(say(table, "delete", &[]), does("delete")).with("id", "delete"),
    ]));
    View {
        nodes,
        says: table.note.clone().unwrap_or_default(),
        focus: Some("head".to_owned()),
    }
}

/// How every objective of the set stands.
fn standings(table: &Table<'_>) -> Node {
    let data = table.opened.data();
    let lines = data.objectives.keys().map(|id| standing(table, id));
    Node::new("div").with("class", "standings").holding(lines)
}

/// What the session came to.
fn done(table: &Table<'_>) -> View {
    let Some(session) = &table.session else { return home(table) };
    let right = session.first.iter().filter(|right| **right).count().to_string();
    let of = session.first.len().to_string();
    let sum = say(table, "done-sum", &[("right", &right), ("of", &of)]);
    let code = SessionCode::read(table.opened, &session.code);
    let questions =
        code.map(|(code, _)| code.questions(table.opened)).unwrap_or_default();
    let items = questions.iter().zip(&session.first).map(|(question, right)| {
        let key = if *right { "done-right" } else { "done-missed" };
        let line = Node::text("li", say(table, key, &[("topic", &question.topic)]));
        line.holding(again(table, &question.id).filter(|_| !right))
    });
    let nodes = vec![
        Node::text("h2", say(table, "done", &[]))
            .with("id", "head")
            .with("tabindex", "-1"),
        Node::text("p", sum.clone()),
        Node::new("ol").holding(items),
        paragraph(table, "done-next"),
        Node::text("h3", say(table, "standings", &[])),
        standings(table),
        Node::new("p").with("class", "buttons").holding([
            Node::button(say(table, "another", &[]), does("start"))
                .with("class", "first")
                .with("id", "start"),
            Node::button(say(table, "leave-done", &[]), does("leave"))
                .with("id", "leave-done"),
        ]),
    ];
    View { nodes, says: sum, focus: Some("head".to_owned()) }
}

/// Asks before anything is deleted.
pub(super) fn delete(table: &Table<'_>) -> View {
    let nodes = vec![
        Node::text("h2", say(table, "delete-head", &[]))
            .with("id", "head")
            .with("tabindex", "-1"),
        paragraph(table, "delete-sure"),
        Node::new("p").with("class", "buttons").holding([
            Node::button(say(table, "delete-no", &[]), does("show"))
                .with("class", "first"),
            Node::button(say(table, "delete-yes", &[]), does("delete-all"))
                .with("id", "delete-all"),
        ]),
    ];
    View { nodes, says: say(table, "delete-head", &[]), focus: Some("head".to_owned()) }
}
