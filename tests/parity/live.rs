//! Live runs of every drill and every chain, tap by tap.

use drillwright::course::Course;
use drillwright::practice::live::LiveKit;
use drillwright::quiz::Chance;
use drillwright::scoring;
use drillwright::stock;
use serde_json::{Value, json};

use super::Lot;
use crate::engine::Tab;

/// A page with its requests.
struct Page {
    tab: Tab,
    taps: u64,
    requests: Vec<Value>,
}

impl Page {
    fn send(&mut self, event: &Value) -> Value {
        self.taps += 1;
        let steady = self.taps * 1700;
        let at = json!({
            "boot": "a", "steady": steady, "wall": 1_795_600_000_000_u64 + steady, "zone": -60,
        });
        let turn = self.tab.tap(event, &at, &[3, 1, 4, 1]);
        self.requests.push(self.tab.request.clone());
        // Now and then another tab stores something, or the page comes back.
        if self.taps.is_multiple_of(40) {
            self.tab.hand_in(&at, self.taps.is_multiple_of(80));
            self.requests.push(self.tab.request.clone());
        }
        turn
    }

    fn write(&mut self, field: &str, text: &str) {
        self.send(&json!({ "do": "write", "field": field, "text": text }));
    }
}

/// Declared, marked at random, looked through, saved, and once more by a second evaluator.
pub(super) fn runs(course: &Course, chance: &mut Chance) -> Vec<Lot> {
    let words = stock::words();
    let drills = course.drills.iter().map(|one| LiveKit::of_drill(course, one, &words));
    let chains = course.chains.iter().map(|one| LiveKit::of_chain(course, one, &words));
    drills.chain(chains).map(|kit| run(&kit, chance)).collect()
}

/// Who evaluates the same run once more.
const SECOND: [(&str, &str); 4] = [
    ("evaluator", "alder"),
    ("qualification", "course"),
    ("qualified-on", "2024-03-01"),
    ("relation", "own officer"),
];

fn run(kit: &LiveKit, chance: &mut Chance) -> Lot {
    let open = json!({ "ask": "open", "live": kit });
    let tab = Tab::open(&open, &json!({})).alone();
    let requests = vec![tab.request.clone()];
    let mut page = Page { tab, taps: 0, requests };
    let role = kit.drills[0].drill.roles.iter().find(|role| role.scored).unwrap();
    let first = &kit.drills[0].drill;
    // A chain is run in a mode that all of its drills have.
    let all = |mode: &&drillwright::course::Mode| {
        kit.drills.iter().all(|one| one.drill.modes.contains(mode))
    };
    let mode = first.modes.iter().rfind(all).unwrap();
    let fits = |rig: &&drillwright::course::Rig| scoring::runs_on(rig, first);
    let rig = kit.rigs.iter().find(fits).unwrap();
    let fields = [
        ("rig", rig.id.as_str()),
        ("outlet", rig.outlets[0].id.as_str()),
        ("use", "evaluation"),
        ("mode", mode.word()),
        ("role", role.id.as_str()),
        ("candidate", "moss"),
        ("evaluator", "rowan"),
        ("qualification", "course (invented)"),
        ("qualified-on", "2025-03-01"),
        ("relation", "other station"),
        ("safety-officer", "hazel"),
        ("weather", "rain"),
        ("light", "dusk"),
    ];
    for (field, text) in fields {
        page.write(field, text);
    }
    // Asked for where the percent of the label hangs on it.
    if let Some(entry) = rig.agents.iter().flat_map(|agent| &agent.allowed).next() {
        page.write("fuel", &entry.fuel);
    }
    page.send(&json!({ "do": "begin" }));
    for round in 0..2 {
        marked(&mut page, kit, chance);
        page.send(&json!({ "do": "end" }));
        page.send(&json!({ "do": "rest", "mark": "not-done" }));
        page.send(&json!({ "do": "rest-criticals", "mark": "no" }));
        let mut saved = page.send(&json!({ "do": "save" }));
        if saved["file"].is_null() {
            // Numbers that no gauge can show keep the sheet open.
            for field in numbers(kit) {
                page.write(&field, "");
            }
            saved = page.send(&json!({ "do": "save" }));
        }
        assert!(saved["file"].is_array(), "{}: {}", kit.id, saved["view"]);
        if round == 0 {
            page.send(&json!({ "do": "second" }));
            for (field, text) in SECOND {
                page.write(field, text);
            }
            page.send(&json!({ "do": "begin" }));
        }
    }
    Lot { open, requests: page.requests }
}

fn numbers(kit: &LiveKit) -> Vec<String> {
    let drills = kit.drills.iter().map(|standard| &standard.drill);
    let of = |drill: &drillwright::course::Drill| {
        let readings = drill.readings.iter().map(|one| format!("reading.{}", one.id));
        let measures = drill.measures.iter().map(|one| format!("measure.{}", one.id));
        let all = readings.chain(measures);
        all.map(|name| format!("{}/{name}", drill.id)).collect::<Vec<_>>()
    };
    drills.flat_map(of).collect()
}

/// Marks, numbers and acts, some of them taken back.
fn marked(page: &mut Page, kit: &LiveKit, chance: &mut Chance) {
    let marks = ["done", "done", "done", "prompted", "not-done", "not-seen"];
    let answers = ["no", "no", "no", "yes", "prevented", "not-seen"];
    for standard in &kit.drills {
        let drill = &standard.drill;
        page.send(&json!({ "do": "turn", "drill": drill.id }));
        for step in &drill.steps {
            let mark = marks[chance.place(marks.len())];
            page.send(&json!({ "do": "mark", "step": step.id, "mark": mark }));
            if chance.below(8) == 0 {
                page.send(&json!({ "do": "undo" }));
            }
        }
        for critical in &drill.criticals {
            let mark = answers[chance.place(answers.len())];
            page.send(
                &json!({ "do": "critical", "critical": critical.id, "mark": mark }),
            );
        }
        for cue in &drill.cues {
            let mark = ["given", "given", "not-given"][chance.place(3)];
            page.send(&json!({ "do": "cue", "cue": cue.id, "mark": mark }));
        }
        if chance.below(2) == 0 {
            page.send(&json!({ "do": "as-printed" }));
        }
        for reading in &drill.readings {
            let field = format!("{}/reading.{}", drill.id, reading.id);
            for _ in 0..2 {
                let digit = char::from(b"123456789"[chance.place(9)]);
                page.send(
                    &json!({ "do": "press", "field": field, "key": { "digit": digit } }),
                );
            }
            page.send(&json!({ "do": "press", "field": field, "key": "on" }));
        }
        for measure in &drill.measures {
            let text = (1 + chance.below(200)).to_string();
            page.write(&format!("{}/measure.{}", drill.id, measure.id), &text);
        }
        if chance.below(3) == 0 {
            let act = &standard.unsafe_acts[chance.place(standard.unsafe_acts.len())];
            page.send(&json!({ "do": "unsafe", "act": act.id }));
        }
    }
}
