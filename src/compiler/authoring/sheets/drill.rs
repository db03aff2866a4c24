//! A drill.

use super::lesson::three_cautions;
use super::marking::{attempts, critical, measure, order_rule, reading, time, words};
use crate::course::{
    AgentUse, Air, Drill, DrillState, Foam, Line, Mode, Physical, Pump, Radio, Role,
    Step, StopPlan, Totals,
};
use crate::findings::{Code, Finding};
use crate::wire::Fields;
use crate::wire::Item;

pub(super) const MODES: &[(&str, Mode)] = &[
    ("walk-through", Mode::WalkThrough),
    ("plain-water", Mode::PlainWater),
    ("training-foam", Mode::TrainingFoam),
    ("agent", Mode::Agent),
];
const AGENTS: &[(&str, AgentUse)] =
    &[("plain-water", AgentUse::PlainWater), ("training-foam", AgentUse::TrainingFoam)];
const PHYSICAL: &[(&str, Physical)] = &[
    ("flush", Physical::Flush),
    ("purge", Physical::Purge),
    ("refill", Physical::Refill),
    ("climb", Physical::Climb),
    ("other", Physical::Other),
];
const PUMPS: &[(&str, Pump)] = &[("off", Pump::Off), ("engaged", Pump::Engaged)];
const LINES: &[(&str, Line)] = &[
    ("empty", Line::Empty),
    ("charged", Line::Charged),
    ("flowing", Line::Flowing),
    ("drained", Line::Drained),
];
const AIRS: &[(&str, Air)] = &[("off", Air::Off), ("on-if-fitted", Air::OnIfFitted)];
const FOAMS: &[(&str, Foam)] = &[("off", Foam::Off), ("on", Foam::On)];
const TOTALS: &[(&str, Totals)] = &[
    ("fresh", Totals::Fresh),
    ("running", Totals::Running),
    ("recorded", Totals::Recorded),
];

/// `drills/ID.yaml`.
#[expect(clippy::too_many_lines, reason = "one line for each field of the sheet")]
pub(in crate::authoring) fn drill(item: Item<'_>) -> Option<Drill> {
    let fields = item.fields()?;
    let id = fields.need("drill").and_then(|item| item.id());
    let title = fields.need_text("title");
    let revision = fields.need("revision").and_then(|item| item.whole());
    let revised_on = fields.need("revised-on").and_then(|item| item.date());
    let (task, outcome) = (fields.need_text("task"), fields.need_text("outcome"));
    let given = fields.need("given").map(|item| item.texts()).unwrap_or_default();
    let starts_with = fields.need("starts-with").and_then(state);
    let leaves = fields.need("leaves").and_then(state);
    let agent = fields.need("agent").and_then(|item| item.word(AGENTS));
    let runoff = fields.may_text("runoff");
    let needs = fields.may("needs").and_then(|item| item.id());
    let modes = fields.need("modes").map(|item| words(item, MODES)).unwrap_or_default();
    let physical = fields.may("physical").and_then(|item| item.word(PHYSICAL));
    let recirculates = fields.may("recirculates").and_then(|item| item.id());
    let list =
        |name| fields.need(name).map(|item: Item<'_>| item.list()).unwrap_or_default();
    let may =
        |name| fields.may(name).map(|item: Item<'_>| item.list()).unwrap_or_default();
    let roles = list("roles").into_iter().filter_map(role).collect();
    let objectives = fields.need("objectives").map(|item| item.ids()).unwrap_or_default();
    let cautions = three_cautions(&fields);
    let local = fields.may_ids("local");
    let steps = list("steps").into_iter().filter_map(|item| step(item, &modes)).collect();
    let written = list("criticals");
    if let Some(sixth) = written.get(5) {
        let place = sixth.fields().map_or_else(|| sixth.place(), |f| f.value("critical"));
        let finding = Finding::at(Code::TooManyCriticals, place);
        fields.note(finding.with("found", written.len().to_string()));
    }
    let criticals =
        written.into_iter().filter_map(|item| critical(item, &modes)).collect();
    let order = may("order").into_iter().filter_map(order_rule).collect();
    let readings = may("readings").into_iter().filter_map(reading).collect();
    let measures = may("measures").into_iter().filter_map(measure).collect();
    let time = fields.may("time").and_then(time);
    let stop = fields.need("stop").and_then(stop);
    let attempts = attempts(&fields);
    fields.finish();
    Some(Drill {
        id: id?,
        title: title?,
        revision: revision?,
        revised_on: revised_on?,
        task: task?,
        given,
        outcome: outcome?,
        starts_with: starts_with?,
        leaves: leaves?,
        agent: agent?,
        runoff,
        needs,
        modes,
        roles,
        objectives,
        cautions,
        local,
        recirculates,
        physical: physical.unwrap_or(Physical::Other),
        steps,
        criticals,
        order,
        readings,
        measures,
        time,
        stop: stop?,
        attempts: attempts?,
    })
}

fn state(item: Item<'_>) -> Option<DrillState> {
    let fields = item.fields()?;
    let state = DrillState {
        pump: fields.may("pump").and_then(|item| item.word(PUMPS)),
        line: fields.may("line").and_then(|item| item.word(LINES)),
        air: fields.may("air").and_then(|item| item.word(AIRS)),
        foam: fields.may("foam").and_then(|item| item.word(FOAMS)),
        totals: fields.may("totals").and_then(|item| item.word(TOTALS)),
    };
    fields.finish();
    Some(state)
}

fn role(item: Item<'_>) -> Option<Role> {
    let fields = item.fields()?;
    let id = fields.need("role").and_then(|item| item.id());
    let (title, does) = (fields.need_text("title"), fields.need_text("does"));
    let scored = fields.need("scored").and_then(|item| item.yes_no());
    fields.finish();
    Some(Role { id: id?, title: title?, does: does?, scored: scored? })
}

fn step(item: Item<'_>, modes: &[Mode]) -> Option<Step> {
    let fields = item.fields()?;
    let id = fields.need("step").and_then(|item| item.id());
    let (action, why) = (fields.need_text("do"), fields.need_text("why"));
    let hazard = fields.may_text("hazard");
    let role = fields.need("role").and_then(|item| item.id());
    let sees = fields.need_text("sees");
    let weight = fields.need("weight").and_then(weight);
    let own = fields.may("modes").map(|item| words(item, MODES));
    let needs = fields.may("needs").and_then(|item| item.id());
    let radio = fields.may("radio").and_then(radio);
    let local = fields.may("local").and_then(|item| item.id());
    fields.finish();
    Some(Step {
        id: id?,
        action: action?,
        why: why?,
        hazard,
        role: role?,
        sees: sees?,
        weight: weight?,
        modes: own.unwrap_or_else(|| modes.to_vec()),
        needs,
        radio,
        local,
    })
}

fn weight(item: Item<'_>) -> Option<u32> {
    let weight = item.whole()?;
    if weight > 3 {
        let finding = item.fault(Code::WeightOutside).with("found", weight.to_string());
        item.desk.note(finding);
        return None;
    }
    Some(weight)
}

fn radio(item: Item<'_>) -> Option<Radio> {
    let fields = item.fields()?;
    let (call, answer) = (fields.need_text("call"), fields.need_text("answer"));
    let content = fields.need("content").map(|item| item.texts()).unwrap_or_default();
    fields.finish();
    Some(Radio { call: call?, answer: answer?, content })
}

fn stop(item: Item<'_>) -> Option<StopPlan> {
    let fields: Fields<'_> = item.fields()?;
    let (word, sign) = (fields.need_text("word"), fields.need_text("sign"));
    let safe_state =
        fields.need("safe-state").map(|item| item.texts()).unwrap_or_default();
    fields.finish();
    Some(StopPlan { word: word?, sign: sign?, safe_state })
}
