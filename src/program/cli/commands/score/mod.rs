//! `score`: what an evaluator saw becomes a verdict with a reason per line.

mod narrated;
mod scored;
mod sheets;
mod tell;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::{Local, NaiveDate};
use serde_json::json;

use self::scored::Scored;
use super::module::Module;
use super::report::findings;
use super::sheets::known_forms;
use crate::authoring::{Given, RunReader};
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::course::{Course, RunSheet};
use crate::findings::{self as found, Finding, Grade, Printed, Sources};
use crate::quantity::Day;
use crate::scoring::{
    self, BesideKey, Crew, Decision, Joint, KnownForms, Results, Run, Verdict, by_run,
    crew, results,
};
use crate::words::Words;
use crate::workshop::read_file;

/// A file of run sheets larger than this was named by mistake.
const LARGEST: u64 = 20_000_000;

/// Score run sheets
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Score run sheets: the outcome of each run, the reason for it first, then \
                  every line with its points. A file is YAML, JSON, or a table (CSV) with a \
                  row for each run. A run with a fault is told with its place, and the others \
                  are scored. A practice run is scored and never counts. The run sheet itself \
                  is not changed. The sheet of a narrated run is compared with its key, and \
                  counts for nobody.",
    after_help = "Examples:\n  \
      drillwright score content/runs/tv-2026-001.yaml\n  \
      drillwright score monday.csv tuesday.yaml --content my-module\n  \
      drillwright score monday.yaml --sheets filled\n  \
      drillwright score monday.yaml --format json\n\n\
      The result is about one run of one drill on one date. It is no certificate; local \
      procedures, the maker's manual and the officer in charge decide."
)]
pub(in crate::cli) struct Arguments {
    /// Files of run sheets, each with one run or many
    #[arg(value_name = "RUN", required = true)]
    runs: Vec<PathBuf>,
    /// The day a run cannot be later than; today, if it is not said
    #[arg(long, value_name = "DATE")]
    today: Option<NaiveDate>,
    /// Folder of the module the drill is in
    #[arg(long, value_name = "DIR", default_value = "content")]
    content: PathBuf,
    /// Folder of the site, whose numbered sheets are known
    #[arg(long, value_name = "DIR", default_value = "site")]
    site: PathBuf,
    /// Folder with numbered sheets that were made elsewhere
    #[arg(long, value_name = "DIR")]
    forms: Vec<PathBuf>,
    /// Folder the filled sign-off sheets are written to, one page for each run
    #[arg(long, value_name = "DIR")]
    sheets: Option<PathBuf>,
}

/// Everything that came out of the files.
struct Outcome {
    scored: Vec<Scored>,
    joint: Vec<Joint>,
    narrated: Vec<BesideKey>,
    crews: Vec<Crew>,
    chains: Vec<Results>,
    faults: Vec<Printed>,
    written: Vec<String>,
}

impl Arguments {
    /// Folder of the module.
    pub(in crate::cli) fn content(&self) -> &Path {
        &self.content
    }
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
    let mut out = score(arguments, course, terminal)?;
    if let Some(dir) = &arguments.sheets {
        out.written = sheets::write(dir, course, &out.scored, terminal)?;
    }
    let refused = |one: &Scored| {
        one.verdict.lines.iter().any(|line| line.decision == Decision::Refused)
    };
    let unknown = |one: &Scored| one.verdict.for_reading;
    // A run that is refused, or scored for reading alone, counts for
    // nothing until somebody has mended it.
    let to_fix = !out.faults.is_empty()
        || out.scored.iter().any(|one| refused(one) || unknown(one));
    if terminal.for_machine() {
        let verdicts: Vec<&Verdict> = out.scored.iter().map(|one| &one.verdict).collect();
        terminal.json(&json!({
            "verdicts": verdicts,
            "joint": out.joint,
            "narrated": out.narrated,
            "crews": out.crews,
            "chains": out.chains,
            "findings": out.faults,
            "sheets": out.written,
        }));
    } else {
        told(&out, course, terminal);
    }
    Ok(if to_fix { End::ToFix } else { End::Done })
}

fn told(out: &Outcome, course: &Course, terminal: &Terminal) {
    for one in &out.scored {
        terminal.data(&tell::verdict(one, course, terminal));
    }
    for joint in &out.joint {
        terminal.data(&tell::joint(joint, course, terminal));
    }
    for beside in &out.narrated {
        terminal.data(&narrated::told(beside, terminal));
    }
    for crew in &out.crews {
        terminal.data(&tell::crew(crew, course, terminal));
    }
    for chain in &out.chains {
        terminal.data(&tell::chain(chain, course, terminal));
    }
    for path in &out.written {
        terminal.data(&terminal.words.say("cli.score.written", &[("path", path)]));
    }
    if !out.faults.is_empty() {
        refuse(&out.faults, Path::new(""), "cli.score.sheet", terminal);
    }
}

/// Reads and scores every file. A run with a fault is told and leaves the others alone.
fn score(
    arguments: &Arguments,
    course: &Course,
    terminal: &Terminal,
) -> Result<Outcome, Fault> {
    let today = match &arguments.today {
        Some(day) => *day,
        None => Local::now().date_naive(),
    };
    let today = Day::read(&today.format("%Y-%m-%d").to_string());
    let words = &terminal.words;
    let files = known_forms(&arguments.forms, &arguments.site, terminal)?;
    let mut reader = RunReader::new(course, words, today);
    // Without a single forms file nobody can say that a form is not known.
    let compared = !files.is_empty();
    if compared {
        reader = reader.with_forms(KnownForms::of(&files));
    }
    let (mut given, mut faults) = (Vec::new(), Vec::new());
    for path in &arguments.runs {
        let text = found::visible(&String::from_utf8_lossy(&read_file(path, LARGEST)?))
            .into_owned();
        let file = path.display().to_string();
        let (runs, wrong) = reader.read(&text, &file);
        given.extend(runs);
        let sources = Sources::from([(file, text)]);
        let told = found::first_of_each_file(wrong);
        faults.extend(told.iter().map(|found| found::printed(found, &sources, words)));
    }
    if !compared && given.iter().any(|one| one.sheet.form.is_some()) {
        terminal.talk(&words.get("cli.numbered.no-forms"));
    }
    let (practiced, given) = narrated::apart(given, course);
    let narrated = narrated::beside_keys(&practiced, course, words);
    // All of them together: the attempt before, or the sheet of the second
    // evaluator, may stand in another file.
    let runs: Vec<Run<'_>> = given.iter().map(Given::run).collect();
    let verdicts = scoring::score_all(&runs);
    let scored: Vec<Scored> = given
        .into_iter()
        .zip(verdicts)
        .map(|(one, verdict)| Scored {
            unread: one.is_unread(),
            verdict,
            sheet: one.sheet,
            kit: one.kit,
            carried: one.carried,
        })
        .collect();
    let joint = joint(&scored, words);
    let groups = by_run(&scored, |one| &one.sheet);
    let crews = groups.into_iter().filter_map(|group| {
        let seen: Vec<(&RunSheet, &Verdict)> =
            group.iter().map(|one| (&one.sheet, &one.verdict)).collect();
        group.first().and_then(|one| crew(&one.kit, &seen))
    });
    let crews = crews.collect();
    let chains = chains(course, &scored, terminal);
    Ok(Outcome { scored, joint, narrated, crews, chains, faults, written: Vec::new() })
}

/// One result for each run that several evaluators saw.
fn joint(scored: &[Scored], words: &Words) -> Vec<Joint> {
    let mut groups: BTreeMap<[&str; 4], Vec<(&RunSheet, &Verdict)>> = BTreeMap::new();
    for one in scored {
        let sheet = &one.sheet;
        // By all but the evaluator: two who watched one candidate
        // come to one result (rule 34).
        let key = [&sheet.id, &sheet.drill, &sheet.candidate, &sheet.role];
        let group = groups.entry(key.map(String::as_str)).or_default();
        group.push((sheet, &one.verdict));
    }
    groups.values().filter_map(|group| scoring::jointly(group, words)).collect()
}

/// Results per drill of every run of a chain, in the order in which they came.
fn chains(course: &Course, scored: &[Scored], terminal: &Terminal) -> Vec<Results> {
    let titles: BTreeMap<&str, &str> =
        course.drills.iter().map(|drill| (drill.id.as_str(), &*drill.title)).collect();
    let mut by_run: BTreeMap<&str, Vec<&Verdict>> = BTreeMap::new();
    for one in scored {
        by_run.entry(&one.sheet.id).or_default().push(&one.verdict);
    }
    let mut out: Vec<Results> = Vec::new();
    for one in scored {
        let id = one.sheet.chain.as_ref();
        let chain = id.and_then(|id| course.chains.iter().find(|chain| chain.id == *id));
        let Some(chain) = chain else { continue };
        let run = one.sheet.id.as_str();
        // Told once, where the run is first of a chain.
        if let Some(verdicts) = by_run.remove(run) {
            out.push(results(chain, run, &verdicts, &titles, &terminal.words));
        }
    }
    out
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
