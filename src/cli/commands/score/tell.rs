//! A verdict as text.

use crate::cli::commands::layout::{columns, wrapped};
use crate::cli::terminal::Terminal;
use crate::course::{Course, RunSheet};
use crate::scoring::{Line, Rule, Verdict};

/// The outcome with its reason, the points, every line, and what follows.
pub(super) fn verdict(
    verdict: &Verdict,
    sheet: &RunSheet,
    course: &Course,
    terminal: &Terminal,
) -> String {
    let words = &terminal.words;
    let person = course.people.get(&sheet.candidate);
    let candidate = person.map_or(sheet.candidate.as_str(), |person| &person.name);
    let blanks = [
        ("run", verdict.run.as_str()),
        ("drill", verdict.drill_title.as_str()),
        ("revision", verdict.drill_revision_text.as_str()),
        ("rig", verdict.rig_title.as_str()),
        ("candidate", candidate),
        ("on", verdict.on.as_str()),
        ("use", verdict.use_text.as_str()),
        ("mode", verdict.mode_text.as_str()),
    ];
    let mut out = format!("{}\n", terminal.strong(&words.say("cli.score.run", &blanks)));
    out.push_str(&wrapped(&words.say("cli.score.about", &blanks), ""));
    out.push_str(&format!("\n{}\n", terminal.strong(&verdict.outcome_text)));
    out.push_str(&wrapped(&verdict.reason, "  "));
    out.push_str(&points(verdict, terminal));
    let rows = verdict.lines.iter().filter(|line| line.rule != Rule::Result);
    let rows: Vec<Vec<String>> = rows.map(row).collect();
    let mut part = |key: &str, text: String| {
        if !text.is_empty() {
            let head = words.get(&format!("cli.score.{key}"));
            out.push_str(&format!("\n{}\n{text}", terminal.strong(&head)));
        }
    };
    let list = |texts: &[String]| texts.iter().map(|text| wrapped(text, "  ")).collect();
    part("lines", columns(&rows, "  "));
    part("not-seen", list(&verdict.not_seen));
    part("not-shown", list(&verdict.not_shown));
    part("next", list(&verdict.next));
    out.push('\n');
    out
}

/// Points, percent and pass mark, where a percent may be stated.
fn points(verdict: &Verdict, terminal: &Terminal) -> String {
    let Some(percent) = &verdict.percent else { return String::new() };
    let (earned, possible) = (verdict.earned.to_string(), verdict.possible.to_string());
    let blanks = [
        ("earned", earned.as_str()),
        ("possible", possible.as_str()),
        ("percent", percent.as_str()),
        ("cut", verdict.cut.as_deref().unwrap_or_default()),
        ("source", verdict.cut_source.as_deref().unwrap_or_default()),
    ];
    let key = if verdict.cut.is_some() { "points" } else { "points-alone" };
    wrapped(&terminal.words.say(&format!("cli.score.{key}"), &blanks), "  ")
}

/// Points, what the line means, what it is about and why.
fn row(line: &Line) -> Vec<String> {
    let points = if line.points != 0 || line.of != 0 {
        format!("{} of {}", line.points, line.of).replace('-', "−")
    } else {
        String::new()
    };
    vec![points, line.decision_text.clone(), line.sentence.clone()]
}
