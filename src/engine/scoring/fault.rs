//! What can be wrong with a run sheet as such: it names what is not there, contradicts
//! itself, or was made for another revision. A sheet with a fault has no result until the
//! fault is mended; scoring never guesses and never changes the sheet.

use std::collections::BTreeSet;

use serde::Serialize;

use super::kit::{Kit, RULES, short_revision};
use super::kits::names;
use super::sheet_values::value_faults;
use super::stands::{Standing, stands};
use crate::course::{CriticalMark, Mark, RunSheet};
use crate::words::{Words, nearest};

/// A fault of a run sheet: `scoring.fault.<key>` in the words file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// Field of the run sheet, such as `marks.air-off`.
    pub field: String,
    /// Key.
    pub key: &'static str,
    /// Values of the sentences' blanks.
    pub blanks: Vec<(&'static str, String)>,
}

impl Fault {
    pub(super) fn new(field: impl Into<String>, key: &'static str) -> Self {
        Self { field: field.into(), key, blanks: Vec::new() }
    }

    pub(super) fn with(mut self, blank: &'static str, value: impl Into<String>) -> Self {
        self.blanks.push((blank, value.into()));
        self
    }

    fn say(&self, words: &Words, part: &str) -> String {
        let mut blanks: Vec<(&str, &str)> = vec![("field", &self.field)];
        blanks.extend(self.blanks.iter().map(|(name, value)| (*name, value.as_str())));
        words.say(&format!("scoring.fault.{}.{part}", self.key), &blanks)
    }

    /// What is wrong, in a sentence.
    pub fn says(&self, words: &Words) -> String {
        self.say(words, "says")
    }

    /// What to write instead; may be empty.
    pub fn write(&self, words: &Words) -> String {
        let nothing_near =
            |(name, value): &(&str, String)| *name == "nearest" && value.is_empty();
        if self.blanks.iter().any(nothing_near) {
            return String::new();
        }
        self.say(words, "write")
    }
}

/// Everything that is wrong with a run sheet for a kit, in the order of the sheet's fields.
///
/// What needs more than the kit is looked for elsewhere: unknown persons, dates to come.
pub fn faults(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let mut found = head(kit, sheet);
    found.extend(people(kit, sheet));
    found.extend(marks(kit, sheet));
    found.extend(order(kit, sheet));
    found.extend(criticals(kit, sheet));
    found.extend(value_faults(kit, sheet));
    found
}

fn unknown<'n>(
    field: String,
    key: &'static str,
    name: &str,
    known: impl Iterator<Item = &'n str>,
) -> Fault {
    let near = nearest(name, known).unwrap_or_default();
    Fault::new(field, key).with("name", name).with("nearest", near)
}

fn revision(field: &str, given: Option<&String>, hash: &str) -> Option<Fault> {
    let given = given?.trim();
    (!names(given, hash)).then(|| {
        Fault::new(field, "other-revision")
            .with("given", given)
            .with("have", short_revision(hash))
    })
}

fn head(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let (drill, rig) = (kit.drill(), kit.rig());
    let mut found = Vec::new();
    if sheet.drill != drill.id {
        found.push(
            Fault::new("drill", "other-drill")
                .with("given", &sheet.drill)
                .with("have", &drill.id),
        );
    }
    found.extend(revision(
        "drill-revision",
        sheet.drill_revision.as_ref(),
        kit.drill_revision(),
    ));
    if sheet.rig != rig.id {
        let fault = Fault::new("rig", "other-rig");
        found.push(fault.with("given", &sheet.rig).with("have", &rig.id));
    }
    found.extend(revision(
        "rig-revision",
        sheet.rig_revision.as_ref(),
        kit.rig_revision(),
    ));
    if let Some(rules) = sheet.rules.filter(|rules| *rules != RULES) {
        let fault = Fault::new("rules", "other-rules");
        found
            .push(fault.with("given", rules.to_string()).with("have", RULES.to_string()));
    }
    if kit.data().rules != RULES {
        let given = kit.data().rules.to_string();
        let fault = Fault::new("rules", "other-rules").with("given", given);
        found.push(fault.with("have", RULES.to_string()));
    }
    if rig.outlet(&sheet.outlet).is_none() {
        let known = rig.outlets.iter().map(|outlet| outlet.id.as_str());
        found.push(unknown("outlet".into(), "unknown-outlet", &sheet.outlet, known));
    }
    if let Some(needs) = drill.condition().lacks(rig) {
        found.push(Fault::new("rig", "rig-lacks").with("needs", needs));
    }
    if !drill.condition().shown_in(sheet.mode) {
        let mode = kit.words().say(&format!("scoring.mode.{}", sheet.mode.key()), &[]);
        found.push(Fault::new("mode", "mode-not-allowed").with("name", mode));
    }
    if sheet.attempt == 0 {
        found.push(Fault::new("attempt", "attempt-zero"));
    }
    if sheet.void.as_ref().is_some_and(|reason| reason.trim().is_empty()) {
        found.push(Fault::new("void", "void-without-reason"));
    }
    let entered = sheet.entered_at.as_ref();
    if entered.is_some_and(|entered| *entered < sheet.performed_at) {
        found.push(Fault::new("entered-at", "entered-before"));
    }
    found
}

fn people(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let mut found = Vec::new();
    let roles = &kit.drill().roles;
    let known = || roles.iter().map(|role| role.id.as_str());
    match roles.iter().find(|role| role.id == sheet.role) {
        None => found.push(unknown("role".into(), "unknown-role", &sheet.role, known())),
        Some(role) if !role.scored => {
            found.push(Fault::new("role", "role-not-scored").with("name", &role.title));
        }
        Some(_) => {}
    }
    for (role, person) in &sheet.crew {
        let field = format!("crew.{role}");
        if *role == sheet.role {
            found.push(Fault::new(field, "role-taken").with("name", role));
        } else if !known().any(|known| known == role) {
            found.push(unknown(field, "unknown-role", role, known()));
        } else if *person == sheet.candidate {
            found.push(Fault::new(field, "candidate-twice"));
        }
    }
    if sheet.evaluator.person == sheet.candidate {
        found.push(Fault::new("evaluator.person", "evaluator-is-candidate"));
    }
    if sheet.safety_officer == sheet.candidate {
        found.push(Fault::new("safety-officer", "safety-is-candidate"));
    }
    if sheet.safety_officer == sheet.evaluator.person {
        found.push(Fault::new("safety-officer", "safety-is-evaluator"));
    }
    found
}

fn marks(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let steps = &kit.drill().steps;
    let unknown_marks =
        sheet.marks.keys().filter(|id| !steps.iter().any(|s| s.id == **id));
    unknown_marks
        .map(|id| {
            let known = steps.iter().map(|step| step.id.as_str());
            unknown(format!("marks.{id}"), "unknown-step", id, known)
        })
        .collect()
}

fn order(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let steps = &kit.drill().steps;
    let mut found = Vec::new();
    let lists = [
        ("order-seen", sheet.order_seen.as_deref().unwrap_or_default()),
        ("out-of-order", sheet.out_of_order.as_slice()),
    ];
    for (field, list) in lists {
        let mut seen = BTreeSet::new();
        for id in list {
            if !steps.iter().any(|step| step.id == *id) {
                let known = steps.iter().map(|step| step.id.as_str());
                found.push(unknown(field.to_owned(), "unknown-step", id, known));
            } else if !seen.insert(id) {
                found.push(Fault::new(field, "step-twice").with("name", id));
            }
        }
    }
    let Some(listed) = &sheet.order_seen else { return found };
    if !sheet.out_of_order.is_empty() {
        found.push(Fault::new("out-of-order", "order-twice"));
    }
    let rules = &kit.drill().order;
    let ordered = |id: &String| rules.iter().any(|r| r.first == *id || r.then == *id);
    for step in steps.iter().filter(|step| step.role == sheet.role) {
        let mark = sheet.marks.get(&step.id);
        let done = matches!(mark, Some(Mark::Done | Mark::Prompted));
        let named = listed.contains(&step.id);
        if named && matches!(mark, Some(Mark::NotDone)) {
            found.push(Fault::new("order-seen", "order-not-done").with("name", &step.id));
        }
        let stands = stands(kit, sheet.mode, step.condition()) == Standing::Stands;
        if done && !named && stands && ordered(&step.id) {
            found.push(Fault::new("order-seen", "order-left-out").with("name", &step.id));
        }
    }
    found
}

fn criticals(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let criticals = &kit.drill().criticals;
    let mut found = Vec::new();
    for (id, mark) in &sheet.criticals {
        let field = format!("criticals.{id}");
        let Some(critical) = criticals.iter().find(|critical| critical.id == *id) else {
            let known = criticals.iter().map(|critical| critical.id.as_str());
            found.push(unknown(field, "unknown-critical", id, known));
            continue;
        };
        let applies = stands(kit, sheet.mode, critical.condition()) != Standing::NotOnRig;
        let happened = matches!(mark, CriticalMark::Missed | CriticalMark::Prompted);
        if applies && *mark == CriticalMark::NotApplicable {
            let key = match critical.needs {
                Some(_) => "critical-applies",
                None => "critical-always-applies",
            };
            let needs = critical.needs.clone().unwrap_or_default();
            found.push(Fault::new(field, key).with("needs", needs));
        } else if !applies && happened {
            let needs = critical.needs.clone().unwrap_or_default();
            found.push(Fault::new(field, "critical-cannot-happen").with("needs", needs));
        }
    }
    let acts = &kit.data().unsafe_acts;
    let mut seen = BTreeSet::new();
    for id in &sheet.unsafe_acts {
        if !acts.iter().any(|act| act.id == *id) {
            let known = acts.iter().map(|act| act.id.as_str());
            found.push(unknown("unsafe-acts".into(), "unknown-act", id, known));
        } else if !seen.insert(id) {
            found.push(Fault::new("unsafe-acts", "act-twice").with("name", id));
        }
    }
    found
}
