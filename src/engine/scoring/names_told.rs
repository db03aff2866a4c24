//! Names under the fields of a run sheet that tell more about a step, a cue, a critical or a
//! value: each has to be one of the drill.

use super::fault::{Fault, unknown};
use super::kit::Kit;
use super::limits::LIMITS;
use crate::course::RunSheet;

/// Names under the fields that tell more about a step, a cue, a critical or a value.
pub(super) fn told_of(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let drill = kit.drill();
    let steps: Vec<&str> = drill.steps.iter().map(|step| step.id.as_str()).collect();
    let cues: Vec<&str> = drill.cues.iter().map(|cue| cue.id.as_str()).collect();
    let criticals = drill.criticals.iter().map(|critical| critical.id.as_str());
    let acts = kit.standard().unsafe_acts.iter().map(|act| act.id.as_str());
    let acts: Vec<&str> = acts.collect();
    let criticals: Vec<&str> = criticals.collect();
    let happened: Vec<&str> = criticals.iter().chain(&acts).copied().collect();
    let measures = drill.measures.iter().map(|measure| measure.id.as_str());
    let readings = drill.readings.iter().map(|reading| reading.id.as_str());
    let measures: Vec<&str> = measures.collect();
    let values: Vec<&str> = measures.iter().copied().chain(readings).collect();
    let mut found = Vec::new();
    let mut look =
        |field: &str, key: &'static str, names: Vec<&String>, known: &[&str]| {
            for name in names {
                if !known.contains(&name.as_str()) {
                    let near = known.iter().copied();
                    found.push(unknown(&[field, name], key, name, near));
                }
            }
        };
    look("begun", "unknown-step", sheet.begun.keys().collect(), &steps);
    look("left-out", "unknown-step", sheet.left_out.keys().collect(), &steps);
    look("cues", "unknown-cue", sheet.cues.keys().collect(), &cues);
    let stands: Vec<&str> =
        criticals.iter().chain(&steps).chain(&values).copied().collect();
    look("settled", "unknown-critical", sheet.settled.keys().collect(), &stands);
    look("as-manual", "unknown-measure", sheet.as_manual.keys().collect(), &measures);
    look("happened", "unknown-critical", sheet.happened.keys().collect(), &happened);
    look("acts-of-others", "unknown-act", sheet.others_acts.keys().collect(), &acts);
    for (at, name) in sheet.reported.iter().enumerate() {
        if !values.contains(&name.as_str()) {
            let path = ["reported", &at.to_string()];
            found.push(unknown(&path, "unknown-measure", name, values.iter().copied()));
        }
    }
    for (at, name) in sheet.took_away.iter().enumerate() {
        if !steps.contains(&name.as_str()) {
            let path = ["took-away", &at.to_string()];
            found.push(unknown(&path, "unknown-step", name, steps.iter().copied()));
        }
    }
    for pair in sheet.pairs.keys() {
        let known = pair
            .split_once(" > ")
            .is_some_and(|(first, then)| steps.contains(&first) && steps.contains(&then));
        if !known {
            found.push(Fault::at(&["pairs", pair], "unknown-pair").with("name", pair));
        }
    }
    if let Some(act) = sheet.stop.as_ref().and_then(|stop| stop.act.as_ref())
        && !happened.contains(&act.as_str())
        && !LIMITS.contains(&act.as_str())
    {
        let near = happened.iter().copied();
        found.push(unknown(&["stop", "act"], "unknown-critical", act, near));
    }
    found
}
