//! What the limits of every drill rest on (rule 18): no author leaves one of them out by not saying
//! what a value or a step is.

use super::{Checked, Spot};
use crate::course::{
    Air, Bind, Does, Drill, Foam, Meaning, Measure, Mode, Step, Whose, left_feed,
};
use crate::findings::{Code, Finding};
use crate::quantity::{Dimension, find};
use crate::scoring::{runs_on, unread_for_minutes};

pub(super) fn check(checked: &Checked<'_>) {
    for drill in &checked.course.drills {
        let spot = checked.sheet("drills", &drill.id);
        for measure in &drill.measures {
            values(checked, (drill, measure), &spot);
            readings(checked, (drill, measure), &spot);
        }
        air(checked, drill, &spot);
    }
}

/// A value that is taken for what it most likely is, because it does not say it: a pressure, and
/// what minutes are fed from.
fn values(checked: &Checked<'_>, (drill, measure): (&Drill, &Measure), spot: &Spot<'_>) {
    let own = spot.at("measures").entry("measure", &measure.id);
    let pressure =
        find(&measure.unit).is_some_and(|unit| unit.dimension == Dimension::PRESSURE);
    // What the machine did breaks no limit (rule 15).
    if pressure && measure.whose == Whose::Act {
        unsaid(checked, &measure.label, measure.is, (&own, "measure"));
    }
    if measure.is != Some(Meaning::MinutesTold) {
        return;
    }
    for bind in left_feed(measure).into_iter().flat_map(|feed| feed.with.values()) {
        let Bind::Named(id) = bind else { continue };
        let mut readings = drill.readings.iter();
        let Some(reading) = readings.find(|one| one.id == *id) else { continue };
        let own = spot.at("readings").entry("reading", id);
        unsaid(checked, &reading.label, reading.is, (&own, "reading"));
    }
}

fn unsaid(
    checked: &Checked<'_>,
    label: &str,
    is: Option<Meaning>,
    (spot, key): (&Spot<'_>, &str),
) {
    let Some(is) = is.filter(|_| spot.at("is").node().is_none()) else { return };
    let finding = Finding::at(Code::ValueUnsaid, spot.at(key).place());
    checked.note(finding.with("name", label).with("is", is.key()));
}

/// Readings without which a limit that the drill has a value for is held against nothing.
fn readings(
    checked: &Checked<'_>,
    (drill, measure): (&Drill, &Measure),
    spot: &Spot<'_>,
) {
    let own = spot.at("measures").entry("measure", &measure.id);
    let read = |is: Meaning| drill.readings.iter().any(|one| one.is == Some(is));
    let mut lacks: Vec<String> = Vec::new();
    match measure.is {
        Some(Meaning::MinutesTold) => lacks.extend(unread_for_minutes(drill)),
        Some(Meaning::PercentSet) if !read(Meaning::PercentOrdered) => {
            lacks.push(Meaning::PercentOrdered.key());
        }
        _ => {}
    }
    for is in lacks {
        let finding = Finding::at(Code::ReadingUnsaid, own.at("measure").place());
        checked.note(finding.with("name", measure.label.clone()).with("is", is));
    }
}

/// Air without confirmed foam (rule 18 f) is told by what steps do to air and foam. By the
/// equipment, because words can be anything: a rig with a compressor, and a drill that says it
/// works the air, or leaves air or foam otherwise than it found them.
fn air(checked: &Checked<'_>, drill: &Drill, spot: &Spot<'_>) {
    let foams = |mode: &Mode| matches!(mode, Mode::TrainingFoam | Mode::Agent);
    let mut rigs = checked.course.rigs.values();
    let fitted = rigs.any(|rig| rig.compressor.is_some() && runs_on(rig, drill));
    // Air goes onto a line with foam alone: where no mode has foam, no line has air.
    if !fitted || !drill.modes.iter().any(foams) {
        return;
    }
    let told = |at: crate::findings::Place, is: Does| {
        checked.note(Finding::at(Code::AirUntold, at).with("is", is.key()));
    };
    let does = |is: Does| drill.steps.iter().any(|step| step.is == Some(is));
    let (on, left_on) = (
        drill.starts_with.air == Some(Air::OnIfFitted),
        drill.leaves.air == Some(Air::OnIfFitted),
    );
    let foam_shut =
        drill.starts_with.foam == Some(Foam::On) && drill.leaves.foam == Some(Foam::Off);
    if left_on && !on && !does(Does::OpensAir) {
        told(spot.at("leaves").at("air").key(), Does::OpensAir);
    }
    if on && !left_on && !does(Does::ShutsAir) {
        told(spot.at("starts-with").at("air").key(), Does::ShutsAir);
    }
    if on && foam_shut && !does(Does::ShutsFoam) {
        told(spot.at("leaves").at("foam").key(), Does::ShutsFoam);
    }
    // What has to come before it, of the steps that say what they do.
    for (at, step) in drill.steps.iter().enumerate() {
        let first = match step.is {
            Some(Does::OpensAir) => Does::ConfirmsFoam,
            Some(Does::ShutsFoam) if on => Does::ShutsAir,
            _ => continue,
        };
        // By the printed sequence, which is the one that is taught.
        let mut earlier = drill.steps.iter().take(at);
        if !earlier.any(|step| step.is == Some(first)) {
            let own = spot.at("steps").entry("step", &step.id);
            told(own.at("is").key(), first);
        }
    }
    // A step that only a rig with air has, in a drill of which no step says what it does to it.
    let works = |step: &&Step| step.condition().needs == Some("compressor");
    let silent = drill.steps.iter().all(|step| step.is.is_none());
    if let Some(step) = drill.steps.iter().find(works).filter(|_| silent) {
        let own = spot.at("steps").entry("step", &step.id);
        told(own.at("needs").key(), Does::ShutsAir);
    }
}
