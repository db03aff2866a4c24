//! Formulas, tables and constants as an author writes them.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::worked::{Input, Inputs};
use crate::quantity::{Direction, Quantity, System};

/// How well a figure or a rule is founded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// Read in the named source.
    LookedUp,
    /// Computed by a named library.
    Computed,
    /// Common practice of the trade, without one authority.
    CommonPractice,
    /// From memory, not looked up.
    FromMemory,
}

/// A source of a formula, a table row or a constant.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SourceRef {
    /// Id in the source list.
    pub source: String,
    /// How well founded.
    pub status: Status,
    /// What it says, where that needs saying.
    pub note: Option<String>,
}

/// What a given is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum GivenKind {
    /// A quantity of the unit's dimension.
    Number {
        /// Unit shown in US modules.
        unit: String,
        /// Unit shown in metric modules.
        unit_si: String,
        /// Least value for which the formula holds.
        least: Quantity,
        /// Largest such value.
        most: Quantity,
        /// Value when none is given.
        default: Option<Quantity>,
    },
    /// One of some words.
    Choice {
        /// The words.
        words: Vec<String>,
    },
    /// Rows of columns, 1 to 50 of them.
    List {
        /// The columns; each is a number.
        columns: Vec<Given>,
    },
}

/// Something that must be known first.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Given {
    /// Name in the lines.
    pub name: String,
    /// Name in words.
    pub label: String,
    /// What it is.
    pub kind: GivenKind,
    /// The contested constant that is its default.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub constant: Option<String>,
}

/// `name = value` and how its result is shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WorkLine {
    /// The line.
    pub text: String,
    /// Its name in words.
    pub label: String,
    /// Step and unit of the result in US modules, such as `0.01 gpm`.
    pub shown: Quantity,
    /// The same in metric modules.
    pub shown_si: Quantity,
    /// Whether it may be below zero.
    pub signed: bool,
}

/// A line that is an answer, and how it is rounded.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Answer {
    /// The line's name.
    pub name: String,
    /// In words.
    pub label: String,
    /// Step and unit in US modules.
    pub shown: Quantity,
    /// Step and unit in metric modules.
    pub shown_si: Quantity,
    /// Safe direction.
    pub round: Direction,
    /// Shown as minutes and seconds; the step is then 1 s.
    pub clock: bool,
}

/// Words that hold when a condition does.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Verdict {
    /// Condition.
    pub when: String,
    /// What it means.
    pub says: String,
    /// Whether the formula then has no answer at all ("not known").
    pub refuses: bool,
}

/// What sort of mistake a slip is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SlipKind {
    /// Percent of water taken for percent of solution, or the other way round.
    OtherBasis,
    /// Decimal point or missing hundred.
    PowerOfTen,
    /// Anything else.
    Method,
}

/// A named mistake: lines or givens written differently.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Slip {
    /// Id within the formula.
    pub id: String,
    /// Kind.
    pub kind: SlipKind,
    /// Lines `name = value` that replace the work or a given.
    pub lines: Vec<String>,
    /// One sentence of feedback.
    pub says: String,
}

/// One formula.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Formula {
    /// Id.
    pub id: String,
    /// Title.
    pub title: String,
    /// Family, such as `proportioning`.
    pub family: String,
    /// What a percent in it is a percent of, in words; none where there is none.
    pub basis: Option<String>,
    /// Givens.
    pub givens: Vec<Given>,
    /// Work.
    pub work: Vec<WorkLine>,
    /// Metric work, where the handbook's constants differ; else empty.
    pub work_si: Vec<WorkLine>,
    /// Answers, the first the principal one.
    pub answers: Vec<Answer>,
    /// Verdicts.
    pub verdicts: Vec<Verdict>,
    /// Slips.
    pub slips: Vec<Slip>,
    /// For what it holds, and what happens outside.
    pub range: String,
    /// Sources.
    pub sources: Vec<SourceRef>,
    /// In the library only, never on a drill sheet.
    pub library_only: bool,
    /// Figures to show it with; no part of what a revision is made of.
    #[serde(skip)]
    pub example: Vec<ExampleGiven>,
}

/// A given of a formula's example.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExampleGiven {
    /// The given.
    pub given: String,
    /// Its value in US modules.
    pub us: Input,
    /// Its value in metric modules.
    pub si: Input,
    /// The rig's figure that takes their place where a rig has it, such as `outlet.flow`.
    pub figure: Option<String>,
}

impl Formula {
    /// The givens of the example, with a rig's figures where there are some.
    pub fn example(
        &self,
        system: System,
        figures: &BTreeMap<String, Quantity>,
    ) -> Inputs {
        let given = |example: &ExampleGiven| {
            let plain = if system == System::Si { &example.si } else { &example.us };
            let figure = example.figure.as_ref().and_then(|name| figures.get(name));
            let input = figure.map_or_else(|| plain.clone(), |own| Input::Number(*own));
            (example.given.clone(), input)
        };
        self.example.iter().map(given).collect()
    }
}

/// How a table is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TableRule {
    /// The row must be there.
    Exact,
    /// The last row not above the value.
    Step,
    /// Linear between two rows.
    Between,
}

/// A key column.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum TableKey {
    /// Words.
    Choice {
        /// Name.
        name: String,
    },
    /// Numbers of a unit.
    Number {
        /// Name.
        name: String,
        /// Unit.
        unit: String,
    },
}

/// One row.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Row {
    /// Keys in the order of the columns: words or quantities.
    pub keys: Vec<String>,
    /// Value.
    pub value: Quantity,
    /// Where it comes from.
    pub source: SourceRef,
    /// Other published values.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub others: Vec<(Quantity, SourceRef)>,
}

/// A cited table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Table {
    /// Id, called like a function.
    pub id: String,
    /// Title.
    pub title: String,
    /// Key columns, at most one numeric and that one last.
    pub keys: Vec<TableKey>,
    /// How it is read.
    pub rule: TableRule,
    /// Rows.
    pub rows: Vec<Row>,
}

/// A constant about which publishers differ.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Constant {
    /// Id, used as a name in lines.
    pub id: String,
    /// What it is.
    pub label: String,
    /// The value in use.
    pub value: Quantity,
    /// Whose it is.
    pub source: SourceRef,
    /// Other published values.
    pub others: Vec<(Quantity, SourceRef)>,
    /// Whether the department chose it.
    pub local: bool,
}
