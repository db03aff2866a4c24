//! `score`: what an evaluator saw becomes a verdict with a reason per line.

mod sheets;
mod tell;

use std::path::{Path, PathBuf};

use serde_json::json;

use super::module::Module;
use super::report::findings;
use crate::authoring::{self, Trees};
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::course::{Course, RunSheet};
use crate::findings::{self as found, Code, Finding, Grade, Printed, Sources};
use crate::scoring::{self, Decision, Kit, Verdict};
use crate::words::nearest;
use crate::workshop::read_file;

/// A run sheet is a page of text; a file larger than this was named by mistake.
const LARGEST: u64 = 1_000_000;

/// Score run sheets
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Score run sheets: the outcome of each run, the reason for it first, then \
                  every line with its points. A practice run is scored and never counts. The \
                  run sheet itself is not changed.",
    after_help = "Examples:\n  \
      drillwright score content/runs/tv-2026-001.yaml\n  \
      drillwright score monday.yaml tuesday.yaml --content my-module\n  \
      drillwright score monday.yaml --sheets filled\n  \
      drillwright score monday.yaml --format json\n\n\
      The result is about one run of one drill on one date. It is no certificate; local \
      procedures, the maker's manual and the officer in charge decide."
)]
pub(in crate::cli) struct Arguments {
    /// Run sheets, each a file with one run or a list of runs
    #[arg(value_name = "RUN", required = true)]
    runs: Vec<PathBuf>,
    /// Folder of the module the drill is in
    #[arg(long, value_name = "DIR", default_value = "content")]
    content: PathBuf,
    /// Folder the filled sign-off sheets are written to, one page for each run
    #[arg(long, value_name = "DIR")]
    sheets: Option<PathBuf>,
}

/// A run with its verdict and the kit that gave it.
struct Scored {
    file: String,
    sheet: RunSheet,
    kit: Kit,
    verdict: Verdict,
}

pub(in crate::cli) fn run(
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<End, Fault> {
    let module = Module::read(&arguments.content, false)?;
    let course = match &module.course {
        Some(course) if !broken(&module) => course,
        _ => {
            let printed = module.printed(terminal);
            refuse(&printed, &arguments.content, "cli.score.module", terminal);
            return Ok(End::ToFix);
        }
    };
    let mut scored: Vec<Scored> = Vec::new();
    let mut faults: Vec<Printed> = Vec::new();
    for path in &arguments.runs {
        let text = String::from_utf8_lossy(&read_file(path, LARGEST)?).into_owned();
        let file = path.display().to_string();
        let (sheets, mut wrong) = authoring::run_sheets(&text, &file, course);
        let sources = Sources::from([(file.clone(), text)]);
        if !found::blocks(&wrong) {
            for sheet in sheets {
                if let Some(twin) = scored.iter().find(|one| one.sheet.id == sheet.id) {
                    wrong.push(twice(&sheet.id, &twin.file, &sources));
                    continue;
                }
                match score(course, sheet, &sources, terminal) {
                    Ok(one) => scored.push(one),
                    Err(Wrong::Sheet(found)) => wrong.extend(found),
                    Err(Wrong::Kit(reason)) => return Err(Fault::Said(reason)),
                }
            }
        }
        found::sort(&mut wrong);
        let print = |finding| found::printed(finding, &sources, &terminal.words);
        faults.extend(wrong.iter().map(print));
    }
    let written = match &arguments.sheets {
        Some(dir) => sheets::write(dir, course, &scored, terminal)?,
        None => Vec::new(),
    };
    let refused = |one: &Scored| {
        one.verdict.lines.iter().any(|line| line.decision == Decision::Refused)
    };
    let to_fix = !faults.is_empty() || scored.iter().any(refused);
    if terminal.for_machine() {
        let verdicts: Vec<&Verdict> = scored.iter().map(|one| &one.verdict).collect();
        terminal.json(&json!({
            "verdicts": verdicts,
            "findings": faults,
            "sheets": written,
        }));
    } else {
        for one in &scored {
            terminal.data(&tell::verdict(&one.verdict, &one.sheet, course, terminal));
        }
        for path in &written {
            terminal.data(&terminal.words.say("cli.score.written", &[("path", path)]));
        }
        if !faults.is_empty() {
            refuse(&faults, Path::new(""), "cli.score.sheet", terminal);
        }
    }
    Ok(if to_fix { End::ToFix } else { End::Done })
}

/// Whether the module itself has something to fix. A fault in one of its own run sheets does
/// not keep another from being scored.
fn broken(module: &Module) -> bool {
    let own = |finding: &Finding| {
        finding.place.as_ref().is_some_and(|place| place.file.starts_with("runs/"))
    };
    module
        .findings
        .iter()
        .any(|finding| finding.code.grade() == Grade::MustFix && !own(finding))
}

fn refuse(faults: &[Printed], base: &Path, key: &str, terminal: &Terminal) {
    if terminal.for_machine() {
        terminal.json(&json!({ "verdicts": [], "findings": faults }));
        return;
    }
    terminal.data(&findings(faults, base, terminal));
    terminal.data(&terminal.words.get(key));
}

enum Wrong {
    Sheet(Vec<Finding>),
    Kit(String),
}

/// Scores one sheet with the drill and the rig it names.
fn score(
    course: &Course,
    sheet: RunSheet,
    sources: &Sources,
    terminal: &Terminal,
) -> Result<Scored, Wrong> {
    let drill = course.drill(&sheet.drill);
    let rig = course.rigs.get(&sheet.rig);
    let (Some(drill), Some(rig)) = (drill, rig) else {
        let mut wrong = Vec::new();
        if drill.is_none() {
            let known = course.drills.iter().map(|drill| drill.id.as_str());
            wrong.push(unknown("drill", &sheet.drill, known, sources));
        }
        if rig.is_none() {
            let known = course.rigs.keys().map(String::as_str);
            wrong.push(unknown("rig", &sheet.rig, known, sources));
        }
        return Err(Wrong::Sheet(wrong));
    };
    let kit = Kit::of(course, drill, rig, &terminal.words).map_err(|fault| {
        let reason = format!("{fault:?}");
        Wrong::Kit(terminal.words.say("cli.broken", &[("reason", &reason)]))
    })?;
    let verdict = scoring::score(&kit, &sheet);
    let file = sources.keys().next().cloned().unwrap_or_default();
    Ok(Scored { file, sheet, kit, verdict })
}

/// A name on a run sheet that the module does not have, at its line.
fn unknown<'k>(
    kind: &'static str,
    id: &str,
    known: impl Iterator<Item = &'k str>,
    sources: &Sources,
) -> Finding {
    let trees = Trees::read(sources, &mut Vec::new());
    let finding = match sources.keys().next() {
        Some(file) => Finding::at(Code::UnknownId, trees.place(file, &[kind])),
        None => Finding::whole(Code::UnknownId),
    };
    let near = nearest(id, known).unwrap_or_default();
    finding.with("kind", kind).with("id", id).with("nearest", near)
}

/// A run that another sheet has already told of.
fn twice(id: &str, other: &str, sources: &Sources) -> Finding {
    let trees = Trees::read(sources, &mut Vec::new());
    let finding = match sources.keys().next() {
        Some(file) => Finding::at(Code::DuplicateId, trees.place(file, &["run"])),
        None => Finding::whole(Code::DuplicateId),
    };
    finding.with("kind", "runs").with("id", id).with("other", other)
}
