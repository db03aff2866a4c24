//! `start DIR`: a module in a folder that is new or empty.

use std::io::{IsTerminal, stdin};
use std::path::{Path, PathBuf};

use chrono::Local;
use serde_json::json;

use super::ask::Talk;
use super::flags::{Part, entry, field, parts};
use super::source::Source;
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::findings::{Finding, Sources};
use crate::quantity::System;
use crate::starting::{self, Answers, Asked, Begun, Refused, begin, module_answers};
use crate::workshop::{Additions, Trouble, add_files, is_empty, read_file};

/// A file of answers is a page or two; anything beyond was named by mistake.
const LARGEST: u64 = 1_000_000;

/// What findings call the answers of options and of the terminal.
const TYPED: &str = "answers";

#[derive(Debug, clap::Args)]
pub(super) struct Whole {
    /// Folder of the new module; it is made, or is there and empty
    #[arg(value_name = "DIR", required_unless_present = "example")]
    dir: Option<PathBuf>,
    #[command(flatten)]
    source: Source,
    /// Name of the fire department
    #[arg(long, value_name = "TEXT", conflicts_with = "answers")]
    department: Option<String>,
    /// Units of every figure: us, si or si-bar
    #[arg(long, value_name = "UNITS", conflicts_with = "answers")]
    pub(super) units: Option<String>,
    /// Paper that is printed on: letter or a4
    #[arg(long, value_name = "PAPER", conflicts_with = "answers")]
    pub(super) paper: Option<String>,
    /// Sign before the decimals of a number: point or comma
    #[arg(long, value_name = "SIGN", conflicts_with = "answers")]
    pub(super) decimal: Option<String>,
    /// A rig, as fields of the answers file parted by semicolons: "name=Engine 7;
    /// proportioner=none; water-tank.plate=750 gal; lines.1.name=Crosslay 1"
    #[arg(long, value_name = "FIELDS", conflicts_with = "answers")]
    rig: Vec<String>,
    /// A product that the rigs carry, in the same way
    #[arg(long, value_name = "FIELDS", conflicts_with = "answers")]
    product: Vec<String>,
    /// A drill of the library, or none; all that fit if it is not said
    #[arg(long, value_name = "DRILL", conflicts_with = "answers")]
    drill: Vec<String>,
}

pub(super) fn run(arguments: &Whole, terminal: &Terminal) -> Result<End, Fault> {
    let words = &terminal.words;
    let Some(dir) = &arguments.dir else { return Ok(End::ToFix) };
    // Before anything is asked: nobody answers for an hour to be
    // told that the folder is taken.
    if let Some(first) = is_empty(dir)? {
        let (dir, file) = (dir.display().to_string(), first);
        let blanks = [("dir", dir.as_str()), ("file", file.as_str())];
        terminal.talk(&words.say("start.not-empty", &blanks));
        return Ok(End::ToFix);
    }
    let read = |file: &str, text: &str| module_answers(file, text, words);
    let (file, text) = match &arguments.source.answers {
        Some(file) => (file.display().to_string(), text_of(file)?),
        None => (TYPED.to_owned(), written(arguments, terminal)?),
    };
    let faults = |text: &str| {
        let Asked { found, .. } = read(TYPED, text);
        (system(text), found)
    };
    // Asked where somebody sits there and named no file; a
    // script gets its faults at once.
    let asks = arguments.source.ask
        || arguments.source.answers.is_none() && stdin().is_terminal();
    let text = if asks && read(&file, &text).answers.is_none() {
        let mut talk =
            Talk { text, terminal, input: stdin().lock(), file: TYPED, faults: &faults };
        if talk.top(Answers::table()).is_err() {
            terminal.talk(&words.get("start.ask.ended"));
            return Ok(End::ToFix);
        }
        talk.text
    } else if text.trim().is_empty() {
        // Who says nothing at all is told what is needed, like who says half of it.
        "{}\n".to_owned()
    } else {
        text
    };
    let Asked { answers, found } = read(&file, &text);
    let Some(answers) = answers else {
        let sources = Sources::from([(file, text.clone())]);
        // What was typed is printed, so that none of it has to be typed again.
        if asks {
            terminal.data(&text);
        }
        return Ok(refused(&found, &sources, terminal));
    };
    let today = Local::now().date_naive().format("%Y-%m-%d").to_string();
    // An empty list asks for no drills, which is something else than to say nothing.
    let drills = starting::says(&text, "drills").then_some(answers.drills.as_slice());
    let begun = match begin(&answers, drills, &today, words) {
        Ok(begun) => begun,
        Err(fault) => return Ok(told(&fault, terminal)),
    };
    let files = begun.files.iter();
    let new =
        files.map(|(name, text)| (name.clone(), text.clone().into_bytes())).collect();
    write(dir, &Additions { new, ..Additions::default() }, terminal)
        .map(|end| end.unwrap_or_else(|| made(dir, &begun, terminal)))
}

/// Writes; what somebody else wrote there is something to mend.
pub(super) fn write(
    dir: &Path,
    files: &Additions,
    terminal: &Terminal,
) -> Result<Option<End>, Fault> {
    match add_files(dir, files) {
        Ok(()) => Ok(None),
        Err(fault) if matches!(fault.trouble, Trouble::NotOurs(_)) => {
            terminal.talk(&fault.say(&terminal.words));
            Ok(Some(End::ToFix))
        }
        Err(fault) => Err(fault.into()),
    }
}

/// What answers from a file say. A letter that is none is read as a mark that no field takes, and so
/// told where it stands.
pub(super) fn text_of(file: &Path) -> Result<String, Fault> {
    let bytes = read_file(file, LARGEST)?;
    let text = String::from_utf8_lossy(&bytes).into_owned();
    // Some editors put this mark before the first letter, where it would belong to the first key.
    Ok(text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text))
}

/// The units that a text with answers says.
fn system(text: &str) -> System {
    let said =
        |word: &str| text.lines().any(|line| line.trim() == format!("units: {word}"));
    match () {
        () if said("si") => System::Si,
        () if said("si-bar") => System::SiBar,
        () => System::Us,
    }
}

/// The options as a text with answers.
fn written(arguments: &Whole, terminal: &Terminal) -> Result<String, Fault> {
    let mut out = String::new();
    let plain = [
        ("department", &arguments.department),
        ("units", &arguments.units),
        ("paper", &arguments.paper),
        ("decimal", &arguments.decimal),
    ];
    for (key, said) in plain {
        if let Some(said) = said {
            out.push_str(&field(key, &Part::Said(said.clone()), 0));
        }
    }
    for (key, groups) in [("rigs", &arguments.rig), ("products", &arguments.product)] {
        if !groups.is_empty() {
            out.push_str(&format!("{key}:\n"));
        }
        for group in groups {
            let parts = parts(group).map_err(|pair| {
                Fault::Said(terminal.words.say("start.no-field", &[("found", &pair)]))
            })?;
            out.push_str(&entry(&parts, 0));
        }
    }
    match arguments.drill.as_slice() {
        [] => {}
        [none] if none == "none" => out.push_str("drills: []\n"),
        drills => out.push_str(&format!("drills: [{}]\n", drills.join(", "))),
    }
    Ok(out)
}

/// Every fault with its place, and that nothing was written.
pub(super) fn refused(found: &[Finding], sources: &Sources, terminal: &Terminal) -> End {
    let printed = starting::printed(found, sources, &terminal.words);
    if terminal.for_machine() {
        terminal.json(&json!({ "made": [], "findings": printed }));
        return End::ToFix;
    }
    for finding in &printed {
        terminal.data(&terminal.finding(finding));
        terminal.data("");
    }
    terminal.talk(&terminal.words.get("start.nothing-written"));
    End::ToFix
}

/// Why it was refused.
pub(super) fn told(fault: &Refused, terminal: &Terminal) -> End {
    match fault {
        Refused::Said(said) => {
            terminal.talk(said);
            terminal.talk(&terminal.words.get("start.nothing-written"));
            End::ToFix
        }
        Refused::Faults(found, sources) => refused(found, sources, terminal),
    }
}

/// What was made, and the next three things to do.
fn made(dir: &Path, begun: &Begun, terminal: &Terminal) -> End {
    let words = &terminal.words;
    let content = dir.display().to_string();
    let open = begun.files.get("local.yaml").map_or(0, |text| {
        text.lines().filter(|line| line.trim() == "decision: not decided yet").count()
    });
    let of = |folder: &str| -> Vec<&str> {
        let files = begun.files.keys().filter_map(|file| file.strip_prefix(folder));
        files.filter_map(|file| file.strip_suffix(".yaml")).collect()
    };
    let rigs = of("rigs/");
    if terminal.for_machine() {
        let made: Vec<&String> = begun.files.keys().collect();
        terminal.json(&json!({ "made": made, "drills": begun.drills, "left": begun.left, "open": open, "findings": [] }));
        return End::Done;
    }
    terminal.data(&words.say("start.made.module", &[("dir", &content)]));
    terminal.data(&words.say("start.made.rigs", &[("names", &rigs.join(", "))]));
    if begun.drills.is_empty() {
        terminal.data(&words.get("start.made.no-drills"));
    } else {
        let names = begun.drills.join(", ");
        terminal.data(&words.say("start.made.drills", &[("names", &names)]));
    }
    if !begun.left.is_empty() {
        let names = begun.left.join(", ");
        terminal.data(&words.say("start.made.left", &[("names", &names)]));
    }
    let rig = rigs.first().copied().unwrap_or_default();
    let file = dir.join("rigs").join(format!("{rig}.yaml")).display().to_string();
    let open = open.to_string();
    let local = dir.join("local.yaml").display().to_string();
    // A shell would part the name of the folder at its blank.
    let quoted = if content.contains(' ') { format!("\"{content}\"") } else { content };
    let blanks = [
        ("content", quoted.as_str()),
        ("file", file.as_str()),
        ("count", open.as_str()),
        ("local", local.as_str()),
    ];
    terminal.data(&words.say("start.made.next", &blanks));
    End::Done
}
