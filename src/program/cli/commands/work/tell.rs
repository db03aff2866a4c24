//! A worked formula as text.

use std::collections::BTreeMap;

use crate::cli::commands::layout::{columns, wrapped};
use crate::cli::terminal::Terminal;
use crate::formulas::{SourceRef, Status, Worked};
use crate::words::Words;

/// Everything of a worked formula, in the order in which it is explained.
pub(super) fn worked(
    worked: &Worked,
    titles: &BTreeMap<String, String>,
    terminal: &Terminal,
) -> String {
    let words = &terminal.words;
    let mut out = format!("{}\n", terminal.strong(&worked.title));
    if let Some(basis) = &worked.basis {
        out.push_str(&words.say("cli.work.basis", &[("basis", basis)]));
        out.push('\n');
    }
    let mut part = |key: &str, text: String| {
        if !text.is_empty() {
            // words: cli.work.{part(..)}
            let head = words.get(&format!("cli.work.{key}"));
            out.push_str(&format!("\n{}\n{text}", terminal.strong(&head)));
        }
    };
    let givens = worked.givens.iter().map(|given| {
        let written = given.converted_from.as_ref().map(|text| {
            format!("  ({})", words.say("cli.work.written", &[("text", text)]))
        });
        vec![
            given.label.clone(),
            format!("{}{}", given.text, written.unwrap_or_default()),
        ]
    });
    part("given", columns(&givens.collect::<Vec<_>>(), "  "));
    part("working", board(worked));
    let answers = worked.answers.iter();
    let answers = answers.map(|answer| vec![answer.label.clone(), answer.text.clone()]);
    part("answer", columns(&answers.collect::<Vec<_>>(), "  "));
    let verdicts = worked.verdicts.iter().map(|verdict| wrapped(verdict, "  "));
    part("verdicts", verdicts.collect());
    let slips = worked.slips.iter().filter_map(|slip| {
        let answer = slip.answers.first()?;
        let told = format!("{}: {}", answer.text, slip.says);
        (worked.answers.first().map(|right| &right.text) != Some(&answer.text))
            .then(|| wrapped(&told, "  "))
    });
    part("slips", slips.collect());
    let constants = worked.constants.iter().map(|constant| {
        let whose = source(&constant.source, titles, words);
        let local = words.get("cli.work.local");
        let local = if constant.local { format!(", {local}") } else { String::new() };
        let other = constant.looked_up.as_ref();
        let other =
            other.map(|value| words.say("cli.work.looked-up", &[("value", value)]));
        let other = other.map_or(String::new(), |other| format!("; {other}"));
        let told =
            format!("{}: {} ({whose}{local}{other})", constant.label, constant.value);
        wrapped(&told, "  ")
    });
    part("constants", constants.collect());
    part("range", wrapped(&worked.range, "  "));
    part("sources", sources(&worked.sources, titles, words));
    out.push('\n');
    out.push_str(&wrapped(&words.get("cli.work.caution"), ""));
    out
}

/// Each line in words, with its numbers, with its result; one below the other.
fn board(worked: &Worked) -> String {
    let mut out = String::new();
    for line in &worked.lines {
        let gap = " ".repeat(line.label.chars().count());
        out.push_str(&format!("  {} = {}\n", line.label, line.words));
        if line.numbers != line.words && line.numbers != line.result {
            out.push_str(&format!("  {gap} = {}\n", line.numbers));
        }
        out.push_str(&format!("  {gap} {} {}\n", line.relation, line.result));
    }
    out
}

/// Sources, one a paragraph.
pub(super) fn sources(
    sources: &[SourceRef],
    titles: &BTreeMap<String, String>,
    words: &Words,
) -> String {
    sources.iter().map(|one| wrapped(&source(one, titles, words), "  ")).collect()
}

fn source(
    source: &SourceRef,
    titles: &BTreeMap<String, String>,
    words: &Words,
) -> String {
    let status = words.get(match source.status {
        Status::LookedUp => "cli.work.status.looked-up",
        Status::Computed => "cli.work.status.computed",
        Status::CommonPractice => "cli.work.status.common-practice",
        Status::FromMemory => "cli.work.status.from-memory",
    });
    let title = titles.get(&source.source).unwrap_or(&source.source);
    let note = source.note.as_ref().map(|note| format!(": {note}")).unwrap_or_default();
    if title.to_lowercase() == status.to_lowercase() {
        return format!("{title}{note}");
    }
    format!("{title} ({status}){note}")
}
