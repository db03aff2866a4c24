//! Run sheets against their drill, their rig and the people on them.

use std::collections::{BTreeMap, BTreeSet};

use super::values::{whole_steps, within};
use super::{Checked, Spot};
use crate::course::{CriticalMark, Drill, Mark, RunSheet};
use crate::findings::{Code, Finding};
use crate::quantity::{Kind, Quantity};

/// Run sheets in the folder of the module.
pub(super) fn of_module(checked: &Checked<'_>) {
    let spots: Vec<Spot<'_>> =
        checked.folder("runs/").into_iter().flat_map(sheets).collect();
    for sheet in &checked.course.runs {
        let of = |spot: &&Spot<'_>| spot.at("run").text() == Some(sheet.id.as_str());
        if let Some(spot) = spots.iter().find(of) {
            check(checked, sheet, spot);
        }
    }
}

/// The entries of a file: one sheet, or a list of them.
fn sheets(file: Spot<'_>) -> Vec<Spot<'_>> {
    let items = file.items();
    if items.is_empty() { vec![file] } else { items }
}

/// Run sheets that were handed in.
pub(super) fn given(checked: &Checked<'_>, sheets_given: &[RunSheet]) {
    let spots: Vec<Spot<'_>> =
        checked.trees.files().flat_map(|file| sheets(checked.file(file))).collect();
    for sheet in sheets_given {
        let of = |spot: &&Spot<'_>| spot.at("run").text() == Some(sheet.id.as_str());
        if let Some(spot) = spots.iter().find(of) {
            check(checked, sheet, spot);
        }
    }
}

fn check(checked: &Checked<'_>, sheet: &RunSheet, spot: &Spot<'_>) {
    people(checked, sheet, spot);
    if let Some(entered) = &sheet.entered_at
        && *entered < sheet.performed_at
    {
        let finding =
            Finding::at(Code::EnteredBeforePerformed, spot.at("entered-at").place());
        let finding = finding.with("entered", entered.clone());
        checked.note(finding.with("performed", sheet.performed_at.clone()));
    }
    rig(checked, sheet, spot);
    let acts: Vec<String> =
        checked.course.unsafe_acts.iter().map(|act| act.id.clone()).collect();
    for act in spot.at("unsafe-acts").items() {
        checked.among("unsafe act", &acts, &act);
    }
    if let Some(drill) = checked.course.drill(&sheet.drill) {
        marks(checked, (drill, sheet), spot);
        readings(checked, (drill, sheet), spot);
    } else if !checked.known("drill").is_some_and(|known| known.contains(&sheet.drill)) {
        let known: Vec<String> =
            checked.course.drills.iter().map(|drill| drill.id.clone()).collect();
        checked.among("drill", &known, &spot.at("drill"));
    }
}

fn rig(checked: &Checked<'_>, sheet: &RunSheet, spot: &Spot<'_>) {
    if let Some(rig) = checked.course.rigs.get(&sheet.rig) {
        let outlets: Vec<String> =
            rig.outlets.iter().map(|outlet| outlet.id.clone()).collect();
        let written = checked.sheet("rigs", &rig.id).at("outlets");
        let unread = written.node().is_some() && written.items().len() != outlets.len();
        if !unread {
            checked.among("outlet", &outlets, &spot.at("outlet"));
        }
    } else if !checked.known("rig").is_some_and(|known| known.contains(&sheet.rig)) {
        let known: Vec<String> = checked.course.rigs.keys().cloned().collect();
        checked.among("rig", &known, &spot.at("rig"));
    }
}

/// Everybody is known, and nobody holds two offices that watch each other.
fn people(checked: &Checked<'_>, sheet: &RunSheet, spot: &Spot<'_>) {
    let evaluator = spot.at("evaluator").at("person");
    let safety = spot.at("safety-officer");
    if !checked.unread("people.yaml") {
        let mut spots = vec![spot.at("candidate"), evaluator.clone(), safety.clone()];
        spots.push(spot.at("stop").at("by"));
        spots.extend(sheet.crew.keys().map(|role| spot.at("crew").at(role.as_str())));
        let listed = checked.file("people.yaml").ids("person");
        let people = checked.course.people.keys().cloned();
        let known: BTreeSet<String> = people.chain(listed).collect();
        let known: Vec<String> = known.into_iter().collect();
        for spot in spots {
            checked.among("person", &known, &spot);
        }
    }
    if sheet.evaluator.person == sheet.candidate {
        let finding = Finding::at(Code::EvaluatorIsCandidate, evaluator.place());
        checked.note(finding.with("person", sheet.candidate.clone()));
    }
    let office = if sheet.safety_officer == sheet.candidate {
        "candidate"
    } else if sheet.safety_officer == sheet.evaluator.person {
        "evaluator"
    } else {
        return;
    };
    let finding = Finding::at(Code::SafetyOfficerBusy, safety.place());
    let finding = finding.with("person", sheet.safety_officer.clone());
    checked.note(finding.with("office", office));
}

/// Names in the drill's own sheet, and those of the course where the sheet is not at hand.
fn ids<T>(
    checked: &Checked<'_>,
    (drill, list, key): (&Drill, &str, &str),
    things: &[T],
    id: impl Fn(&T) -> &str,
) -> Vec<String> {
    let sheet = checked.sheet("drills", &drill.id);
    if sheet.node().is_some() {
        return sheet.at(list).ids(key);
    }
    things.iter().map(|thing| id(thing).to_owned()).collect()
}

/// Keys of a group must name something of the drill.
fn keys(checked: &Checked<'_>, kind: &str, known: &[String], group: &Spot<'_>) {
    for key in group.keys() {
        let finding = Finding::at(Code::UnknownId, group.at(key).key());
        checked.named(kind, known, key, finding);
    }
}

fn marks(checked: &Checked<'_>, (drill, sheet): (&Drill, &RunSheet), spot: &Spot<'_>) {
    let steps = ids(checked, (drill, "steps", "step"), &drill.steps, |step| &step.id);
    keys(checked, "step", &steps, &spot.at("marks"));
    for list in ["order-seen", "out-of-order"] {
        for step in spot.at(list).items() {
            checked.among("step", &steps, &step);
        }
    }
    let roles = ids(checked, (drill, "roles", "role"), &drill.roles, |role| &role.id);
    checked.among("role", &roles, &spot.at("role"));
    keys(checked, "role", &roles, &spot.at("crew"));
    let criticals =
        ids(checked, (drill, "criticals", "critical"), &drill.criticals, |critical| {
            &critical.id
        });
    keys(checked, "critical", &criticals, &spot.at("criticals"));
    // Only a written condition can make something not applicable, and only where the rig
    // does not have it.
    let rig = checked.course.rigs.get(&sheet.rig);
    let has = rig.is_some_and(|rig| rig.compressor.is_some());
    let whole = drill.needs.is_some();
    for critical in &drill.criticals {
        let mark = sheet.criticals.get(&critical.id);
        let condition = whole || critical.needs.is_some();
        if mark == Some(&CriticalMark::NotApplicable) && (has || !condition) {
            let place = spot.at("criticals").at(critical.id.as_str()).place();
            let finding = Finding::at(Code::CriticalNotApplicable, place);
            checked.note(finding.with("id", critical.id.clone()));
        }
    }
    for step in &drill.steps {
        let mark = sheet.marks.get(&step.id);
        let condition = whole || step.needs.is_some();
        if mark == Some(&Mark::NotApplicable) && (has || !condition) {
            let place = spot.at("marks").at(step.id.as_str()).place();
            let finding = Finding::at(Code::CriticalNotApplicable, place);
            checked.note(finding.with("id", step.id.clone()));
        }
    }
}

/// Values must be such as the instruments can show.
fn readings(checked: &Checked<'_>, (drill, sheet): (&Drill, &RunSheet), spot: &Spot<'_>) {
    let known =
        ids(checked, (drill, "readings", "reading"), &drill.readings, |reading| {
            &reading.id
        });
    keys(checked, "reading", &known, &spot.at("readings"));
    let known =
        ids(checked, (drill, "measures", "measure"), &drill.measures, |measure| {
            &measure.id
        });
    keys(checked, "measure", &known, &spot.at("measures"));
    for reading in &drill.readings {
        let Some(value) = get(&sheet.readings, &reading.id) else { continue };
        let spot = spot.at("readings").at(reading.id.as_str());
        if value.dimension() != reading.least.dimension() {
            dimension(checked, value, &reading.least, &spot);
        } else if !within(value, &reading.least, &reading.most) {
            let shows = [reading.least.printed(), reading.most.printed()].join(" to ");
            not_shown(checked, value, &shows, &spot);
        }
    }
    for measure in &drill.measures {
        let Some(value) = get(&sheet.measures, &measure.id) else { continue };
        let spot = spot.at("measures").at(measure.id.as_str());
        if value.dimension() != measure.resolution.dimension() {
            dimension(checked, value, &measure.resolution, &spot);
        } else if !whole_steps(value, &measure.resolution) {
            let shows = format!("steps of {}", measure.resolution.printed());
            not_shown(checked, value, &shows, &spot);
        }
    }
}

fn get<'m>(map: &'m BTreeMap<String, Quantity>, id: &str) -> Option<&'m Quantity> {
    map.get(id)
}

fn not_shown(checked: &Checked<'_>, value: &Quantity, shows: &str, spot: &Spot<'_>) {
    let finding = Finding::at(Code::ValueNotShown, spot.place());
    checked.note(finding.with("found", value.printed()).with("shows", shows));
}

fn dimension(checked: &Checked<'_>, value: &Quantity, like: &Quantity, spot: &Spot<'_>) {
    if value.unit().kind == Kind::Plain {
        let finding = Finding::at(Code::NoUnit, spot.place());
        let example = format!("{} {}", value.number(), like.unit().symbol);
        checked.note(finding.with("found", value.to_string()).with("example", example));
        return;
    }
    let finding = Finding::at(Code::WrongDimension, spot.place());
    let finding = finding.with("found", value.to_string());
    let finding = finding.with("kind", format!("a {}", value.dimension().name()));
    let finding = finding.with("wanted", format!("a {}", like.dimension().name()));
    let example = format!("{} {}", value.number(), like.unit().symbol);
    checked.note(finding.with("example", example));
}
