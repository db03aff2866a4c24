//! What the drills of one chain say against each other: they are one evolution on one line, so the
//! percent that one leaves is the percent that the next finds in use.
//!
//! Figures that contradict each other leave both drills open (the guiding rule): nobody knows
//! whether another percent was set, or the totals were read for another one.

use super::earlier::Run;
use super::say;
use super::values::base;
use super::verdict::{Decision, Line, Rule};
use crate::course::{Meaning, RunSheet};
use crate::quantity::Quantity;

/// What the other drills of its chain say against a run.
pub(super) fn within_chain(run: &Run<'_>, all: &[Run<'_>]) -> Vec<Line> {
    let own = |part: &Run<'_>| std::ptr::eq(part.sheet, run.sheet);
    let parts = all.iter().filter(|other| one_evolution(other.sheet, run.sheet));
    let words = run.kit.words();
    let label = words.get("scoring.rule.sheet");
    let mut found = Vec::new();
    let mut left: Option<(&Run<'_>, &Quantity)> = None;
    // Parts stand in the order in which they were handed in, which is that of the chain's sheet.
    for part in parts {
        let used = in_use(part);
        if let Some(((setter, set), used)) = left.zip(used)
            && (own(setter) || own(part))
            && base(set) != base(used)
        {
            let (before, after) = (&setter.kit.drill().title, &part.kit.drill().title);
            let (set, used) = (set.printed(), used.printed());
            let blanks = [
                ("before", before.as_str()),
                ("set", &set),
                ("after", after),
                ("used", &used),
            ];
            let line = say::line(words, Rule::Sheet, "chain", &label).saw(&used, &set);
            found.push(line.means(words, Decision::Unseen, "chain-percent", &blanks));
        }
        // What was broken off left the panel as the safe state wants it, and not as its sheet says.
        let whole = part.sheet.stop.is_none() && part.sheet.void.is_none();
        left = set_here(part).map(|set| (part, set)).or(left).filter(|_| whole);
    }
    found
}

/// Whether two sheets are of one evolution on one line, as one evaluator saw it.
fn one_evolution(one: &RunSheet, other: &RunSheet) -> bool {
    one.chain.is_some()
        && one.chain == other.chain
        && one.id == other.id
        && one.rig == other.rig
        && one.outlet == other.outlet
        && one.evaluator.person == other.evaluator.person
}

/// The percent that a part of a chain set.
fn set_here<'r>(part: &Run<'r>) -> Option<&'r Quantity> {
    let mut measures = part.kit.drill().measures.iter();
    let set = measures.find(|one| one.is == Some(Meaning::PercentSet))?;
    part.sheet.measures.get(&set.id)
}

/// The percent that a part found in use; nothing where it sets one itself, because there the same
/// reading is the order.
fn in_use<'r>(part: &Run<'r>) -> Option<&'r Quantity> {
    let drill = part.kit.drill();
    if drill.measures.iter().any(|one| one.is == Some(Meaning::PercentSet)) {
        return None;
    }
    let mut readings = drill.readings.iter();
    let read = readings.find(|one| one.is == Some(Meaning::PercentOrdered))?;
    part.sheet.readings.get(&read.id)
}
