//! The options by which answers come.

use std::path::PathBuf;

/// Where the answers about one thing come from.
#[derive(Debug, clap::Args)]
pub(super) struct Source {
    /// File with the answers; --example prints one
    #[arg(long, value_name = "FILE")]
    pub(super) answers: Option<PathBuf>,
    /// Ask for what is not answered, also where no terminal is
    #[arg(long)]
    pub(super) ask: bool,
}
