//! How a drill is marked: criticals, order, measured values, time, attempts.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::drill::Mode;
use crate::quantity::Quantity;

/// One act or report of one role that cannot be bought back with points.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Critical {
    /// Id.
    pub id: String,
    /// Whose act.
    pub role: String,
    /// The act that fails the run, as seen.
    pub act: String,
    /// Why.
    pub reason: String,
    /// Source, or "common practice".
    pub source: String,
    /// Modes that can show it; another mode signs off "in part".
    pub modes: Vec<Mode>,
    /// Not applicable unless the rig has this: `compressor`.
    pub needs: Option<String>,
}

/// "`first` comes before `then`", with the reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OrderRule {
    /// Step that comes first.
    pub first: String,
    /// Step that comes after it.
    pub then: String,
    /// Why.
    pub because: String,
    /// Whether breaking it fails the run.
    pub critical: bool,
}

/// Where a given of a formula gets its value.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Bind {
    /// Written by the author.
    Value(Quantity),
    /// A choice word of the formula, such as `solution`.
    Word(String),
    /// A figure of the rig in use: `rig.outlet.flow`, see [`super::Figures`].
    Rig(String),
    /// A reading of the day or a drawn value, by name.
    Named(String),
    /// Rows of a list given: column name to value, row after row.
    Rows(Vec<BTreeMap<String, Self>>),
}

/// A formula with its givens.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Feed {
    /// Formula id.
    pub formula: String,
    /// Which answer of the formula; none for its first.
    pub answer: Option<String>,
    /// Givens by name.
    pub with: BTreeMap<String, Bind>,
}

/// A number read off on the day and written on the run sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reading {
    /// Name, used in [`Bind::Named`].
    pub id: String,
    /// Label on the sheet.
    pub label: String,
    /// Unit it is written in.
    pub unit: String,
    /// Least value the instrument or the rig can show.
    pub least: Quantity,
    /// Largest such value.
    pub most: Quantity,
}

/// How a measured value is come by. A setting is never an achievement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum How {
    /// Set at the panel.
    Set,
    /// Shown by an instrument.
    Shown,
    /// Worked out from totals.
    FromTotals,
}

/// One side of a tolerance.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Edge {
    /// So much in the unit of the value (a percent value: in points).
    Absolute(Quantity),
    /// A share of the expected value.
    Relative(Quantity),
    /// Any amount on this side is allowed.
    Open,
}

/// What deviation is accepted; edges are inside.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tolerance {
    /// Below the expected value.
    pub below: Edge,
    /// Above it.
    pub above: Edge,
}

/// A measured value of a run.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Measure {
    /// Id.
    pub id: String,
    /// Label on the sheet.
    pub label: String,
    /// How it is come by.
    pub how: How,
    /// Step whose points it decides.
    pub step: String,
    /// What it should be: a formula fed from rig and day, or a named reading or figure.
    pub expect: Expect,
    /// Value measured, when it is itself worked out of the day's readings (from totals);
    /// else it is read and written by the evaluator.
    pub measured: Option<Feed>,
    /// Unit it is written in.
    pub unit: String,
    /// Accepted deviation.
    pub tolerance: Tolerance,
    /// What the instrument can show.
    pub resolution: Quantity,
    /// Where the tolerance comes from.
    pub source: String,
    /// Whether a value outside fails the run.
    pub critical: bool,
}

/// An expected value.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Expect {
    /// A formula's answer.
    Formula(Feed),
    /// A value that is bound directly: the ordered percent, a figure of the rig.
    Bound(Bind),
}

/// A limit of time; only with a source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TimeStandard {
    /// The limit, up to and including.
    pub within: Quantity,
    /// Event that starts the watch.
    pub starts_at: String,
    /// Event that stops it.
    pub stops_at: String,
    /// Who holds the watch.
    pub watch: String,
    /// Resolution of the watch; the reading is rounded to it before it is compared.
    pub resolution: Quantity,
    /// Whose limit it is.
    pub source: String,
    /// Delays that are not the candidate's and stop the watch.
    pub holds: Vec<String>,
}

/// Attempts and what follows a run that did not meet the standard.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Attempts {
    /// Attempts before the officer must decide.
    pub most: u32,
    /// What is done before a retest.
    pub remediation: String,
    /// How a retest differs: whole drill, new numbers; third try by another evaluator.
    pub retest: String,
    /// Officer to whom a candidate can appeal.
    pub appeal: String,
}
