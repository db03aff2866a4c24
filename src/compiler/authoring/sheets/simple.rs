//! Objectives and terms: flat lists.

use crate::course::{Objective, Term};
use crate::wire::Item;

/// `objectives.yaml`.
pub(in crate::authoring) fn objectives(item: Item<'_>) -> Vec<Objective> {
    item.list().into_iter().filter_map(objective).collect()
}

fn objective(item: Item<'_>) -> Option<Objective> {
    let fields = item.fields()?;
    let id = fields.need("objective").and_then(|item| item.id());
    let condition = fields.need_text("condition");
    let performance = fields.need_text("performance");
    let standard = fields.need_text("standard");
    let serves = fields.may_text("serves");
    fields.finish();
    Some(Objective {
        id: id?,
        condition: condition?,
        performance: performance?,
        standard: standard?,
        serves,
    })
}

/// `terms.yaml`.
pub(in crate::authoring) fn terms(item: Item<'_>) -> Vec<Term> {
    item.list().into_iter().filter_map(term).collect()
}

fn term(item: Item<'_>) -> Option<Term> {
    let fields = item.fields()?;
    let id = fields.need("term").and_then(|item| item.id());
    let (term, meaning) = (fields.need_text("word"), fields.need_text("means"));
    fields.finish();
    Some(Term { id: id?, term: term?, meaning: meaning? })
}
