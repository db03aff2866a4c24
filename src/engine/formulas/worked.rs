//! What goes into a worked formula and what comes out, as plain data.

use std::collections::BTreeMap;

use serde::Serialize;

use super::answers::SlipKind;
use super::data::Given;
use super::sourced::SourceRef;
use crate::quantity::{Number, Quantity};

/// A value for a given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Input {
    /// A quantity in any unit of the given's dimension.
    Number(Quantity),
    /// A word of a choice.
    Word(String),
    /// Rows of a list, by column.
    Rows(Vec<BTreeMap<String, Quantity>>),
}

/// Values by name of the given.
pub type Inputs = BTreeMap<String, Input>;

/// Why a formula has no answer: a key under `formula.` in the words file, with its blanks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkFault {
    /// Key, such as `out-of-range`.
    pub key: &'static str,
    /// Values of the sentence's blanks.
    pub blanks: Vec<(&'static str, String)>,
    /// The given that is at fault.
    pub given: Option<String>,
    /// The work line at which it came up, from 0.
    pub line: Option<usize>,
}

impl WorkFault {
    pub(super) fn new(key: &'static str) -> Self {
        Self { key, blanks: Vec::new(), given: None, line: None }
    }

    pub(super) fn with(mut self, blank: &'static str, value: impl Into<String>) -> Self {
        self.blanks.push((blank, value.into()));
        self
    }

    pub(super) fn of(mut self, given: &Given) -> Self {
        self.given = Some(given.name.clone());
        self.with("given", given.label.clone()).with("name", given.name.clone())
    }

    /// An answer was asked for that does not come to an end.
    pub fn endless(label: &str, says: &str) -> Self {
        Self::new("endless").with("label", label).with("says", says)
    }

    /// The sentence.
    pub fn say(&self, words: &crate::words::Words) -> String {
        let blanks: Vec<(&str, &str)> =
            self.blanks.iter().map(|(name, value)| (*name, value.as_str())).collect();
        // words: formula.{WorkFault::new(..)}
        words.say(&format!("formula.{}", self.key), &blanks)
    }
}

/// A given as printed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct WorkedGiven {
    /// Name in the formula.
    pub name: String,
    /// In words.
    pub label: String,
    /// Value with unit; rows one after the other.
    pub text: String,
    /// What was written, when it was converted.
    pub converted_from: Option<String>,
}

/// One line of the board.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BoardLine {
    /// The result's name in words.
    pub label: String,
    /// Right side in words.
    pub words: String,
    /// Right side with the numbers.
    pub numbers: String,
    /// `=` when the printed result is the value, else `≈`.
    pub relation: &'static str,
    /// Result with unit.
    pub result: String,
}

/// An answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WorkedAnswer {
    /// Name.
    pub name: String,
    /// In words.
    pub label: String,
    /// Printed, with unit.
    pub text: String,
    /// Unit symbol; `min:s` for a clock.
    pub unit: String,
    /// Whether the printed value is exact.
    pub exact: bool,
    /// The printed value in the printed unit (seconds for a clock), as decimal text.
    pub value: String,
    /// The value before rounding, in base units; nothing where it does not come to an end.
    #[serde(skip)]
    pub number: Option<Number>,
    /// The value before rounding, in the printed unit, to 12 significant digits.
    pub unrounded: String,
}

/// A slip worked out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WorkedSlip {
    /// Id.
    pub id: String,
    /// Kind.
    pub kind: SlipKind,
    /// Feedback.
    pub says: String,
    /// Answers it gives, in the order of the formula's answers.
    pub answers: Vec<WorkedAnswer>,
}

/// A contested constant that was used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct UsedConstant {
    /// In words.
    pub label: String,
    /// Value.
    pub value: String,
    /// Whose it is.
    pub source: SourceRef,
    /// Whether the department chose it.
    pub local: bool,
    /// What was looked up, where the department chose another value.
    pub looked_up: Option<String>,
}

/// A formula tried: what it gives, in base units, and nothing printed.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// Answers, in the order of the formula's; nothing for one that does not come to an end.
    pub answers: Vec<Option<Number>>,
    /// Verdicts that hold.
    pub verdicts: Vec<String>,
    /// By place in the formula's slips, what those give that have a value.
    pub slips: Vec<(usize, Vec<Option<Number>>)>,
}

/// A formula worked.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Worked {
    /// Formula id.
    pub formula: String,
    /// Title.
    pub title: String,
    /// Percent basis in words.
    pub basis: Option<String>,
    /// Givens.
    pub givens: Vec<WorkedGiven>,
    /// Board.
    pub lines: Vec<BoardLine>,
    /// Answers, principal first.
    pub answers: Vec<WorkedAnswer>,
    /// Verdicts that hold.
    pub verdicts: Vec<String>,
    /// Slips that have a value.
    pub slips: Vec<WorkedSlip>,
    /// Contested constants used.
    pub constants: Vec<UsedConstant>,
    /// Range and what happens outside.
    pub range: String,
    /// Sources.
    pub sources: Vec<SourceRef>,
}

impl WorkedAnswer {
    /// The value before rounding, or why there is none.
    pub fn figure(&self) -> Result<Number, WorkFault> {
        self.number.ok_or_else(|| WorkFault::endless(&self.label, &self.text))
    }
}

impl Worked {
    /// The answer of that name, or the principal one.
    pub fn answer(&self, name: Option<&str>) -> Option<&WorkedAnswer> {
        match name {
            Some(name) => self.answers.iter().find(|answer| answer.name == name),
            None => self.answers.first(),
        }
    }
}
