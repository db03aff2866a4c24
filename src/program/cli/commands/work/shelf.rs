//! What there is to work with.

use std::collections::BTreeMap;

use crate::formulas::{Given, GivenKind, Library, System};
use crate::page::Wording;
use crate::words::Words;

/// What there is to work with.
pub(super) struct Shelf {
    pub(super) library: Library,
    /// Short forms of sources, by id.
    pub(super) sources: BTreeMap<String, String>,
    pub(super) system: System,
}

impl Shelf {
    /// What it speaks with.
    pub(super) const fn wording<'w>(&'w self, words: &'w Words) -> Wording<'w> {
        Wording { words, sources: &self.sources }
    }
}

/// Whether a formula cannot be worked without it.
pub(super) fn needed(given: &Given) -> bool {
    !matches!(given.kind, GivenKind::Number { default: Some(_), .. })
}
