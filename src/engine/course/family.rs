//! Families of formulas, and the charts that show them.

use serde::Serialize;

use crate::formulas::ExampleGiven;

/// A family of formulas with a page of its own.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Family {
    /// Id, as formulas name it.
    pub id: String,
    /// Title.
    pub title: String,
    /// What it is about.
    pub about: String,
    /// Cautions of its page.
    pub cautions: Vec<String>,
    /// Charts.
    #[serde(skip)]
    pub charts: Vec<Chart>,
}

/// For what a chart is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Each {
    /// Once, with the values that are written.
    Once,
    /// For every rig that has the figures, with its first foam line.
    Rig,
}

/// A chart: curves of formulas along one given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chart {
    /// Id.
    pub id: String,
    /// Title.
    pub title: String,
    /// What it tells.
    pub about: String,
    /// For what it is drawn.
    pub each: Each,
    /// The given along which it runs.
    pub across: Axis,
    /// What the curves tell.
    pub up: Axis,
    /// Curves, each with a letter; at most four.
    pub curves: Vec<Curve>,
    /// Whether the foam lines of the rig are marked at their flows.
    pub lines: bool,
}

/// One axis.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Axis {
    /// What it measures.
    pub label: String,
    /// Unit in US modules.
    pub unit: String,
    /// Unit in metric modules.
    pub unit_si: String,
    /// Where it begins; 0 when nothing is said.
    pub from: Option<ExampleGiven>,
    /// Where it ends; above the highest value when nothing is said.
    pub to: Option<ExampleGiven>,
}

/// One curve.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Curve {
    /// What it tells.
    pub label: String,
    /// Formula.
    pub formula: String,
    /// Answer; the principal one when nothing is said.
    pub answer: Option<String>,
    /// The given that runs along the axis.
    pub along: String,
    /// The other givens.
    pub with: Vec<ExampleGiven>,
}
