//! What there is to work with.

use std::collections::BTreeMap;

use crate::formulas::{Given, GivenKind, Library, System};

/// What there is to work with.
pub(super) struct Shelf {
    pub(super) library: Library,
    pub(super) titles: BTreeMap<String, String>,
    pub(super) system: System,
}

/// Whether a formula cannot be worked without it.
pub(super) fn needed(given: &Given) -> bool {
    !matches!(given.kind, GivenKind::Number { default: Some(_), .. })
}
