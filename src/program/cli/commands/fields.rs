//! What a field of a module's files is, told from the one description of each thing.

use std::collections::BTreeSet;

use serde_json::json;

use super::layout::{columns, wrapped};
use crate::cli::terminal::Terminal;
use crate::course::{THINGS, Thing};
use crate::wire::{Row, reference};
use crate::words::nearest;

/// The name of a thing as it is typed.
pub(super) fn typed(thing: &Thing) -> String {
    thing.name.replace(' ', "-")
}

/// The thing of that name, or the one whose name begins so: a question is looked for under
/// `question`, and its file is a question set.
pub(super) fn thing(name: &str) -> Option<&'static Thing> {
    let exactly = THINGS.iter().find(|thing| typed(thing) == name);
    let begins = |thing: &&Thing| {
        typed(thing).strip_prefix(name).is_some_and(|rest| rest.starts_with('-'))
    };
    exactly.or_else(|| THINGS.iter().find(begins))
}

/// All fields of a thing, in the units and the words of the module.
fn rows(thing: &Thing, terminal: &Terminal) -> Vec<Row> {
    let _numbers = terminal.writing();
    reference(&typed(thing), false, thing.kind, &terminal.telling())
}

/// A path as somebody types it: without the marks of lists, maps and choices.
fn plain(path: &str) -> String {
    let mut out = String::new();
    let mut within = 0_usize;
    for letter in path.chars() {
        match letter {
            '[' | '{' | '(' => within += 1,
            ']' | '}' | ')' => within = within.saturating_sub(1),
            _ if within == 0 => out.push(letter),
            _ => {}
        }
    }
    out
}

/// The path from the top of its file: `question.ask` is typed for `question-set.questions.ask`, as
/// far as nothing else ends so.
fn whole(path: &str, thing: &Thing, rows: &[Row]) -> String {
    let name = typed(thing);
    let Some((_, rest)) = path.split_once('.') else { return name };
    let exactly = format!("{name}.{rest}");
    let ends = format!(".{rest}");
    let all: BTreeSet<String> = rows.iter().map(|row| plain(&row.path)).collect();
    let mut others = all.iter().filter(|own| own.ends_with(&ends));
    match (all.contains(&exactly), others.next(), others.next()) {
        (false, Some(one), None) => one.clone(),
        _ => exactly,
    }
}

/// Tells a field, a group or a whole thing, and whether there is one of that name; nothing for what
/// is no path of a field.
pub(super) fn explain(path: &str, terminal: &Terminal) -> Option<bool> {
    let path = plain(path);
    let name = path.split('.').next().unwrap_or_default();
    let thing = thing(name)?;
    let rows = rows(thing, terminal);
    let (path, name) = (whole(&path, thing, &rows), typed(thing));
    let inside = format!("{path}.");
    // One key may stand in several groups of a choice, each with its own sentence.
    let own: Vec<&Row> = rows.iter().filter(|row| plain(&row.path) == path).collect();
    let below: Vec<&Row> = rows
        .iter()
        .filter(|row| {
            let rest = plain(&row.path);
            rest.strip_prefix(&inside).is_some_and(|rest| !rest.contains('.'))
        })
        .collect();
    // What stands in each group of a choice is told once.
    let mut told = BTreeSet::new();
    let below: Vec<&Row> =
        below.into_iter().filter(|row| told.insert((row.key, &row.help))).collect();
    if own.is_empty() && below.is_empty() {
        let words = &terminal.words;
        let blanks = [("path", path.as_str())];
        terminal.talk(&words.say("cli.why.no-field", &blanks));
        let known: Vec<String> = rows.iter().map(|row| plain(&row.path)).collect();
        // The same key further inside, wherever it stands, before one that only looks like it.
        let last = path.rsplit('.').next().unwrap_or_default();
        let same = |own: &&String| own.rsplit('.').next() == Some(last);
        let inside: BTreeSet<&str> =
            known.iter().filter(same).map(String::as_str).collect();
        let inside = inside.into_iter().collect::<Vec<_>>().join(", ");
        let near = nearest(&path, known.iter().map(String::as_str));
        if let Some(near) = Some(inside).filter(|all| !all.is_empty()).or(near) {
            terminal.talk(&words.say("cli.why.nearest", &[("nearest", &near)]));
        }
        return Some(false);
    }
    if terminal.for_machine() {
        let told = |row: &&Row| {
            json!({
                "field": row.path, "kind": row.kind, "needed": row.need, "left-out": row.or,
                "example": row.eg, "help": row.help,
            })
        };
        let own: Vec<_> = own.iter().map(told).collect();
        let below: Vec<_> = below.iter().map(told).collect();
        terminal.json(&json!({ "file": thing.file, "field": own, "fields": below }));
        return Some(true);
    }
    if own.is_empty() {
        terminal.data(&terminal.strong(&path));
    }
    for row in own {
        field(row, terminal);
    }
    list(&below, terminal);
    let blanks = [("file", thing.file), ("thing", name.as_str())];
    terminal.data(&terminal.words.say("cli.why.file", &blanks));
    Some(true)
}

/// Whether it must be there, or what it is when it is left out.
fn need(row: &Row, terminal: &Terminal) -> String {
    match (row.need, row.or) {
        (true, _) => terminal.words.get("cli.why.needed"),
        (false, Some("") | None) => terminal.words.get("cli.why.may"),
        (false, Some(or)) => terminal.words.say("cli.why.may-or", &[("or", or)]),
    }
}

fn field(row: &Row, terminal: &Terminal) {
    let words = &terminal.words;
    terminal.data(&terminal.strong(&row.path));
    terminal.data(wrapped(&row.help, "  ").trim_end());
    // One example is enough: that of the field is the better one.
    let kind = words.say("cli.why.kind", &[("kind", row.plain_kind())]);
    terminal.data(wrapped(&kind, "  ").trim_end());
    terminal.data(&format!("  {}", need(row, terminal)));
    if let Some(eg) = &row.eg {
        let blanks = [("key", row.key), ("eg", eg)];
        terminal.data(&format!("  {}", words.say("cli.why.example", &blanks)));
    }
}

fn list(rows: &[&Row], terminal: &Terminal) {
    if rows.is_empty() {
        return;
    }
    terminal.data(&terminal.words.get("cli.why.holds"));
    let mark = |row: &Row| if row.need { "*" } else { "" };
    let cells = |row: &&Row| vec![format!("{}{}", row.key, mark(row)), row.help.clone()];
    terminal.data(&columns(&rows.iter().map(cells).collect::<Vec<_>>(), "  "));
}
