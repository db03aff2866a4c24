//! Drills one after the other: what one leaves is what the next starts with.

use super::Checked;
use crate::course::{Drill, Line, Totals};
use crate::findings::{Code, Finding};

pub(super) fn check(checked: &Checked<'_>) {
    for chain in &checked.course.chains {
        let spot = checked.file("module.yaml").at("chains").entry("chain", &chain.id);
        let pairs = chain.drills.iter().zip(chain.drills.iter().skip(1));
        for (index, (before, after)) in pairs.enumerate() {
            let both = checked.course.drill(before).zip(checked.course.drill(after));
            let Some((before, after)) = both else { continue };
            let misfits = misfits(before, after);
            if misfits.is_empty() {
                continue;
            }
            let place = spot.at("drills").at((index + 1).to_string()).place();
            let finding = Finding::at(Code::ChainDoesNotFit, place);
            let finding = finding.with("before", before.title.clone());
            let finding = finding.with("after", after.title.clone());
            checked.note(finding.with("what", misfits.join(", ")));
        }
    }
}

/// What does not fit, in the words of the sheet.
fn misfits(before: &Drill, after: &Drill) -> Vec<&'static str> {
    let (left, start) = (&before.leaves, &after.starts_with);
    let line = |left: Line, start: Line| {
        // A drained line lies on the ground like one that was never filled; the words
        // differ because what was done differs.
        left == start || (left, start) == (Line::Drained, Line::Empty)
    };
    // Totals written down are as good as set to zero.
    let totals = |left: Totals, start: Totals| {
        left == start || (left, start) == (Totals::Recorded, Totals::Fresh)
    };
    [
        ("pump", fits(left.pump, start.pump, |a, b| a == b)),
        ("line", fits(left.line, start.line, line)),
        ("air", fits(left.air, start.air, |a, b| a == b)),
        ("foam", fits(left.foam, start.foam, |a, b| a == b)),
        ("totals", fits(left.totals, start.totals, totals)),
    ]
    .into_iter()
    .filter_map(|(name, fits)| (!fits).then_some(name))
    .collect()
}

/// A state left open fits every other.
fn fits<T>(left: Option<T>, start: Option<T>, same: impl Fn(T, T) -> bool) -> bool {
    // An author who leaves it open says that it does not matter; to guess would make every
    // chain need every state.
    left.zip(start).is_none_or(|(left, start)| same(left, start))
}
