//! What the last run into a folder had to say.

use std::path::Path;

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::binder::Made;
use super::report::Held;
use crate::cli::end::Fault;
use crate::findings::Printed;
use crate::quiz::KeptProofs;
use crate::workshop::{last_said, unchanged};

/// What a run had to say; kept in the site's list for a run that changes nothing.
#[derive(Debug, Serialize, Deserialize)]
pub(super) struct Said {
    pub(super) held: Held,
    pub(super) pages: usize,
    pub(super) sheets: usize,
    pub(super) findings: Vec<Printed>,
    /// What was proven of the questions, by their hash.
    #[serde(default)]
    pub(super) proofs: KeptProofs,
    /// What became of the binder, where one was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) binder: Option<Made>,
}

/// What the last run into a folder proved of its questions.
pub(super) fn kept_proofs(out: &Path) -> KeptProofs {
    // What another program wrote may not be readable; then all is
    // proven anew, which only takes time.
    let said = last_said(out).and_then(|said| serde_json::from_value(said).ok());
    said.map(|said: Said| said.proofs).unwrap_or_default()
}

/// What the last run said, when it was over the same input.
///
/// A program built since then may make other pages of the same input, so it is handed on.
pub(super) fn last_time(out: &Path, input: &str) -> Result<Option<Said>, Fault> {
    // Where the program cannot be found, its age is not known, and the pages are made.
    let Ok(program) = std::env::current_exe() else { return Ok(None) };
    let said: Option<Value> = unchanged(out, input, &program)?;
    Ok(said.and_then(|said| serde_json::from_value(said).ok()))
}
