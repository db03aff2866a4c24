//! What a step that is marked as not done means beside the rest of the sheet: what the drill is for is
//! missing, a cue was left without an answer, or something speaks against the mark.

use super::evidence::Evidence;
use super::percent::refusable;
use super::stands::Standing;
use super::values::Values;
use crate::course::{Link, Mode, Step};

/// Whether the percent that was ordered is one that this rig had to refuse.
pub(super) fn order_refused(evidence: Evidence<'_>) -> bool {
    refusable(&Values::of(evidence))
}

/// Whether a step is the first of those that answer a cue which was given, and none of them was done
/// in time or late. What a critical rests on is told by that.
pub(super) fn unanswered(evidence: Evidence<'_>, step: &Step) -> bool {
    let Evidence { kit, sheet } = evidence;
    let Some(cue) = &step.cue else { return false };
    let links = kit.drill().criticals.iter().flat_map(|critical| &critical.links);
    let linked =
        |link: &Link| matches!(link, Link::Answer { cue: known, .. } if known == cue);
    if links.clone().any(linked) || sheet.mode == Mode::WalkThrough {
        return false;
    }
    let answers: Vec<&Step> = kit
        .drill()
        .steps
        .iter()
        .filter(|one| {
            one.role == sheet.role
                && one.cue.as_ref() == Some(cue)
                && evidence.standing(one) == Standing::Stands
        })
        .collect();
    let first = answers.first().is_some_and(|first| first.id == step.id);
    let none = answers.iter().all(|one| {
        evidence.performed(one) == Some(false) || sheet.undone.contains(&one.id)
    });
    first && none && sheet.stop.is_none()
}

/// Whether something on the sheet speaks for a step that is marked as not done: what cannot be
/// without it, or what a critical lets nobody do before it, was done, or its value was measured. Then
/// the mark may be wrong, and is asked about (rule 7).
pub(super) fn contested(evidence: Evidence<'_>, step: &Step) -> bool {
    let Evidence { kit, sheet } = evidence;
    let performed = |id: &String| {
        let other = evidence.step(id);
        other.is_some_and(|other| evidence.performed(other) == Some(true))
    };
    let mut physical = kit.drill().order.iter().filter(|rule| rule.cannot);
    let own = kit.drill().criticals.iter().filter(|one| one.role == sheet.role);
    let mut links = own.flat_map(|critical| &critical.links);
    let mut measured = kit.drill().measures.iter().filter(|one| one.step == step.id);
    measured.any(|measure| sheet.measures.contains_key(&measure.id))
        || physical.any(|rule| rule.first == step.id && performed(&rule.then))
        || links.any(|link| match link {
            Link::Order { first, then } => {
                *first == step.id && then.iter().any(performed)
            }
            Link::Hold { step: held } => *held == step.id,
            _ => false,
        })
}
