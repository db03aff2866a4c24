//! The views of one question: open, and judged with its working.

use serde_json::json;

use super::table::{Session, Table};
use super::view::{Node, View};
use crate::page::Wording;
use crate::page::question::{self, lettered};
use crate::quiz::{Item, ItemKind, Marked, Outcome, Variant};

fn say(table: &Table<'_>, key: &str, blanks: &[(&str, &str)]) -> String {
    // words: practice.{say(_, ..)}
    table.opened.words().say(&format!("practice.{key}"), blanks)
}

/// A sentence above everything else, such as why an answer could not be read.
pub(super) fn note(table: &Table<'_>) -> Option<Node> {
    let text = table.note.as_ref()?;
    Some(Node::text("p", text.clone()).with("class", "note").with("id", "note"))
}

fn head(table: &Table<'_>, session: &Session) -> String {
    let number = (session.at + 1).to_string();
    let code = super::code::SessionCode::read(table.opened, &session.code);
    let of = code.map_or(0, |(code, _)| code.questions(table.opened).len()).to_string();
    let key = if session.attempt > 1 { "question-again" } else { "question" };
    say(table, key, &[("number", &number), ("of", &of)])
}

/// A question to be answered.
pub(super) fn open(table: &Table<'_>, variant: &Variant) -> View {
    let Some(session) = &table.session else { return View::default() };
    let item = variant.item();
    let title = head(table, session);
    let mut nodes = vec![
        Node::text("h2", title.clone()).with("id", "head").with("tabindex", "-1"),
        question::asked(item).with("id", "asked"),
    ];
    nodes.extend(note(table));
    let field = match item.kind {
        ItemKind::Number => vec![number(table, session, item)],
        ItemKind::Order => order(table, session, item),
        _ => vec![choices(table, session, item)],
    };
    let buttons = Node::new("p").with("class", "buttons").holding([
        Node::text("button", say(table, "check", &[]))
            .with("type", "submit")
            .with("id", "check")
            .with("class", "first"),
        Node::button(say(table, "give-up", &[]), json!({ "do": "give-up" }))
            .with("id", "give-up"),
        Node::button(say(table, "leave", &[]), json!({ "do": "leave" }))
            .with("id", "leave"),
    ]);
    let form = Node::new("form").acts(json!({ "do": "answer" })).holding(field);
    nodes.push(form.holding([buttons]));
    let (says, focus) = match &table.note {
        Some(note) => (note.clone(), "answer"),
        None => (format!("{title}. {}", item.text), "head"),
    };
    View { nodes, says, focus: Some(focus_of(item, session, focus)) }
}

/// After a step was touched the focus stays on it.
fn focus_of(item: &Item, session: &Session, focus: &str) -> String {
    if item.kind == ItemKind::Order && !session.written.is_empty() {
        let last = session.written.rsplit(' ').next().unwrap_or_default();
        return format!("step-{last}");
    }
    focus.to_owned()
}

fn number(table: &Table<'_>, session: &Session, item: &Item) -> Node {
    let unit = item.unit.as_deref().unwrap_or_default();
    let label = say(table, "answer-in", &[("unit", unit)]);
    let field = Node::new("input")
        .with("id", "answer")
        .with("name", "answer")
        // A browser that offers the last answer gives away the right one.
        .with("autocomplete", "off")
        // A keypad of digits has no colon.
        .with("inputmode", if unit == "min:s" { "text" } else { "decimal" })
        .with("aria-describedby", "asked")
        .with("value", session.written.clone())
        .acts(json!({ "do": "draft" }));
    let label = Node::text("label", label).with("for", "answer");
    Node::new("p").with("class", "field").holding([label, field])
}

fn choices(table: &Table<'_>, session: &Session, item: &Item) -> Node {
    let option = |(at, option): (usize, &crate::quiz::Lettered)| {
        let id = if at == 0 { "answer".to_owned() } else { format!("answer-{at}") };
        let mut radio = Node::new("input")
            .with("type", "radio")
            .with("name", "answer")
            .with("id", id)
            .with("value", option.letter.clone())
            .acts(json!({ "do": "draft" }));
        if session.written == option.letter {
            radio = radio.with("checked", "checked");
        }
        Node::new("label").class("choice").holding([radio]).holding(lettered(option))
    };
    let legend = Node::text("legend", say(table, "choose", &[]));
    let options = item.options.iter().enumerate().map(option);
    Node::new("fieldset").holding([legend]).holding(options)
}

fn order(table: &Table<'_>, session: &Session, item: &Item) -> Vec<Node> {
    let picked: Vec<&str> =
        session.written.split(' ').filter(|each| !each.is_empty()).collect();
    let step = |(at, option): (usize, &crate::quiz::Lettered)| {
        let place = picked.iter().position(|letter| *letter == option.letter);
        let number =
            place.map_or_else(|| "–".to_owned(), |place| (place + 1).to_string());
        let act = json!({ "do": "pick", "letter": option.letter });
        let mut button = Node::button(format!("{number}  "), act)
            .holding(lettered(option))
            .class("step")
            .with("aria-pressed", if place.is_some() { "true" } else { "false" })
            .with("id", format!("step-{}", option.letter));
        if at == 0 {
            button = button.with("data-first", "");
        }
        Node::new("li").holding([button])
    };
    let steps = item.options.iter().enumerate().map(step);
    vec![
        Node::text("p", say(table, "order", &[]))
            .with("id", "answer")
            .with("tabindex", "-1"),
        Node::new("ul").with("class", "steps").holding(steps),
    ]
}

/// A question with its answer judged: what went wrong, then the working.
pub(super) fn judged(table: &Table<'_>, variant: &Variant) -> View {
    let (Some(session), Some((marked, _))) = (&table.session, table.marked()) else {
        return View::default();
    };
    let right = marked.outcome == Outcome::Right && !session.gave_up;
    let verdict = verdict(table, session, &marked, right);
    let class = if right { "right" } else { "wrong" };
    let mut nodes = vec![
        Node::text("h2", head(table, session)),
        question::asked(variant.item()),
        Node::text("p", verdict.clone())
            .with("class", class)
            .with("id", "verdict")
            .with("tabindex", "-1"),
    ];
    nodes.extend(answers(table, session, variant));
    let sources = &table.opened.data().sources;
    let wording = Wording { words: table.opened.words(), sources };
    let of = (variant.item(), variant.key());
    if marked.reversed.is_empty() || session.gave_up {
        nodes.extend(question::solution(of, wording));
    } else {
        let own = (session.written.as_str(), marked.reversed.as_slice());
        nodes.extend(question::reversed(of, own, wording));
    }
    nodes.extend(question::remark(variant.key()));
    nodes.push(buttons(table, right));
    View { nodes, says: verdict, focus: Some("verdict".to_owned()) }
}

/// "Right.", or what went wrong.
fn verdict(table: &Table<'_>, session: &Session, marked: &Marked, right: bool) -> String {
    if right {
        return say(table, "right", &[]);
    }
    if session.gave_up {
        return say(table, "shown", &[]);
    }
    // Which pairs are reversed stands below, beside the order itself.
    if !marked.reversed.is_empty() {
        return say(table, "wrong-order", &[]);
    }
    let slip = marked.slip.as_ref().map(|slip| slip.says.clone());
    let reason = slip.filter(|says| !says.is_empty()).or_else(|| marked.because.clone());
    match reason {
        Some(reason) => say(table, "wrong-because", &[("reason", &reason)]),
        None => say(table, "wrong", &[]),
    }
}

fn answers(table: &Table<'_>, session: &Session, variant: &Variant) -> Vec<Node> {
    let key = variant.key();
    let options = &variant.item().options;
    let mut nodes = Vec::new();
    let line =
        // words: practice.{line(..)}
        |key: &str, value: &str| Node::text("p", say(table, key, &[("answer", value)]));
    if !session.gave_up && variant.item().kind != ItemKind::Order {
        let chosen = options.iter().find(|option| option.letter == session.written);
        let written = chosen.map_or(session.written.as_str(), |option| &option.text);
        nodes.push(line("yours", written));
    }
    // The order itself stands in the solution.
    if variant.item().kind != ItemKind::Order {
        nodes.push(line("right-is", &key.answer));
    }
    nodes
}

fn buttons(table: &Table<'_>, right: bool) -> Node {
    let on =
        Node::button(say(table, "next", &[]), json!({ "do": "on" })).with("id", "on");
    let again = Node::button(say(table, "again", &[]), json!({ "do": "again" }))
        .with("id", "again");
    let leave = Node::button(say(table, "leave", &[]), json!({ "do": "leave" }))
        .with("id", "leave");
    let row = if right {
        vec![on.with("class", "first"), leave]
    } else {
        vec![again.with("class", "first"), on, leave]
    };
    Node::new("p").with("class", "buttons").holding(row)
}
