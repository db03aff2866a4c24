//! What the drills of one chain say against each other: they are one evolution on one line, so the
//! percent that one leaves is the percent that the next finds in use.
//!
//! Figures that contradict each other leave both drills open (the guiding rule): nobody knows
//! whether another percent was set, or the totals were read for another one.

use super::earlier::Run;
use super::lines::takes_outlet;
use super::say;
use super::values::base;
use super::verdict::{Decision, Line, Rule};
use crate::course::{Course, Meaning, RunSheet};
use crate::quantity::{Moment, Quantity};

/// What the other drills of its chain say against a run.
pub(super) fn within_chain(run: &Run<'_>, all: &[Run<'_>]) -> Vec<Line> {
    let own = |part: &Run<'_>| std::ptr::eq(part.sheet, run.sheet);
    let of_chain = all.iter().filter(|other| one_evolution(other.sheet, run.sheet));
    let mut parts: Vec<&Run<'_>> = of_chain.collect();
    // A file may have them in any order, and none takes a contradiction away.
    parts.sort_by_key(|part| part.place);
    let words = run.kit.words();
    let label = words.get("scoring.rule.sheet");
    let mut found = Vec::new();
    let mut left: Option<(&Run<'_>, &Quantity)> = None;
    for other in &parts {
        let (first, second) =
            if other.place < run.place { (*other, run) } else { (run, *other) };
        let titles = [&first.kit.drill().title, &second.kit.drill().title];
        let blanks = titles.map(String::as_str);
        let blanks = [("before", blanks[0]), ("after", blanks[1])];
        let line = || say::line(words, Rule::Sheet, "chain", &label);
        if first.place < second.place && later(first.sheet, second.sheet) {
            found.push(line().means(words, Decision::Unseen, "chain-time", &blanks));
        }
        if apart(first, second) {
            found.push(line().means(words, Decision::Unseen, "chain-line", &blanks));
        }
    }
    for part in parts.into_iter().filter(|part| !apart(part, run)) {
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

/// Whether a part that comes before another one in its chain was performed after it.
fn later(before: &RunSheet, after: &RunSheet) -> bool {
    let both = Moment::read(&before.performed_at).zip(Moment::read(&after.performed_at));
    both.is_some_and(|(before, after)| before > after)
}

/// Whether two parts are on lines of which they have none in common: what the one left is then not
/// what the other began with.
fn apart(one: &Run<'_>, other: &Run<'_>) -> bool {
    fn lines<'r>(run: &Run<'r>) -> Vec<&'r String> {
        let all = std::iter::once(&run.sheet.outlet).chain(&run.sheet.further);
        // A drill that is done on no line says nothing of one.
        let named = all.filter(|line| takes_outlet(run.kit.drill()) && !line.is_empty());
        named.collect()
    }
    let (own, there) = (lines(one), lines(other));
    !own.is_empty() && !there.is_empty() && own.iter().all(|line| !there.contains(line))
}

/// Whether two sheets are of one evolution, as one evaluator saw it.
fn one_evolution(one: &RunSheet, other: &RunSheet) -> bool {
    one.chain.is_some()
        && one.chain == other.chain
        && one.id == other.id
        && one.rig == other.rig
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

/// Which of the drills of its chain a run is, in whatever order they were handed in.
pub fn place_in_chain(sheet: &RunSheet, course: &Course) -> usize {
    let named = |id: &String| course.chains.iter().find(|chain| chain.id == *id);
    let chain = sheet.chain.as_ref().and_then(named);
    let place = chain.and_then(|one| one.drills.iter().position(|id| *id == sheet.drill));
    place.unwrap_or_default()
}
