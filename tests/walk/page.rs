//! What a walk's page holds and does not hold, and taps that were meant for something else.

use drillwright::publish::{Shared, page, plan};
use drillwright::scoring::runs_on;
use drillwright::stock;
use serde_json::{Value, json};

use super::Tab;

const SEED: &str = "4F7K-2M9Q";

fn pages(course: &drillwright::course::Course) -> Vec<(String, String)> {
    let words = stock::words();
    let shared = Shared::new(course, &words, SEED).unwrap();
    let plans = plan(course).into_iter().filter(|plan| plan.path.contains("/walk-"));
    plans.map(|plan| (plan.path.clone(), page(&shared, &plan).unwrap())).collect()
}

#[test]
fn each_drill_has_one_and_it_names_nobody() {
    for course in
        [crate::engine::example(), crate::metric::course(), crate::plain::course()]
    {
        let pages = pages(&course);
        assert_eq!(pages.len(), course.drills.len());
        let mut people: Vec<&str> =
            course.people.values().map(|person| person.name.as_str()).collect();
        let checks = course.rigs.values().filter_map(|rig| rig.checked.as_ref());
        people.extend(checks.map(|check| check.by.as_str()));
        people.push(SEED);
        let agents = course.concentrates.values().flat_map(|one| &one.evidence);
        people.extend(agents.map(|seen| seen.reader.as_str()));
        for (path, text) in &pages {
            assert!(path.starts_with("crew/"));
            for name in &people {
                assert!(!text.contains(name), "{path} names {name}");
            }
            assert!(text.contains("Local procedures, the maker"), "{path}");
        }
    }
}

#[test]
fn a_metric_walk_speaks_no_us_unit() {
    let course = crate::metric::course();
    for (path, text) in pages(&course) {
        for line in crate::metric::visible(&text) {
            assert!(!crate::metric::us_units(&line), "{path}: {line}");
        }
    }
    // What the engine hands to the page is looked at in each view of a walk.
    for drill in &course.drills {
        let rig = course.rigs.values().find(|rig| runs_on(rig, drill)).unwrap();
        let mut tab = Tab::new(&course, drill);
        tab.begin(&rig.id, "operator", 5);
        for _ in 0..60 {
            assert!(
                !crate::metric::us_units(&tab.text()),
                "{}: {}",
                drill.id,
                tab.text()
            );
            let keys = tab.keys();
            // Whatever leads on: the first act, and the value shown where one is asked.
            let wanted = |(id, _): &&(String, Value)| id != "leave" && id != "value";
            let shown = keys.iter().find(|(id, _)| id == "give-up");
            let Some((id, act)) = shown.or_else(|| keys.iter().find(wanted)) else {
                break;
            };
            if id == "another" {
                break;
            }
            tab.tap(&act.clone(), 0);
        }
    }
}

#[test]
fn a_late_tap_and_a_forged_one_do_nothing() {
    let course = crate::engine::example();
    let drill = course.drill("startup").unwrap();
    let mut tab = Tab::new(&course, drill);
    tab.begin("engine-7", "operator", 1);
    let (before, _, acts) = tab.walked();
    // Meant for another view.
    let of = tab.turn["of"].clone();
    tab.turn["of"] = json!("other");
    tab.tap(&json!({ "do": "act", "step": acts[0] }), 0);
    assert_eq!(tab.walked().0, before);
    tab.turn["of"] = of;
    // A step that does not stand there, and events of other views.
    let hidden = drill.steps.iter().find(|step| !acts.contains(&step.id)).unwrap();
    for event in [
        json!({ "do": "act", "step": hidden.id }),
        json!({ "do": "act", "step": "none" }),
        json!({ "do": "whole" }),
        json!({ "do": "value", "text": "5" }),
        json!({ "do": "ignore", "cue": "foam-lost" }),
        json!({ "do": "on" }),
    ] {
        tab.tap(&event, 0);
        assert_eq!(tab.walked().0, before, "{event}");
    }
    let last = tab.turn["of"].clone();
    tab.tap(&json!({ "do": "begin", "rig": "none", "role": "operator" }), 0);
    assert_eq!(tab.turn["of"], "", "no walk on a rig that is not there");
    assert_ne!(last, "");
}

#[test]
fn what_is_stored_and_cannot_be_is_no_walk() {
    let course = crate::engine::example();
    let drill = course.drill("startup").unwrap();
    let mut tab = Tab::new(&course, drill);
    tab.begin("engine-7", "operator", 1);
    let (key, text) = tab.stored.as_object().unwrap().iter().next().unwrap();
    let walk: Value = serde_json::from_str(text.as_str().unwrap()).unwrap();
    let forged = |field: &str, value: Value| {
        let mut walk = walk.clone();
        walk[field] = value;
        json!({ key: walk.to_string() })
    };
    for stored in [
        json!({ key: "not a walk" }),
        forged("kit", json!("00000000")),
        forged("rig", json!("none")),
        forged("role", json!("officer")),
        forged("done", json!(["none"])),
        forged("phase", json!("Value")),
        forged("phase", json!("Words")),
        forged("phase", json!("Other")),
    ] {
        let again = Tab::with(tab.kit.clone(), stored.clone());
        assert!(again.has("begin-engine-7-operator"), "{stored}");
    }
    // A walk that claims to be over is scored as what it is.
    let mut over = Tab::with(tab.kit.clone(), forged("phase", json!("Done")));
    assert_ne!(over.walked().1["outcome"], "met");
}
