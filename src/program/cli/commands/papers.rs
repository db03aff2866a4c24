//! `papers`: several papers of one set, their keys, and the file that marks them.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde_json::json;

use super::module::Module;
use super::said::kept_proofs;
use super::{keys, seed};
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::course::{Course, QuestionSet};
use crate::fingerprint::short_code;
use crate::publish::{PRACTICE_SHEETS, PublishFault, Shared, balance, batch_pages};
use crate::quantity::Fraction;
use crate::quiz::{
    BadQuestion, Batch, Depth, Forms, Kit, Order, PreparedSet, QuestionFault, Results,
    ease, key,
};
use crate::workshop::{find_files, keep_apart, write_files};

const PAPERS: &str = "keys/papers";

/// The file of a papers folder that `mark` reads.
pub(super) const FORMS: &str = "forms.json";

/// Largest results or forms file that is read: a paper takes some 30 KB, so this holds more
/// than a thousand, and a larger file was named by mistake.
pub(super) const LARGEST: u64 = 50_000_000;

/// Most papers or sheets of one run: more than any room seats, and more evaluations than a
/// whole department has in a year.
const MOST_COPIES: u32 = 200;

/// Make several papers of a question set
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Make several papers of a question set, with their keys. They have the same \
                  topics and marks, and other numbers in every question; papers with \
                  neighboring numbers share none. A file beside them holds what mark needs.",
    after_help = "Examples:\n  \
      drillwright papers ten-to-know --copies 8\n  \
      drillwright papers ten-to-know --copies 2 --seed 8M2Q-… --attempt 2    a retest\n\n\
      Without --seed one is made. It stands on the keys and in the forms file alone; whoever has \
      it can make the papers and the keys. Where mark has left results, they balance how hard \
      the papers are."
)]
pub(in crate::cli) struct Arguments {
    /// Question set
    #[arg(value_name = "SET")]
    set: String,
    /// How many papers
    #[arg(long, value_name = "N", default_value_t = 8)]
    copies: u32,
    /// Words or letters from which the numbers are drawn, 64 bits of chance at least; new has
    /// them made
    #[arg(long, value_name = "TEXT", value_parser = clap::builder::NonEmptyStringValueParser::new())]
    seed: Option<String>,
    /// Which attempt: a retest with the same seed has other numbers
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=9))]
    attempt: u32,
    /// Folder of the module
    #[arg(long, value_name = "DIR", default_value = "content")]
    content: PathBuf,
    /// Folder of the site; the papers go into a folder of their own in keys/papers
    #[arg(long, value_name = "DIR", default_value = "site")]
    site: PathBuf,
    /// Folder the papers are written to, instead of one in the site
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
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
    let words = &terminal.words;
    // Before the module is read: a slip of the keyboard is told at once.
    few_enough(arguments.copies, terminal)?;
    // A key among the sources would go wherever the module goes.
    keep_apart(&arguments.content, arguments.out.as_ref().unwrap_or(&arguments.site))?;
    let mut module = Module::read(&arguments.content, false)?;
    let seed = match &arguments.seed {
        Some(given) => seed::strong(given, &module.folder, terminal)?,
        None => seed::made(terminal)?,
    };
    // A paper is handed out and cannot be called back: what is wrong
    // with a question is found before.
    module.prove(Depth::Sampled, &kept_proofs(&arguments.site), terminal);
    let made = (arguments.content.as_path(), terminal);
    let Some(course) = module.sound(made, "papers", &words.get("cli.not-published"))
    else {
        return Ok(End::ToFix);
    };
    let set = find(course, &arguments.set, terminal)?;
    let past = past(&keys::results(&arguments.site), terminal)?;
    let order = Order {
        copies: arguments.copies,
        seed: &seed,
        attempt: arguments.attempt,
        practice_sheets: PRACTICE_SHEETS,
        ease: &past,
    };
    let prepared = PreparedSet::of(set, Kit::of(course, words)).map_err(|bad| {
        bad.first().map_or_else(|| broken(&set.id, terminal), |bad| few(bad, terminal))
    })?;
    let batch = prepared.batch(order).map_err(|bad| few(&bad, terminal))?;
    // These papers have a seed of their own; nothing here is drawn by that of the site.
    let shared = Shared::new(course, words, "")
        .map_err(|fault: PublishFault| broken(&fault.to_string(), terminal))?;
    let mut files = batch_pages(&shared, &batch)
        .map_err(|fault| broken(&fault.to_string(), terminal))?;
    let forms = Forms::of(course, words, &batch.sheets);
    files.insert(FORMS.to_owned(), text(&forms));
    let dir = match &arguments.out {
        Some(out) => out.clone(),
        None => keys::guarded(&arguments.site)?.join(PAPERS).join(name(order, &set.id)),
    };
    let written = write_files(&dir, &files)?;
    tell(&batch, (&dir, files.len(), &written), &balance(&shared, &batch), terminal);
    Ok(End::Done)
}

/// A file that a machine reads and a person may compare.
pub(super) fn text(thing: &impl serde::Serialize) -> Vec<u8> {
    let mut text = serde_json::to_vec_pretty(thing).unwrap_or_default();
    text.push(b'\n');
    text
}

/// The folder of one run: the set and a one-way hash of what it was made from.
fn name(order: Order<'_>, set: &str) -> String {
    let (copies, attempt) = (order.copies.to_string(), order.attempt.to_string());
    // The seed itself must not stand in the name of a folder; a one-way hash of it tells two
    // orders apart.
    let hash = key(&["papers", set, order.seed, &attempt, &copies]);
    format!("{set}-{}", short_code(&hash, 8))
}

fn find<'c>(
    course: &'c Course,
    id: &str,
    terminal: &Terminal,
) -> Result<&'c QuestionSet, Fault> {
    course.sets.iter().find(|set| set.id == id).ok_or_else(|| {
        let known: Vec<&str> = course.sets.iter().map(|set| set.id.as_str()).collect();
        let known = known.join(", ");
        let blanks = [("set", id), ("known", known.as_str())];
        Fault::Said(terminal.words.say("cli.papers.unknown-set", &blanks))
    })
}

/// How hard the questions were, by the results in the folders.
fn past(
    dirs: &[PathBuf],
    terminal: &Terminal,
) -> Result<BTreeMap<String, Fraction>, Fault> {
    let results = results(dirs, terminal)?;
    Ok(ease(results.iter().map(|(_, results)| results)))
}

/// The results in each of these folders, in the order in which they were written.
pub(super) fn results(
    dirs: &[PathBuf],
    terminal: &Terminal,
) -> Result<Vec<(PathBuf, Results)>, Fault> {
    let mut found = Vec::new();
    let mut files = Vec::new();
    for dir in dirs {
        files.extend(find_files(dir, ".json", LARGEST)?);
    }
    for (path, bytes) in files {
        let read: Option<Results> = serde_json::from_slice(&bytes).ok();
        let results = read.ok_or_else(|| {
            let path = path.display().to_string();
            Fault::Said(terminal.words.say("cli.papers.results", &[("path", &path)]))
        })?;
        found.push((path, results));
    }
    Ok(found)
}

/// Holds the number of copies to what is ever needed.
pub(super) fn few_enough(copies: u32, terminal: &Terminal) -> Result<(), Fault> {
    if (1..=MOST_COPIES).contains(&copies) {
        return Ok(());
    }
    let most = MOST_COPIES.to_string();
    Err(Fault::Said(terminal.words.say("cli.papers.copies", &[("most", &most)])))
}

/// What was written anew, what stood there by now, and where to look first.
pub(super) fn tell_written(
    (files, written): (usize, &[String]),
    index: &str,
    terminal: &Terminal,
) {
    let words = &terminal.words;
    let new = written.len().to_string();
    let same = files.saturating_sub(written.len()).to_string();
    let blanks = [("written", new.as_str()), ("same", same.as_str())];
    terminal.data(&words.say("cli.papers.written", &blanks));
    terminal.data(&words.say("cli.papers.open", &[("path", index)]));
}

fn broken(reason: &str, terminal: &Terminal) -> Fault {
    Fault::Said(terminal.words.say("cli.broken", &[("reason", reason)]))
}

fn few(bad: &BadQuestion, terminal: &Terminal) -> Fault {
    // Only too few numbers are the author's to mend here; any other fault the module's own
    // findings would have told.
    if bad.fault != QuestionFault::NoDraw {
        return broken(&format!("{}: {:?}", bad.question, bad.fault), terminal);
    }
    let blanks = [("question", bad.question.as_str())];
    Fault::Said(terminal.words.say("cli.papers.fewer", &blanks))
}

fn tell(
    batch: &Batch,
    (dir, files, written): (&Path, usize, &[String]),
    balance: &[String],
    terminal: &Terminal,
) {
    let index = dir.join("index.html").display().to_string();
    let Some(first) = batch.sheets.first() else { return };
    if terminal.for_machine() {
        let papers: Vec<_> = batch
            .sheets
            .iter()
            .map(|sheet| json!({ "copy": sheet.key.copy, "code": sheet.key.code }))
            .collect();
        terminal.json(&json!({
            "open": index,
            "forms": dir.join(FORMS).display().to_string(),
            "papers": papers,
            "attempt": first.key.attempt,
            "marks": first.key.marks,
            "balance": balance,
            "neighbours-share": batch.beside,
            "written": written,
            "findings": [],
        }));
        return;
    }
    let words = &terminal.words;
    let (copies, attempt) =
        (batch.sheets.len().to_string(), first.key.attempt.to_string());
    let key = if first.key.marks == 1 { "page.mark-one" } else { "page.marks" };
    let marks = words.say(key, &[("marks", &first.key.marks.to_string())]);
    let blanks = [
        ("title", first.key.title.as_str()),
        ("copies", copies.as_str()),
        ("marks", marks.as_str()),
        ("attempt", attempt.as_str()),
    ];
    terminal.data(&terminal.strong(&words.say("cli.papers.made", &blanks)));
    for sheet in &batch.sheets {
        let copy = sheet.key.copy.unwrap_or(1).to_string();
        let copy = format!("{copy:>2}");
        let blanks = [("copy", copy.as_str()), ("code", sheet.key.code.as_str())];
        terminal.data(&format!("  {}", words.say("cli.papers.row", &blanks)));
    }
    for line in balance {
        terminal.data(super::layout::wrapped(line, "").trim_end());
    }
    tell_written((files, written), &index, terminal);
    terminal.data(&words.get("cli.papers.staff"));
}
