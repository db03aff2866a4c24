//! Questions with drawn numbers.
//!
//! Chance comes from a key of words (see [`Chance`]), never from clock or system. Two papers
//! of one seed are the same; the seed stands on the key alone.

mod chance;

pub use chance::{Chance, key};

/// Version of the drawing rules: a part of every key, raised when the rules change.
pub const DRAW_VERSION: &str = "1";
