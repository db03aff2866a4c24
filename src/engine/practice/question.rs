//! The views of one question: open, and judged with its working.

use super::again::again;
use super::pad::pad;
use super::standing::standing;
use super::table::{Session, Table};
use super::view::{Node, View};
use crate::page::Wording;
use crate::page::question::{self, lettered};
use crate::practice::view::{does, doing, valued};
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

/// Above every question: the way out, which question of how many, help, and how the session
/// went so far.
fn top(table: &Table<'_>, session: &Session, title: &str) -> Vec<Node> {
    let leave = Node::button(say(table, "leave", &[]), does("leave"))
        .with("id", "leave")
        .class("plain");
    let head = Node::text("h2", title).with("id", "head").with("tabindex", "-1");
    let mut helped =
        vec![Node::text("summary", say(table, "help", &[])).with("id", "help")];
    let calculator =
        if table.opened.data().calculator { "calculator-yes" } else { "calculator-no" };
    helped.push(Node::text("p", say(table, calculator, &[])));
    if !session.judged {
        let give_up = Node::button(say(table, "give-up", &[]), does("give-up"))
            .with("id", "give-up");
        helped.push(Node::new("p").holding([give_up]));
    }
    // Folded out it shows the page's own head and cautions again.
    // Each view has one of its own, which is folded in.
    let stands = if session.judged { "judged" } else { "open" };
    let id = format!("help-{}-{}-{stands}", session.at, session.attempt);
    let help = Node::new("details").with("id", id).class("help").holding(helped);
    let line = Node::new("div").class("topline").holding([leave, head, help]);
    vec![line, ticks(table, session)]
}

/// One tick a question: right at once, missed at first, now, ahead. The count beside them says
/// the same in words.
fn ticks(table: &Table<'_>, session: &Session) -> Node {
    let code = super::code::SessionCode::read(table.opened, &session.code);
    let of = code.map_or(0, |(code, _)| code.questions(table.opened).len());
    let tick = |at: usize| {
        let class = match session.first.get(at) {
            _ if at == session.at => "now",
            Some(true) => "r",
            Some(false) => "w",
            None => "",
        };
        Node::new("i").class(class)
    };
    Node::new("div").class("ticks").with("aria-hidden", "true").holding((0..of).map(tick))
}

/// A question to be answered.
pub(super) fn open(table: &Table<'_>, variant: &Variant) -> View {
    let Some(session) = &table.session else { return View::default() };
    let item = variant.item();
    let title = head(table, session);
    let mut nodes = top(table, session, &title);
    nodes.push(question::asked(item).with("id", "asked"));
    nodes.extend(note(table));
    let field = match item.kind {
        ItemKind::Number => number(table, session, item),
        ItemKind::Order => order(table, session, item),
        _ => vec![choices(table, session, item)],
    };
    let form = Node::new("form").acts(does("answer")).holding(field);
    let form =
        match item.kind {
            ItemKind::Number => {
                let minutes = item.unit.as_deref() == Some("min:s");
                form.holding([pad(table, minutes)])
            }
            _ => form.holding([Node::new("p").with("class", "buttons").holding([
                Node::text("button", say(table, "check", &[]))
                    .with("type", "submit")
                    .with("id", "check")
                    .with("class", "first"),
            ])]),
        };
    nodes.push(form);
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

fn number(table: &Table<'_>, session: &Session, item: &Item) -> Vec<Node> {
    let unit = item.unit.as_deref().unwrap_or_default();
    let label = say(table, "answer-in", &[("unit", unit)]);
    let field = Node::new("input")
        .with("id", "answer")
        .with("name", "answer")
        // A browser that offers the last answer gives away the right one.
        .with("autocomplete", "off")
        // The keypad below is the page's own: a phone's would cover it.
        .with("inputmode", "none")
        .with("aria-describedby", "asked")
        .with("value", session.written.clone())
        .acts(does("draft"));
    let label = Node::text("label", label).with("for", "answer");
    let unit = Node::text("span", unit).with("aria-hidden", "true");
    let entry = Node::new("span").class("entry").holding([field, unit]);
    vec![Node::new("p").with("class", "field").holding([label.class("heard"), entry])]
}

fn choices(table: &Table<'_>, session: &Session, item: &Item) -> Node {
    let option = |(at, option): (usize, &crate::quiz::Lettered)| {
        let id = if at == 0 { "answer".to_owned() } else { format!("answer-{at}") };
        let mut radio = Node::new("input")
            .with("type", "radio")
            .with("name", "answer")
            .with("id", id)
            .with("value", option.letter.clone())
            .acts(does("draft"));
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
        let act = doing("pick", &[("letter", valued(&option.letter))]);
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
    let mut nodes = top(table, session, &head(table, session));
    nodes.extend([
        Node::text("p", verdict.clone())
            .with("class", class)
            .with("id", "verdict")
            .with("tabindex", "-1"),
        question::asked(variant.item()),
    ]);
    nodes.extend(answers(table, session, variant));
    // What comes next stands before the working, so that it is in reach of a thumb.
    if !right {
        nodes.extend(again(table, &variant.item().question));
    }
    nodes.push(its_objective(table, variant));
    nodes.push(buttons(table, right));
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

/// The objective of the question and how it stands after this answer.
fn its_objective(table: &Table<'_>, variant: &Variant) -> Node {
    let data = table.opened.data();
    let id = &variant.item().question;
    let objective = data.questions.iter().find(|known| &known.id == id);
    let objective = objective.map(|question| question.objective.clone());
    match objective {
        Some(objective) => standing(table, &objective),
        None => Node::new("p"),
    }
}

/// The answer given against the right one, line under line.
fn answers(table: &Table<'_>, session: &Session, variant: &Variant) -> Vec<Node> {
    let key = variant.key();
    let options = &variant.item().options;
    let mut nodes = Vec::new();
    // words: practice.{line(..)}
    let line = |key: &str, value: &str| {
        let class = if key == "yours" { "yours" } else { "" };
        Node::new("div")
            .class(class)
            .holding([Node::text("dt", say(table, key, &[])), Node::text("dd", value)])
    };
    if !session.gave_up && variant.item().kind != ItemKind::Order {
        let chosen = options.iter().find(|option| option.letter == session.written);
        let written = chosen.map_or(session.written.as_str(), |option| &option.text);
        nodes.push(line("yours", written));
    }
    // The order itself stands in the solution.
    if variant.item().kind != ItemKind::Order {
        nodes.push(line("right-is", &key.answer));
    }
    if nodes.is_empty() {
        return nodes;
    }
    vec![Node::new("dl").class("against").holding(nodes)]
}

fn buttons(table: &Table<'_>, right: bool) -> Node {
    let on = Node::button(say(table, "next", &[]), does("on")).with("id", "on");
    let again = Node::button(say(table, "again", &[]), does("again")).with("id", "again");
    let row = if right {
        vec![on.with("class", "first"), again]
    } else {
        vec![again.with("class", "first"), on]
    };
    Node::new("p").with("class", "buttons").holding(row)
}
