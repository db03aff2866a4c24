//! `mark`: a sheet of answers becomes marks, and the slip behind each wrong answer.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde_json::json;

use super::keys;
use super::layout::{columns, wrapped};
use super::papers::{FORMS, LARGEST, results, text as json_text};
use super::report::findings;
use crate::authoring::{MarkedSheet, mark_answers};
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::findings::{self as found, Printed, Sources};
use crate::fingerprint::hex_hash;
use crate::quiz::{Answered, Forms, Outcome, PaperResult, RESULTS_FORMAT, Results};
use crate::workshop::{find_files, read_file, write_files};

/// A sheet of answers larger than this was named by mistake.
const LARGEST_SHEET: u64 = 5_000_000;

/// Mark papers from a table of answers
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Mark papers from a table of answers: one row for each person, with the columns \
                  person, form (the code at the head of the paper) and the numbers of the \
                  questions. Each wrong answer is told with the slip behind it. A row with \
                  something to fix is listed and left out; all others are marked.",
    after_help = "Examples:\n  \
      drillwright mark answers.csv\n  \
      drillwright mark answers.csv --forms retest\n  \
      drillwright mark answers.csv --format json\n\n\
      A table begins so:\n  \
      person,form,1,2,3\n  \
      alder,7110-4A29-K,1.68 gpm,\"2,31 %\",10:31\n\n\
      Results are added to keys/results in the site and never changed; papers reads them to \
      balance how hard its papers are. A mark is about one paper on one day and certifies \
      nothing; local procedures, the maker's manual and the officer in charge decide."
)]
pub(in crate::cli) struct Arguments {
    /// Table of answers (CSV, split by commas, semicolons or tabs)
    #[arg(value_name = "ANSWERS")]
    answers: PathBuf,
    /// Folder of the site, whose papers are known
    #[arg(long, value_name = "DIR", default_value = "site")]
    site: PathBuf,
    /// Folder with papers that were made elsewhere
    #[arg(long, value_name = "DIR")]
    forms: Vec<PathBuf>,
    /// Folder the results are added to, instead of keys/results in the site
    #[arg(long, value_name = "DIR")]
    results: Option<PathBuf>,
}

pub(in crate::cli) fn run(
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<End, Fault> {
    let bytes = read_file(&arguments.answers, LARGEST_SHEET)?;
    // Spreadsheets write other codings too; a letter that is lost stands in a name or makes its
    // answer unreadable, and both are told.
    let text = found::visible(&String::from_utf8_lossy(&bytes)).into_owned();
    let file = arguments.answers.display().to_string();
    let forms = forms(arguments, terminal)?;
    let mut sheet = mark_answers(&file, &text, &forms, &terminal.words);
    found::sort(&mut sheet.findings);
    let sources = Sources::from([(file, text)]);
    let print = |finding| found::printed(finding, &sources, &terminal.words);
    // Asked before the list is cut to what can be read: what is not told counts too.
    let to_fix = found::blocks(&sheet.findings);
    let told = found::first_of_each_file(std::mem::take(&mut sheet.findings));
    let printed: Vec<Printed> = told.iter().map(print).collect();
    let kept = keep(arguments, &mut sheet, &hex_hash(&bytes), terminal)?;
    if terminal.for_machine() {
        terminal.json(&json!({
            "papers": sheet.papers,
            "left-out": sheet.left_out,
            "results": kept.as_ref().map(|(path, _)| path.display().to_string()),
            "findings": printed,
        }));
    } else {
        tell(&sheet, &printed, kept.as_ref(), terminal);
    }
    Ok(if to_fix { End::ToFix } else { End::Done })
}

/// The forms files of the site and of the folders that were named.
fn forms(arguments: &Arguments, terminal: &Terminal) -> Result<Vec<Forms>, Fault> {
    let mut folders = arguments.forms.clone();
    // The named folders first: a retest may lie beside the papers of the site.
    folders.extend(keys::folders(&arguments.site));
    let mut all = Vec::new();
    for folder in &folders {
        for (path, bytes) in find_files(folder, FORMS, LARGEST)? {
            let read: Option<Forms> = serde_json::from_slice(&bytes).ok();
            let read = read.ok_or_else(|| say("cli.mark.forms", &path, terminal))?;
            if !read.is_sound() {
                return Err(say("cli.mark.changed", &path, terminal));
            }
            all.push(read);
        }
    }
    match folders.first() {
        Some(first) if all.is_empty() => Err(say("cli.mark.no-forms", first, terminal)),
        _ => Ok(all),
    }
}

fn say(key: &str, path: &Path, terminal: &Terminal) -> Fault {
    let path = path.display().to_string();
    Fault::Said(terminal.words.say(key, &[("path", &path)]))
}

/// Adds the results to those that are there; the same answers are not added twice. Returns where
/// they stand and whether they are new.
fn keep(
    arguments: &Arguments,
    sheet: &mut MarkedSheet,
    input: &str,
    terminal: &Terminal,
) -> Result<Option<(PathBuf, bool)>, Fault> {
    if sheet.papers.is_empty() {
        return Ok(None);
    }
    // The first of them is the one that is written to.
    let dirs = match &arguments.results {
        Some(dir) => vec![dir.clone()],
        None => keys::results(keys::guarded(&arguments.site)?),
    };
    let Some(dir) = dirs.first() else { return Ok(None) };
    let there = results(&dirs, terminal)?;
    // Both must be the same: equal answers marked by other forms are another result.
    let same =
        |results: &Results| results.input == input && results.papers == sheet.papers;
    if let Some((path, _)) = there.iter().find(|(_, results)| same(results)) {
        return Ok(Some((path.clone(), false)));
    }
    let results = Results {
        format: RESULTS_FORMAT,
        about: terminal.words.get("quiz.about-results"),
        input: input.to_owned(),
        // Lent and not copied: of a county they are the most that this holds.
        papers: std::mem::take(&mut sheet.papers),
    };
    let text = json_text(&results);
    sheet.papers = results.papers;
    // Numbered in the order of marking, without a clock: results are only ever added.
    let number = there.iter().filter_map(|(path, _)| number(path)).max().unwrap_or(0) + 1;
    let name = format!("{number:04}-{}.json", stem(&arguments.answers));
    write_files(dir, &BTreeMap::from([(name.clone(), text)]))?;
    Ok(Some((dir.join(name), true)))
}

/// The number at the head of a results file's name.
fn number(path: &Path) -> Option<u32> {
    let name = path.file_name()?.to_str()?;
    name.split_once('-')?.0.parse().ok()
}

/// The name of the sheet of answers in letters that every system takes.
fn stem(path: &Path) -> String {
    let stem = path.file_stem().map(|stem| stem.to_string_lossy().to_lowercase());
    let stem = stem.unwrap_or_default();
    let letter = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
    // Long enough to be known again, short enough for every file system.
    let name: String = stem.chars().map(letter).take(60).collect();
    let name = name.trim_matches('-').to_owned();
    if name.is_empty() { "answers".to_owned() } else { name }
}

fn tell(
    sheet: &MarkedSheet,
    printed: &[Printed],
    kept: Option<&(PathBuf, bool)>,
    terminal: &Terminal,
) {
    let words = &terminal.words;
    if !sheet.papers.is_empty() {
        terminal.data(&terminal.strong(&words.get("cli.mark.papers")));
        terminal.data(&columns(&table(&sheet.papers, terminal), "  "));
        for paper in &sheet.papers {
            let slips = slips(paper, terminal);
            if !slips.is_empty() {
                let who = format!("{}  {}", paper.person, paper.code);
                terminal.data(&format!("{}\n{slips}", terminal.strong(&who)));
            }
        }
        let mut marks: Vec<_> =
            sheet.papers.iter().filter_map(|paper| paper.pass_mark.as_ref()).collect();
        marks.dedup();
        for mark in marks {
            let value = mark.value.printed();
            let blanks = [("value", value.as_str()), ("source", mark.source.as_str())];
            terminal.data(&words.say("cli.mark.pass-mark", &blanks));
        }
    }
    if !printed.is_empty() {
        terminal.data(&findings(printed, Path::new(""), terminal));
    }
    let (marked, left) = (sheet.papers.len().to_string(), sheet.left_out.to_string());
    let blanks = [("marked", marked.as_str()), ("left", left.as_str())];
    let key = if sheet.left_out == 0 { "cli.mark.all" } else { "cli.mark.some-left" };
    terminal.data(&words.say(key, &blanks));
    if let Some((path, new)) = kept {
        let key = if *new { "cli.mark.written" } else { "cli.mark.there" };
        terminal.data(&words.say(key, &[("path", &path.display().to_string())]));
    }
    terminal.data(wrapped(&words.get("cli.mark.certifies"), "").trim_end());
}

fn table(papers: &[PaperResult], terminal: &Terminal) -> Vec<Vec<String>> {
    let words = &terminal.words;
    let head = ["person", "form", "set", "marks"];
    // words: cli.mark.{person|form|set|marks}
    let head = head.map(|key| words.get(&format!("cli.mark.{key}")));
    let row = |paper: &PaperResult| {
        let (marks, of) = (paper.marks.to_string(), paper.of.to_string());
        let blanks = [("marks", marks.as_str()), ("of", of.as_str())];
        let key = match paper.reached {
            Some(true) => "cli.mark.reached",
            Some(false) => "cli.mark.not-reached",
            None => "cli.mark.no-pass-mark",
        };
        vec![
            paper.person.clone(),
            paper.code.clone(),
            paper.set.clone(),
            words.say("cli.mark.of", &blanks),
            words.get(key),
        ]
    };
    std::iter::once(head.to_vec()).chain(papers.iter().map(row)).collect()
}

/// Every answer that is not right, and the slip behind it.
fn slips(paper: &PaperResult, terminal: &Terminal) -> String {
    let open = paper.answers.iter().filter(|answer| answer.outcome != Outcome::Right);
    let line = |answer: &Answered| {
        let number = answer.number.to_string();
        let blanks = [
            ("number", number.as_str()),
            ("written", answer.written.as_str()),
            ("right", answer.right.as_str()),
        ];
        let blank = answer.outcome == Outcome::Blank;
        let key = if blank { "cli.mark.blank" } else { "cli.mark.wrong" };
        let line = format!("{}\n", terminal.words.say(key, &blanks));
        let says = answer.says.as_ref().map(|says| wrapped(says, "      "));
        line + &says.unwrap_or_default()
    };
    open.map(line).collect()
}
