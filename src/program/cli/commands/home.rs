//! The module whose units and words are told, for commands that read nothing else of it.

use std::path::PathBuf;

#[derive(Debug, clap::Args)]
pub(in crate::cli) struct Home {
    /// Folder of the module, whose units and words are told
    #[arg(long, value_name = "DIR", default_value = "content")]
    pub(in crate::cli) content: PathBuf,
}
