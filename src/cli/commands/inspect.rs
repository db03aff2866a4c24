//! `inspect`: all checks, nothing written.

use std::path::PathBuf;

use serde_json::json;

use super::module::Module;
use super::report::{Held, findings};
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::quiz::Depth;

/// Check a module and write nothing
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Check a module as compile does, and write nothing: every fault with its \
                  file and line, what was found and what to write instead.",
    after_help = "Examples:\n  \
      drillwright inspect\n  \
      drillwright inspect --content my-module\n  \
      drillwright inspect --thorough    every question with all its numbers; takes longer"
)]
pub(in crate::cli) struct Arguments {
    /// Folder of the module
    #[arg(long, value_name = "DIR", default_value = "content")]
    content: PathBuf,
    /// Take the module as unfinished: open fields become blanks
    #[arg(long)]
    draft: bool,
    /// Try every question with all the numbers it can draw, not with a sample
    #[arg(long)]
    thorough: bool,
}

pub(in crate::cli) fn run(
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<End, Fault> {
    let mut module = Module::read(&arguments.content, arguments.draft)?;
    let depth = if arguments.thorough { Depth::Thorough } else { Depth::Sampled };
    let proven = module.prove(depth, terminal);
    let held = module.course.as_ref().map(|course| Held::of(course, &proven));
    let printed = module.printed(terminal);
    let end = if module.blocks() { End::ToFix } else { End::Done };
    if terminal.for_machine() {
        let good = end == End::Done;
        terminal.json(&json!({ "good": good, "held": held, "findings": printed }));
        return Ok(end);
    }
    if let Some(held) = held {
        terminal.data(&held.text(&[], terminal));
        terminal.data("");
    }
    terminal.data(&findings(&printed, &arguments.content, terminal));
    let key = match end {
        End::Done => "cli.can-be-compiled",
        End::ToFix => "cli.cannot-be-compiled",
    };
    terminal.data(&terminal.words.get(key));
    Ok(end)
}
