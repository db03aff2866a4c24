//! What a file is told of beside its faults: criticals that are open.

use super::criticals::criticals;
use super::fault::Fault;
use super::kit::Kit;
use super::verdict::{Decision, Line, Rule};
use crate::course::{CriticalMark, RunSheet};

/// The criticals of a sheet that are open, each as a question at its place: what a file is told
/// of beside its faults, because its verdict is then incomplete (rules 7 and 8).
pub fn open(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    if sheet.void.is_some() {
        return Vec::new();
    }
    let for_run = kit.for_run(sheet);
    let lines = criticals(for_run.as_ref(), sheet).into_iter();
    // Whoever answered "not seen" has been asked.
    let asked = |id: &str| sheet.criticals.get(id) == Some(&CriticalMark::NotSeen);
    // One of another role that contradicts its marks leaves the crew's result open (rule 35).
    let of_others =
        |line: &Line| line.rule == Rule::OfOthers && line.decision == Decision::Open;
    let open = lines.filter(|line| {
        of_others(line) || (line.decision == Decision::Unseen && !asked(&line.subject))
    });
    open.map(|line| {
        let path = ["criticals", line.subject.as_str()];
        Fault::asks(&path, "critical-open").with("says", line.sentence)
    })
    .collect()
}
