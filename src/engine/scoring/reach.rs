//! What a sheet shows so far, for whoever walks a drill through and has to be told at once: which
//! criticals it speaks for, and whether a value lies in its band. The links and bands are those of
//! every verdict.

use super::evidence::Evidence;
use super::expected::{Expected, Readings, expectation, value_in};
use super::kit::Kit;
use super::links::{Shows, links, told};
use super::no_value::NoValue;
use super::sheet_values::read_off;
use crate::course::{Measure, RunSheet};
use crate::quantity::{Quantity, find};

/// A critical of the candidate that a sheet speaks for, by its id, and what speaks for it.
pub type Broken = (String, String);

/// Every link that the sheet shows as broken, whatever was marked of its critical. A step that holds to
/// the end is broken as long as it is not done: what an act breaks is what is here after it and was not
/// before.
pub fn broken(kit: &Kit, sheet: &RunSheet) -> Vec<Broken> {
    let on_lines = kit.for_run(sheet);
    let kit = on_lines.as_ref();
    let evidence = Evidence { kit, sheet };
    let mut found = Vec::new();
    for critical in kit.drill().criticals.iter().filter(|one| one.role == sheet.role) {
        if critical.condition().lacks(kit.rig()).is_some() {
            continue;
        }
        let shows = links(evidence, critical);
        let broken = shows.iter().filter(|shows| shows.speaks_for());
        let because = broken.filter_map(|shows: &Shows| told(kit.words(), shows));
        found.extend(because.map(|because| (critical.id.clone(), because)));
    }
    found
}

/// What a value should be, and whether this one is accepted.
pub fn held_against(
    kit: &Kit,
    measure: &Measure,
    (outlet, readings): (&str, &Readings),
    value: &Quantity,
) -> Result<(Expected, bool), NoValue> {
    let expected = expectation(kit, measure, outlet, readings)?;
    let unit = find(&measure.unit).ok_or(NoValue::Unit)?;
    let shown = value_in(&read_off(measure, value), unit).ok_or(NoValue::Unit)?;
    let inside = expected.contains(shown);
    Ok((expected, inside))
}
