//! The field of a chart, and what its curves share.

use super::scale::Scale;
use crate::course::{Figures, Reckoning};
use crate::formulas::System;
use crate::publish::frame::Shared;
use crate::quantity::Unit;

/// Left, top, width and height of the field, in the units of every drawing, 336 wide: room for
/// "2800 kPa" on the left, the name of the axis and of the example above, and the names of the
/// curves on the right.
pub(super) const LEFT: i64 = 58;
pub(super) const TOP: i64 = 50;
pub(super) const WIDTH: i64 = 180;
pub(super) const HEIGHT: i64 = 180;
/// Intervals between the points of a curve: about three steps of the field each, so that no
/// corner of a curve is seen on paper.
pub(super) const POINTS: i128 = 96;

/// What the curves of one chart share.
pub(super) struct Drawing<'d> {
    pub(super) shared: &'d Shared<'d>,
    pub(super) figures: Figures,
    pub(super) basis: Option<Reckoning>,
    pub(super) system: System,
    pub(super) across: Scale,
    pub(super) unit: &'static Unit,
    pub(super) unit_up: &'static Unit,
}
