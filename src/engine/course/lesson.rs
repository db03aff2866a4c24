//! Lessons, objectives and the words that lessons explain.

use serde::{Deserialize, Serialize};

use super::marking::Feed;
use crate::quantity::Quantity;

/// What a learner will do, under which condition, how well.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Objective {
    /// Id.
    pub id: String,
    /// "Given a pumper at …".
    pub condition: String,
    /// "the operator will …".
    pub performance: String,
    /// "within …, no critical missed".
    pub standard: String,
    /// Published requirement it serves, when the author names one.
    pub serves: Option<String>,
}

/// A word of the trade.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Term {
    /// Id used in `term:` links.
    pub id: String,
    /// The word itself.
    pub term: String,
    /// What it means, in a sentence.
    pub meaning: String,
}

/// A formula worked inside a lesson, computed when the module is compiled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkedExample {
    /// Id used in `figure:` links.
    pub id: String,
    /// A line above the working.
    pub title: String,
    /// The formula and its givens.
    pub feed: Feed,
}

/// One lesson.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lesson {
    /// Id.
    pub id: String,
    /// Title.
    pub title: String,
    /// Time it takes.
    pub minutes: Quantity,
    /// Objectives it teaches.
    pub objectives: Vec<String>,
    /// Cautions of its task, three at most.
    pub cautions: Vec<String>,
    /// Local topics it touches.
    pub local: Vec<String>,
    /// Worked examples its text calls.
    pub examples: Vec<WorkedExample>,
    /// File of its text, relative to the module.
    pub file: String,
    /// Its text: CommonMark with tables.
    pub text: String,
}
