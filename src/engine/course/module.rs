//! The head of a module and the register of local procedures.

use serde::{Deserialize, Serialize};

use crate::quantity::{Comma, Quantity, System};
use crate::record;
use crate::wire::Book;

/// The paper that sheets are laid out for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Paper {
    /// 8.5 by 11 inches.
    Letter,
    /// 210 by 297 millimetres.
    A4,
}

record! {
    /// The share of points that meets a drill's standard, and whose rule that is.
    PassMark {
        /// A percent of the points that could be earned.
        value: Quantity = need "value" as PERCENT, eg "80 %";
        /// The local rule that sets it.
        source: String = may "source", or "", eg "order 3 of the training officer";
    }
}

/// Help of what a module decides for all drills.
pub(super) const BOOKS: &[Book] = &[PassMark::BOOK];

/// The head of `module.yaml`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Module {
    /// Short name, used in file names and revision lines.
    pub id: String,
    /// Title of the whole module.
    pub title: String,
    /// The fire department it belongs to.
    pub department: String,
    /// What an invented module says about itself on every page ("INVENTED RIG …").
    pub invented: Option<String>,
    /// One paragraph for the index page.
    pub about: String,
    /// Who it is for.
    pub audience: String,
    /// Time it takes, in hours.
    pub hours: Quantity,
    /// What a learner must bring.
    pub prerequisites: Vec<String>,
    /// Units shown.
    pub units: System,
    /// Paper printed on.
    pub paper: Paper,
    /// What a comma before three digits means in typed answers; without it `1,234` is refused.
    #[serde(default, skip_serializing_if = "Comma::is_unfixed")]
    pub comma: Comma,
    /// Pass mark of the drills with its local source; none while it is not decided.
    pub pass_mark: Option<PassMark>,
    /// ISO date after which a page says that it is due for review.
    pub review_by: String,
    /// The author's own edition, such as "2026-11".
    pub edition: String,
}

/// What the department decided on a topic.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Decision {
    /// A box to fill in by hand is printed.
    NotDecidedYet,
    /// The rule in the department's words, who decided and when (ISO date).
    Decided {
        /// The rule itself.
        rule: String,
        /// Office or order that decided it.
        by: String,
        /// ISO date.
        on: String,
    },
}

/// One entry of the register of local procedures.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LocalTopic {
    /// Id of the topic, such as `flush-discharge`.
    pub id: String,
    /// Title.
    pub title: String,
    /// The question that a local rule must answer.
    pub asks: String,
    /// The answer, or that there is none yet.
    pub decision: Decision,
}
