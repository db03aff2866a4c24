//! Marks, readings and measured values of a run sheet against its drill and its rig.

use std::collections::BTreeMap;

use super::index::Names;
use super::values::{whole_steps, within};
use super::{Checked, Spot};
use crate::course::{CriticalMark, Drill, Mark, RunSheet};
use crate::findings::{Code, Finding};
use crate::quantity::{Kind, Quantity};
use crate::scoring::Kit;

/// Names in the drill's own sheet, and those of the course where the sheet is not at hand.
fn ids<T>(
    checked: &Checked<'_>,
    (drill, list, key): (&Drill, &str, &str),
    things: &[T],
    id: impl Fn(&T) -> &str,
) -> Vec<String> {
    let sheet = checked.sheet("drills", &drill.id);
    // An earlier revision has names of its own.
    if sheet.node().is_some() && checked.course.drill(&drill.id) == Some(drill) {
        return sheet.at(list).ids(key);
    }
    things.iter().map(|thing| id(thing).to_owned()).collect()
}

/// Keys of a group must name something of the drill.
fn keys(checked: &Checked<'_>, kind: &str, known: &[String], group: &Spot<'_>) {
    let known = &Names::of(known.to_vec());
    for key in group.keys() {
        let finding = Finding::at(Code::UnknownId, group.at(key).key());
        checked.named(kind, known, key, finding);
    }
}

pub(super) fn marks(
    checked: &Checked<'_>,
    (kit, sheet): (&Kit, &RunSheet),
    spot: &Spot<'_>,
) {
    let drill = kit.drill();
    let steps = ids(checked, (drill, "steps", "step"), &drill.steps, |step| &step.id);
    keys(checked, "step", &steps, &spot.at("marks"));
    for list in ["order-seen", "out-of-order"] {
        for step in spot.at(list).items() {
            checked.among("step", &steps, &step);
        }
    }
    let roles = ids(checked, (drill, "roles", "role"), &drill.roles, |role| &role.id);
    checked.among("role", &roles, &spot.at("role"));
    // Whom a drill of a chain does not need stands in the crew of the others.
    let chain = sheet.chain.as_ref();
    let chain = chain.and_then(|id| checked.course.chains.iter().find(|c| c.id == *id));
    let of_chain = || chain.into_iter().flat_map(|chain| &chain.drills);
    let others = of_chain().filter_map(|id| checked.course.drill(id));
    let others = others.flat_map(|other| other.roles.iter().map(|role| role.id.clone()));
    let mut crew: Vec<String> = roles.into_iter().chain(others).collect();
    crew.sort();
    crew.dedup();
    // A role may be that of a drill whose file cannot be read.
    if of_chain().all(|id| checked.course.drill(id).is_some()) {
        keys(checked, "role", &crew, &spot.at("crew"));
    }
    let criticals =
        ids(checked, (drill, "criticals", "critical"), &drill.criticals, |critical| {
            &critical.id
        });
    keys(checked, "critical", &criticals, &spot.at("criticals"));
    // Only a written condition can make something not applicable, and only where the rig
    // does not have it.
    let has = kit.rig().compressor.is_some();
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
pub(super) fn readings(
    checked: &Checked<'_>,
    (kit, sheet): (&Kit, &RunSheet),
    spot: &Spot<'_>,
) {
    let drill = kit.drill();
    watch(checked, (drill, sheet), spot);
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

/// Times must be such as the watch can show.
fn watch(checked: &Checked<'_>, (drill, sheet): (&Drill, &RunSheet), spot: &Spot<'_>) {
    let Some((time, standard)) = sheet.time.as_ref().zip(drill.time.as_ref()) else {
        return;
    };
    let spot = spot.at("time");
    let shows = format!("steps of {}", standard.resolution.printed());
    let values = [("taken", Some(&time.taken)), ("held", time.held.as_ref())];
    for (field, value) in values {
        // A time from two readings of the watch is read where it stops.
        let spot = if spot.at(field).node().is_some() {
            spot.at(field)
        } else {
            spot.at("stop")
        };
        if let Some(value) = value.filter(|time| !whole_steps(time, &standard.resolution))
        {
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
