//! Lessons, objectives and the words that lessons explain.

use serde::{Deserialize, Serialize};

use super::marking::Feed;
use crate::quantity::Quantity;
use crate::record;
use crate::wire::Book;

record! {
    /// What a learner will do, under which condition, how well.
    Objective {
        /// Short name.
        id: String = need "objective" as own("objective"), eg "flush";
        /// Under which condition: given what.
        condition: String = need "condition", eg "Given a pumper at a hydrant";
        /// What the learner will do.
        performance: String = need "performance", eg "the operator will flush the foam side";
        /// How well.
        standard: String = need "standard", eg "with no critical missed";
        /// Published requirement it serves, when the author names one.
        serves: Option<String> = may "serves", eg "order 4 of the training officer";
    }
}

record! {
    /// A word of the trade.
    Term {
        /// Short name, used in links that begin with term:.
        id: String = need "term" as own("term"), eg "eductor";
        /// The word itself.
        term: String = need "word", eg "eductor";
        /// What it means, in a sentence.
        meaning: String = need "means", eg "It draws concentrate into the line.";
    }
}

/// Help of objectives and terms.
pub(super) const BOOKS: &[Book] = &[Objective::BOOK, Term::BOOK];

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
