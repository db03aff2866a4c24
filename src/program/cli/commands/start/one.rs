//! `start rig|drill|lesson|question|person NAME`: one thing more in a module that is there.

use std::collections::BTreeMap;
use std::io::{IsTerminal, stdin};
use std::path::{Path, PathBuf};

use chrono::Local;
use serde_json::json;

use super::ask::Talk;
use super::example::rig_example;
use super::module::{refused, text_of, told, write};
use super::source::Source;
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::findings::Sources;
use crate::quantity::{Comma, System};
use crate::starting::{
    Adding, Asked, New, Other, Refused, RigFile, add, add_rig, bring, products,
    rig_answers,
};
use crate::stock;
use crate::wire::scalar;
use crate::words::Words;
use crate::workshop::{Additions, read_folder};

/// What findings call what was typed.
const TYPED: &str = "answers";

#[derive(Debug, clap::Subcommand)]
pub(super) enum One {
    /// Add a rig from its plates
    Rig {
        /// Name as people say it, such as "Engine 9"; the answers may have it
        name: Option<String>,
        /// Print a file with answers about a rig to begin with, explained
        #[arg(long, conflicts_with_all = ["answers", "ask"])]
        example: bool,
        #[command(flatten)]
        source: Source,
        #[command(flatten)]
        place: Place,
    },
    /// Add a drill: a small new one, or one of another department
    Drill {
        /// Name of the new drill; with --from, the name of its file there
        name: String,
        /// Folder of the other department's module
        #[arg(long, value_name = "FOLDER", conflicts_with = "library")]
        from: Option<PathBuf>,
        /// Take it from the library inside the program, by its name there
        #[arg(long)]
        library: bool,
        #[command(flatten)]
        place: Place,
    },
    /// Add a lesson
    Lesson {
        /// Title of the lesson
        name: String,
        #[command(flatten)]
        place: Place,
    },
    /// Add a set of questions
    Question {
        /// Title of the set
        name: String,
        #[command(flatten)]
        place: Place,
    },
    /// Add a person who is named on run sheets
    Person {
        /// Name, as it is printed
        name: String,
        /// Rank or office, as it is printed
        #[arg(long, value_name = "TEXT")]
        rank: String,
        #[command(flatten)]
        place: Place,
    },
}

#[derive(Debug, clap::Args)]
pub(super) struct Place {
    /// Folder of the module
    #[arg(long, value_name = "DIR", default_value = "content")]
    content: PathBuf,
}

/// What comes into the module: files, what to open, what is told besides.
struct Coming {
    files: Sources,
    open: String,
    said: Vec<String>,
    /// What to do with the file that is to be opened.
    then: &'static str,
}

impl Coming {
    fn of(adding: Result<Adding, String>, then: &'static str) -> Result<Self, Refused> {
        let adding = adding.map_err(Refused::Said)?;
        Ok(Self { files: adding.files, open: adding.open, said: Vec::new(), then })
    }
}

/// A drill of another module.
fn brought(
    other: Other<'_>,
    name: &str,
    to: &Sources,
    words: &Words,
) -> Result<Coming, Refused> {
    let brought = bring(other, to, name, words)?;
    let open = format!("drills/{name}.yaml");
    Ok(Coming {
        files: brought.files,
        open,
        said: brought.said,
        then: "start.made.brought",
    })
}

impl One {
    const fn place(&self) -> &Place {
        let (Self::Rig { place, .. }
        | Self::Drill { place, .. }
        | Self::Lesson { place, .. }
        | Self::Question { place, .. }
        | Self::Person { place, .. }) = self;
        place
    }

    /// Folder of the module.
    pub(super) fn content(&self) -> &Path {
        &self.place().content
    }
}

pub(super) fn run(one: &One, terminal: &Terminal) -> Result<End, Fault> {
    let words = &terminal.words;
    let place = one.place();
    let (folder, _) = read_folder(&place.content)?;
    let to = folder.texts;
    // Nothing is added where no module is: a slip in --content would begin half of one.
    if !to.contains_key("module.yaml") {
        let dir = place.content.display().to_string();
        terminal.talk(&words.say("start.no-module", &[("dir", &dir)]));
        return Ok(End::ToFix);
    }
    let today = Local::now().date_naive().format("%Y-%m-%d").to_string();
    let plain =
        |new: New<'_>, name: &str, then| Coming::of(add(new, name, &to, words), then);
    let coming = match one {
        One::Drill { name, from: Some(from), .. } => {
            let texts = read_folder(from)?.0.texts;
            brought(Other { texts: &texts, library: false }, name, &to, words)
        }
        One::Drill { name, library: true, .. } => {
            brought(Other { texts: &stock::library(), library: true }, name, &to, words)
        }
        One::Drill { name, .. } => plain(New::Drill(&today), name, "start.made.open"),
        One::Lesson { name, .. } => plain(New::Lesson, name, "start.made.lesson"),
        One::Question { name, .. } => plain(New::Question, name, "start.made.open"),
        One::Person { name, rank, .. } => {
            plain(New::Person(rank), name, "start.made.person")
        }
        One::Rig { name, example: true, .. } => {
            let products = products(&to);
            let product = products.first().map(|(name, _)| name.as_str());
            rig_example(habits(&to), (name.as_deref(), product), terminal);
            return Ok(End::Done);
        }
        One::Rig { name, source, .. } => {
            match rig(name.as_deref(), source, &to, terminal)? {
                Ok(answers) => {
                    Coming::of(add_rig(&answers, &to, words), "start.made.rig")
                }
                Err(end) => return Ok(end),
            }
        }
    };
    match coming {
        Ok(coming) => put(&place.content, &to, &coming, terminal),
        Err(fault) => Ok(told(&fault, terminal)),
    }
}

/// The answers about a rig, or how it ended.
fn rig(
    name: Option<&str>,
    source: &Source,
    to: &Sources,
    terminal: &Terminal,
) -> Result<Result<RigFile, End>, Fault> {
    let how = habits(to);
    let there: Vec<String> = products(to).into_iter().map(|(name, _)| name).collect();
    let (file, mut text) = match &source.answers {
        Some(file) => (file.display().to_string(), text_of(file)?),
        None => (TYPED.to_owned(), String::new()),
    };
    if let Some(name) = name.filter(|_| !crate::starting::says(&text, "name")) {
        text.push_str(&format!("name: {}\n", scalar(name)));
    }
    let faults = |text: &str| {
        let Asked { found, .. } = rig_answers(TYPED, text, how, &there, &terminal.words);
        (how.0, found)
    };
    if source.ask || source.answers.is_none() && stdin().is_terminal() {
        let mut talk =
            Talk { text, terminal, input: stdin().lock(), file: TYPED, faults: &faults };
        if talk.top(RigFile::table()).is_err() {
            terminal.talk(&terminal.words.get("start.ask.ended"));
            return Ok(Err(End::ToFix));
        }
        text = talk.text;
    }
    let Asked { answers, found } =
        rig_answers(&file, &text, how, &there, &terminal.words);
    Ok(answers.ok_or_else(|| refused(&found, &Sources::from([(file, text)]), terminal)))
}

/// How the module writes its figures.
fn habits(to: &Sources) -> (System, Comma) {
    let head = to.get("module.yaml").map(String::as_str).unwrap_or_default();
    // By its lines and not by its tree: a head with a fault
    // elsewhere still says its units.
    let bare =
        |line: &str| line.split(" #").next().unwrap_or_default().trim_end().to_owned();
    let said = |wanted: &str| head.lines().any(|line| bare(line) == wanted);
    let system = match () {
        () if said("units: si") => System::Si,
        () if said("units: si-bar") => System::SiBar,
        () => System::Us,
    };
    let comma = match () {
        () if said("comma: decimal") => Comma::Decimal,
        () if said("comma: thousands") => Comma::Thousands,
        () => Comma::Unfixed,
    };
    (system, comma)
}

/// Writes what comes, unless the module could not be compiled with it.
fn put(
    content: &Path,
    to: &Sources,
    coming: &Coming,
    terminal: &Terminal,
) -> Result<End, Fault> {
    let words = &terminal.words;
    let mut files = Additions::default();
    for (name, text) in &coming.files {
        let after = text.clone().into_bytes();
        match to.get(name) {
            Some(before) => {
                let before = before.clone().into_bytes();
                files.changed.insert(name.clone(), (before, after));
            }
            None => {
                files.new.insert(name.clone(), after);
            }
        }
    }
    // Editors find the schemas of new things too; those that are there are the author's.
    let schemas = crate::starting::schemas(&terminal.telling()).into_iter();
    let missing = schemas.filter(|(name, _)| !to.contains_key(name));
    let missing: BTreeMap<_, _> =
        missing.map(|(name, text)| (name, text.into_bytes())).collect();
    files.new.extend(missing);
    let mut all = to.clone();
    all.extend(coming.files.clone());
    // What was wrong before is the author's to mend, and keeps nobody from adding.
    let worse = crate::starting::worse(to, &all);
    if !worse.is_empty() {
        return Ok(refused(&worse, &all, terminal));
    }
    if let Some(end) = write(content, &files, terminal)? {
        return Ok(end);
    }
    let path = |name: &String| content.join(name).display().to_string();
    let new: Vec<String> =
        files.new.keys().filter(|name| !name.starts_with("schema/")).map(path).collect();
    let changed: Vec<String> = files.changed.keys().map(path).collect();
    if terminal.for_machine() {
        let told = json!({ "made": new, "changed": changed, "said": coming.said, "findings": [] });
        terminal.json(&told);
        return Ok(End::Done);
    }
    for file in &new {
        terminal.data(&words.say("start.made.file", &[("file", file)]));
    }
    for file in &changed {
        terminal.data(&words.say("start.made.changed", &[("file", file)]));
    }
    for said in &coming.said {
        terminal.data(said);
    }
    let open = content.join(&coming.open).display().to_string();
    terminal.data(&words.say(coming.then, &[("file", &open)]));
    Ok(End::Done)
}
