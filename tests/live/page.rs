//! A page of one live sheet, as its script drives it.

use std::collections::BTreeMap;

use drillwright::course::{Course, Drill};
use drillwright::practice::live::{Live, LiveKit, Log, State, sheets};
use drillwright::scoring::{Verdict, fuels, runs_on};
use drillwright::stock;
use serde_json::{Value, json};

use super::texts;
use crate::engine::{Tab, example};

/// A page of one sheet, with its clocks.
pub(crate) struct Page {
    pub(crate) tab: Tab,
    pub(crate) kit: LiveKit,
    pub(crate) boot: &'static str,
    pub(crate) steady: i64,
    pub(crate) wall: i64,
}

pub(crate) const AT: i64 = 1_795_600_000_000;

/// Whoever is neither candidate nor evaluator nor safety officer.
const CREW: [&str; 6] = ["heather", "bracken", "larch", "sorrel", "sedge", "willow"];

/// A rig for which the drill is written.
pub(crate) fn rig_of(course: &Course, drill: &Drill) -> String {
    let mut rigs = course.rigs.values().filter(|rig| runs_on(rig, drill));
    rigs.next().unwrap().id.clone()
}

impl Page {
    pub(crate) fn open(kit: LiveKit) -> Self {
        let tab = Tab::open(&json!({ "ask": "open", "live": kit }), &json!({}));
        assert_eq!(tab.keys.len(), 6, "{:?}", tab.keys);
        Self { tab, kit, boot: "a", steady: 0, wall: AT }
    }

    pub(crate) fn drill(id: &str) -> (Course, Self) {
        let course = example();
        let drill = course.drill(id).unwrap();
        let kit = LiveKit::of_drill(&course, drill, &stock::words());
        (course, Self::open(kit))
    }

    pub(crate) fn at(&self) -> Value {
        json!({ "boot": self.boot, "steady": self.steady, "wall": self.wall, "zone": -60 })
    }

    /// A second passes and something happens.
    pub(crate) fn send(&mut self, event: &Value) -> Value {
        self.steady += 1000;
        self.wall += 1000;
        self.tab.tap(event, &self.at(), &[3, 1, 4, 1])
    }

    /// The browser has another store by now, or refuses to store.
    pub(crate) fn hand_in(
        &mut self,
        stored: BTreeMap<String, String>,
        refused: bool,
    ) -> Value {
        self.tab.stored = stored;
        self.tab.hand_in(&self.at(), refused)
    }

    pub(crate) fn does(&mut self, event: &str) -> Value {
        self.send(&json!({ "do": event }))
    }

    pub(crate) fn write(&mut self, field: &str, text: &str) -> Value {
        self.send(&json!({ "do": "write", "field": field, "text": text }))
    }

    pub(crate) fn declare(&mut self, rig: &str) {
        let modes = &self.kit.drills[0].drill.modes;
        let foam = modes.iter().find(|mode| mode.key() == "training-foam");
        let mode = foam.or(modes.last()).unwrap().key();
        let outlets =
            &self.kit.rigs.iter().find(|known| known.id == rig).unwrap().outlets;
        let outlet = outlets.iter().find(|outlet| outlet.foam).unwrap().id.clone();
        let fields = [
            ("rig", rig),
            ("outlet", &outlet),
            ("use", "evaluation"),
            ("mode", mode.as_str()),
            ("candidate", "moss"),
            ("evaluator", "rowan"),
            ("qualification", "district evaluator course 2025 (invented)"),
            ("qualified-on", "2025-03-01"),
            ("relation", "other station"),
            ("safety-officer", "hazel"),
            ("weather", "dry, light wind"),
            ("light", "daylight"),
        ];
        for (field, text) in fields {
            self.write(field, text);
        }
        let live = Live::of(self.kit.clone()).unwrap();
        let scored = live.scored();
        // Where the percent of the label hangs on it, the fuel.
        let kits = live.kits(rig);
        if let Some(entry) = kits.iter().flat_map(fuels).next() {
            self.write("fuel", &entry.fuel.clone());
        }
        // Where more than one role gets a result, which one is to be declared.
        if scored.len() > 1 {
            self.write("role", &scored[0].id);
        }
        // Every other post has its people, two at a nozzle whose line carries air.
        let mut others = CREW.iter();
        for role in live.roles().iter().filter(|role| role.id != scored[0].id) {
            for at in 1..=role.with_air.unwrap_or(role.holders) {
                let field = match at {
                    1 => format!("crew.{}", role.id),
                    at => format!("crew.{}.{at}", role.id),
                };
                self.write(&field, others.next().unwrap());
            }
        }
    }

    pub(crate) fn begin(&mut self, rig: &str) {
        self.declare(rig);
        let turn = self.does("begin");
        assert_eq!(turn["asks"], json!(["awake", "ticks"]), "{turn}");
        self.look("sheet");
    }

    /// Shows something over the step, or the whole sheet.
    pub(crate) fn look(&mut self, what: &str) -> Value {
        self.send(&json!({ "do": "open", "what": what }))
    }

    /// To the end of the sheet, on one page: what is asked one by one is left for later.
    pub(crate) fn ends(&mut self) -> Value {
        self.does("end");
        self.look("sheet")
    }

    pub(crate) fn log(&self) -> Log {
        let key = self.tab.stored.keys().find(|key| key.ends_with("/run")).unwrap();
        serde_json::from_str(&self.tab.stored[key]).unwrap()
    }

    pub(crate) fn live(&self) -> Live {
        Live::of(self.kit.clone()).unwrap()
    }

    pub(crate) fn state(&self) -> State {
        self.log().replay(&self.live())
    }

    /// What the run comes to by now.
    pub(crate) fn verdict(&self) -> Verdict {
        let live = self.live();
        sheets(&live, &self.state()).remove(0).verdict
    }

    pub(crate) fn mark(&mut self, step: &str, mark: &str) -> Value {
        self.send(&json!({ "do": "mark", "step": step, "mark": mark }))
    }

    pub(crate) fn critical(&mut self, critical: &str, mark: &str) -> Value {
        self.send(&json!({ "do": "critical", "critical": critical, "mark": mark }))
    }

    /// Gives every cue, marks every step done, and that no critical happened.
    pub(crate) fn mark_all(&mut self) {
        let live = self.live();
        let drill = self.state().kit(&live).unwrap().drill().clone();
        for cue in &drill.cues {
            self.send(&json!({ "do": "cue", "cue": cue.id, "mark": "given" }));
        }
        for step in &drill.steps {
            self.send(&json!({ "do": "mark", "step": step.id, "mark": "done" }));
        }
        for critical in &drill.criticals {
            let critical = &critical.id;
            self.send(&json!({ "do": "critical", "critical": critical, "mark": "no" }));
        }
    }

    /// To the end of the sheet, with the order as it is printed.
    pub(crate) fn end(&mut self) -> Value {
        self.ends();
        self.does("as-printed")
    }

    /// Saves, and gives back the file's text.
    pub(crate) fn save(&mut self) -> (String, Value) {
        let turn = self.does("save");
        assert!(turn["file"].is_array(), "{}", texts(&turn));
        let text = turn["file"][1].as_str().unwrap().to_owned();
        (text, turn)
    }
}
