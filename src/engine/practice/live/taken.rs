//! What a run took, and how it was stopped.

use super::asked::open_steps;
use super::kit::Live;
use super::seen::Watch;
use super::state::{STOP, State};
use crate::course::{Stop, StopCause, TimeTaken};
use crate::practice::number::number;
use crate::quantity::{Comma, Direction, Fraction, Number, Quantity, find, show};
use crate::scoring::{Kit, stop_acts};

/// What the watch showed, to its resolution; typed in for a run on paper.
pub(super) fn time(
    kit: &Kit,
    (state, comma): (&State, Comma),
    watch: &Watch,
) -> Option<TimeTaken> {
    let standard = kit.drill().time.as_ref()?;
    let typed = |field: &str| {
        let text = state.text(&format!("{}/{field}", kit.drill().id));
        number(text, "s", comma).ok()
    };
    if let Some(taken) = typed("taken") {
        return Some(TimeTaken { taken, held: typed("held") });
    }
    // A watch that nobody stopped has no time: it would be that of the saving.
    watch.stop?;
    let taken = seconds(watch.taken(state.span.now)?, &standard.resolution)?;
    let held = watch.held(state.span.now);
    let held = (held > 0).then(|| seconds(held, &standard.resolution)).flatten();
    Some(TimeTaken { taken, held: held.filter(|held| held.number().signum() > 0) })
}

fn seconds(milliseconds: i64, resolution: &Quantity) -> Option<Quantity> {
    let second =
        Quantity::new(Fraction::new(i128::from(milliseconds), 1000)?, find("s")?);
    let unit = resolution.unit();
    let value = second.in_unit(unit)?.number();
    let shown = show(Number::Exact(value), resolution.number(), Direction::Near)?;
    Some(Quantity::new(shown.value, unit))
}

/// A stop. It belongs to the drill of a chain in which it was called: one that was gone through
/// before has its result, and one that was only begun was stopped with it, for no act of its own
/// (rule 32).
pub(super) fn stop(live: &Live, state: &State, kit: &Kit) -> Option<Stop> {
    if !state.stopped {
        return None;
    }
    let [by, why, cause] = STOP else { return None };
    let known = StopCause::ALL.iter().find(|(word, _)| *word == state.text(cause));
    let cause = known.map_or(StopCause::Candidate, |(_, cause)| *cause);
    let here = state.stopped_in == kit.drill().id;
    if !here && whole(live, state, kit) {
        return None;
    }
    let act = state.text("stop.act");
    let known = stop_acts(kit, state.text("role")).iter().any(|(id, _)| id == act);
    Some(Stop {
        by: state.text(by).to_owned(),
        why: state.text(why).to_owned(),
        cause: if here { cause } else { StopCause::Outside },
        // Another cause charges nobody with an act, though one may be left over in the
        // field (rule 32).
        act: (known && here && cause == StopCause::Candidate).then(|| act.to_owned()),
    })
}

/// Whether every step of a drill that can be marked has its mark.
fn whole(live: &Live, state: &State, kit: &Kit) -> bool {
    let drill = &kit.drill().id;
    let part = state.parts.get(drill);
    open_steps(live, state, drill)
        .all(|step| part.is_some_and(|part| part.marks.contains_key(&step.id)))
}
