//! Two invented drills and a rig, built by hand.

use drillwright::course::{Drill, Rig, RunSheet, Standard, TimeTaken};
use drillwright::formulas::{Reach, System};
use drillwright::quantity::Quantity;
use drillwright::scoring::{Kit, KitData, RULES};
use drillwright::stock;
use serde_json::{Value, json};

use super::sheets::honest;

pub(crate) fn q(text: &str) -> Quantity {
    Quantity::read(text).unwrap()
}

const ALL: [&str; 4] = ["walk-through", "plain-water", "training-foam", "agent"];
const FOAM: [&str; 2] = ["training-foam", "agent"];

fn step(id: &str, weight: u32) -> Value {
    json!({
        "step": id, "do": format!("Do {id}."), "why": "Because.", "role": "operator",
        "sees": format!("{id} is seen"), "weight": weight, "modes": ALL,
    })
}

fn critical(id: &str, links: &Value) -> Value {
    json!({
        "critical": id, "role": "operator", "act": format!("Failed by {id}."),
        "reason": format!("It hurts ({id})."), "source": "common practice",
        "modes": ["plain-water", "training-foam", "agent"], "links": links,
    })
}

fn rule(first: &str, then: &str) -> Value {
    let because = format!("{first} makes {then} safe.");
    json!({"first": first, "then": then, "because": because})
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
            {"role": "nozzle", "title": "Nozzle", "does": "Holds.", "scored": "yes",
             "holders": 1, "with-air": 2},
            {"role": "officer", "title": "Officer", "does": "Orders.", "scored": "no",
             "scripted": "yes"},
        ],
        "objectives": [], "cautions": ["one"],
        "physical": "other",
        "stop": {"word": "STOP", "sign": "arms", "safe-state": ["Air off.", "Foam off."]},
        "attempts": {"most": 2, "remediation": "Read.", "retest": "Whole.", "appeal": "Ask."},
    });
    serde_json::from_value(with(base, parts)).unwrap()
}

/// A chain of seven steps with one measured value. E before f decides; all else costs.
pub(crate) fn chain() -> Drill {
    let ids = ["a", "b", "c", "d", "e", "f", "g"];
    let steps: Vec<Value> =
        ids.iter().zip([3, 1, 2, 1, 3, 2, 1]).map(|(i, w)| step(i, w)).collect();
    let pairs = ids.windows(2).filter(|pair| *pair != ["e", "f"]);
    let order: Vec<Value> = pairs.map(|pair| rule(pair[0], pair[1])).collect();
    let criticals = json!([
        critical("alpha", &json!([{"order": "e", "then": ["f"]}])),
        critical("beta", &json!([{"free": "Only the evaluator sees it."}])),
    ]);
    drill(&json!({
        "drill": "chain", "steps": steps, "order": order, "criticals": criticals,
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

fn reading(id: &str, least: &str, most: &str, is: &str) -> Value {
    let unit = least.split_once(' ').unwrap().1;
    json!({"reading": id, "label": id, "unit": unit, "least": least, "most": most, "is": is})
}

fn measured(id: &str, step: &str, value: &str, around: [&str; 2], is: &str) -> Value {
    let unit = around[0].split_once(' ').unwrap().1;
    let resolution = match unit {
        "%" => "0.1 %",
        "min" => "1 min",
        _ => "5 psi",
    };
    json!({
        "measure": id, "label": id, "how": "set", "step": step, "unit": unit,
        "expect": {"value": format!("day.{value}")}, "resolution": resolution,
        "tolerance": {"below": around[0], "above": around[1]}, "source": "order 4 (invented)",
        "least": format!("0 {unit}"), "most": format!("600 {unit}"), "is": is,
    })
}

/// Free steps, one of another role, one that needs a compressor, one that only foam shows, one
/// that answers a cue; every sort of link; every value that a common limit rests on.
#[expect(clippy::too_many_lines, reason = "a drill, written out")]
pub(crate) fn yard() -> Drill {
    let steps = json!([
        step("a", 2),
        step("b", 3),
        step("c", 1),
        step("d", 2),
        with(step("e", 2), &json!({"needs": "compressor"})),
        with(step("f", 1), &json!({"modes": FOAM})),
        step("g", 0),
        step("h", 1),
        with(step("k", 2), &json!({"cue": "lost", "modes": FOAM})),
        with(step("n", 3), &json!({"role": "nozzle"})),
    ]);
    let criticals = json!([
        critical("alpha", &json!([{"order": "b", "then": ["c", "h"]}])),
        with(critical("air", &json!([{"holds": "e"}])), &json!({"needs": "compressor"})),
        with(
            critical(
                "foam",
                &json!([
                    {"order": "f", "then": ["h"]},
                    {"cue": "lost", "answered-by": "k"},
                ])
            ),
            &json!({"modes": FOAM}),
        ),
        critical("bar", &json!([{"limit": "press", "unless-reported": "yes"}])),
        with(
            critical("other", &json!([{"order": "a", "then": ["n"]}])),
            &json!({"role": "nozzle"}),
        ),
    ]);
    let order = json!([rule("a", "c"), rule("c", "d"), rule("e", "h"), rule("d", "h")]);
    drill(&json!({
        "drill": "yard", "steps": steps, "criticals": criticals, "order": order,
        "cues": [{"cue": "lost", "says": "Foam lost.", "modes": FOAM}],
        "readings": [
            reading("ordered", "0.1 %", "6 %", "percent-ordered"),
            reading("flow", "20 gpm", "900 gpm", "flow"),
            {"reading": "foam", "label": "Foam", "unit": "gal", "least": "0.1 gal", "most": "99 gal"},
            {"reading": "water", "label": "Water", "unit": "gal", "least": "1 gal", "most": "5000 gal"},
            {"reading": "line", "label": "Line", "unit": "psi", "least": "1 psi", "most": "600 psi"},
            {"reading": "end", "label": "True minutes", "unit": "min", "least": "1 min", "most": "90 min"},
            {"reading": "floor", "label": "Floor", "unit": "psi", "least": "1 psi", "most": "90 psi"},
        ],
        "measures": [
            with(
                measured("set", "b", "ordered", ["0 %", "0.1 %"], "percent-set"),
                &json!({"critical": "yes", "most": "10 %"}),
            ),
            {
                "measure": "made", "label": "Percent from totals", "how": "from-totals",
                "step": "d", "expect": {"value": "day.ordered"},
                "measured": {
                    "formula": "made", "with": {"foam": "day.foam", "water": "day.water"},
                },
                "unit": "%", "whose": "rig",
                "tolerance": {"below": "20 % of expected", "above": "any"},
                "resolution": "0.1 %", "source": "order 4 (invented)",
            },
            with(
                measured("press", "d", "line", ["10 psi", "10 psi"], "pump-pressure"),
                &json!({"limit": {"below": "30 psi", "above": "30 psi"}}),
            ),
            measured("told", "h", "end", ["1 min", "0 min"], "minutes-told"),
            measured("in", "a", "floor", ["5 psi", "200 psi"], "intake-pressure"),
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
            "result = foam / (foam + water)",
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
        "checked": {"by": "shop", "on": "2026-10-01"},
        "proportioner": {
            "type": "direct-injection", "rating": {"flow": "5 gpm", "at": "250 psi"},
            "basis": "solution",
            "classes": {"A": {"from": "0.1 %", "to": "1 %", "step": "0.1 %", "presets": []}},
        },
        "intake-floor": "20 psi",
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
        bases: Vec::new(),
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
    KitData {
        standard,
        rig: rig(compressor),
        nozzle: None,
        reread: Vec::new(),
        words: stock::words(),
    }
}

pub(crate) fn without_pass_mark(mut data: KitData) -> KitData {
    data.standard.pass_mark = None;
    data
}

pub(crate) fn kit(drill: Drill, compressor: bool) -> Kit {
    let all = reach();
    assert_eq!(all.library(&stock::words()).formulas().count(), all.formulas.len());
    Kit::new(data(drill, compressor)).unwrap()
}

/// A sheet on which everything is as it should be, with what the fixture's days were like.
pub(crate) fn clean(kit: &Kit) -> RunSheet {
    let mut sheet = honest(kit, "operator", "one");
    if kit.drill().id == "yard" {
        sheet.time = Some(TimeTaken { taken: q("63 s"), held: Some(q("5 s")) });
    }
    sheet
}
