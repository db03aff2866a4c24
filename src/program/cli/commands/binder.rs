//! The binder and the PDFs beside it: what `compile --binder` adds to a site.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::cli::end::Fault;
use crate::cli::progress::Progress;
use crate::cli::terminal::Terminal;
use crate::printing::{Asked, Browser, Pdf, PrintFault, places};
use crate::publish::{self, Binder, Bound, PublishFault, Shared};
use crate::workshop::{Site, WorldFault, first_file, read_file};

/// Where the binder lies in a site. Not among the crew's pages: a sheet of each rig is in it, and the
/// crew has one of each drill alone.
const BINDER: &str = "staff/binder.html";

/// Seconds that a browser may take for one document: no more, because a browser that hangs hangs for
/// ever. The binder of the example takes three; a slow machine with ten times its pages is done in time.
const SECONDS: u64 = 120;

/// The binder of a module with 500 drills has some 30 MB; a file that is larger is refused, because it
/// is none of ours.
const MOST: u64 = 1_000_000_000;

/// How often a document is printed until its contents name the sides that it has. The second time
/// it does, since a number takes the room that was kept for it.
const TRIES: usize = 3;

/// What became of the binder, as it is told.
#[derive(Debug, Default, Serialize, Deserialize)]
pub(super) struct Made {
    /// Parts of the binder.
    parts: usize,
    /// Files in the site and how many sides each has.
    pdf: BTreeMap<String, usize>,
    /// Why there are no PDFs, or not all: a whole sentence.
    #[serde(default)]
    why: String,
}

impl Made {
    /// Whether all was made that can be made on this machine.
    pub(super) const fn is_whole(&self) -> bool {
        self.why.is_empty()
    }
}

/// What the environment says of browsers, asked once.
#[derive(Debug)]
pub(super) struct Binding {
    browser: Option<Browser>,
    named: Option<String>,
}

#[expect(
    clippy::disallowed_methods,
    reason = "the one place that asks the environment about browsers"
)]
pub(super) fn look() -> Result<Binding, String> {
    let text = |name: &str| std::env::var_os(name).filter(|set| !set.is_empty());
    // Set on Windows alone; elsewhere browsers lie on the path.
    let folders = ["ProgramFiles", "ProgramFiles(x86)", "LOCALAPPDATA"];
    let asked = Asked {
        named: text("DRILLWRIGHT_BROWSER"),
        path: text("PATH"),
        installed: folders.iter().filter_map(|name| text(name)).collect(),
    };
    let seconds = match text("DRILLWRIGHT_BROWSER_SECONDS") {
        None => SECONDS,
        Some(set) => {
            let set = set.to_string_lossy().into_owned();
            // None at all would end every browser; beyond a day nobody waits.
            set.parse().ok().filter(|own| (1..=86_400).contains(own)).ok_or(set)?
        }
    };
    let browser = first_file(&places(&asked))
        .map(|program| Browser { program: program.to_owned(), seconds });
    let named = asked.named.map(|named| named.to_string_lossy().into_owned());
    Ok(Binding { browser, named })
}

impl Binding {
    /// What of it decides the files of a site.
    pub(super) fn input(&self) -> String {
        match &self.browser {
            // Which browser it is decides too: another one breaks pages elsewhere, or
            // makes what this one could not.
            Some(browser) => format!("binder by {}", browser.program.display()),
            None => "binder".to_owned(),
        }
    }

    fn none(&self, terminal: &Terminal) -> String {
        let words = &terminal.words;
        match &self.named {
            Some(named) => words.say("cli.binder.not-there", &[("browser", named)]),
            None => words.get("cli.binder.no-browser"),
        }
    }
}

/// Makes the binder and hands it in, and the PDFs where a browser makes them. What a browser does not
/// make is told and is no fault: the pages are there and every browser prints them.
pub(super) fn put(
    shared: &Shared<'_>,
    site: &Site,
    (binding, files): (&Binding, &BTreeMap<String, Vec<u8>>),
    terminal: &Terminal,
) -> Result<Made, Fault> {
    let broken = |fault: PublishFault| {
        let reason = fault.to_string();
        Fault::Said(terminal.words.say("cli.broken", &[("reason", &reason)]))
    };
    let binder = Binder::of(shared, Bound::Everything).map_err(broken)?;
    // Without numbers of sides: on a screen there are none.
    let page = binder.page(shared, &[]).map_err(broken)?;
    site.put(BINDER, page.as_bytes())?;
    let mut made = Made { parts: binder.parts(), ..Made::default() };
    let Some(browser) = &binding.browser else {
        made.why = binding.none(terminal);
        return Ok(made);
    };
    let mut desk = Desk { site, browser, files, at: 0 };
    let sheets = Binder::of(shared, Bound::Sheets).map_err(broken)?;
    let plans = publish::papers_and_keys(shared);
    let progress = Progress::new(terminal, plans.len() + 2, "binder.printing");
    let mut all = Vec::new();
    all.push(("staff/binder.pdf".to_owned(), desk.counted(shared, &binder)));
    progress.step();
    // A module whose drills fit no rig has no sheets to bind.
    if sheets.parts() > 0 {
        let page = sheets.page(shared, &[]).map_err(broken)?;
        all.push(("staff/sheets.pdf".to_owned(), desk.print(&page)));
        progress.step();
    }
    for plan in &plans {
        // A browser that failed at one page fails at the next, and each may take all its time.
        if all.iter().any(|(_, pdf)| pdf.is_err()) {
            break;
        }
        let page = match publish::page(shared, plan) {
            Ok(page) => page,
            Err(_) if shared.is_draft() => continue,
            Err(fault) => return Err(broken(fault)),
        };
        let name = plan.path.trim_end_matches("html");
        all.push((format!("{name}pdf"), desk.print(&page)));
        progress.step();
    }
    for (path, pdf) in all {
        match pdf {
            Ok(pdf) => {
                site.put(&path, pdf.bytes())?;
                made.pdf.insert(path, pdf.sides());
            }
            Err(NoPdf::Publish(fault)) => return Err(broken(fault)),
            Err(NoPdf::World(fault)) => return Err(fault.into()),
            Err(NoPdf::Print(fault)) => {
                made.why = failed((&path, &fault), browser, terminal);
                break;
            }
        }
    }
    Ok(made)
}

/// Why a page is no PDF.
enum NoPdf {
    Publish(PublishFault),
    World(WorldFault),
    Print(PrintFault),
}

/// Where pages are printed.
struct Desk<'d> {
    site: &'d Site,
    browser: &'d Browser,
    /// Style and pictures beside the pages.
    files: &'d BTreeMap<String, Vec<u8>>,
    /// Documents printed so far; each has a folder of its own.
    at: usize,
}

impl Desk<'_> {
    fn print(&mut self, page: &str) -> Result<Pdf, NoPdf> {
        self.at += 1;
        let own = format!("{}/", self.at);
        // The page stands as in the site: style beside it, pictures of the crew's a step away.
        // Scripts and engines are left away: paper runs none.
        let shown =
            |name: &str| name.ends_with("/plain.css") || name.contains("/pictures/");
        let mut laid: BTreeMap<String, Vec<u8>> = self
            .files
            .iter()
            .filter(|(name, _)| shown(name))
            .map(|(name, bytes)| (format!("{own}{name}"), bytes.clone()))
            .collect();
        laid.insert(
            format!("{own}staff/page.html"),
            publish::unlinked(page).into_bytes(),
        );
        let root = self.site.scratch(&laid).map_err(NoPdf::World)?.join(&own);
        let into = root.join("printed.pdf");
        self.browser
            .print(&root.join("staff/page.html"), &root.join("kept"), &into)
            .map_err(NoPdf::Print)?;
        let bytes = read_file(&into, MOST).ok();
        bytes.and_then(Pdf::read).ok_or(NoPdf::Print(PrintFault::Broken))
    }

    /// Prints the binder until its contents name the sides that its parts begin on.
    fn counted(&mut self, shared: &Shared<'_>, binder: &Binder) -> Result<Pdf, NoPdf> {
        // Three digits keep room enough for the first time.
        let mut sides = vec![100; binder.parts()];
        for _ in 0..TRIES {
            let page = binder.page(shared, &sides).map_err(NoPdf::Publish)?;
            let pdf = self.print(&page)?;
            let places = pdf.places();
            let part = |number: usize| places.get(&format!("part-{number}")).copied();
            let found: Option<Vec<usize>> = (1..=binder.parts()).map(part).collect();
            match found {
                Some(found) if found == sides => return Ok(pdf),
                Some(found) => sides = found,
                // A browser that does not tell: contents without numbers are true.
                None if sides.is_empty() => return Ok(pdf),
                None => sides.clear(),
            }
        }
        // It never came to rest, and contents that name wrong sides are worse than none.
        Err(NoPdf::Print(PrintFault::Broken))
    }
}

fn failed(
    (path, fault): (&str, &PrintFault),
    browser: &Browser,
    terminal: &Terminal,
) -> String {
    let words = &terminal.words;
    let (program, seconds) =
        (browser.program.display().to_string(), browser.seconds.to_string());
    let blanks = [("file", path), ("browser", program.as_str())];
    match fault {
        PrintFault::NotStarted(reason) => {
            let blanks = [&blanks[..], &[("reason", reason)]].concat();
            words.say("cli.binder.not-started", &blanks)
        }
        PrintFault::TooLong => {
            let blanks = [&blanks[..], &[("seconds", &seconds)]].concat();
            words.say("cli.binder.too-long", &blanks)
        }
        PrintFault::Broken => words.say("cli.binder.failed", &blanks),
    }
}

/// What is told of it at the end.
pub(super) fn told(made: &Made, out: &std::path::Path, terminal: &Terminal) -> String {
    let words = &terminal.words;
    let path = |name: &str| out.join(name).display().to_string();
    let parts = made.parts.to_string();
    let blanks = [("path", path(BINDER)), ("parts", parts)];
    let blanks = blanks.each_ref().map(|(name, text)| (*name, text.as_str()));
    let mut lines = vec![words.say("cli.binder.made", &blanks)];
    for (name, sides) in &made.pdf {
        let blanks = [("path", path(name)), ("sides", sides.to_string())];
        let blanks = blanks.each_ref().map(|(name, text)| (*name, text.as_str()));
        lines.push(words.say("cli.binder.pdf", &blanks));
    }
    if !made.why.is_empty() {
        lines.push(made.why.clone());
    }
    lines.join("\n")
}
