//! `inspect`: all checks, nothing written.

use std::path::{Path, PathBuf};

use serde_json::json;

use super::layout::wrapped;
use super::module::Module;
use super::papers::{LARGEST, text};
use super::report::{Held, findings, proof_line, proof_table};
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;
use crate::quiz::{Depth, KeptProofs};
use crate::workshop::{Trouble, read_file, replace_file};

/// Check a module and write nothing
#[derive(Debug, clap::Args)]
#[command(
    long_about = "Check a module as compile does, and write nothing into it: every fault with its \
                  file and line, what was found and what to write instead.",
    after_help = "Examples:\n  \
      drillwright inspect\n  \
      drillwright inspect --content my-module\n  \
      drillwright inspect --thorough    every question with all its numbers; takes longer\n  \
      drillwright inspect --thorough --proofs proofs.json    the same, only what is new"
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
    /// File in which proofs are kept by question; only questions that are new are tried
    #[arg(long, value_name = "FILE")]
    proofs: Option<PathBuf>,
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
    let mut module = Module::read(&arguments.content, arguments.draft)?;
    let depth = if arguments.thorough { Depth::Thorough } else { Depth::Sampled };
    let kept = match &arguments.proofs {
        Some(file) => read_proofs(file, terminal)?,
        None => KeptProofs::default(),
    };
    let proven = module.prove(depth, &kept, terminal);
    if let Some(file) = &arguments.proofs {
        // What was proven before stays in the file, so that a question that
        // is changed back is not tried again.
        let all: KeptProofs = kept.into_iter().chain(proven.kept.clone()).collect();
        replace_file(file, &text(&all))?;
    }
    // What is only to be looked at again ends with 0: a script must not stop for it.
    let held = module.course.as_ref().map(|course| Held::of(course, &proven));
    let printed = module.printed(terminal);
    let end = if module.blocks() { End::ToFix } else { End::Done };
    if terminal.for_machine() {
        let good = end == End::Done;
        terminal.json(&json!({
            "good": good,
            "held": held,
            "questions": proven.each,
            "findings": printed,
        }));
        return Ok(end);
    }
    if let Some(held) = held {
        terminal.data(&held.text(&[], terminal));
        terminal.data(wrapped(&proof_line(&proven, depth, terminal), "").trim_end());
        terminal.data("");
        if arguments.thorough {
            terminal.data(&format!("{}\n", proof_table(&proven, terminal)));
        }
    }
    terminal.data(&findings(&printed, &arguments.content, terminal));
    let key = match end {
        End::Done => "cli.can-be-compiled",
        End::ToFix => "cli.cannot-be-compiled",
    };
    terminal.data(&terminal.words.get(key));
    Ok(end)
}

/// The proofs of a file; none while it is not there. Another file is never replaced.
fn read_proofs(file: &Path, terminal: &Terminal) -> Result<KeptProofs, Fault> {
    match read_file(file, LARGEST) {
        Err(fault) if fault.trouble == Trouble::NotThere => Ok(KeptProofs::default()),
        Err(fault) => Err(fault.into()),
        Ok(bytes) => serde_json::from_slice(&bytes).ok().ok_or_else(|| {
            let path = file.display().to_string();
            Fault::Said(terminal.words.say("cli.proofs.other-file", &[("path", &path)]))
        }),
    }
}
