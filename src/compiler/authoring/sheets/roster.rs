//! Who is due.

use super::run::{evaluator, named};
use crate::course::Due;
use crate::wire::Item;

/// `roster.yaml`: a list of sheets to be printed with the names on them.
pub(in crate::authoring) fn roster(item: Item<'_>) -> Vec<Due> {
    item.list().into_iter().filter_map(due).collect()
}

fn due(item: Item<'_>) -> Option<Due> {
    let fields = item.fields()?;
    let id = |name| fields.need(name).and_then(|item: Item<'_>| item.id());
    let (drill, rig) = (id("drill"), id("rig"));
    let (candidate, role) = (id("candidate"), id("role"));
    let run = fields.may("run").and_then(|item| item.id());
    let attempt = fields.may("attempt").and_then(|item| item.whole());
    let crew = named(&fields, "crew", |item| item.id());
    let evaluator = fields.may("evaluator").and_then(evaluator);
    let safety_officer = fields.may("safety-officer").and_then(|item| item.id());
    fields.finish();
    Some(Due {
        drill: drill?,
        rig: rig?,
        candidate: candidate?,
        role: role?,
        run,
        attempt,
        crew,
        evaluator,
        safety_officer,
    })
}
