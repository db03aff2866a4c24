//! Drills walked through in the page: each drill of the examples in random orders, good and bad, through
//! the entrance that a page goes through. What a walk comes to is what `score` makes of its run sheet.

mod page;
mod past;
mod whole;

use std::collections::BTreeSet;

use drillwright::course::{Course, Drill, Link, Mark, RunSheet};
use drillwright::fingerprint::canonical;
use drillwright::practice::Engine;
use drillwright::practice::walk::{WalkKit, walks};
use drillwright::quiz::Chance;
use drillwright::scoring::{Kit, score};
use drillwright::stock;
use serde_json::{Value, json};

/// Walks of each drill on each rig.
const WALKS: u64 = 12;

/// Taps of one walk, beyond which it does not come to an end by itself.
const TAPS: usize = 300;

/// A page with the walk of a drill.
struct Tab {
    engine: Engine,
    kit: String,
    turn: Value,
    stored: Value,
    /// All that was asked of the engine.
    requests: Vec<Value>,
}

impl Tab {
    fn new(course: &Course, drill: &Drill) -> Self {
        let kit = WalkKit::of(course, drill, &stock::words());
        Self::with(canonical(&kit).unwrap(), json!({}))
    }

    /// The page of a kit, with what the browser keeps.
    fn with(kit: String, stored: Value) -> Self {
        let engine = Engine::default();
        let requests = Vec::new();
        let mut tab = Self { engine, kit, turn: Value::Null, stored, requests };
        let open = format!("{{\"ask\":\"open\",\"walk\":{}}}", tab.kit);
        let opened = tab.done(open.as_bytes());
        assert_eq!(opened["keys"].as_array().unwrap().len(), 1);
        let stored = json!({ "ask": "stored", "stored": tab.stored, "chance": [7] });
        tab.turn = tab.done(stored.to_string().as_bytes());
        tab
    }

    fn done(&mut self, request: &[u8]) -> Value {
        self.requests.push(serde_json::from_slice(request).unwrap());
        let answer: Value = serde_json::from_slice(&self.engine.call(request)).unwrap();
        assert!(answer.get("fault").is_none(), "{answer}");
        answer["done"].clone()
    }

    fn tap(&mut self, event: &Value, chance: u64) {
        let tap = json!({
            "ask": "tap", "event": event, "of": self.turn["of"], "chance": chance.to_be_bytes(),
        });
        let mut turn = self.done(tap.to_string().as_bytes());
        if turn["view"] == Value::Null {
            // What is shown stays.
            turn["view"] = self.turn["view"].take();
        }
        for (key, text) in turn["store"].as_object().unwrap() {
            match text {
                Value::Null => self.stored.as_object_mut().unwrap().remove(key),
                text => {
                    self.stored.as_object_mut().unwrap().insert(key.clone(), text.clone())
                }
            };
        }
        self.turn = turn;
    }

    /// Goes back to what the browser kept.
    fn back(&mut self, stored: &Value) {
        self.stored = stored.clone();
        let stored = json!({ "ask": "stored", "stored": stored, "chance": [7] });
        self.turn = self.done(stored.to_string().as_bytes());
    }

    /// Everything that can be touched in the view, with its id.
    fn keys(&self) -> Vec<(String, Value)> {
        fn walk(node: &Value, out: &mut Vec<(String, Value)>) {
            if let Some(act) = node.get("act") {
                let id = node["with"]["id"].as_str().unwrap_or_default().to_owned();
                out.push((id, act.clone()));
            }
            for kid in node["kids"].as_array().into_iter().flatten() {
                walk(kid, out);
            }
        }
        let mut out = Vec::new();
        for node in self.turn["view"]["nodes"].as_array().into_iter().flatten() {
            walk(node, &mut out);
        }
        out
    }

    fn has(&self, id: &str) -> bool {
        self.keys().iter().any(|(known, _)| known == id)
    }

    fn text(&self) -> String {
        self.turn["view"].to_string()
    }

    /// The run sheet, its verdict, and the steps that stand to be chosen.
    fn walked(&mut self) -> (RunSheet, Value, Vec<String>) {
        let walked = self.done(b"{\"ask\":\"walked\"}");
        let sheet = serde_json::from_value(walked["sheet"].clone()).unwrap();
        let acts = walked["acts"].as_array().unwrap().iter();
        let steps = acts.filter_map(|act| act["step"].as_str().map(str::to_owned));
        (sheet, walked["verdict"].clone(), steps.collect())
    }

    fn begin(&mut self, rig: &str, role: &str, seed: u64) {
        self.tap(&json!({ "do": "begin", "rig": rig, "role": role }), seed);
    }
}

/// Steps that would break a link of order now, told from the drill alone.
fn harmful(kit: &Kit, sheet: &RunSheet) -> BTreeSet<String> {
    let kit = kit.on_lines(&sheet.outlet, &sheet.further);
    let open = |id: &String| sheet.marks.get(id) == Some(&Mark::NotDone);
    let own = kit.drill().criticals.iter().filter(|one| one.role == sheet.role);
    let own = own.filter(|one| one.condition().lacks(kit.rig()).is_none());
    let mut found = BTreeSet::new();
    for link in own.flat_map(|one| &one.links) {
        let Link::Order { first, then } = link else { continue };
        found.extend(then.iter().filter(|then| open(first) && open(then)).cloned());
    }
    // What cannot be done before something else is not done, and breaks nothing.
    for rule in kit.drill().order.iter().filter(|rule| rule.cannot) {
        if open(&rule.first) {
            found.remove(&rule.then);
        }
    }
    found
}

/// What the terminal makes of the sheet is what the page made of it, and it is nothing that a
/// walk-through cannot be.
fn agrees(kit: &Kit, sheet: &RunSheet, mut told: Value, drill: &str) {
    let mut verdict = serde_json::to_value(score(kit, sheet)).unwrap();
    let outcome = verdict["outcome"].as_str().unwrap().to_owned();
    let may = ["walked-through", "not-met", "incomplete"];
    assert!(may.contains(&outcome.as_str()), "{drill}: {outcome}: {}", verdict["reason"]);
    for verdict in [&mut verdict, &mut told] {
        // The page's card is signed by nobody, so it is another revision.
        verdict["rig_revision"] = Value::Null;
    }
    assert_eq!(verdict, told, "{drill}");
}

fn number(chance: &mut Chance) -> String {
    let numbers =
        ["0", "1", "0.5", "12", "125", "150", "4", "99999", "-3", "foam", "", "3,5"];
    numbers[chance.place(numbers.len())].to_owned()
}

/// A walk of each drill as its page asks for it, request by request: what the compiled engine answers too.
pub(crate) fn requests(course: &Course) -> Vec<Vec<Value>> {
    let drills = course.drills.iter().filter(|drill| walks(course, drill));
    let walk = |drill: &Drill| {
        let mut tab = Tab::new(course, drill);
        let (begin, _) =
            tab.keys().into_iter().find(|(id, _)| id.starts_with("begin")).unwrap();
        let mut chance = Chance::of(&["parity", &begin]);
        for _ in 0..80 {
            let keys: Vec<(String, Value)> =
                tab.keys().into_iter().filter(|(id, _)| id != "leave").collect();
            let (_, act) = keys[chance.place(keys.len())].clone();
            let mut event = act;
            if event["do"] == "value" || event["do"] == "draft" {
                event["do"] = json!("value");
                event["text"] = json!(number(&mut chance));
            }
            tab.tap(&event, 9);
            tab.done(b"{\"ask\":\"walked\"}");
        }
        tab.requests
    };
    drills.map(walk).collect()
}

/// One walk: random touches until it is over. Whether it was told of a harm.
fn random(course: &Course, drill: &Drill, (rig, role): (&str, &str), seed: u64) -> bool {
    let name = format!("{} on {rig} as {role}, {seed}", drill.id);
    let kit = Kit::of(course, drill, &course.rigs[rig], &stock::words()).unwrap();
    let mut tab = Tab::new(course, drill);
    tab.begin(rig, role, seed);
    let mut chance = Chance::of(&["test", &name]);
    let (mut told, mut most) = (false, 0);
    for tap in 0..TAPS {
        let (sheet, verdict, acts) = tab.walked();
        agrees(&kit, &sheet, verdict, &name);
        let hurts = harmful(&kit, &sheet);
        let asked = tab.has("end");
        if asked && !hurts.is_empty() {
            let offered = acts.iter().any(|act| hurts.contains(act));
            assert!(offered, "{name}: {hurts:?} and not one of {acts:?}");
        }
        if tab.has("another") {
            assert!(tab.text().contains("Nothing was done at a rig"), "{name}");
            return told;
        }
        let mut keys = tab.keys();
        keys.retain(|(id, _)| {
            id != "leave" && (id != "end" || acts.is_empty() || chance.place(12) == 0)
        });
        // A draft is kept, and nothing is judged by it.
        let (id, act) = keys[chance.place(keys.len())].clone();
        let mut event = act.clone();
        if ["value", "draft"].contains(&event["do"].as_str().unwrap()) {
            event["text"] = json!(number(&mut chance));
        }
        let before = sheet.marks.clone();
        tab.tap(&event, 0);
        let chosen = event["step"].as_str().filter(|_| event["do"] == "act");
        if chosen.is_some_and(|step| hurts.contains(step)) {
            told = true;
            assert!(tab.has("on"), "{name}: {id} was not told");
            let (after, ..) = tab.walked();
            assert_eq!(before, after.marks, "{name}: {id} was done");
            assert!(after.criticals.values().any(|mark| mark.key() == "prevented"));
            assert_eq!(after.happened.len(), {
                after.criticals.values().filter(|mark| mark.key() == "prevented").count()
            });
        }
        most = most.max(tab.keys().len());
        assert!(!tab.text().contains('⟨') && !tab.text().contains("{act"), "{name}");
        // Each view is the same to a page that was opened again.
        if tap.is_multiple_of(9) && event["do"] != "draft" {
            let again = Tab::with(tab.kit.clone(), tab.stored.clone());
            assert_eq!(again.turn["view"]["nodes"], tab.turn["view"]["nodes"], "{name}");
        }
    }
    panic!("{name} came to no end; {most} keys at most; {}", tab.text());
}

fn all(course: &Course, least: usize) {
    let (mut walked, mut told) = (0, 0);
    for drill in course.drills.iter().filter(|drill| walks(course, drill)) {
        let kit = WalkKit::of(course, drill, &stock::words());
        for rig in &kit.rigs {
            assert!(!rig.days.is_empty());
            for role in drill.roles.iter().filter(|role| role.scored) {
                let mut harms = 0;
                for seed in 0..WALKS {
                    let of = (rig.rig.id.as_str(), role.id.as_str());
                    harms += usize::from(random(course, drill, of, seed));
                    walked += 1;
                }
                told += usize::from(harms > 0);
            }
        }
    }
    println!("{walked} walks");
    assert!(told >= least, "{told} drills were told of a harm");
}

#[test]
fn every_drill_of_the_example_in_any_order() {
    all(&crate::engine::example(), 13);
}

#[test]
fn every_drill_of_the_metric_example_in_any_order() {
    all(&crate::metric::course(), 3);
}

#[test]
fn every_drill_of_a_department_without_foam_in_any_order() {
    all(&crate::plain::course(), 1);
}
