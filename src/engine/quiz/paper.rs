//! What is printed: papers without answers, and keys. Plain data of printed strings.

use serde::{Deserialize, Serialize};

use crate::formulas::Worked;

/// Kinds of questions, by how they are answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ItemKind {
    /// A number is written beside its unit.
    Number,
    /// One value of several is ticked.
    Choice,
    /// One sentence of several is ticked.
    Judge,
    /// One verdict of several is ticked.
    Verdict,
    /// The letters of steps are written in order.
    Order,
}

/// A choice, or a step to be put in order, with its letter.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lettered {
    /// A, B, C …
    pub letter: String,
    /// Printed text.
    pub text: String,
}

/// One question as it stands on a paper: nothing in it tells the answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Item {
    /// Number on the paper, from 1.
    pub number: usize,
    /// Question id.
    pub question: String,
    /// Topic.
    pub topic: String,
    /// Marks it is worth.
    pub marks: u32,
    /// How it is answered.
    pub kind: ItemKind,
    /// The text with the drawn values put in.
    pub text: String,
    /// Unit of the answer line; only for numbers. `min:s` for minutes and seconds.
    pub unit: Option<String>,
    /// Choices or steps; empty for numbers.
    pub options: Vec<Lettered>,
}

/// A wrong answer and the slip behind it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WrongAnswer {
    /// Letter on the paper; none for a typed number.
    pub letter: Option<String>,
    /// Printed answer.
    pub text: String,
    /// Slip id; empty for a sentence of the author's.
    pub slip: String,
    /// What went wrong, in a sentence.
    pub says: String,
}

/// Why one step comes before another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OrderReason {
    /// Letter of the earlier step.
    pub first: String,
    /// Letter of the later one.
    pub then: String,
    /// Why.
    pub because: String,
}

/// A drawn value as printed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DrawnValue {
    /// Name in the question.
    pub name: String,
    /// Printed value.
    pub text: String,
}

/// The key of one question.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ItemKey {
    /// Number on the paper.
    pub number: usize,
    /// Question id.
    pub question: String,
    /// Marks for the right answer.
    pub marks: u32,
    /// How it is answered.
    pub kind: ItemKind,
    /// The right answer as printed; for an order its letters, such as `C A B`.
    pub answer: String,
    /// Letter of the right choice.
    pub letter: Option<String>,
    /// Least accepted value; none when any smaller one is, or nothing is typed.
    pub least: Option<String>,
    /// Largest accepted value; none when any larger one is, or nothing is typed.
    pub most: Option<String>,
    /// Why the right sentence is right.
    pub because: Option<String>,
    /// The working, line by line, with constants and basis.
    pub worked: Option<Worked>,
    /// The slip behind each wrong choice; for a typed number every slip that is told apart.
    pub wrong: Vec<WrongAnswer>,
    /// What any right order must keep.
    pub order: Vec<OrderReason>,
    /// The author's remark.
    pub remark: Option<String>,
    /// The drawn values.
    pub drawn: Vec<DrawnValue>,
    /// How many draws were thrown away before this one: whoever rebuilds the paper skips them.
    pub redraws: u32,
}

/// What a sheet of questions is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Purpose {
    /// Counts; made from a seed that only the key carries.
    Graded,
    /// For practice; made from its public number.
    Practice,
}

impl Purpose {
    /// The first part of the key of its draws.
    pub const fn part(self) -> &'static str {
        match self {
            Self::Graded => "graded",
            Self::Practice => "practice",
        }
    }
}

/// A sheet of questions. It carries no seed and no answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Paper {
    /// What it is for.
    pub purpose: Purpose,
    /// Question set.
    pub set: String,
    /// Title.
    pub title: String,
    /// A paragraph for the head.
    pub about: String,
    /// Whether a calculator is allowed.
    pub calculator: bool,
    /// Cautions of its task.
    pub cautions: Vec<String>,
    /// Form code: a one-way hash of the seed with a check letter.
    pub code: String,
    /// Number of a practice sheet.
    pub sheet: Option<u32>,
    /// Marks of all questions.
    pub marks: u32,
    /// Questions.
    pub items: Vec<Item>,
}

/// The key of a sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Key {
    /// What the sheet is for.
    pub purpose: Purpose,
    /// Question set.
    pub set: String,
    /// Title.
    pub title: String,
    /// Form code, as on the paper.
    pub code: String,
    /// The seed; none for a practice sheet, whose number is public.
    pub seed: Option<String>,
    /// Attempt, from 1: part of the key of the draws.
    pub attempt: u32,
    /// Which of several papers of the seed; part of the key of the draws.
    pub copy: Option<u32>,
    /// Version of the drawing rules: part of the key of the draws.
    pub draw_version: &'static str,
    /// Marks of all questions.
    pub marks: u32,
    /// Keys of the questions.
    pub items: Vec<ItemKey>,
}
