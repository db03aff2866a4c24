//! `why`: the longer explanation of a finding, and what a field of a file is.

use serde_json::json;

use super::fields;
use super::home::Home;
use crate::cli::end::End;
use crate::cli::terminal::Terminal;
use crate::findings::{ALL, Code, Grade};
use crate::words::nearest;

/// Explain a finding or a field
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Explain a finding: why it matters and what is meant. Each finding of \
                  compile and inspect ends with its name; without a name all are listed. Or \
                  explain a field of a file by its path: what it is, what can be written, \
                  whether it may be left out; or all fields of a file by what it describes.",
    after_help = "Examples:\n  drillwright why\n  drillwright why no-cautions\n  \
                  drillwright why rig\n  drillwright why rig.outlets.flow"
)]
pub(in crate::cli) struct Arguments {
    /// Name of a finding, such as no-cautions, or path of a field, such as rig.outlets.flow
    code: Option<String>,
    #[command(flatten)]
    pub(in crate::cli) home: Home,
}

pub(in crate::cli) fn run(arguments: &Arguments, terminal: &Terminal) -> End {
    let Some(typed) = &arguments.code else {
        list(terminal);
        return End::Done;
    };
    let typed = typed.trim().to_lowercase();
    // Findings first: each ends with its name, and is looked up by it.
    if let Some(code) = ALL.iter().find(|code| code.name() == typed) {
        explain(*code, terminal);
        return End::Done;
    }
    if let Some(found) = fields::explain(&typed, terminal) {
        return if found { End::Done } else { End::ToFix };
    }
    let words = &terminal.words;
    terminal.talk(&words.say("cli.why.unknown", &[("code", &typed)]));
    if let Some(near) = nearest(&typed, ALL.iter().map(|code| code.name())) {
        terminal.talk(&words.say("cli.why.nearest", &[("nearest", &near)]));
    }
    terminal.talk(&words.get("cli.why.listing"));
    End::ToFix
}

fn grade(code: Code, terminal: &Terminal) -> String {
    terminal.words.get(match code.grade() {
        Grade::MustFix => "findings.must-fix",
        Grade::LookAgain => "findings.look-again",
        Grade::Note => "findings.note",
    })
}

fn explain(code: Code, terminal: &Terminal) {
    let name = code.name();
    // words: finding.{codes!}.why
    let why = terminal.words.get(&format!("finding.{name}.why"));
    if terminal.for_machine() {
        terminal.json(&json!({ "code": name, "grade": code.grade(), "why": why }));
        return;
    }
    let head = format!("{}  {name}", grade(code, terminal));
    terminal.data(&terminal.strong(&head));
    terminal.data(&super::layout::wrapped(&why, "  "));
}

fn list(terminal: &Terminal) {
    if terminal.for_machine() {
        let row = |code: &Code| json!({ "code": code.name(), "grade": code.grade() });
        terminal.json(&ALL.iter().map(row).collect::<Vec<_>>());
        return;
    }
    terminal.data(&terminal.words.get("cli.why.all"));
    let mut names: Vec<&Code> = ALL.iter().collect();
    names.sort_by_key(|code| (code.grade(), code.name()));
    let rows =
        names.iter().map(|code| vec![grade(**code, terminal), code.name().to_owned()]);
    terminal.data(&super::layout::columns(&rows.collect::<Vec<_>>(), "  "));
}
