//! What can be typed after `drillwright`, and its help.

use std::path::Path;

use clap::{Parser, Subcommand};

use super::commands::{
    compare, compile, inspect, mark, open, papers, preview, revise, schema, score,
    sheets, shell, start, why, words, work,
};
use super::terminal::Format;

/// Turns a training officer's folder of sheets and lessons into pages to print, papers with
/// keys and sign-off sheets, and scores drill runs.
#[derive(Debug, Parser)]
#[command(
    name = "drillwright",
    version,
    subcommand_required = true,
    arg_required_else_help = true,
    after_help = "Local procedures, the maker's manual and the officer in charge decide.\n\
                  Exit: 0 done, 1 there is something to fix, 2 the work could not be done."
)]
pub(super) struct Arguments {
    /// How the result is told: as text for a person or as JSON for a machine
    #[arg(long, global = true, value_enum, default_value_t = Format::Text)]
    pub(super) format: Format,
    /// What to do
    #[command(subcommand)]
    pub(super) command: Command,
}

impl Command {
    /// The folder of the module that the command speaks of; the usual one where it names none.
    pub(super) fn content(&self) -> &Path {
        match self {
            Self::Compile(compile) => compile.content(),
            Self::Open(open) => open.content(),
            Self::Inspect(inspect) => inspect.content(),
            Self::Papers(papers) => papers.content(),
            Self::Sheets(sheets) => sheets.content(),
            Self::Score(score) => score.content(),
            Self::Revise(revise) => revise.content(),
            Self::Start(start) => start.content(),
            Self::Preview(preview) => &preview.content,
            Self::Compare(two) => two.content(),
            Self::Work(work) => work.content(),
            Self::Words(words) => words.content(),
            Self::Why(why) => &why.home.content,
            Self::Schema(schema) => &schema.home.content,
            // What speaks of no module speaks in the words and units of the usual one.
            _ => Path::new("content"),
        }
    }
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    Start(start::Arguments),
    Compile(compile::Arguments),
    Open(open::Arguments),
    Preview(preview::Arguments),
    Inspect(inspect::Arguments),
    Papers(papers::Arguments),
    Mark(mark::Arguments),
    Sheets(sheets::Arguments),
    Score(score::Arguments),
    Revise(revise::Arguments),
    Compare(compare::Arguments),
    Work(work::Arguments),
    Why(why::Arguments),
    Schema(schema::Arguments),
    Words(words::Arguments),
    Completions(shell::Completions),
    /// Print the manual page
    #[command(
        long_about = "Print the manual page: the program and every command of it, as man \
                      reads it.",
        after_help = "Examples:\n  drillwright manual > drillwright.1\n  man \
                      ./drillwright.1"
    )]
    Manual,
}
