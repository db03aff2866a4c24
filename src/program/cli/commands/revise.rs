//! `revise`: what a drill is today, kept for the runs that were made for it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::{Local, NaiveDate};
use serde_json::json;

use super::module::Module;
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::course::Course;
use crate::fingerprint::NotCanonical;
use crate::scoring::{is_kept, kept_files, withdrawal};
use crate::words::nearest;
use crate::workshop::write_files;

/// Keep what a drill is today
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Keep what a drill is today, before it is changed: the drill with its pass \
                  mark, unsafe acts and formulas, and the card of every rig, as files in the \
                  folder revisions of the module. A run that names this revision is scored by \
                  it, and for some weeks after another one took its place; what is unsafe can be \
                  withdrawn from a day on. What is kept is never written over.",
    after_help = "Examples:\n  \
      drillwright revise flush\n  \
      drillwright revise startup purge --content my-module\n  \
      drillwright revise --withdraw 3b367b24 --why \"It opened the air too early.\""
)]
pub(in crate::cli) struct Arguments {
    /// Drills, by the name of their file
    #[arg(value_name = "DRILL", required_unless_present = "withdraw")]
    drills: Vec<String>,
    /// Revision of a drill or a rig that is unsafe, by its first letters: no run by it counts
    /// from the day on
    #[arg(long, value_name = "REVISION", requires = "why")]
    withdraw: Option<String>,
    /// What is unsafe in it
    #[arg(long, value_name = "TEXT", requires = "withdraw")]
    why: Option<String>,
    /// The first day on which it does not count; today, if it is not said
    #[arg(long, value_name = "DATE", requires = "withdraw")]
    from: Option<NaiveDate>,
    /// Folder of the module
    #[arg(long, value_name = "DIR", default_value = "content")]
    content: PathBuf,
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
    // Never as a draft: what is kept is held against runs for years.
    let module = Module::read(&arguments.content, false)?;
    let made = (arguments.content.as_path(), terminal);
    let Some(course) = module.sound(made, "kept", &words.get("cli.revise.module")) else {
        return Ok(End::ToFix);
    };
    let mut files: BTreeMap<String, Vec<u8>> = BTreeMap::new();
    for id in &arguments.drills {
        let Some(drill) = course.drill(id) else {
            let known = course.drills.iter().map(|drill| drill.id.as_str());
            let near = nearest(id, known.clone());
            let near = near.unwrap_or_else(|| known.collect::<Vec<_>>().join(", "));
            let blanks = [("drill", id.as_str()), ("nearest", &near)];
            return Err(Fault::Said(words.say("cli.revise.unknown", &blanks)));
        };
        let kept = kept_files(course, drill).map_err(|fault| {
            Fault::Said(words.say("cli.broken", &[("reason", &fault.to_string())]))
        })?;
        files.extend(kept.into_iter().map(|(name, text)| (name, text.into_bytes())));
    }
    if let Some(given) = &arguments.withdraw {
        files.extend(withdrawn(arguments, given, course, terminal)?);
    }
    let folder = arguments.content.join("revisions");
    let mut fresh = files.clone();
    fresh.retain(|name, _| !is_kept(&course.kept, name));
    let new = write_files(&folder, &fresh)?;
    let paths = |names: &mut dyn Iterator<Item = &String>| -> Vec<String> {
        names.map(|name| folder.join(name).display().to_string()).collect()
    };
    let written = paths(&mut new.iter());
    let there = paths(&mut files.keys().filter(|name| !new.contains(name)));
    if terminal.for_machine() {
        terminal.json(&json!({ "kept": written, "already": there, "findings": [] }));
        return Ok(End::Done);
    }
    for (key, list) in [("kept", &written), ("already", &there)] {
        for path in list {
            // words: cli.revise.{kept|already}
            let said = words.say(&format!("cli.revise.{key}"), &[("path", path)]);
            terminal.data(&said);
        }
    }
    terminal.data(&words.get("cli.revise.commit"));
    Ok(End::Done)
}

/// The file that withdraws a revision. What is withdrawn is kept with it, so that nobody has to
/// guess what it was.
fn withdrawn(
    arguments: &Arguments,
    given: &str,
    course: &Course,
    terminal: &Terminal,
) -> Result<BTreeMap<String, Vec<u8>>, Fault> {
    let words = &terminal.words;
    let broken = |fault: NotCanonical| {
        Fault::Said(words.say("cli.broken", &[("reason", &fault.to_string())]))
    };
    let from = arguments.from.unwrap_or_else(|| Local::now().date_naive());
    let mut files = BTreeMap::new();
    // Of all drills, because the letters alone do not say whose revision they are.
    for drill in &course.drills {
        files.extend(kept_files(course, drill).map_err(broken)?);
    }
    let why = arguments.why.as_deref().unwrap_or_default().trim();
    // Blanks are no reason: it is told to everybody whose run no longer counts.
    if why.is_empty() {
        return Err(Fault::Said(words.get("cli.revise.no-why")));
    }
    let from = from.format("%Y-%m-%d").to_string();
    let found = withdrawal(course, given, &from, why).map_err(broken)?;
    let Some((name, text, own)) = found else {
        let blanks = [("revision", given)];
        return Err(Fault::Said(words.say("cli.revise.no-revision", &blanks)));
    };
    files.retain(|file, _| *file == own);
    files.insert(name, text);
    Ok(files.into_iter().map(|(name, text)| (name, text.into_bytes())).collect())
}
