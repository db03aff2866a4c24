//! What can be wrong with a run sheet as such: it names what is not there, contradicts
//! itself, or was made for another revision. A sheet with a fault has no result until the
//! fault is mended; scoring never guesses and never changes the sheet.

use std::collections::BTreeSet;

use super::kit::{Kit, RULES, short_revision};
use super::kits::names;
use super::sheet_values::{time_faults, value_faults, watch_faults};
use super::stands::{Standing, stands};
use crate::course::{Condition, CriticalMark, Mark, RunSheet};
use crate::words::{Words, nearest};

/// A fault of a run sheet: `scoring.fault.<key>` in the words file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where it is: a field, what stands under it, and in a list the place of the entry
    /// from 0. Whoever knows the file puts the place to it.
    pub path: Vec<String>,
    /// Key.
    pub key: &'static str,
    /// Values of the sentences' blanks.
    pub blanks: Vec<(&'static str, String)>,
}

impl Fault {
    pub(super) fn at(path: &[&str], key: &'static str) -> Self {
        let path = path.iter().map(|part| (*part).to_owned()).collect();
        Self { path, key, blanks: Vec::new() }
    }

    pub(super) fn with(mut self, blank: &'static str, value: impl Into<String>) -> Self {
        self.blanks.push((blank, value.into()));
        self
    }

    /// The field of the run sheet, such as `marks.air-off`; of a list the list.
    pub fn field(&self) -> String {
        let list = self.path.first().is_some_and(|first| LISTS.contains(&first.as_str()));
        self.path
            .get(..if list { 1 } else { self.path.len() })
            .unwrap_or_default()
            .join(".")
    }

    /// The value of a blank; nothing where the fault has no such blank.
    pub fn blank(&self, name: &str) -> &str {
        let found = self.blanks.iter().find(|(blank, _)| *blank == name);
        found.map_or("", |(_, value)| value.as_str())
    }

    fn say(&self, words: &Words, part: &str) -> String {
        let field = self.field();
        let mut blanks: Vec<(&str, &str)> = vec![("field", &field)];
        blanks.extend(self.blanks.iter().map(|(name, value)| (*name, value.as_str())));
        // words: scoring.fault.{Fault::at(_, ..)|*}.{says|write}
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

/// Fields that are lists of names.
const LISTS: &[&str] = &["order-seen", "out-of-order", "unsafe-acts"];

/// Everything that is wrong with a run sheet for a kit, in the order of the sheet's fields.
///
/// The one list: what a file is refused for, what a live page will not save, and what a
/// verdict is withheld for. What needs more than the kit is looked for by those who have
/// it: unknown persons, chains, dates to come.
pub fn faults(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let mut found = head(kit, sheet);
    found.extend(head_alone(sheet));
    found.extend(people(kit, sheet));
    found.extend(offices(sheet));
    found.extend(marks(kit, sheet));
    found.extend(order(kit, sheet));
    found.extend(criticals(kit, sheet));
    found.extend(unsafe_acts(kit, sheet));
    found.extend(value_faults(kit, sheet));
    found.extend(time_faults(sheet));
    found.extend(watch_faults(kit, sheet));
    found
}

/// The faults that a sheet has whatever it is scored by: what can be told of a run whose
/// drill or rig nobody has.
pub fn faults_alone(sheet: &RunSheet) -> Vec<Fault> {
    let mut found = head_alone(sheet);
    found.extend(offices(sheet));
    found.extend(time_faults(sheet));
    found
}

/// A name that the drill, the rig or the common list does not have.
pub(super) fn unknown<'n>(
    path: &[&str],
    key: &'static str,
    name: &str,
    known: impl Iterator<Item = &'n str>,
) -> Fault {
    let near = nearest(name, known).unwrap_or_default();
    Fault::at(path, key).with("name", name).with("nearest", near)
}

fn revision(field: &str, given: Option<&String>, hash: &str) -> Option<Fault> {
    let given = given?.trim();
    (!names(given, hash)).then(|| {
        Fault::at(&[field], "other-revision")
            .with("given", given)
            .with("have", short_revision(hash))
    })
}

fn head(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let (drill, rig) = (kit.drill(), kit.rig());
    let mut found = Vec::new();
    if sheet.drill != drill.id {
        let fault = Fault::at(&["drill"], "other-drill");
        found.push(fault.with("given", &sheet.drill).with("have", &drill.id));
    }
    let (given, hash) = (sheet.drill_revision.as_ref(), kit.drill_revision());
    found.extend(revision("drill-revision", given, hash));
    if sheet.rig != rig.id {
        let fault = Fault::at(&["rig"], "other-rig");
        found.push(fault.with("given", &sheet.rig).with("have", &rig.id));
    }
    let (given, hash) = (sheet.rig_revision.as_ref(), kit.rig_revision());
    found.extend(revision("rig-revision", given, hash));
    // Another version of the rules may give another verdict, so neither the sheet's nor the
    // kit's is passed over.
    for rules in [sheet.rules, Some(kit.standard().rules)].into_iter().flatten() {
        if rules != RULES {
            let fault = Fault::at(&["rules"], "other-rules");
            found.push(
                fault.with("given", rules.to_string()).with("have", RULES.to_string()),
            );
        }
    }
    if rig.outlet(&sheet.outlet).is_none() {
        let known = rig.outlets.iter().map(|outlet| outlet.id.as_str());
        found.push(unknown(&["outlet"], "unknown-outlet", &sheet.outlet, known));
    }
    if let Some(needs) = drill.condition().lacks(rig) {
        found.push(Fault::at(&["rig"], "rig-lacks").with("needs", needs));
    }
    if !drill.condition().shown_in(sheet.mode) {
        // words: scoring.mode.{Mode}
        let mode = kit.words().say(&format!("scoring.mode.{}", sheet.mode.key()), &[]);
        found.push(Fault::at(&["mode"], "mode-not-allowed").with("name", mode));
    }
    found
}

fn head_alone(sheet: &RunSheet) -> Vec<Fault> {
    let mut found = Vec::new();
    if sheet.attempt == 0 {
        found.push(Fault::at(&["attempt"], "attempt-zero"));
    }
    if sheet.void.as_ref().is_some_and(|reason| reason.trim().is_empty()) {
        found.push(Fault::at(&["void"], "void-without-reason"));
    }
    if let Some(entered) = sheet.entered_at.as_ref().filter(|_| sheet.entered_early()) {
        let fault = Fault::at(&["entered-at"], "entered-before");
        found.push(fault.with("entered", entered).with("performed", &sheet.performed_at));
    }
    found
}

fn people(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let mut found = Vec::new();
    let roles = &kit.drill().roles;
    let known = || roles.iter().map(|role| role.id.as_str());
    match roles.iter().find(|role| role.id == sheet.role) {
        None => found.push(unknown(&["role"], "unknown-role", &sheet.role, known())),
        Some(role) if !role.scored => {
            let fault = Fault::at(&["role"], "role-not-scored");
            found.push(fault.with("name", &role.title));
        }
        Some(_) => {}
    }
    for (role, person) in &sheet.crew {
        let path = ["crew", role.as_str()];
        if *role == sheet.role {
            found.push(Fault::at(&path, "role-taken").with("name", role));
        } else if !known().any(|known| known == role) {
            found.push(unknown(&path, "unknown-role", role, known()));
        } else if *person == sheet.candidate {
            found.push(Fault::at(&path, "candidate-twice"));
        }
    }
    found
}

/// Nobody holds two offices that watch each other. One who holds all three is told once for
/// each office that must go to somebody else.
fn offices(sheet: &RunSheet) -> Vec<Fault> {
    let (evaluator, safety) = (&sheet.evaluator.person, &sheet.safety_officer);
    let mut found = Vec::new();
    if *evaluator == sheet.candidate {
        let fault = Fault::at(&["evaluator", "person"], "evaluator-is-candidate");
        found.push(fault.with("person", evaluator));
    }
    if *safety == sheet.candidate {
        let fault = Fault::at(&["safety-officer"], "safety-is-candidate");
        found.push(fault.with("person", safety));
    } else if safety == evaluator {
        let fault = Fault::at(&["safety-officer"], "safety-is-evaluator");
        found.push(fault.with("person", safety));
    }
    found
}

/// Only a written condition can make something not applicable, and only where the rig does
/// not have it: an evaluator excuses nobody.
fn excused(
    kit: &Kit,
    path: &[&str],
    condition: Condition<'_>,
    keys: [&'static str; 2],
) -> Option<Fault> {
    let lacks = |condition: Condition<'_>| condition.lacks(kit.rig()).is_some();
    // What the whole drill hangs on is a fault of its own.
    if lacks(condition) || lacks(kit.drill().condition()) {
        return None;
    }
    let [conditional, always] = keys;
    let key = if condition.needs.is_some() { conditional } else { always };
    Some(Fault::at(path, key).with("needs", condition.needs.unwrap_or_default()))
}

fn marks(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let steps = &kit.drill().steps;
    let fault = |(id, mark): (&String, &Mark)| {
        let path = ["marks", id.as_str()];
        match steps.iter().find(|step| step.id == *id) {
            None => {
                let known = steps.iter().map(|step| step.id.as_str());
                Some(unknown(&path, "unknown-step", id, known))
            }
            Some(step) if *mark == Mark::NotApplicable => {
                let keys = ["step-applies", "step-always-applies"];
                excused(kit, &path, step.condition(), keys)
            }
            Some(_) => None,
        }
    };
    sheet.marks.iter().filter_map(fault).collect()
}

fn order(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let steps = &kit.drill().steps;
    let known = |id: &String| steps.iter().any(|step| step.id == *id);
    let mut found = Vec::new();
    let lists = [
        ("order-seen", sheet.order_seen.as_deref().unwrap_or_default()),
        ("out-of-order", sheet.out_of_order.as_slice()),
    ];
    for (field, list) in lists {
        let mut seen = BTreeSet::new();
        for (at, id) in list.iter().enumerate() {
            let path = [field, &at.to_string()];
            if !known(id) {
                let known = steps.iter().map(|step| step.id.as_str());
                found.push(unknown(&path, "unknown-step", id, known));
            } else if !seen.insert(id) {
                found.push(Fault::at(&path, "step-twice").with("name", id));
            }
        }
    }
    let Some(listed) = &sheet.order_seen else { return found };
    if !sheet.out_of_order.is_empty() {
        found.push(Fault::at(&["out-of-order"], "order-twice"));
    }
    let rules = &kit.drill().order;
    let ordered = |id: &String| rules.iter().any(|r| r.first == *id || r.then == *id);
    let mut left_out = Vec::new();
    for step in steps.iter().filter(|step| step.role == sheet.role) {
        let mark = sheet.marks.get(&step.id);
        let done = matches!(mark, Some(Mark::Done | Mark::Prompted));
        match listed.iter().rposition(|id| *id == step.id) {
            Some(at) if mark == Some(&Mark::NotDone) => {
                let path = ["order-seen", &at.to_string()];
                found.push(Fault::at(&path, "order-not-done").with("name", &step.id));
            }
            None if done
                && ordered(&step.id)
                && stands(kit, sheet.mode, step.condition()) == Standing::Stands =>
            {
                left_out.push(step.id.as_str());
            }
            _ => {}
        }
    }
    // Steps that one list leaves out are one fault; a name that nobody knows may be one of
    // them, misspelled.
    if !left_out.is_empty() && listed.iter().all(known) {
        let fault = Fault::at(&["order-seen"], "order-left-out");
        found.push(fault.with("name", left_out.join(", ")));
    }
    found
}

fn criticals(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let criticals = &kit.drill().criticals;
    let fault = |(id, mark): (&String, &CriticalMark)| {
        let path = ["criticals", id.as_str()];
        let Some(critical) = criticals.iter().find(|critical| critical.id == *id) else {
            let known = criticals.iter().map(|critical| critical.id.as_str());
            return Some(unknown(&path, "unknown-critical", id, known));
        };
        match mark {
            CriticalMark::NotApplicable => {
                let keys = ["critical-applies", "critical-always-applies"];
                excused(kit, &path, critical.condition(), keys)
            }
            CriticalMark::Missed | CriticalMark::Prompted => {
                let needs = critical.condition().lacks(kit.rig())?;
                Some(Fault::at(&path, "critical-cannot-happen").with("needs", needs))
            }
            CriticalMark::Kept | CriticalMark::NotSeen => None,
        }
    };
    sheet.criticals.iter().filter_map(fault).collect()
}

fn unsafe_acts(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let acts = &kit.standard().unsafe_acts;
    let mut found = Vec::new();
    let mut seen = BTreeSet::new();
    for (at, id) in sheet.unsafe_acts.iter().enumerate() {
        let path = ["unsafe-acts", &at.to_string()];
        if !acts.iter().any(|act| act.id == *id) {
            let known = acts.iter().map(|act| act.id.as_str());
            found.push(unknown(&path, "unknown-act", id, known));
        } else if !seen.insert(id) {
            found.push(Fault::at(&path, "act-twice").with("name", id));
        }
    }
    found
}
