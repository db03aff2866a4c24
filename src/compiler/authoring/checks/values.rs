//! Quantities against each other, in exact arithmetic where they are exact.

use std::cmp::Ordering;

use crate::quantity::{Fraction, Quantity};

/// Whether the first is larger; both measure the same.
pub(super) fn above(a: &Quantity, b: &Quantity) -> bool {
    a.dimension() == b.dimension() && a.base().compare(b.base()) == Ordering::Greater
}

/// Whether a value lies from the first to the second of two others.
pub(super) fn within(value: &Quantity, least: &Quantity, most: &Quantity) -> bool {
    !above(value, most) && !above(least, value)
}

/// Whether a value is a whole number of steps; so when it cannot be told exactly.
pub(super) fn whole_steps(value: &Quantity, step: &Quantity) -> bool {
    let both = value.base().settled().zip(step.base().settled());
    both.and_then(|(value, step)| value.div(step)).is_none_or(Fraction::is_whole)
}
