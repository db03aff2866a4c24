//! How much a finding matters.

use serde::{Deserialize, Serialize};

/// How much a finding matters. "Warning" is a hazard word in this house and not used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grade {
    /// Nothing is published until it is mended.
    MustFix,
    /// Published, but a person should look.
    LookAgain,
    /// Worth knowing.
    Note,
}
