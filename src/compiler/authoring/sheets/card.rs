//! `trade/cards.yaml`: what rig cards work out.

use super::feed::feed;
use crate::course::{CardFor, CardLine, Cards, PercentBasis};
use crate::wire::{Item, read};

const EACH: &[(&str, CardFor)] =
    &[("outlet", CardFor::Outlet), ("preset", CardFor::Preset), ("line", CardFor::Line)];
const BASES: &[(&str, PercentBasis)] =
    &[("solution", PercentBasis::Solution), ("water", PercentBasis::Water)];

/// The cautions of a card and its lines in the order of the file.
pub(in crate::authoring) fn cards(item: Item<'_>) -> Option<Cards> {
    let fields = item.fields()?;
    let cautions = fields.may_ids("cautions");
    let lines = fields.need("lines").map(|item| item.list()).unwrap_or_default();
    let lines = lines.into_iter().filter_map(line).collect();
    fields.finish();
    Some(Cards { cautions, lines })
}

fn line(item: Item<'_>) -> Option<CardLine> {
    let fields = item.fields()?;
    let id = fields.need("card").and_then(|item| item.id());
    let each = fields.need("for").and_then(|item| item.word(EACH));
    let basis = fields.may("basis").and_then(|item| item.word(BASES));
    let label = fields.need_text("label");
    let needs = fields.may("needs").and_then(read);
    let instead = fields.may_text("else");
    let feed = feed(&fields);
    let verdict = fields.may("verdict").and_then(|item| item.yes_no()).unwrap_or(false);
    fields.finish();
    Some(CardLine {
        id: id?,
        each: each?,
        basis,
        label: label?,
        needs,
        instead,
        feed: feed?,
        verdict,
    })
}
