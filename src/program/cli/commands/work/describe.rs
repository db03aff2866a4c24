//! What there is to work out, and what a formula needs.

use std::collections::BTreeMap;

use serde_json::json;

use super::givens::{assignment, example};
use super::shelf::{Shelf, needed};
use super::tell::sources;
use crate::cli::commands::layout::{columns, wrapped};
use crate::cli::end::End;
use crate::cli::terminal::Terminal;
use crate::course::Figures;
use crate::formulas::{Formula, Given, GivenKind, Input, System};
use crate::quantity::{Direction, Quantity, find, prose_written};
use crate::words::Words;

/// All formulas, family by family, or those that have a word in their name, title or family.
pub(super) fn list(shelf: &Shelf, word: &str, terminal: &Terminal) -> End {
    let word = word.to_lowercase();
    let has = |text: &str| text.to_lowercase().contains(&word);
    let wanted = |formula: &&Formula| {
        has(&formula.id) || has(&formula.title) || has(&formula.family)
    };
    // A rule of thumb of one system is no formula of the other.
    let all = shelf.library.formulas().filter(|own| own.holds_in(shelf.system));
    let mut found: Vec<&Formula> = all.filter(wanted).collect();
    found.sort_by_key(|formula| (&formula.family, &formula.id));
    if terminal.for_machine() {
        terminal.json(&found);
    } else if found.is_empty() {
        terminal.talk(&terminal.words.say("cli.work.none-listed", &[("word", &word)]));
    }
    if found.is_empty() {
        return End::ToFix;
    }
    if !terminal.for_machine() {
        let mut text = String::new();
        for family in found.chunk_by(|one, other| one.family == other.family) {
            let head = family.first().map(|formula| formula.family.replace('-', " "));
            text.push_str(&terminal.strong(&head.unwrap_or_default()));
            let rows = family.iter().map(|f| vec![f.id.clone(), f.title.clone()]);
            let rows = columns(&rows.collect::<Vec<_>>(), "  ");
            text.push_str(&format!("\n{rows}"));
        }
        terminal.data(&text);
    }
    End::Done
}

/// What a formula needs, for what it holds and how it is typed.
pub(super) fn formula(shelf: &Shelf, formula: &Formula, terminal: &Terminal) {
    let words = &terminal.words;
    let system = shelf.system;
    if terminal.for_machine() {
        terminal.json(&json!(formula));
        return;
    }
    let mut out = format!("{}\n", terminal.strong(&formula.title));
    if let Some(basis) = &formula.basis {
        out.push_str(&words.say("cli.work.basis", &[("basis", basis)]));
        out.push('\n');
    }
    let mut part = |key: &str, text: &str| {
        // words: cli.work.{part(..)}
        let head = words.get(&format!("cli.work.{key}"));
        out.push_str(&format!("\n{}\n{text}", terminal.strong(&head)));
    };
    let mut rows = Vec::new();
    for given in &formula.givens {
        needs(given, "", system, words, &mut rows);
    }
    part("needs", &columns(&rows, "  "));
    part("range", &wrapped(&prose_written(&formula.range), "  "));
    part("sources", &sources(&formula.sources, shelf.wording(words)));
    // The figures of its own example make sense together; bounds taken one by one may not.
    let example = formula.example(system, &Figures::new());
    let asked = formula.givens.iter().filter(|given| needed(given));
    let asked: Vec<String> = asked
        .map(|given| match example.get(&given.name) {
            Some(input) => typed(given, input),
            None => assignment(given, system),
        })
        .collect();
    let line = format!("  drillwright work {} {}\n", formula.id, asked.join(" "));
    part("try", &line);
    terminal.data(&out);
}

/// A given of the example, quoted as a shell wants it.
fn typed(given: &Given, input: &Input) -> String {
    let value = match input {
        Input::Number(quantity) => quantity.typed(),
        Input::Word(word) => word.clone(),
        Input::Rows(rows) => {
            let cell = |(column, value): (&String, &Quantity)| {
                format!("{column}: {}", value.typed())
            };
            let row = |row: &BTreeMap<String, Quantity>| {
                row.iter().map(cell).collect::<Vec<_>>().join(", ")
            };
            rows.iter().map(row).collect::<Vec<_>>().join("; ")
        }
    };
    format!("\"{}={value}\"", given.name)
}

fn needs(
    given: &Given,
    indent: &str,
    system: System,
    words: &Words,
    rows: &mut Vec<Vec<String>>,
) {
    let mut row = |what: String| {
        rows.push(vec![format!("{indent}{}", given.name), given.label.clone(), what]);
    };
    match &given.kind {
        GivenKind::Number { unit, unit_si, least, most, default } => {
            let unit = find(if system.is_metric() { unit_si } else { unit });
            let own = |bound: &Quantity, way| {
                unit.map_or(*bound, |unit| bound.bound(unit, way)).typed()
            };
            // Rounded inward: what is told as possible must be.
            let (least, most) = (own(least, Direction::Up), own(most, Direction::Down));
            let span = words.say("cli.work.span", &[("least", &least), ("most", &most)]);
            row(match default {
                Some(_) => {
                    let default = example(given, system);
                    let told = words.say("cli.work.default", &[("default", &default)]);
                    format!("{span}; {told}")
                }
                None => span,
            });
        }
        GivenKind::Choice { words } => row(words.join(", ")),
        GivenKind::List { columns } => {
            row(words.get("cli.work.rows"));
            for column in columns {
                needs(column, "  ", system, words, rows);
            }
        }
    }
}
