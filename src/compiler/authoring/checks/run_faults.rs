//! A fault of a run sheet, which knows its path, as a finding, which knows its place.

use super::index::Names;
use super::{Checked, Spot};
use crate::course::{Drill, RunSheet};
use crate::findings::{Code, Finding, Place};
use crate::quantity::{Kind, Quantity, Unit, find};
use crate::scoring::{Fault, Kit};
use crate::words::Words;

/// What the faults of one run sheet are told with.
pub(super) struct Told<'t, 'c> {
    pub(super) checked: &'t Checked<'c>,
    pub(super) sheet: &'t RunSheet,
    pub(super) kit: Option<&'t Kit>,
    /// None where something else has to be mended first.
    pub(super) words: Option<&'t Words>,
}

/// What a name that is not known was meant to be, by the key of the fault.
const KINDS: &[(&str, &str)] = &[
    ("unknown-outlet", "outlet"),
    ("unknown-role", "role"),
    ("unknown-step", "step"),
    ("unknown-critical", "critical"),
    ("unknown-act", "unsafe act"),
    ("unknown-cue", "cue"),
    ("unknown-reading", "reading"),
    ("unknown-measure", "measure"),
];

impl Told<'_, '_> {
    /// Notes the finding of a fault.
    pub(super) fn note(&self, fault: &Fault, spot: &Spot<'_>) {
        let spot = at(fault, spot);
        if let Some((_, kind)) = KINDS.iter().find(|(key, _)| *key == fault.key) {
            self.unknown(kind, fault, &spot);
        } else if let Some(finding) = self.finding(fault, spot.place()) {
            self.checked.note(finding);
        }
    }

    fn finding(&self, fault: &Fault, place: Place) -> Option<Finding> {
        let blank = |name: &str| fault.blank(name).to_owned();
        let of = |code| Finding::at(code, place.clone());
        Some(match fault.key {
            "entered-before" => of(Code::EnteredBeforePerformed)
                .with("entered", blank("entered"))
                .with("performed", blank("performed")),
            "in-future" => of(Code::FutureDate)
                .with("found", blank("performed"))
                .with("today", blank("today")),
            "evaluator-is-candidate" => {
                of(Code::EvaluatorIsCandidate).with("person", blank("person"))
            }
            "safety-is-candidate" => of(Code::SafetyOfficerBusy)
                .with("person", blank("person"))
                .with("office", "candidate"),
            "safety-is-evaluator" => of(Code::SafetyOfficerBusy)
                .with("person", blank("person"))
                .with("office", "evaluator"),
            "reading-range" => of(Code::ValueNotShown)
                .with("found", blank("found"))
                .with("shows", [blank("least"), blank("most")].join(" to ")),
            "off-gauge" | "off-watch" => of(Code::ValueNotShown)
                .with("found", blank("found"))
                .with("shows", format!("steps of {}", blank("step"))),
            "wrong-unit" => match self.unit(fault) {
                Some((value, unit)) => wrong_unit(value, unit, place),
                None => return self.contradicts(fault, place),
            },
            "step-twice" => {
                self.words?;
                of(Code::StepTwice).with("name", blank("name"))
            }
            _ => return self.contradicts(fault, place),
        })
    }

    /// What scoring would refuse the sheet for, in its own words.
    fn contradicts(&self, fault: &Fault, place: Place) -> Option<Finding> {
        let words = self.words?;
        let code = if fault.asks { Code::RunOpen } else { Code::RunContradicts };
        let finding = Finding::at(code, place).with("says", fault.says(words));
        let finding = finding.with("field", fault.field());
        let mut write = fault.write(words);
        if write.is_empty() {
            write = words.get("finding.value-not-shown.write");
        }
        Some(finding.with("write", write))
    }

    /// The value of a fault and the unit that is wanted, where the two measure other things.
    fn unit(&self, fault: &Fault) -> Option<(&Quantity, &'static Unit)> {
        let [group, id] = fault.path.as_slice() else { return None };
        let values = match group.as_str() {
            "readings" => &self.sheet.readings,
            "measures" => &self.sheet.measures,
            _ => return None,
        };
        let (value, unit) = values.get(id).zip(find(fault.blank("unit")))?;
        let other =
            value.dimension() != unit.dimension || value.unit().kind == Kind::Plain;
        other.then_some((value, unit))
    }

    fn unknown(&self, kind: &str, fault: &Fault, spot: &Spot<'_>) {
        let id = fault.blank("name");
        let key = matches!(fault.path.as_slice(), [group, _] if !is_list(group));
        let place = if key { spot.key() } else { spot.place() };
        let Some(known) = self.known(fault) else { return };
        // What cannot be read is there all the same.
        if known.iter().any(|name| name == id) {
            return;
        }
        let plain = |name: &str| name.to_lowercase().replace(['_', ' '], "-");
        if known.iter().any(|name| plain(name) == plain(id)) {
            // Only the spelling is another: the sentence with the one right name.
            if let Some(finding) = self.contradicts(fault, place) {
                self.checked.note(finding);
            }
            return;
        }
        self.checked.named(
            kind,
            &Names::of(known),
            id,
            Finding::at(Code::UnknownId, place),
        );
    }

    /// The names there are; none where a file that holds them cannot be read.
    fn known(&self, fault: &Fault) -> Option<Vec<String>> {
        let (kit, checked) = (self.kit?, self.checked);
        let drill = kit.drill();
        Some(match fault.key {
            "unknown-outlet" => {
                let outlets = kit.rig().outlets.iter().map(|outlet| outlet.id.clone());
                let outlets: Vec<String> = outlets.collect();
                let written = checked.sheet("rigs", &self.sheet.rig).at("outlets");
                let unread =
                    written.node().is_some() && written.items().len() != outlets.len();
                return (!unread).then_some(outlets);
            }
            "unknown-role" => {
                let mut roles =
                    self.ids((drill, "roles", "role"), &drill.roles, |r| &r.id);
                // One whose steps have a role is that role: where its list spells
                // it otherwise, the list is told.
                roles.extend(drill.steps.iter().map(|step| step.role.clone()));
                let of_crew = fault.path.first().is_some_and(|first| first == "crew");
                return if of_crew { self.crew(roles) } else { Some(roles) };
            }
            "unknown-step" => {
                self.ids((drill, "steps", "step"), &drill.steps, |step| &step.id)
            }
            "unknown-critical" => {
                self.ids((drill, "criticals", "critical"), &drill.criticals, |c| &c.id)
            }
            "unknown-cue" => self.ids((drill, "cues", "cue"), &drill.cues, |cue| &cue.id),
            "unknown-reading" => {
                self.ids((drill, "readings", "reading"), &drill.readings, |r| &r.id)
            }
            "unknown-measure" => {
                self.ids((drill, "measures", "measure"), &drill.measures, |m| &m.id)
            }
            _ => kit.standard().unsafe_acts.iter().map(|act| act.id.clone()).collect(),
        })
    }

    /// Names in the drill's own sheet, and those of the course where the sheet is not at hand.
    fn ids<T>(
        &self,
        (drill, list, key): (&Drill, &str, &str),
        things: &[T],
        id: impl Fn(&T) -> &str,
    ) -> Vec<String> {
        let sheet = self.checked.sheet("drills", &drill.id);
        // An earlier revision has names of its own.
        if sheet.node().is_some() && self.checked.course.drill(&drill.id) == Some(drill) {
            return sheet.at(list).ids(key);
        }
        things.iter().map(|thing| id(thing).to_owned()).collect()
    }

    /// Whom a drill of a chain does not need stands in the crew of the others. A role may be
    /// that of a drill whose file cannot be read.
    fn crew(&self, mut roles: Vec<String>) -> Option<Vec<String>> {
        let course = self.checked.course;
        let id = self.sheet.chain.as_ref();
        let chain = id.and_then(|id| course.chains.iter().find(|chain| chain.id == *id));
        for id in chain.into_iter().flat_map(|chain| &chain.drills) {
            roles.extend(course.drill(id)?.roles.iter().map(|role| role.id.clone()));
        }
        roles.sort();
        roles.dedup();
        Some(roles)
    }
}

fn is_list(field: &str) -> bool {
    matches!(field, "order-seen" | "undone" | "unsafe-acts" | "reported")
}

fn wrong_unit(value: &Quantity, unit: &'static Unit, place: Place) -> Finding {
    let example = format!("{} {}", value.number(), unit.symbol);
    if value.unit().kind == Kind::Plain {
        let finding = Finding::at(Code::NoUnit, place);
        return finding.with("found", value.to_string()).with("example", example);
    }
    let finding = Finding::at(Code::WrongDimension, place);
    let finding = finding.with("found", value.to_string());
    let finding = finding.with("kind", value.unit().measures());
    let finding = finding.with("wanted", unit.measures());
    finding.with("example", example)
}

/// The value that a fault is about. Where a list was read without some of its entries, the
/// last entry of the name; a time from two readings of the watch is read where it stops.
fn at<'t>(fault: &Fault, spot: &Spot<'t>) -> Spot<'t> {
    let mut deeper = spot.clone();
    for part in &fault.path {
        let list = deeper;
        deeper = list.at(part.as_str());
        let name = fault.blank("name");
        if !name.is_empty() && !list.items().is_empty() && deeper.text() != Some(name) {
            let of = |item: &Spot<'_>| item.text() == Some(name);
            deeper = list.items().into_iter().rfind(of).unwrap_or(deeper);
        }
    }
    let timed = fault.path.first().is_some_and(|first| first == "time");
    if timed && deeper.node().is_none() { spot.at("time").at("stop") } else { deeper }
}
