//! A narrated run: its key scored like any run sheet, and an evaluator's marking of it held against the
//! key like the sheets of two evaluators. Neither is a run, so neither is scored among runs.

use serde::Serialize;

use super::earlier::{Run, score_all};
use super::joint::{Joint, jointly};
use super::kit::Kit;
use super::say;
use super::verdict::Verdict;
use crate::course::{Drill, Narrated, OrderSeen, RunSheet};
use crate::words::Words;

/// What scoring makes of a key.
pub fn keyed(kit: &Kit, narrated: &Narrated) -> Option<Verdict> {
    alone(&Run::of(kit, &narrated.key))
}

/// A marking of a narrated run, which knows of no other run: it is nobody's attempt.
pub fn alone(run: &Run<'_>) -> Option<Verdict> {
    score_all(std::slice::from_ref(run)).pop()
}

/// A sheet of a narrated run beside its key.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BesideKey {
    /// Short name of the narrated run.
    pub narrated: String,
    /// Its title.
    pub title: String,
    /// Who marked it.
    pub evaluator: String,
    /// What the sheet comes to.
    pub own: String,
    /// What the key comes to.
    pub key: String,
    /// The key and the sheet as two evaluators of one run.
    pub joint: Joint,
    /// Marks that are not the key's, each with the reasons of the key.
    pub marks: Vec<String>,
}

/// A marked sheet, scored, held against the key.
pub fn beside_key(
    narrated: &Narrated,
    (key, words): (&Kit, &Words),
    (sheet, verdict): (&RunSheet, &Verdict),
) -> Option<BesideKey> {
    let right = keyed(key, narrated)?;
    let joint = jointly(&[(&narrated.key, &right), (sheet, verdict)], words)?;
    Some(BesideKey {
        narrated: narrated.id.clone(),
        title: narrated.title.clone(),
        evaluator: sheet.evaluator.person.clone(),
        own: verdict.outcome_text.clone(),
        key: right.outcome_text,
        joint,
        marks: apart(narrated, (key, words), sheet),
    })
}

/// Marks that differ, in the order of the sheet.
fn apart(
    narrated: &Narrated,
    (kit, words): (&Kit, &Words),
    sheet: &RunSheet,
) -> Vec<String> {
    let own = entries(kit, sheet, words);
    let key = entries(kit, &narrated.key, words);
    let none = words.get("scoring.mark.none");
    // What only the sheet has is no less a difference than what only the key has.
    let more = own.iter().filter(|one| !key.iter().any(|other| other.name == one.name));
    let all = key.iter().chain(more);
    let said = |list: &[Entry], name: &str| {
        let found = list.iter().find(|one| one.name == name);
        found.map_or_else(|| none.clone(), |one| one.mark.clone())
    };
    let differ = all.filter_map(|one| {
        let (own, key) = (said(&own, &one.name), said(&key, &one.name));
        if own == key {
            return None;
        }
        let why: Vec<&str> = narrated.reasons(&one.name).map(|(_, why)| why).collect();
        let why = why.join(" ");
        let blanks =
            [("what", one.label.as_str()), ("own", &own), ("key", &key), ("why", &why)];
        // Two evaluators differ over a critical already; only the reason is new.
        let critical = narrated.key.criticals.contains_key(&one.name);
        let says = if critical { "because" } else { "differ" };
        // words: scoring.narrated.{because|differ}
        let said = words.say(&format!("scoring.narrated.{says}"), &blanks);
        Some(said.trim_end().to_owned())
    });
    differ.collect()
}

/// Something that an evaluator marks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Its name in the file.
    pub name: String,
    /// The number of a step, or what else it is.
    pub sort: String,
    /// What it is in the drill's words.
    pub label: String,
    /// The mark in words, or the value.
    pub mark: String,
}

/// Everything that is marked on a sheet, in the order of the drill.
pub fn entries(kit: &Kit, sheet: &RunSheet, words: &Words) -> Vec<Entry> {
    let mut list = List { words, all: Vec::new() };
    list.steps(kit.drill(), sheet);
    list.decides(kit.drill(), sheet);
    list.values(kit.drill(), sheet);
    list.whole(kit, sheet);
    list.all
}

struct List<'w> {
    words: &'w Words,
    all: Vec<Entry>,
}

impl List<'_> {
    fn get(&self, key: &str) -> String {
        // words: scoring.narrated.{self.get(..)}
        self.words.get(&format!("scoring.narrated.{key}"))
    }

    fn add(&mut self, sort: &str, name: &str, (label, mark): (&str, String)) {
        let (name, label) = (name.to_owned(), say::short(label).to_owned());
        self.all.push(Entry { name, sort: sort.to_owned(), label, mark });
    }

    fn steps(&mut self, drill: &Drill, sheet: &RunSheet) {
        for (at, step) in drill.steps.iter().enumerate() {
            let Some(mark) = sheet.marks.get(&step.id) else { continue };
            // words: scoring.mark.{Mark}
            let mark = self.words.get(&format!("scoring.mark.{}", mark.key()));
            self.add(&(at + 1).to_string(), &step.id, (&step.action, mark));
        }
        let order = match &sheet.order_seen {
            OrderSeen::NotWatched => None,
            OrderSeen::AsPrinted => Some(self.get("as-printed")),
            OrderSeen::Listed(list) => Some(list.join(", ")),
        };
        if let Some(order) = order {
            let label = self.get("order");
            self.add("", "order-seen", (&label, order));
        }
        for (pair, seen) in &sheet.pairs {
            // words: scoring.narrated.pair.{PairSeen}
            let seen = self.words.get(&format!("scoring.narrated.pair.{}", seen.key()));
            self.add("", pair, (pair, seen));
        }
    }

    fn decides(&mut self, drill: &Drill, sheet: &RunSheet) {
        let sort = self.get("critical");
        for critical in &drill.criticals {
            let Some(mark) = sheet.criticals.get(&critical.id) else { continue };
            // words: scoring.critical-mark.{CriticalMark}
            let mark = self.words.get(&format!("scoring.critical-mark.{}", mark.key()));
            self.add(&sort, &critical.id, (&critical.act, mark));
        }
        let sort = self.get("cue-sort");
        for cue in &drill.cues {
            let Some(mark) = sheet.cues.get(&cue.id) else { continue };
            // words: scoring.narrated.cue.{CueMark}
            let mark = self.words.get(&format!("scoring.narrated.cue.{}", mark.key()));
            self.add(&sort, &cue.id, (&cue.says, mark));
        }
    }

    fn values(&mut self, drill: &Drill, sheet: &RunSheet) {
        let sort = self.get("reading");
        for one in &drill.readings {
            if let Some(value) = sheet.readings.get(&one.id) {
                self.add(&sort, &one.id, (&one.label, value.printed()));
            }
        }
        let sort = self.get("measure");
        for one in &drill.measures {
            if let Some(value) = sheet.measures.get(&one.id) {
                self.add(&sort, &one.id, (&one.label, value.printed()));
            }
        }
    }

    /// What is about the run as a whole, or about everybody.
    fn whole(&mut self, kit: &Kit, sheet: &RunSheet) {
        let sort = self.get("act");
        let known = &kit.standard().unsafe_acts;
        let said = |id: &String| {
            let act = known.iter().find(|act| act.id == *id);
            act.map_or_else(|| id.clone(), |act| act.act.clone())
        };
        for act in &sheet.unsafe_acts {
            let seen = self.get("seen");
            self.add(&sort, act, (&said(act), seen));
        }
        for (act, whose) in &sheet.others_acts {
            self.add(&sort, act, (&said(act), whose.clone()));
        }
        if let Some(stop) = &sheet.stop {
            // words: scoring.narrated.cause.{StopCause}
            let key = format!("scoring.narrated.cause.{}", stop.cause.key());
            let (label, cause) = (self.get("stop"), self.words.get(&key));
            self.add("", "stop", (&label, cause));
        }
        if let Some(time) = &sheet.time {
            let label = self.get("time");
            self.add("", "time", (&label, time.taken.printed()));
        }
        if sheet.void.is_some() {
            let (label, seen) = (self.get("void"), self.get("seen"));
            self.add("", "void", (&label, seen));
        }
    }
}
