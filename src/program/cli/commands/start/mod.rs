//! `start`: a new module, or one thing more in a module that is there.

mod ask;
mod example;
mod flags;
mod module;
mod one;
mod source;

use std::path::Path;

use self::one::One;
use crate::cli::end::{End, Fault};
use crate::cli::terminal::Terminal;

/// Begin a module, or add to one
#[derive(Debug, clap::Args)]
#[command(
    args_conflicts_with_subcommands = true,
    subcommand_negates_reqs = true,
    long_about = "Begin a module in a folder that is new or empty: the department, its rigs from \
                  their plates, its products from their labels, and drills of the library that \
                  fit the rigs. Answers come from a file, from options, or are asked for on a \
                  terminal. Each field of the files is explained above it; what is not known is \
                  written so and prints a blank. Or add one rig, drill, lesson, question set or \
                  person to the module in a folder. Nothing is ever written over.",
    after_help = "Examples:\n  \
      drillwright start my-module\n  \
      drillwright start --example > answers.yaml\n  \
      drillwright start --units si-bar --decimal comma --example > answers.yaml\n  \
      drillwright start my-module --answers answers.yaml\n  \
      drillwright start rig \"Engine 9\" --example --content my-module > engine-9.yaml\n  \
      drillwright start rig --answers engine-9.yaml --content my-module\n  \
      drillwright start drill \"Two lines\" --content my-module\n  \
      drillwright start drill flush --from ../neighbour/content --content my-module\n  \
      drillwright start person \"A. Example\" --rank Captain --content my-module\n\n\
      Exit: 0 done, 1 there is something to mend and nothing was written, 2 the work could not \
      be done."
)]
pub(in crate::cli) struct Arguments {
    #[command(subcommand)]
    one: Option<One>,
    #[command(flatten)]
    module: module::Whole,
    /// Print a file with answers to begin with, explained
    #[arg(long)]
    example: bool,
}

pub(in crate::cli) fn run(
    arguments: &Arguments,
    terminal: &Terminal,
) -> Result<End, Fault> {
    if arguments.example {
        return arguments.module.example(terminal);
    }
    match &arguments.one {
        Some(one) => one::run(one, terminal),
        None => module::run(&arguments.module, terminal),
    }
}

impl Arguments {
    /// Folder of the module that is added to.
    pub(in crate::cli) fn content(&self) -> &Path {
        self.one.as_ref().map_or(Path::new("content"), One::content)
    }
}
