//! The field of a chart, and what its curves share.

use super::scale::Scale;
use crate::course::{Figures, Reckoning};
use crate::formulas::System;
use crate::publish::frame::Shared;
use crate::quantity::Unit;

/// Left, top, width and height of the field, in the picture's own steps of 360 by 250: room for
/// four digits on the left and two lines of text below it.
pub(super) const LEFT: i128 = 44;
pub(super) const TOP: i128 = 20;
pub(super) const WIDTH: i128 = 304;
pub(super) const HEIGHT: i128 = 186;
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
