//! A question of a kit, drawn.

use std::collections::BTreeSet;

use super::kit::Opened;
use crate::course::Question;
use crate::quiz::{Prepared, Ticket, Variant};

/// A variant of a question, or nothing when the question makes none.
pub(super) fn draw(
    opened: &Opened,
    question: &Question,
    ticket: Ticket<'_>,
) -> Option<Variant> {
    let prepared = Prepared::of(question, opened.quiz()).ok()?;
    prepared.variant(ticket, 1, &BTreeSet::new()).ok()
}
