//! A run sheet.

use std::collections::BTreeMap;

use super::drill::MODES;
use crate::course::{
    CriticalMark, Evaluator, Mark, RunSheet, RunUse, Stop, StopCause, TimeTaken,
};
use crate::findings::{Code, Finding};
use crate::quantity::{Dimension, Quantity};
use crate::wire::Fields;
use crate::wire::Item;
use crate::wire::Shape;

/// One run of one drill by one candidate, laid out flat.
#[expect(clippy::too_many_lines, reason = "one line for each field of the sheet")]
pub(in crate::authoring) fn run_sheet(item: Item<'_>) -> Option<RunSheet> {
    let fields = item.fields()?;
    let id = |name| fields.need(name).and_then(|item: Item<'_>| item.id());
    let (run, drill, rig, outlet) = (id("run"), id("drill"), id("rig"), id("outlet"));
    let (candidate, role) = (id("candidate"), id("role"));
    let safety_officer = id("safety-officer");
    let use_ = fields.need("use").and_then(|item| item.word(RunUse::ALL));
    let mode = fields.need("mode").and_then(|item| item.word(MODES));
    let text = |name| fields.need_text(name);
    let (weather, light, stop_word) = (text("weather"), text("light"), text("stop-word"));
    let performed_at = fields.need("performed-at").and_then(|item| item.moment());
    let entered_at = fields.may("entered-at").and_then(|item| item.moment());
    let attempt = fields.need("attempt").and_then(|item| item.whole());
    let crew = named(&fields, "crew", |item| item.id());
    let evaluator = fields.need("evaluator").and_then(evaluator);
    let marks = named(&fields, "marks", |item| item.word(Mark::ALL));
    let criticals = named(&fields, "criticals", |item| item.word(CriticalMark::ALL));
    let readings = named(&fields, "readings", quantity_with_unit);
    let measures = named(&fields, "measures", quantity_with_unit);
    let order_seen = fields.may("order-seen").map(|item| item.ids());
    // What a run carries to be scored by is read where kits are.
    let _kit = fields.may("kit").is_some();
    // Nor is the log of a live sheet: it tells how the sheet came about.
    let _log = fields.may("log").is_some();
    let sheet = Some(RunSheet {
        id: run.unwrap_or_default(),
        chain: fields.may("chain").and_then(|item| item.id()),
        drill: drill.clone().unwrap_or_default(),
        drill_revision: fields.may_text("drill-revision"),
        rig: rig.clone().unwrap_or_default(),
        rig_revision: fields.may_text("rig-revision"),
        rules: fields.may("rules").and_then(|item| item.whole()),
        outlet: outlet.clone().unwrap_or_default(),
        use_: use_.unwrap_or(RunUse::Practice),
        mode: mode.unwrap_or(crate::course::Mode::WalkThrough),
        weather: weather.unwrap_or_default(),
        light: light.unwrap_or_default(),
        performed_at: performed_at.clone().unwrap_or_default(),
        entered_at,
        attempt: attempt.unwrap_or(1),
        candidate: candidate.clone().unwrap_or_default(),
        role: role.clone().unwrap_or_default(),
        crew,
        evaluator: evaluator.clone().unwrap_or_else(|| Evaluator {
            person: String::new(),
            qualification: String::new(),
            relation: String::new(),
        }),
        safety_officer: safety_officer.clone().unwrap_or_default(),
        stop_word: stop_word.unwrap_or_default(),
        marks,
        order_seen,
        out_of_order: fields.may_ids("out-of-order"),
        criticals,
        unsafe_acts: fields.may_ids("unsafe-acts"),
        readings,
        measures,
        time: fields.may("time").and_then(time),
        stop: fields.may("stop").and_then(stop),
        void: fields.may_text("void"),
        remediation: fields.may_text("remediation"),
        words: fields.may_text("words"),
        notes: fields.may_text("notes"),
    });
    fields.finish();
    // A sheet whose heart is missing is not scored; its faults have been noted.
    let whole = drill.is_some()
        && rig.is_some()
        && outlet.is_some()
        && use_.is_some()
        && mode.is_some()
        && candidate.is_some()
        && role.is_some()
        && evaluator.is_some()
        && safety_officer.is_some()
        && performed_at.is_some()
        && attempt.is_some();
    sheet.filter(|_| whole)
}

/// A map from ids to values; without the field, nothing.
pub(super) fn named<T>(
    fields: &Fields<'_>,
    name: &'static str,
    read: impl Fn(Item<'_>) -> Option<T>,
) -> BTreeMap<String, T> {
    let Some(item) = fields.may(name) else { return BTreeMap::new() };
    let Shape::Map(entries) = &item.node.shape else {
        let _none = item.fields().is_none();
        return BTreeMap::new();
    };
    let _doubles = item.fields().is_some();
    let read_all = entries.iter().filter_map(|(key, node)| {
        Some((key.text.clone(), read(Item { node, name: &key.text, ..item })?))
    });
    read_all.collect()
}

fn quantity_with_unit(item: Item<'_>) -> Option<Quantity> {
    item.any_quantity()
}

pub(super) fn evaluator(item: Item<'_>) -> Option<Evaluator> {
    let fields = item.fields()?;
    let person = fields.need("person").and_then(|item| item.id());
    let qualification = fields.need_text("qualification");
    let relation = fields.need_text("relation");
    fields.finish();
    Some(Evaluator {
        person: person?,
        qualification: qualification?,
        relation: relation?,
    })
}

/// The time taken, or what the watch showed at the start and at the stop.
fn time(item: Item<'_>) -> Option<TimeTaken> {
    let fields = item.fields()?;
    let seconds = |item: Item<'_>| item.quantity(Dimension::TIME, "55 s");
    let held = fields.may("held").and_then(seconds);
    if !fields.has("start") && !fields.has("stop") {
        let taken = fields.need("taken").and_then(seconds);
        fields.finish();
        return Some(TimeTaken { taken: taken?, held });
    }
    let start = fields.need("start").and_then(seconds);
    let stop = fields.need("stop").and_then(seconds);
    fields.finish();
    let (start, stop) = start.zip(stop)?;
    if stop.base().compare(start.base()).is_lt() {
        let finding = Finding::at(Code::StopBeforeStart, fields.value("stop"));
        let finding = finding.with("start", start.printed());
        fields.note(finding.with("stop", stop.printed()));
        return None;
    }
    let from = start.in_unit(stop.unit())?.number();
    let taken = Quantity::new(stop.number().sub(from)?, stop.unit());
    Some(TimeTaken { taken, held })
}

fn stop(item: Item<'_>) -> Option<Stop> {
    let fields = item.fields()?;
    let by = fields.need("by").and_then(|item| item.id());
    let why = fields.need_text("why");
    let cause = fields.need("cause").and_then(|item| item.word(StopCause::ALL));
    fields.finish();
    Some(Stop { by: by?, why: why?, cause: cause? })
}
