//! The words as a flat list.

use std::collections::BTreeMap;

/// Sentences by key, keys joined by dots.
pub(crate) type Sheet = BTreeMap<String, String>;
