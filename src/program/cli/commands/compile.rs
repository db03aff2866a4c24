//! `compile`: a module becomes its site.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use serde_json::json;

use super::beside;
use super::binder::{self, Binding};
use super::keys;
use super::layout::wrapped;
use super::module::Module;
use super::report::{Held, findings, proof_line};
use super::said::{Said, kept_proofs, last_time};
use super::seed;
use crate::cli::end::{End, Fault};
use crate::cli::progress::Progress;
use crate::cli::terminal::Terminal;
use crate::course::Course;
use crate::findings::Printed;
use crate::publish::{self, PageKind, Shared};
use crate::quiz::Depth;
use crate::scoring::to_keep;
use crate::stock;
use crate::workshop::{Site, SiteReport, keep_apart, read_folder, write_files};

/// Make all pages of a module
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Check a module and make its pages: lessons, drill cards, rig cards, practice \
                  sheets and blank sign-off sheets for the crew; graded papers, keys and \
                  filled sheets for officers. Nothing is written while something must be \
                  fixed, and no file is touched that this program did not write.",
    after_help = "Examples:\n  \
      drillwright compile\n  \
      drillwright compile --content my-module --out my-site\n  \
      drillwright compile --seed new              other papers, from a seed that is made\n  \
      drillwright compile --draft                 an unfinished module, with blanks\n  \
      drillwright compile --roster                sheets with the names of those who are due\n  \
      drillwright compile --binder                everything in one page, and as PDF\n\n\
      The seed decides the numbers of the graded papers. Whoever knows it can make the papers \
      and their keys, so it stands in keys/ only. Without --seed the one that is there is \
      kept; where there is none, or with --seed new, one is made. Of a seed that is typed, \
      sequences, repeated words and words of the module count for nothing.\n\n\
      --binder prints by Chromium, Chrome or Edge where one is installed. DRILLWRIGHT_BROWSER \
      names one, DRILLWRIGHT_BROWSER_SECONDS says how long it may take for each document; \
      without it that is 120 seconds."
)]
pub(in crate::cli) struct Arguments {
    /// Folder of the module
    #[arg(long, value_name = "DIR", default_value = "content")]
    content: PathBuf,
    /// Folder the pages are written to
    #[arg(long, value_name = "DIR", default_value = "site")]
    out: PathBuf,
    /// Print an unfinished module with a watermark and blanks
    #[arg(long)]
    draft: bool,
    #[command(flatten)]
    more: More,
    /// Words or letters from which the numbers of the graded papers are drawn, 64 bits of chance
    /// at least; new has them made
    #[arg(long, value_name = "TEXT", value_parser = clap::builder::NonEmptyStringValueParser::new())]
    seed: Option<String>,
}

/// What is made beside the pages of everybody.
#[derive(Debug, clap::Args)]
struct More {
    /// Print a sheet with names for everybody in roster.yaml, on the officers' pages alone
    #[arg(long)]
    roster: bool,
    /// Make the binder too: contents, lessons, cards and blank sheets as one page to print; and,
    /// where a browser is installed, PDFs of it, of papers, keys and sheets
    #[arg(long)]
    binder: bool,
}

impl Arguments {
    /// Those of a module whose pages are made as they usually are.
    pub(in crate::cli) fn of(content: &Path, out: &Path) -> Self {
        let (content, out) = (content.to_path_buf(), out.to_path_buf());
        let more = More { roster: false, binder: false };
        Self { content, out, draft: false, more, seed: None }
    }

    /// Folder of the module.
    pub(in crate::cli) fn content(&self) -> &Path {
        &self.content
    }
}

pub(in crate::cli) fn run(
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<End, Fault> {
    let (content, out) = (arguments.content.as_path(), arguments.out.as_path());
    // Before anything is read or made: pages among the sources would be sources.
    keep_apart(content, out)?;
    let (folder, found) = read_folder(content)?;
    let seed = seed::choose(arguments.seed.as_deref(), out, (&folder, terminal))?;
    let draft = if arguments.draft { "draft" } else { "finished" };
    let roster = if arguments.more.roster { "roster" } else { "no roster" };
    let binding = binding(arguments, terminal)?;
    let bound = binding.as_ref().map_or_else(|| "no binder".to_owned(), Binding::input);
    let (version, stock) = (env!("CARGO_PKG_VERSION"), stock::fingerprint());
    // All that decides the pages: equal input, equal site, so nothing is made again.
    let decides = [version, &stock, draft, roster, &bound, &seed];
    let input = folder.fingerprint(&decides);
    if let Some(said) = last_time(out, &input)? {
        tell(arguments, &said, (None, ""), terminal);
        return Ok(End::Done);
    }
    let mut module = Module::of(folder, found, arguments.draft);
    let proven = module.prove(Depth::Sampled, &kept_proofs(out), terminal);
    let printed = module.printed(terminal);
    // Names of people are printed only where somebody asked for them.
    if let Some(course) = module.course.as_mut().filter(|_| !arguments.more.roster) {
        course.roster.clear();
    }
    let course = match &module.course {
        Some(course) if !module.blocks() => course,
        _ => {
            refuse(arguments, &printed, terminal);
            return Ok(End::ToFix);
        }
    };
    let plans = publish::plan(course);
    let sheets = plans.iter().filter(|plan| is_sheet(&plan.kind)).count();
    let held = Held::of(course, &proven);
    let proofs = proven.kept.clone();
    // Opened only here: while something must be fixed nothing of the site is touched.
    let mut site = Site::open(out)?;
    // An older list may speak of pages that this program would make otherwise.
    if let Ok(program) = std::env::current_exe() {
        site.trust(&program);
    }
    // Kept before a page is made: by a sheet whose revision is
    // nowhere no run could be scored.
    let input = if course.draft || !keep(course, content, &site, terminal)? {
        input
    } else {
        // What was kept belongs to the sources now, and the next run finds nothing changed.
        read_folder(content)?.0.fingerprint(&decides)
    };
    let pictures = &module.folder.others;
    let binder = make((course, pictures), &site, (&seed, binding.as_ref()), terminal)?;
    // What a browser did not make today is tried again the next time.
    let whole = binder.as_ref().is_none_or(binder::Made::is_whole);
    let input = if whole { input } else { format!("{input} in part") };
    let (pages, findings) = (plans.len(), printed);
    let said = Said { held, pages, sheets, findings, proofs, binder };
    let report = site.publish(&input, &json!(said))?;
    keys::tell_old(out, terminal);
    let proofs = proof_line(&proven, Depth::Sampled, terminal);
    tell(arguments, &said, (Some(&report), &proofs), terminal);
    Ok(End::Done)
}

/// Keeps every revision that is printed and not kept yet, so that a run made for it is scored
/// by it however the drill changes. What is kept is never written over. Where the sources
/// cannot be written to, it goes to the officers' pages, and that is said. Whether something
/// was added to the sources.
fn keep(
    course: &Course,
    content: &Path,
    site: &Site,
    terminal: &Terminal,
) -> Result<bool, Fault> {
    let words = &terminal.words;
    let files = to_keep(course).map_err(|fault| {
        Fault::Said(words.say("cli.broken", &[("reason", &fault.to_string())]))
    })?;
    let files = files.into_iter().map(|(name, text)| (name, text.into_bytes()));
    let files: BTreeMap<String, Vec<u8>> = files.collect();
    if files.is_empty() {
        return Ok(false);
    }
    match write_files(&content.join("revisions"), &files) {
        Ok(new) => Ok(!new.is_empty()),
        Err(fault) => {
            for (name, bytes) in &files {
                site.put(&format!("staff/revisions/{name}"), bytes)?;
            }
            let reason = fault.to_string();
            terminal.talk(&words.say("cli.revisions-beside", &[("reason", &reason)]));
            Ok(false)
        }
    }
}

/// Makes every page and hands it in.
fn make(
    (course, pictures): (&Course, &BTreeMap<String, Vec<u8>>),
    site: &Site,
    (seed, binding): (&str, Option<&Binding>),
    terminal: &Terminal,
) -> Result<Option<binder::Made>, Fault> {
    let broken = |fault: publish::PublishFault| {
        let reason = fault.to_string();
        Fault::Said(terminal.words.say("cli.broken", &[("reason", &reason)]))
    };
    let shared = Shared::new(course, &terminal.words, seed).map_err(broken)?;
    let shared = shared.showing(pictures).with_binder(binding.is_some());
    let plans = publish::plan(course);
    let progress = Progress::new(terminal, plans.len(), "printing");
    // The first fault in the order of the pages is the one that is told.
    let made: Vec<Result<(), MakeFault>> = plans
        .par_iter()
        .map(|plan| {
            let same = |asked: &[String]| shared.key(plan, asked);
            if site.keep(&plan.path, same).map_err(MakeFault::World)? {
                progress.step();
                return Ok(());
            }
            let page = match publish::made(&shared, plan) {
                Ok(page) => page,
                // What a draft cannot print yet is left out; its findings say why.
                Err(_) if course.draft => return Ok(()),
                Err(fault) => return Err(MakeFault::Page(fault)),
            };
            let bytes = page.text.as_bytes();
            site.put_made(&plan.path, bytes, (page.asked, page.key))
                .map_err(MakeFault::World)?;
            progress.step();
            Ok(())
        })
        .collect();
    for result in made {
        result.map_err(|fault| match fault {
            MakeFault::Page(fault) => broken(fault),
            MakeFault::World(fault) => Fault::World(fault),
        })?;
    }
    let loaded = beside::loaded(course, &shared);
    for (path, bytes) in &loaded {
        site.put(path, bytes)?;
    }
    // After all pages, because it lists their hashes.
    for (path, bytes) in publish::offline(course, &site.handed_in()) {
        site.put(&path, &bytes)?;
    }
    for (path, bytes) in
        beside::officers(&shared, (course.draft, seed), terminal).map_err(broken)?
    {
        site.put(&path, &bytes)?;
    }
    // Last, so that no phone carries documents along that are printed at a desk.
    binding
        .map(|binding| binder::put(&shared, site, (binding, &loaded), terminal))
        .transpose()
}

/// What the binder is made with, where it is wanted.
fn binding(arguments: &Arguments, terminal: &Terminal) -> Result<Option<Binding>, Fault> {
    if !arguments.more.binder {
        return Ok(None);
    }
    let unread = |found: String| {
        Fault::Said(terminal.words.say("cli.binder.seconds", &[("found", &found)]))
    };
    binder::look().map(Some).map_err(unread)
}

/// What can go wrong in a worker.
enum MakeFault {
    Page(publish::PublishFault),
    World(crate::workshop::WorldFault),
}

/// Whether a page is printed to be written on.
fn is_sheet(kind: &PageKind) -> bool {
    matches!(
        kind,
        PageKind::Practice(..)
            | PageKind::GradedPaper(..)
            | PageKind::Blank(..)
            | PageKind::Chain(..)
            | PageKind::Due(..)
            | PageKind::Run(..)
    )
}

fn refuse(arguments: &Arguments, found: &[Printed], terminal: &Terminal) {
    if terminal.for_machine() {
        terminal.json(&json!({ "good": false, "findings": found }));
        return;
    }
    terminal.data(&findings(found, &arguments.content, terminal));
    terminal.data(&terminal.words.get("cli.not-published"));
}

fn tell(
    arguments: &Arguments,
    said: &Said,
    (report, proofs): (Option<&SiteReport>, &str),
    terminal: &Terminal,
) {
    let words = &terminal.words;
    let index =
        |side: &str| arguments.out.join(side).join("index.html").display().to_string();
    if terminal.for_machine() {
        let written = report.map(|report| &report.written);
        let removed = report.map(|report| &report.removed);
        terminal.json(&json!({
            "good": true,
            "held": said.held,
            "pages": said.pages,
            "sheets": said.sheets,
            "findings": said.findings,
            "open": { "crew": index("crew"), "staff": index("staff") },
            "written": written,
            "removed": removed,
            "kept": report.map(|report| &report.kept),
            "binder": said.binder,
        }));
        return;
    }
    let more = [
        (said.pages, ["cli.one-page", "cli.pages"]),
        (said.sheets, ["cli.one-sheet", "cli.sheets"]),
    ];
    terminal.data(&said.held.text(&more, terminal));
    if !proofs.is_empty() {
        terminal.data(wrapped(proofs, "").trim_end());
    }
    terminal.data("");
    terminal.data(&findings(&said.findings, &arguments.content, terminal));
    terminal.data("");
    match report {
        None => terminal.data(&words.get("cli.nothing-changed")),
        Some(report) => terminal.data(&told(report, terminal)),
    }
    for side in ["crew", "staff"] {
        // words: cli.open-{crew|staff}
        let key = format!("cli.open-{side}");
        terminal.data(&words.say(&key, &[("path", &index(side))]));
    }
    if let Some(made) = &said.binder {
        terminal.data(&binder::told(made, &arguments.out, terminal));
    }
}

/// What happened to the files of the site.
fn told(report: &SiteReport, terminal: &Terminal) -> String {
    let words = &terminal.words;
    let written = report.written.len();
    let same = report.pages.saturating_sub(written);
    let counts = [written, same, report.removed.len()].map(|count| count.to_string());
    let [written, same, removed] = counts.each_ref().map(String::as_str);
    let blanks = [("written", written), ("same", same), ("removed", removed)];
    let mut lines = vec![words.say("cli.wrote", &blanks)];
    let kept = report.kept.iter();
    lines.extend(kept.map(|file| words.say("cli.kept", &[("file", file)])));
    if report.list_lost {
        lines.push(words.get("cli.list-lost"));
    }
    lines.join("\n")
}
