//! Order between steps where nobody watched it: what the pairs of a sheet say of it, and what
//! stays open.

use std::collections::{BTreeMap, BTreeSet};

use super::evidence::{Came, Evidence};
use super::kit::Kit;
use super::order::Precedence;
use super::say;
use super::stands::Standing;
use super::steps::{Left, one_point_off, own_steps};
use super::verdict::{Decision, Line};
use crate::course::{OrderRule, RunSheet, Step};

/// Where nobody watched the order, what it could cost is open: it is not earned, and leaves
/// the run incomplete only where it could change the result.
///
/// What is known of single pairs costs what it would cost in an order that was written down:
/// one point for each step that would have to be taken out. So no step that was done late is
/// dearer than one that was not done (rule 9).
pub(super) fn not_watched(
    kit: &Kit,
    sheet: &RunSheet,
    precedence: &Precedence,
    left: &mut Left,
) -> Vec<Line> {
    let words = kit.words();
    let evidence = Evidence { kit, sheet };
    let done: Vec<&Step> = own_steps(kit, sheet)
        .filter(|step| evidence.standing(step) == Standing::Stands)
        .filter(|step| evidence.done(step) == Some(true))
        .collect();
    let came = seen_pairs(evidence, &done);
    let (wrong, open) = conflicts(&done, precedence, &came);
    let free = |at: &usize| {
        done.get(*at).is_none_or(|step| left.get(&step.id).copied().unwrap_or(0) == 0)
    };
    let out = least_out(&wrong, &free);
    let could: Vec<usize> =
        least_out(&open, &free).into_iter().filter(|at| !free(at)).collect();
    let sure = out.iter().filter(|at| !free(at)).count();
    let more = could.len().saturating_sub(sure);
    let could: BTreeSet<usize> =
        could.into_iter().filter(|at| !out.contains(at)).take(more).collect();
    let mut lines = Vec::new();
    for (at, step) in done.iter().enumerate() {
        let sure = out.contains(&at);
        if !sure && !could.contains(&at) {
            continue;
        }
        let of = if sure { &wrong } else { &open };
        let partner = of.iter().find_map(|(first, then)| match at {
            at if at == *then => Some((*first, true)),
            at if at == *first => Some((*then, false)),
            _ => None,
        });
        let (other, early) = partner.unwrap_or((at, true));
        let other = done.get(other).map_or("", |step| say::short(&step.action));
        let key = match (sure, early) {
            (true, true) => "order-too-early",
            (true, false) => "order-too-late",
            (false, _) => "order-not-watched",
        };
        let blanks = [("others", other), ("because", "")];
        let line = one_point_off(kit, &step.id, key, &blanks, left);
        let open = if sure { 0 } else { -line.points };
        lines.push(if open > 0 {
            let decision_text = words.get("scoring.decision.open");
            Line { decision: Decision::Open, decision_text, open, ..line }
        } else {
            line
        });
    }
    lines
}

/// Which pairs were seen the wrong way round, and which were or could have been.
fn conflicts(
    done: &[&Step],
    precedence: &Precedence,
    came: &Precedence,
) -> (Conflicts, Conflicts) {
    let (mut wrong, mut open) = (Conflicts::new(), Conflicts::new());
    for (at, first) in done.iter().enumerate() {
        for (other, then) in done.iter().enumerate() {
            if at == other || !precedence.before(&first.id, &then.id) {
                continue;
            }
            if came.before(&then.id, &first.id) {
                wrong.push((at, other));
                open.push((at, other));
            } else if !came.before(&first.id, &then.id) {
                open.push((at, other));
            }
        }
    }
    (wrong, open)
}

/// Pairs of steps, by their places, the one that has to come first before the other.
type Conflicts = Vec<(usize, usize)>;

/// What the pairs of a sheet say of which step came first, over chains of them.
fn seen_pairs(evidence: Evidence<'_>, done: &[&Step]) -> Precedence {
    let mut known = Vec::new();
    for first in done {
        for then in done {
            if first.id != then.id && evidence.pair(&first.id, &then.id) == Came::InOrder
            {
                known.push(OrderRule {
                    first: first.id.clone(),
                    then: then.id.clone(),
                    because: String::new(),
                    cannot: false,
                });
            }
        }
    }
    Precedence::of(&known)
}

/// Most steps of which the fewest are looked for by trying. It doubles with each of them, and no
/// drill has that many whose order was not seen; beyond it every later step is out, which is
/// never too few.
const MOST: usize = 40;

/// The fewest steps that would have to be taken out so that no conflict is left. Those that
/// have nothing to lose are taken out first.
fn least_out(conflicts: &Conflicts, free: &impl Fn(&usize) -> bool) -> BTreeSet<usize> {
    let ends = conflicts.iter().flat_map(|(first, then)| [*first, *then]);
    let mut out: BTreeSet<usize> = ends.filter(free).collect();
    let rest = conflicts.iter().filter(|(a, b)| !out.contains(a) && !out.contains(b));
    let rest: Conflicts = rest.copied().collect();
    let ends: BTreeSet<usize> = rest.iter().flat_map(|(a, b)| [*a, *b]).collect();
    out.extend(if ends.len() > MOST {
        rest.iter().map(|(_, then)| *then).collect()
    } else {
        cover(&rest)
    });
    out
}

/// A least set of places that has an end of every pair.
fn cover(conflicts: &Conflicts) -> BTreeSet<usize> {
    let without = |gone: &BTreeSet<usize>| -> Conflicts {
        let kept =
            conflicts.iter().filter(|(a, b)| !gone.contains(a) && !gone.contains(b));
        kept.copied().collect()
    };
    let mut next: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    for (first, then) in conflicts {
        next.entry(*first).or_default().insert(*then);
        next.entry(*then).or_default().insert(*first);
    }
    // The only partner of a step is as good as the step itself: one that was done too early
    // rather than the one it was too early for.
    let lone = next.values().find(|others| others.len() == 1);
    if let Some(taken) = lone {
        let mut out = cover(&without(taken));
        out.extend(taken);
        return out;
    }
    let Some((at, others)) = next.iter().max_by_key(|(_, others)| others.len()) else {
        return BTreeSet::new();
    };
    let mut with = cover(&without(&BTreeSet::from([*at])));
    with.insert(*at);
    let mut spared = cover(&without(others));
    spared.extend(others);
    if spared.len() < with.len() { spared } else { with }
}
