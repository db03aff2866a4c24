//! A worked formula as text.

use crate::cli::commands::layout::{columns, wrapped};
use crate::cli::terminal::Terminal;
use crate::formulas::{SourceRef, Worked};
use crate::page::Wording;

/// Everything of a worked formula, in the order in which it is explained.
pub(super) fn worked(
    worked: &Worked,
    wording: Wording<'_>,
    terminal: &Terminal,
) -> String {
    let words = wording.words;
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
        // A slip that comes to the right answer by chance shows nothing.
        (worked.answers.first().map(|right| &right.text) != Some(&answer.text))
            .then(|| wrapped(&told, "  "))
    });
    part("slips", slips.collect());
    let constants = worked.constants.iter().map(|constant| {
        let whose = wording.noted(&constant.source);
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
    part("sources", sources(&worked.sources, wording));
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
pub(super) fn sources(sources: &[SourceRef], wording: Wording<'_>) -> String {
    sources.iter().map(|one| wrapped(&wording.noted(one), "  ")).collect()
}
