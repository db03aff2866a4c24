//! What a sheet shows so far, for whoever walks a drill through and has to be told at once: which
//! criticals it speaks for, and whether a value lies in its band. The links and bands are those of
//! every verdict.

use super::evidence::Evidence;
use super::expected::{Expected, Readings, expectation, value_in};
use super::kit::Kit;
use super::limits::common;
use super::links::{Shows, links, told};
use super::no_value::NoValue;
use super::sheet_values::read_off;
use super::verdict::{Decision, Line};
use crate::course::{Critical, Link, Measure, Mode, RunSheet};
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
    for critical in own(evidence) {
        let shows = links(evidence, critical);
        let broken = shows.iter().filter(|shows| shows.speaks_for());
        let because = broken.filter_map(|shows: &Shows| told(kit.words(), shows));
        found.extend(because.map(|because| (critical.id.clone(), because)));
    }
    found
}

/// Criticals of the candidate that can happen on this rig.
fn own(evidence: Evidence<'_>) -> impl Iterator<Item = &Critical> {
    let Evidence { kit, sheet } = evidence;
    let all = kit.drill().criticals.iter().filter(|one| one.role == sheet.role);
    all.filter(|one| one.condition().lacks(kit.rig()).is_none())
}

/// Modes in which something is set and read. No gauge shows anything in a walk-through, so its own rules
/// are silent about a pressure that nobody could stand beside: what a value would do where it is real is
/// asked of the modes in which it is.
const REAL: [Mode; 3] = [Mode::TrainingFoam, Mode::PlainWater, Mode::HandsOnDry];

/// What the values of a sheet would go beyond at a rig.
#[derive(Debug, Default)]
pub struct Past {
    /// Criticals by a limit of theirs.
    pub criticals: Vec<Broken>,
    /// Limits that stand in every drill.
    pub limits: Vec<Line>,
}

/// The limits that the values of a sheet go beyond, each once, as they would be judged where pump and
/// line are real.
pub fn past(kit: &Kit, sheet: &RunSheet) -> Past {
    let on_lines = kit.for_run(sheet);
    let kit = on_lines.as_ref();
    let mut found = Past::default();
    for mode in REAL {
        let sheet = RunSheet { mode, ..sheet.clone() };
        let evidence = Evidence { kit, sheet: &sheet };
        for critical in own(evidence) {
            let limits = critical.links.iter();
            let limits = limits.filter(|link| matches!(link, Link::Limit { .. }));
            let shows = limits.flat_map(|link| super::links::one(evidence, link));
            let broken: Vec<Shows> = shows.filter(Shows::speaks_for).collect();
            let told = broken.iter().filter_map(|shows| told(kit.words(), shows));
            for because in told {
                let one = (critical.id.clone(), because);
                if !found.criticals.contains(&one) {
                    found.criticals.push(one);
                }
            }
        }
        for line in common(evidence) {
            let known = found.limits.iter().any(|one| one.subject == line.subject);
            if line.decision == Decision::Fails && !known {
                found.limits.push(line);
            }
        }
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
