//! What a sheet brings along for a retest: what was learned between, and one try more (rule 30).

use crate::course::{Remediation, RunSheet};
use crate::quantity::Day;

/// What sheets say that was learned or practiced; a remedy that names nothing is none, and neither is
/// one that the candidate gave himself.
pub(super) fn remediation<'s>(
    sheets: impl Iterator<Item = &'s RunSheet>,
) -> Vec<&'s Remediation> {
    let given = sheets.filter_map(|sheet| {
        let given = sheet.remediation.as_ref();
        given.filter(|one| one.by.as_ref() != Some(&sheet.candidate))
    });
    given.filter(|one| !one.what.trim().is_empty()).collect()
}

/// The day on which it was given.
pub(super) fn on(given: &Remediation) -> Option<Day> {
    given.on.as_deref().and_then(Day::read)
}

/// Whether a named officer granted what a rule would refuse; neither candidate nor evaluator, nor
/// anybody who worked in the run.
pub(super) fn granted(sheet: &RunSheet) -> bool {
    sheet.granted.as_ref().is_some_and(|one| {
        !one.why.trim().is_empty()
            && !one.by.trim().is_empty()
            && one.by != sheet.candidate
            && one.by != sheet.evaluator.person
            && sheet.crew.values().all(|held| !held.0.contains(&one.by))
    })
}
