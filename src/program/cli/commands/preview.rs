//! `preview`: the module in a browser while it is written.

use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::path::PathBuf;

use serde_json::json;

use super::beside;
use super::module::Module;
use super::report::findings;
use super::said::kept_proofs;
use super::seed;
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::findings::Printed;
use crate::fingerprint::hex_hash;
use crate::page::Node;
use crate::preview::{Event, NoPort, Preview, Shown, strip};
use crate::publish::{self, PagePlan, PublishFault, Shared};
use crate::quiz::{Depth, KeptProofs};
use crate::workshop::{WorldFault, read_folder};

/// Show a module in the browser while it is written
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Show the pages of a module in a browser on this machine and nowhere else, and \
                  show them anew whenever a file of the module is saved. While something must be \
                  fixed the last good page stays, under a strip that says what. No file is \
                  written: when it is right, compile makes the pages.",
    after_help = "Examples:\n  \
      drillwright preview\n  \
      drillwright preview --content my-module\n  \
      drillwright preview --draft                 an unfinished module, with blanks\n\n\
      The address holds a word of chance, so that nobody else on this machine and no page from \
      outside can read keys of papers. If the port is taken the next free one is used."
)]
pub(in crate::cli) struct Arguments {
    /// Folder of the module
    #[arg(long, value_name = "DIR", default_value = "content")]
    pub(in crate::cli) content: PathBuf,
    /// Folder whose pages were made before: its seed gives the same papers
    #[arg(long, value_name = "DIR", default_value = "site")]
    out: PathBuf,
    /// Show an unfinished module with a watermark and blanks
    #[arg(long)]
    draft: bool,
    /// Port on this machine; 0 for any
    #[arg(long, value_name = "NUMBER", default_value_t = 8420)]
    port: u16,
}

/// The module as it was read at one moment.
struct Read {
    module: Module,
    printed: Vec<Printed>,
    /// Over all its files: a save that changes nothing is none.
    fingerprint: String,
}

pub(in crate::cli) fn run(
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<End, Fault> {
    let words = &terminal.words;
    // That of the site, so that the papers shown are those that compile would make.
    let seed = seed::kept(&arguments.out, terminal)?;
    let mut proofs = kept_proofs(&arguments.out);
    let mut latest = read(arguments, &mut proofs, terminal)?;
    // By chance, so that no page from outside can guess an
    // address behind which keys stand.
    let word =
        seed::made(terminal)?.chars().filter(char::is_ascii_alphanumeric).collect();
    let mut signs = Ok(());
    let opened = Preview::open(&arguments.content, (arguments.port, word), |end| {
        signs = ctrlc::set_handler(end);
    });
    let mut preview = opened.map_err(|fault| no_port(&fault, terminal))?;
    // Where no sign can be caught the system ends the program, and nothing is left behind either.
    drop(signs);
    begun(&preview, &latest, (arguments, terminal));
    let mut good: Option<Read> = None;
    loop {
        let fingerprint = latest.fingerprint.clone();
        let stale = latest.module.blocks();
        let strip = strip(&latest.printed, stale, words);
        // The last good module stays to be looked at until there is another one.
        if !stale {
            good = Some(latest);
        }
        let edition = Edition::of(good.as_ref(), strip, (&seed, terminal))?;
        latest = loop {
            match preview.show(&edition) {
                Event::End => {
                    terminal.talk(&words.get("cli.preview.ended"));
                    return Ok(End::Done);
                }
                Event::Saved => {}
            }
            match read(arguments, &mut proofs, terminal) {
                // Editors save twice, or touch a file and leave every letter as it was.
                Ok(read) if read.fingerprint == fingerprint => {}
                Ok(read) => break read,
                // A folder that is being moved or put back is there again in a moment.
                Err(fault) => away(&fault, terminal),
            }
        };
        tell(&latest, "cli.preview.saved", (arguments, terminal));
    }
}

/// Reads and checks the module. What was proven of its questions before is not proven again.
fn read(
    arguments: &Arguments,
    proofs: &mut KeptProofs,
    terminal: &Terminal,
) -> Result<Read, WorldFault> {
    let (folder, found) = read_folder(&arguments.content)?;
    let fingerprint = folder.fingerprint(&[]);
    let mut module = Module::of(folder, found, arguments.draft);
    let proven = module.prove(Depth::Sampled, proofs, terminal);
    // A module that could not be put together proved nothing, and
    // must not wipe what was proven.
    if module.course.is_some() {
        *proofs = proven.kept;
    }
    let printed = module.printed(terminal);
    // Sheets with names are for those who ask compile for them.
    if let Some(course) = &mut module.course {
        course.roster.clear();
    }
    Ok(Read { module, printed, fingerprint })
}

/// That the module cannot be read just now ends nothing.
fn away(fault: &WorldFault, terminal: &Terminal) {
    let reason = fault.say(&terminal.words);
    terminal.talk(&terminal.words.say("cli.preview.no-folder", &[("reason", &reason)]));
}

fn no_port(fault: &NoPort, terminal: &Terminal) -> Fault {
    let (first, last) = (fault.first.to_string(), fault.last.to_string());
    let blanks = [("first", first.as_str()), ("last", &last), ("reason", &fault.reason)];
    Fault::Said(terminal.words.say("cli.preview.no-port", &blanks))
}

fn begun(preview: &Preview, read: &Read, (arguments, terminal): (&Arguments, &Terminal)) {
    let (words, address) = (&terminal.words, preview.address());
    if terminal.for_machine() {
        terminal.json(&json!({ "address": address, "findings": read.printed }));
    } else {
        tell(read, "cli.preview.shown", (arguments, terminal));
        terminal.data(&format!("  {address}"));
        terminal.data(&words.get("cli.preview.end"));
    }
    if !preview.watches() {
        terminal.talk(&words.get("cli.preview.unwatched"));
    }
}

/// What there is to mend, and that the rest is shown.
fn tell(read: &Read, key: &str, (arguments, terminal): (&Arguments, &Terminal)) {
    if terminal.for_machine() {
        let good = !read.module.blocks();
        terminal.json(&json!({ "good": good, "findings": read.printed }));
        return;
    }
    if !read.printed.is_empty() {
        terminal.data(&findings(&read.printed, &arguments.content, terminal));
    }
    // words: cli.preview.{shown|saved}
    terminal.data(&terminal.words.get(key));
}

/// What the browser sees: the last module that made pages, under what is to be said of the files
/// as they are now.
struct Edition<'c> {
    made: Option<Made<'c>>,
    strip: Vec<Node>,
    terminal: &'c Terminal,
}

/// A module whose pages can be made, each when it is asked for.
struct Made<'c> {
    draft: bool,
    seed: &'c str,
    shared: Shared<'c>,
    plans: BTreeMap<String, PagePlan>,
    loaded: BTreeMap<String, Vec<u8>>,
    /// Over what pages load of it.
    loads: String,
    /// Made when the first of them is asked for: they take longer than any page.
    officers: OnceCell<BTreeMap<String, Vec<u8>>>,
}

impl<'c> Edition<'c> {
    fn of(
        good: Option<&'c Read>,
        strip: Vec<Node>,
        (seed, terminal): (&'c str, &'c Terminal),
    ) -> Result<Self, Fault> {
        let module = good.map(|read| &read.module);
        let made = match module.and_then(|module| Some((module, module.course.as_ref()?)))
        {
            None => None,
            Some((module, course)) => {
                let shared = Shared::new(course, &terminal.words, seed)
                    .map_err(|fault| Fault::Said(broken(&fault, terminal)))?
                    .showing(&module.folder.others);
                let plans = publish::plan(course).into_iter();
                let plans = plans.map(|plan| (plan.path.clone(), plan)).collect();
                let loaded = beside::loaded(course, &shared);
                // The list of words to find changes with every word, and no page shows it.
                let seen = loaded.iter().filter(|(path, _)| !path.ends_with("find.js"));
                let seen =
                    seen.map(|(path, bytes)| format!("{path} {}", hex_hash(bytes)));
                let loads = seen.collect::<Vec<_>>().join("\n");
                let (draft, officers) = (course.draft, OnceCell::new());
                Some(Made { draft, seed, shared, plans, loaded, loads, officers })
            }
        };
        Ok(Self { made, strip, terminal })
    }
}

impl Made<'_> {
    fn page(&self, plan: &PagePlan, terminal: &Terminal) -> Option<String> {
        match publish::page(&self.shared, plan) {
            Ok(text) => Some(text),
            // What a draft cannot print yet is left out; its findings say why.
            Err(_) if self.draft => None,
            Err(fault) => Some(broken(&fault, terminal)),
        }
    }

    fn officers(&self, path: &str, terminal: &Terminal) -> Option<Vec<u8>> {
        let made = self.officers.get_or_init(|| {
            beside::officers(&self.shared, (self.draft, self.seed), terminal)
                .unwrap_or_default()
        });
        made.get(path).cloned()
    }
}

impl Shown for Edition<'_> {
    fn file(&self, path: &str) -> Option<Vec<u8>> {
        let made = self.made.as_ref()?;
        if let Some(plan) = made.plans.get(path) {
            return made.page(plan, self.terminal).map(String::into_bytes);
        }
        if let Some(bytes) = made.loaded.get(path) {
            return Some(bytes.clone());
        }
        // The other folders have nothing of these, so nothing is made to find that out.
        path.starts_with("keys/").then(|| made.officers(path, self.terminal))?
    }

    fn loads(&self) -> &str {
        self.made.as_ref().map_or("", |made| &made.loads)
    }

    fn strip(&self) -> &[Node] {
        &self.strip
    }

    fn nothing(&self) -> String {
        let words = &self.terminal.words;
        let link = |key: &str, path: &str| {
            // words: cli.preview.{index|staff}
            let text = words.get(&format!("cli.preview.{key}"));
            Node::new("p").holding([Node::text("a", text).with("href", path)])
        };
        let (key, links) = match &self.made {
            Some(_) => (
                "nothing",
                vec![
                    link("index", "../crew/index.html"),
                    link("staff", "../staff/index.html"),
                ],
            ),
            None => ("none-yet", Vec::new()),
        };
        // words: cli.preview.{nothing|none-yet}
        let said = Node::text("h1", words.get(&format!("cli.preview.{key}")));
        let fixed = Node::text("p", words.get("page.fixed"));
        let main = Node::new("main").class("preview-none");
        let main = main.holding([said]).holding(links).holding([fixed]);
        let title = publish::html([&Node::text("title", words.get("cli.preview.strip"))]);
        let (lang, main) = (words.get("page.lang"), publish::html([&main]));
        format!(
            "<!DOCTYPE html>\n<html lang=\"{lang}\">\n<head>\n<meta charset=\"utf-8\">\n\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
             {title}\n</head>\n<body>\n{main}</body>\n</html>\n"
        )
    }
}

fn broken(fault: &PublishFault, terminal: &Terminal) -> String {
    terminal.words.say("cli.broken", &[("reason", &fault.to_string())])
}
