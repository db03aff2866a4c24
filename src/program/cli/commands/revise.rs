//! `revise`: what a drill is today, kept for the runs that were made for it.

use std::collections::BTreeMap;
use std::path::PathBuf;

use serde_json::json;

use super::module::Module;
use super::report::findings;
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::scoring::kept_files;
use crate::words::nearest;
use crate::workshop::write_files;

/// Keep what a drill is today
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Keep what a drill is today, before it is changed: the drill with its pass \
                  mark, unsafe acts and formulas, and the card of every rig, as files in the \
                  folder revisions of the module. A run that names this revision is scored by \
                  it for good. What is kept is never written over.",
    after_help = "Examples:\n  \
      drillwright revise flush\n  \
      drillwright revise startup purge --content my-module"
)]
pub(in crate::cli) struct Arguments {
    /// Drills, by the name of their file
    #[arg(value_name = "DRILL", required = true)]
    drills: Vec<String>,
    /// Folder of the module
    #[arg(long, value_name = "DIR", default_value = "content")]
    content: PathBuf,
}

pub(in crate::cli) fn run(
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<End, Fault> {
    let words = &terminal.words;
    let module = Module::read(&arguments.content, false)?;
    let course = match &module.course {
        Some(course) if !module.blocks() => course,
        _ => {
            let printed = module.printed(terminal);
            if terminal.for_machine() {
                terminal.json(&json!({ "kept": [], "findings": printed }));
            } else {
                terminal.data(&findings(&printed, &arguments.content, terminal));
                terminal.data(&words.get("cli.revise.module"));
            }
            return Ok(End::ToFix);
        }
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
    let folder = arguments.content.join("revisions");
    let new = write_files(&folder, &files)?;
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
