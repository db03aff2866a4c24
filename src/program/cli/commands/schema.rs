//! `schema`: what an editor checks and completes a file of the module by.

use serde_json::json;

use super::fields::{thing, typed};
use super::home::Home;
use super::layout::columns;
use crate::authoring::as_laid_out;
use crate::cli::end::End;
use crate::cli::terminal::Terminal;
use crate::course::THINGS;
use crate::wire::{or_list, schema};
use crate::words::nearest;

/// Print the JSON Schema of a file
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Print the JSON Schema of a file: an editor that reads one completes fields, \
                  shows what each is for, and marks a slip while it is typed. What it marks, \
                  inspect finds too; inspect finds more. Without a name all files are listed.",
    after_help = "Examples:\n  drillwright schema\n  drillwright schema rig > rig.schema.json"
)]
pub(in crate::cli) struct Arguments {
    /// What the file describes, such as rig
    thing: Option<String>,
    #[command(flatten)]
    pub(in crate::cli) home: Home,
}

pub(in crate::cli) fn run(arguments: &Arguments, terminal: &Terminal) -> End {
    let words = &terminal.words;
    let Some(name) = &arguments.thing else {
        if terminal.for_machine() {
            let one = |thing| json!({ "thing": typed(thing), "file": thing.file });
            terminal.json(&THINGS.iter().map(one).collect::<Vec<_>>());
        } else {
            terminal.data(&words.get("cli.schema.all"));
            let rows = THINGS.iter().map(|one| vec![typed(one), one.file.to_owned()]);
            terminal.data(&columns(&rows.collect::<Vec<_>>(), "  "));
        }
        return End::Done;
    };
    let name = name.trim().to_lowercase();
    if let Some(thing) = thing(&name) {
        // Nothing else than JSON can be read by an editor, whatever the format of the talk.
        let _numbers = terminal.writing();
        let made = schema(thing.name, thing.list, thing.kind, &terminal.telling());
        // The runs of a day stand in one file as a list, so its schema takes either.
        let made = if thing.may_list() { as_laid_out(or_list(made)) } else { made };
        terminal.json(&made);
        return End::Done;
    }
    terminal.talk(&words.say("cli.schema.unknown", &[("name", &name)]));
    let known: Vec<String> = THINGS.iter().map(typed).collect();
    if let Some(near) = nearest(&name, known.iter().map(String::as_str)) {
        terminal.talk(&words.say("cli.schema.nearest", &[("nearest", &near)]));
    }
    End::ToFix
}
