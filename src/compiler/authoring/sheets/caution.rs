//! Cautions and unsafe acts.

use crate::course::{Caution, Signal, UnsafeAct};
use crate::wire::Item;

const SIGNALS: &[(&str, Signal)] = &[
    ("DANGER", Signal::Danger),
    ("WARNING", Signal::Warning),
    ("CAUTION", Signal::Caution),
    ("NOTICE", Signal::Notice),
];

/// `cautions.yaml`: the cautions in the order they stand.
pub(in crate::authoring) fn cautions(item: Item<'_>) -> Vec<Caution> {
    item.list().into_iter().filter_map(caution).collect()
}

fn caution(item: Item<'_>) -> Option<Caution> {
    let fields = item.fields()?;
    let id = fields.need("caution").and_then(|item| item.id());
    let signal = fields.need("signal").and_then(|item| item.word(SIGNALS));
    let headline = fields.need_text("headline");
    let hazard = fields.need_text("hazard");
    let control = fields.need_text("control");
    let source = fields.need_text("source");
    let general = fields.may("general").and_then(|item| item.yes_no()).unwrap_or(false);
    fields.finish();
    Some(Caution {
        id: id?,
        signal: signal?,
        headline: headline?,
        hazard: hazard?,
        control: control?,
        source: source?,
        general,
    })
}

/// `unsafe-acts.yaml` of the trade library.
pub(in crate::authoring) fn unsafe_acts(item: Item<'_>) -> Vec<UnsafeAct> {
    item.list().into_iter().filter_map(unsafe_act).collect()
}

fn unsafe_act(item: Item<'_>) -> Option<UnsafeAct> {
    let fields = item.fields()?;
    let id = fields.need("act").and_then(|item| item.id());
    let act = fields.need_text("says");
    let reason = fields.need_text("reason");
    let source = fields.need_text("source");
    fields.finish();
    Some(UnsafeAct { id: id?, act: act?, reason: reason?, source: source? })
}
