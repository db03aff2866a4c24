//! What questions can reach.

use std::collections::BTreeMap;

use crate::course::{Course, Drill, Rig};
use crate::formulas::{Library, System};
use crate::words::Words;

/// Everything that the questions of a set can reach.
#[derive(Debug, Clone, Copy)]
pub struct Kit<'k> {
    /// Formulas.
    pub library: &'k Library,
    /// Rigs by id.
    pub rigs: &'k BTreeMap<String, Rig>,
    /// Drills.
    pub drills: &'k [Drill],
    /// Units of the module.
    pub system: System,
    /// Sentences.
    pub words: &'k Words,
}

impl<'k> Kit<'k> {
    /// The kit of a whole course.
    pub fn of(course: &'k Course, words: &'k Words) -> Self {
        Self {
            library: &course.library,
            rigs: &course.rigs,
            drills: &course.drills,
            system: course.module.units,
            words,
        }
    }
}
