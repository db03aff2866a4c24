//! Two invented drills and a rig, built by hand, and random run sheets over them.

use std::collections::BTreeMap;

use drillwright::course::{
    CriticalMark, Drill, Mark, Mode, Rig, RunSheet, RunUse, Standard, Stop, StopCause,
    TimeTaken,
};
use drillwright::formulas::{Reach, System};
use drillwright::quantity::Quantity;
use drillwright::quiz::Chance;
use drillwright::scoring::{Kit, KitData, RULES, short_revision};
use drillwright::stock;
use serde_json::{Value, json};

pub(crate) fn q(text: &str) -> Quantity {
    Quantity::read(text).unwrap()
}

const ALL: [&str; 4] = ["walk-through", "plain-water", "training-foam", "agent"];

fn step(id: &str, weight: u32) -> Value {
    json!({
        "step": id, "do": format!("Do {id}."), "why": "Because.", "role": "operator",
        "sees": format!("{id} is seen"), "weight": weight, "modes": ALL,
    })
}

fn critical(id: &str) -> Value {
    json!({
        "critical": id, "role": "operator", "act": format!("Fails by {id}."),
        "reason": format!("It hurts ({id})."), "source": "common practice", "modes": ALL,
    })
}

fn rule(first: &str, then: &str, critical: bool) -> Value {
    let because = format!("{first} makes {then} safe.");
    let critical = if critical { "yes" } else { "no" };
    json!({"first": first, "then": then, "because": because, "critical": critical})
}

fn with(mut value: Value, changes: &Value) -> Value {
    for (key, change) in changes.as_object().unwrap() {
        value[key] = change.clone();
    }
    value
}

fn drill(parts: &Value) -> Drill {
    let base = json!({
        "drill": "hall", "title": "A drill built by hand", "revision": 3,
        "revised-on": "2026-11-01", "task": "Do it.", "given": ["a rig"], "outcome": "Done.",
        "starts-with": {}, "leaves": {}, "agent": "plain-water", "modes": ALL,
        "roles": [
            {"role": "operator", "title": "Operator", "does": "It.", "scored": "yes"},
            {"role": "nozzle", "title": "Nozzle", "does": "Holds.", "scored": "no"},
        ],
        "objectives": [], "cautions": ["one"],
        "physical": "other", "criticals": [critical("alpha"), critical("beta")],
        "stop": {"word": "STOP", "sign": "arms", "safe-state": ["Air off.", "Foam off."]},
        "attempts": {"most": 2, "remediation": "Read.", "retest": "Whole.", "appeal": "Ask."},
    });
    serde_json::from_value(with(base, parts)).unwrap()
}

/// A chain of seven steps with one measured value.
pub(crate) fn chain() -> Drill {
    let ids = ["a", "b", "c", "d", "e", "f", "g"];
    let steps: Vec<Value> =
        ids.iter().zip([3, 1, 2, 1, 3, 2, 1]).map(|(i, w)| step(i, w)).collect();
    let order: Vec<Value> =
        ids.windows(2).map(|pair| rule(pair[0], pair[1], pair == ["e", "f"])).collect();
    drill(&json!({
        "drill": "chain", "steps": steps, "order": order,
        "readings": [
            {"reading": "flow", "label": "Flow", "unit": "gpm", "least": "20 gpm", "most": "500 gpm"},
        ],
        "measures": [{
            "measure": "rate", "label": "Concentrate flow", "how": "shown", "step": "e",
            "expect": {
                "formula": "rate", "with": {"percent": "0.5 %", "flow": "day.flow"},
            },
            "unit": "gpm",
            "tolerance": {"below": "10 % of expected", "above": "0.1 gpm"},
            "resolution": "0.01 gpm", "source": "order 4 (invented)",
        }],
    }))
}

/// Free steps, a step of another role, one that needs a compressor, one that only foam
/// shows, a critical value, a time standard and a step that is not scored.
pub(crate) fn yard() -> Drill {
    let steps = json!([
        step("a", 2),
        step("b", 3),
        step("c", 1),
        step("d", 2),
        with(step("e", 2), &json!({"needs": "compressor"})),
        with(step("f", 1), &json!({"modes": ["training-foam", "agent"]})),
        step("g", 0),
        step("h", 1),
        with(step("n", 3), &json!({"role": "nozzle"})),
    ]);
    let criticals = json!([
        critical("alpha"),
        with(critical("air"), &json!({"needs": "compressor"})),
        with(critical("foam"), &json!({"modes": ["training-foam", "agent"]})),
        with(critical("other"), &json!({"role": "nozzle"})),
    ]);
    let order = json!([
        rule("a", "c", false),
        rule("b", "c", true),
        rule("c", "d", false),
        rule("b", "h", false),
        rule("f", "h", false),
        rule("e", "h", false),
    ]);
    drill(&json!({
        "drill": "yard", "steps": steps, "criticals": criticals, "order": order,
        "readings": [
            {"reading": "ordered", "label": "Percent ordered", "unit": "%", "least": "0.1 %", "most": "6 %"},
            {"reading": "foam", "label": "Foam", "unit": "gal", "least": "0.1 gal", "most": "99 gal"},
            {"reading": "water", "label": "Water", "unit": "gal", "least": "1 gal", "most": "5000 gal"},
        ],
        "measures": [
            {
                "measure": "set", "label": "Percent set", "how": "set", "step": "b",
                "expect": {"value": "day.ordered"}, "unit": "%",
                "tolerance": {"below": "0 %", "above": "0.1 %"},
                "resolution": "0.1 %", "source": "the order given", "critical": "yes",
            },
            {
                "measure": "made", "label": "Percent from totals", "how": "from-totals",
                "step": "d", "expect": {"value": "day.ordered"},
                "measured": {
                    "formula": "made", "with": {"foam": "day.foam", "water": "day.water"},
                },
                "unit": "%",
                "tolerance": {"below": "20 % of expected", "above": "any"},
                "resolution": "0.1 %", "source": "order 4 (invented)",
            },
        ],
        "time": {
            "within": "60 s", "starts-at": "first word", "stops-at": "last word",
            "watch": "evaluator", "resolution": "1 s", "source": "order 9 (invented)",
            "holds": ["radio"],
        },
    }))
}

fn formula(id: &str, givens: &[(&str, &str)], line: &str, shown: &str) -> Value {
    let given = |(name, unit): &(&str, &str)| {
        json!({
            "given": name, "label": name, "unit": unit, "least": format!("0 {unit}"),
            "most": format!("10000 {unit}"),
        })
    };
    json!({
        "formula": id, "title": id, "family": "test",
        "givens": givens.iter().map(given).collect::<Vec<_>>(),
        "work": [{"line": line, "label": "result", "shown": shown}],
        "answers": [{"answer": "result", "label": "result", "shown": shown}],
        "slips": [], "range": "any",
        "sources": [{"source": "test", "status": "common-practice"}],
    })
}

pub(crate) fn reach() -> Reach {
    let formulas = json!([
        formula(
            "made",
            &[("foam", "gal"), ("water", "gal")],
            "result = (foam / (foam + water)) as %",
            "0.01 %"
        ),
        formula(
            "rate",
            &[("percent", "%"), ("flow", "gpm")],
            "result = percent * flow",
            "0.01 gpm"
        ),
    ]);
    serde_json::from_value(json!({"formulas": formulas, "tables": [], "constants": []}))
        .unwrap()
}

pub(crate) fn rig(compressor: bool) -> Rig {
    let compressor =
        compressor.then(|| json!({"air": "120 scfm", "pressure": "125 psi"}));
    let outlet = |id: &str, length: &str| {
        json!({
            "outlet": id, "title": id, "foam": "yes", "hose": "1.75 in",
            "service-test": "300 psi", "length": length, "nozzle": "fog", "flow": "125 gpm",
            "pressure": "100 psi", "air": "yes",
        })
    };
    serde_json::from_value(json!({
        "rig": "engine", "title": "Engine of the fixture (invented)", "about": "Built by hand.",
        "proportioner": {
            "type": "direct-injection", "rating": {"flow": "5 gpm", "at": "250 psi"},
            "basis": "solution", "classes": {},
        },
        "tanks": [], "outlets": [outlet("one", "200 ft"), outlet("two", "250 ft")],
        "compressor": compressor,
        "resolution": {
            "percent": "0.1 %", "foam-total": "0.1 gal", "water-total": "1 gal",
            "pressure": "5 psi", "flow": "5 gpm",
        },
    }))
    .unwrap()
}

pub(crate) fn data(drill: Drill, compressor: bool) -> KitData {
    let standard = Standard {
        rules: RULES,
        drill,
        pass_mark: serde_json::from_value(json!({"value": "80 %", "source": "order 3"})).unwrap(),
        unsafe_acts: serde_json::from_value(json!([
            {"act": "astride", "says": "Stands astride.", "reason": "It whips.", "source": "x"},
            {"act": "gear-off", "says": "Takes gear off.", "reason": "It burns.", "source": "x"},
        ]))
        .unwrap(),
        system: System::Us,
        reach: reach(),
    };
    KitData { standard, rig: rig(compressor), words: stock::words() }
}

pub(crate) fn without_pass_mark(mut data: KitData) -> KitData {
    data.standard.pass_mark = None;
    data
}

pub(crate) fn kit(drill: Drill, compressor: bool) -> Kit {
    assert_eq!(reach().library().1, []);
    Kit::new(data(drill, compressor)).unwrap()
}

/// A sheet on which everything is as it should be.
pub(crate) fn clean(kit: &Kit) -> RunSheet {
    let drill = kit.drill();
    let own = drill.steps.iter().filter(|step| step.role == "operator");
    let value = json!({
        "run": "run-1", "drill": drill.id, "drill-revision": short_revision(kit.drill_revision()),
        "rig": "engine", "rig-revision": short_revision(kit.rig_revision()), "rules": RULES,
        "outlet": "one", "use": "evaluation", "mode": "training-foam", "weather": "dry",
        "light": "day", "performed-at": "2026-11-14 10:20", "attempt": 1,
        "candidate": "ash", "role": "operator", "crew": {"nozzle": "birch"},
        "evaluator": {"person": "cedar", "qualification": "course", "relation": "other station"},
        "safety-officer": "elm", "stop-word": "STOP",
    });
    let mut sheet: RunSheet = serde_json::from_value(value).unwrap();
    sheet.marks = own.clone().map(|step| (step.id.clone(), Mark::Done)).collect();
    sheet.order_seen = Some(own.map(|step| step.id.clone()).collect());
    let order = sheet.order_seen.as_mut().unwrap();
    order.sort_by_key(|id| id == "h");
    let criticals = drill.criticals.iter().filter(|critical| critical.role == "operator");
    sheet.criticals =
        criticals.map(|critical| (critical.id.clone(), CriticalMark::Kept)).collect();
    let values = |list: &[(&str, &str)]| -> BTreeMap<String, Quantity> {
        list.iter().map(|(id, text)| ((*id).to_owned(), q(text))).collect()
    };
    if drill.id == "chain" {
        sheet.readings = values(&[("flow", "125 gpm")]);
        sheet.measures = values(&[("rate", "0.63 gpm")]);
    } else {
        sheet.readings =
            values(&[("ordered", "0.5 %"), ("foam", "4.4 gal"), ("water", "870 gal")]);
        sheet.measures = values(&[("set", "0.5 %")]);
        sheet.time = Some(TimeTaken { taken: q("63 s"), held: Some(q("5 s")) });
    }
    sheet
}

/// A random sheet without faults.
pub(crate) fn random(kit: &Kit, chance: &mut Chance) -> RunSheet {
    let mut sheet = clean(kit);
    let modes = [Mode::WalkThrough, Mode::PlainWater, Mode::TrainingFoam, Mode::Agent];
    sheet.mode = modes[chance.place(4)];
    let mild = chance.below(2) == 0;
    let lacking = |id: &str| {
        let step = kit.drill().steps.iter().find(|step| step.id == id).unwrap();
        step.needs.is_some() && kit.rig().compressor.is_none()
    };
    for (id, mark) in &mut sheet.marks {
        *mark = match chance.below(if mild { 40 } else { 8 }) {
            0 => Mark::NotDone,
            1 => Mark::Prompted,
            2 => Mark::NotSeen,
            3 if lacking(id) => Mark::NotApplicable,
            _ => Mark::Done,
        };
    }
    if chance.below(8) == 0 {
        let ids: Vec<String> = sheet.marks.keys().cloned().collect();
        sheet.marks.remove(&ids[chance.place(ids.len())]);
    }
    for (id, mark) in &mut sheet.criticals {
        let condition = id != "air" || kit.rig().compressor.is_some();
        *mark = match chance.below(if mild { 60 } else { 10 }) {
            0 if condition => CriticalMark::Missed,
            1 if condition => CriticalMark::Prompted,
            2 => CriticalMark::NotSeen,
            3 if !condition => CriticalMark::NotApplicable,
            _ => CriticalMark::Kept,
        };
    }
    random_order(kit, &mut sheet, chance);
    if chance.below(20) == 0 {
        sheet.unsafe_acts = vec!["gear-off".into(), "astride".into()];
    }
    if chance.below(15) == 0 {
        let why = "A hose came loose".to_owned();
        sheet.stop = Some(Stop { by: "elm".into(), why, cause: StopCause::Equipment });
    }
    if chance.below(10) == 0 {
        sheet.use_ = RunUse::Practice;
    }
    if let Some(value) = sheet.measures.get_mut("rate") {
        *value = q(&format!("0.{} gpm", 55 + chance.below(20)));
    }
    if let Some(value) = sheet.measures.get_mut("set") {
        *value = q(["0.5 %", "0.6 %", "0.5 %", "0.4 %"][chance.place(4)]);
    }
    if let Some(value) = sheet.readings.get_mut("foam") {
        *value = q(&format!("{}.{} gal", 2 + chance.below(6), chance.below(10)));
    }
    if let Some(time) = &mut sheet.time {
        time.taken = q(&format!("{} s", 40 + chance.below(30)));
    }
    sheet
}

fn random_order(kit: &Kit, sheet: &mut RunSheet, chance: &mut Chance) {
    let performed: Vec<String> = kit
        .drill()
        .steps
        .iter()
        .filter(|step| {
            matches!(sheet.marks.get(&step.id), Some(Mark::Done | Mark::Prompted))
        })
        .map(|step| step.id.clone())
        .collect();
    match chance.below(3) {
        0 => {
            sheet.order_seen = None;
            let mut marked = performed;
            marked.retain(|_| chance.below(5) == 0);
            sheet.out_of_order = marked;
        }
        1 => {
            let mut order = performed;
            order.sort_by_key(|id| id == "h");
            sheet.order_seen = Some(order);
        }
        _ => {
            let mut order = performed;
            chance.shuffle(&mut order);
            sheet.order_seen = Some(order);
        }
    }
}
