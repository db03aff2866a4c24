//! Acts of a person that nobody can put to a drill or a critical, beside the runs that were handed in
//! with them.
//!
//! Such an act counts as no attempt of a drill that is not known, and must not be lost either: a run
//! of that person stays open until somebody writes what is misspelled (the guiding rule).

use super::earlier::{Run, same};
use super::instead::marked;
use super::reading::{ForReading, KitFor, act_seen};
use super::say;
use super::verdict::{Decision, Line, Rule};
use crate::course::{RunSheet, RunUse};
use crate::quantity::Moment;

/// What of the runs that were handed in keeps one of the same candidate open.
pub(super) fn open_acts(run: &Run<'_>, all: &[Run<'_>]) -> Vec<Line> {
    let counts = |run: &Run<'_>| run.sheet.use_ == RunUse::Evaluation;
    if !counts(run) {
        return Vec::new();
    }
    let words = run.kit.words();
    let others = all.iter().filter(|other| {
        !std::ptr::eq(other.sheet, run.sheet)
            && other.sheet.candidate == run.sheet.candidate
            && before(other.sheet, run.sheet)
    });
    let line = |other: &Run<'_>| {
        let unknown = unknown_acts(other);
        let (drill, rig) = (other.sheet.drill.as_str(), other.sheet.rig.as_str());
        let (key, name) = if unplaced(other, run) {
            ("act-of-unknown-drill", "")
        } else if of_unknown_use(other) && of_drill(other, run) && act_seen(other) {
            ("act-of-unknown-use", "")
        } else if let Some(name) =
            unknown.first().filter(|_| of_drill(other, run) && counts(other))
        {
            ("act-unknown", *name)
        } else {
            return None;
        };
        let blanks = [
            ("run", other.sheet.id.as_str()),
            ("drill", drill),
            ("rig", rig),
            ("act", name),
        ];
        let label = words.get("scoring.rule.sheet");
        let line = say::line(words, Rule::Sheet, "run", &label);
        // words: scoring.line.{act-of-unknown-drill|act-of-unknown-use|act-unknown}
        Some(line.means(words, Decision::Unseen, key, &blanks))
    };
    others.filter_map(line).collect()
}

/// Whether one sheet is of the same run as another, or of one no later.
fn before(other: &RunSheet, sheet: &RunSheet) -> bool {
    // A day that cannot be read may be any day.
    let days = Moment::read(&other.performed_at).zip(Moment::read(&sheet.performed_at));
    other.id == sheet.id || days.is_none_or(|(other, own)| other <= own)
}

/// Whether a sheet shows an act in a drill or on a rig that had to be guessed, which may be those of
/// this run.
fn unplaced(other: &Run<'_>, run: &Run<'_>) -> bool {
    let Some(ForReading::Unread { kit, .. }) = other.reading else { return false };
    let may_be = match kit {
        KitFor::Own | KitFor::OtherRevision => false,
        KitFor::Guessed => other.kit.drill().id == run.kit.drill().id,
        KitFor::Any => true,
    };
    may_be && !same(other, run) && act_seen(other)
}

/// Whether two sheets are of one drill, so far as their names tell.
fn of_drill(other: &Run<'_>, run: &Run<'_>) -> bool {
    other.kit.drill().id == run.kit.drill().id
}

/// Whether nobody knows that a run was practice, which alone would count nowhere.
const fn of_unknown_use(run: &Run<'_>) -> bool {
    matches!(run.reading, Some(ForReading::Unread { use_: true, .. }))
}

/// Names under which a sheet marks that something happened, and which its drill and the common list
/// do not have.
fn unknown_acts<'s>(run: &Run<'s>) -> Vec<&'s str> {
    let (kit, sheet) = (run.kit, run.sheet);
    let known = |id: &str| kit.drill().criticals.iter().any(|one| one.id == id);
    let common = |id: &str| kit.standard().unsafe_acts.iter().any(|act| act.id == id);
    let criticals = sheet.criticals.keys().map(String::as_str);
    let criticals = criticals.filter(|id| marked(sheet, id) && !known(id));
    let acts = sheet.unsafe_acts.iter().map(String::as_str).filter(|id| !common(id));
    criticals.chain(acts).collect()
}
