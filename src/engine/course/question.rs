//! Questions with drawn numbers.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::marking::{Feed, Tolerance};
use crate::quantity::Quantity;

/// A range with a step, in one unit; drawn as a whole number of steps.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Spread {
    /// Least value.
    pub from: Quantity,
    /// Largest value.
    pub to: Quantity,
    /// Step.
    pub step: Quantity,
}

/// Where a drawn value comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Draw {
    /// Any step of a range.
    Spread(Spread),
    /// One of a list.
    Of(Vec<Quantity>),
    /// One of a list of words, for a choice given of a formula.
    Words(Vec<String>),
    /// One foam line of the rig, with its own hose, length, flow and nozzle: names
    /// `line.flow`, `line.length`, `line.hose` … become drawn values, and `{line}` its title.
    FoamLineOf(String),
}

/// What is asked for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ask {
    /// The formula and where its givens come from (drawn values are [`super::Bind::Named`]).
    pub feed: Feed,
    /// Unit of the answer; none for the formula's own.
    pub unit: Option<String>,
    /// Step to which the answer is rounded; none for the formula's own.
    pub step: Option<Quantity>,
}

/// An answer in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OptionText {
    /// The answer.
    pub says: String,
    /// Whether it is right; exactly one is.
    pub right: bool,
    /// Why it is right, or which slip it is.
    pub because: String,
}

/// The kinds of questions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "kind")]
pub enum QuestionKind {
    /// A number with its unit is written.
    Number {
        /// What is asked.
        ask: Ask,
        /// Accepted deviation.
        tolerance: Tolerance,
    },
    /// One of several values; the wrong ones are the formula's slips.
    Choice {
        /// What is asked.
        ask: Ask,
        /// How many values are offered.
        choices: usize,
    },
    /// One of several sentences. With an `ask`, its working is printed on the key.
    Judge {
        /// Worked on the key, and its drawn values are in the text.
        ask: Option<Ask>,
        /// The sentences.
        options: Vec<OptionText>,
    },
    /// Which verdict of the formula holds for these values.
    Verdict {
        /// The formula.
        ask: Ask,
    },
    /// Put steps of a drill in order; any order its rules allow is right.
    Order {
        /// Drill.
        drill: String,
        /// Steps, in the order of the drill; shuffled on the paper.
        steps: Vec<String>,
    },
}

/// One question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Question {
    /// Id, unique in the module.
    pub id: String,
    /// Topic, for balance between papers: the formula family or a word of the author's.
    pub topic: String,
    /// Objective it serves.
    pub objective: String,
    /// The text; `{name}` is a drawn value with its unit, `{line}` a line's title.
    pub text: String,
    /// Rig whose figures it uses, if any.
    pub rig: Option<String>,
    /// Outlet of that rig, when it is not drawn.
    pub outlet: Option<String>,
    /// Drawn values by name, in the author's order.
    pub draws: Vec<(String, Draw)>,
    /// Conditions between drawn values, in the formula language.
    pub conditions: Vec<String>,
    /// Kind with what it needs.
    #[serde(flatten)]
    pub kind: QuestionKind,
    /// Marks on a paper, 1 to 3.
    pub marks: u32,
    /// A sentence for the key.
    pub remark: Option<String>,
}

/// Questions that are printed together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct QuestionSet {
    /// Id.
    pub id: String,
    /// Title.
    pub title: String,
    /// A paragraph for the head of the paper.
    pub about: String,
    /// Whether a calculator is allowed.
    pub calculator: bool,
    /// Cautions of its task, three at most.
    pub cautions: Vec<String>,
    /// Questions on one graded paper; none for all.
    pub graded: Option<usize>,
    /// Questions.
    pub questions: Vec<Question>,
}

/// Drawn values of one variant, by name, for texts and formulas.
pub type Drawn = BTreeMap<String, Quantity>;
