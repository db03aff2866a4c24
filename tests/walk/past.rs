//! Values that nobody may set or say, and orders that nobody may take: told at once, and told again at the
//! end with what is read about them.

use drillwright::course::{Course, Drill};
use drillwright::practice::walk::walks;
use drillwright::scoring::{Kit, LIMITS, past, runs_on};
use drillwright::stock;
use serde_json::json;

use super::whole::{asked, on};
use super::{Tab, agrees};

/// What is typed at every value: nothing, a slip of the point, and more than any hose or tank stands.
const TYPED: [&str; 6] = ["0", "1", "5", "60", "300", "600"];

/// Types each of them at each value that a walk asks; which were told as harm, by value.
fn typed(course: &Course, drill: &Drill, (rig, role): (&str, &str)) -> Vec<String> {
    let kit = Kit::of(course, drill, &course.rigs[rig], &stock::words()).unwrap();
    let mut tab = Tab::new(course, drill);
    tab.begin(rig, role, 1);
    let mut told = Vec::new();
    while !tab.has("another") {
        if !tab.has("give-up") {
            on(&mut tab, &kit);
            continue;
        }
        let (stored, before) = (tab.stored.clone(), tab.walked().0);
        let (measure, right) = asked(&mut tab, &kit).unwrap();
        let known = past(&kit, &before);
        for text in TYPED {
            tab.back(&stored);
            tab.tap(&json!({ "do": "value", "text": text }), 0);
            let (after, verdict, _) = tab.walked();
            let name = format!("{} on {rig}, {}: {text}", drill.id, measure.id);
            agrees(&kit, &after, verdict, &name);
            let Some(value) = after.measures.get(&measure.id) else { continue };
            let found = past(&kit, &after);
            let new = found.limits.iter().filter(|line| !known.limits.contains(line));
            let mut new: Vec<&str> = new.map(|line| line.sentence.as_str()).collect();
            let criticals = found.criticals.iter();
            let criticals = criticals.filter(|one| !known.criticals.contains(one));
            new.extend(criticals.map(|(_, because)| because.as_str()));
            assert_eq!(tab.has("on"), !new.is_empty(), "{name}: {new:?}");
            let view = tab.text().replace("\\\"", "\"");
            for sentence in &new {
                assert!(
                    view.contains(sentence),
                    "{name}: {sentence} is not told: {view}"
                );
            }
            if new.is_empty() {
                let unit = drillwright::quantity::find(&measure.unit).unwrap();
                let number = value.in_unit(unit).unwrap().number();
                let key =
                    if right.contains(number) { "is right" } else { "not accepted" };
                assert!(view.contains(key), "{name}: {view}");
            } else {
                told.push(format!("{}={text}", measure.id));
            }
        }
        tab.back(&stored);
        on(&mut tab, &kit);
    }
    told
}

fn all(course: &Course) -> Vec<String> {
    let mut told = Vec::new();
    for drill in course.drills.iter().filter(|drill| walks(course, drill)) {
        for rig in course.rigs.values().filter(|rig| runs_on(rig, drill)) {
            for role in drill.roles.iter().filter(|role| role.scored) {
                let found = typed(course, drill, (&rig.id, &role.id));
                told.extend(found.into_iter().map(|one| format!("{} {one}", drill.id)));
            }
        }
    }
    told
}

#[test]
fn a_value_beyond_a_limit_is_told_at_once() {
    let mut told = all(&crate::engine::example());
    told.extend(all(&crate::metric::course()));
    for wanted in [
        "startup line-pressure=600",
        "startup line-pressure=0",
        "startup percent-set=5",
        "startup minutes-told=60",
        "flush flush-time=0",
        "totals percent-worked=5",
        "startup-b percent-set=1",
        "eductor-start percent-set=0",
    ] {
        assert!(told.iter().any(|one| one == wanted), "{wanted}: {told:?}");
    }
}

/// Walks on to the end from wherever a tab stands.
fn to_the_end(tab: &mut Tab, kit: &Kit) {
    for _ in 0..400 {
        if tab.has("another") {
            return;
        }
        if tab.has("on") {
            tab.tap(&json!({ "do": "on" }), 0);
        } else {
            on(tab, kit);
        }
    }
    panic!("{}", tab.text());
}

#[test]
fn what_was_said_wrong_stands_at_the_end_with_what_is_read_again() {
    let course = crate::engine::example();
    for (drill, measure, text, says, reads) in [
        ("startup", "line-pressure", "600", "nine tenths", "lesson-pressure.html"),
        ("startup", "line-pressure", "160", "you said 160 psi", "lesson-pressure.html"),
        ("flush", "flush-time", "0", "Declared the line clear", "lesson-clearing.html"),
        ("totals", "percent-worked", "5", "Gave a percent", "lesson-clearing.html"),
        ("percent-change", "wait-held", "1", "you said 1 s", "lesson-change.html"),
    ] {
        let drill = course.drill(drill).unwrap();
        let rig = &course.rigs["engine-7"];
        let kit = Kit::of(&course, drill, rig, &stock::words()).unwrap();
        let mut tab = Tab::new(&course, drill);
        tab.begin("engine-7", "operator", 1);
        while !tab.has("give-up") || asked(&mut tab, &kit).unwrap().0.id != measure {
            on(&mut tab, &kit);
        }
        tab.tap(&json!({ "do": "value", "text": text }), 0);
        assert!(!tab.text().contains("is right"), "{}: {text}", drill.id);
        to_the_end(&mut tab, &kit);
        let end = tab.text().replace('\u{a0}', " ");
        assert!(!end.contains("Nothing was skipped"), "{}: {end}", drill.id);
        assert!(end.contains(says), "{}: {says}: {end}", drill.id);
        assert!(end.contains(reads), "{}: {reads}: {end}", drill.id);
    }
}

#[test]
fn an_order_to_be_refused_is_spoken_like_any_other_and_stays_until_it_is_answered() {
    let course = crate::engine::example();
    let drill = course.drill("percent-change").unwrap();
    let kit = Kit::of(&course, drill, &course.rigs["engine-7"], &stock::words()).unwrap();
    for seed in 0..6 {
        let mut tab = Tab::new(&course, drill);
        tab.begin("engine-7", "operator", seed);
        while !tab.text().contains("another order is spoken") {
            on(&mut tab, &kit);
        }
        // Neither the evaluator's script nor the label of the draw says that it cannot be followed.
        let told = tab.text();
        for gives_away in ["Percent to be refused", "does not allow", "impossible"] {
            assert!(!told.replace("impossible-order", "").contains(gives_away), "{told}");
        }
        // Where an act of another sort is done first, the order stands there still.
        let (_, _, acts) = tab.walked();
        let stored = tab.stored.clone();
        let other = acts.iter().find(|act| {
            let step = drill.steps.iter().find(|step| step.id == **act).unwrap();
            tab.back(&stored);
            tab.tap(&json!({ "do": "act", "step": act }), 0);
            step.cue.is_none() && tab.has("end")
        });
        if other.is_some() {
            assert!(tab.text().contains("Not answered in full yet"), "{}", tab.text());
        }
        tab.back(&stored);
        assert!(tab.text().contains("Answer yes to"), "{}", tab.text());
        tab.tap(&json!({ "do": "ignore", "cue": "impossible-order" }), 0);
        assert!(tab.has("on"), "{}", tab.text());
        assert!(tab.text().contains("The order was accepted"), "{}", tab.text());
        let (sheet, ..) = tab.walked();
        assert_eq!(sheet.criticals["impossible-percent"].key(), "prevented");
    }
}

#[test]
fn each_limit_of_every_drill_says_what_it_would_do() {
    let words = stock::words();
    for limit in LIMITS {
        let key = format!("walk.would.{limit}");
        assert!(!words.get(&key).contains(&key), "{key} has no sentence");
    }
}
