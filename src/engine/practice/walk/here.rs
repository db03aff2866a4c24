//! Which day a walk has, and which steps it can show: asked by its run sheet and by all that looks at it.

use super::days::Day;
use super::kit::{Opened, WalkRig};
use super::state::Walk;
use crate::course::{Mode, Role, Step};
use crate::quiz::Chance;
use crate::scoring::{Kit, Standing, stands};

/// Roles in which the drill can be walked.
pub(super) fn roles(opened: &Opened) -> impl Iterator<Item = &Role> {
    opened.drill().roles.iter().filter(|role| role.scored)
}

/// The day of a walk: another one each time, so that the next walk has another line.
pub(super) fn day<'d>(of_rig: &'d WalkRig, walk: &Walk) -> Option<&'d Day> {
    let count = of_rig.days.len();
    let first = Chance::of(&["walk-day", &walk.seed]).place(count);
    let number = usize::try_from(walk.number).unwrap_or_default();
    of_rig.days.get(first.saturating_add(number).checked_rem(count)?)
}

/// Steps of whoever walks that a walk can show, in the order of the drill.
pub(super) fn steps<'k>(
    kit: &'k Kit,
    walk: &Walk,
) -> impl Iterator<Item = &'k Step> + use<'k> {
    let (role, cues) = (walk.role.clone(), walk.cues.clone());
    kit.drill().steps.iter().filter(move |step| {
        let given = step.cue.as_ref().is_none_or(|cue| cues.contains(cue));
        step.role == role && given && shown(kit, step)
    })
}

/// Whether rig and mode can show a step.
pub(super) fn shown(kit: &Kit, step: &Step) -> bool {
    stands(kit, Mode::WalkThrough, step.condition()) == Standing::Stands
}
