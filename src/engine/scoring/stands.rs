//! Whether a drill, a step, a critical or a measured value of it stands in a run. It is asked
//! by the marks, the faults, the live page and the blank sheet, and told here alone, so that
//! no box can be ticked that does not count, and none is closed that does.

use super::kit::Kit;
use super::lines::takes_outlet;
use crate::course::{Bind, Condition, Drill, Expect, Meaning, Meter, Mode, Rig, Step};

/// Whether something of the drill can be looked at in this run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// It can.
    Stands,
    /// The rig does not have what it needs: its written condition does not hold.
    NotOnRig,
    /// The mode cannot show it.
    NotInMode,
}

/// Whether something stands on the kit's rig in the mode of a run.
///
/// The rig comes first: what is not fitted is left out in every mode, and what the mode
/// cannot show is signed off "in part".
pub fn stands(kit: &Kit, mode: Mode, condition: Condition<'_>) -> Standing {
    if condition.lacks(kit.rig()).is_some() {
        Standing::NotOnRig
    } else if condition.shown_in(mode) {
        Standing::Stands
    } else {
        Standing::NotInMode
    }
}

/// Whether a value of a step can be measured: where the step stands and something flows.
pub fn measured(kit: &Kit, mode: Mode, step: &Step) -> Standing {
    match stands(kit, mode, step.condition()) {
        Standing::Stands if !flows(mode) => Standing::NotInMode,
        standing => standing,
    }
}

/// Nothing is started in a walk-through, so it gives no value and takes no time that could be
/// judged.
pub fn flows(mode: Mode) -> bool {
    mode != Mode::WalkThrough
}

/// Whether a drill can be run on a rig at all, whatever the mode: what a blank sheet is
/// printed for. A drill names what the rig must have, and the class, the ways of proportioning
/// or the rigs that it was written for.
pub fn runs_on(rig: &Rig, drill: &Drill) -> bool {
    // What is done without a rig is printed for none, and nothing else is done without one.
    if rig.is_nowhere() != drill.without_rig() {
        return false;
    }
    let meant = drill.rigs.as_ref().is_none_or(|rigs| {
        let kind = rig.proportioner.as_ref().map(|unit| unit.kind);
        rigs.class.is_none_or(|class| rig.has_class(class))
            && (rigs.kinds.is_empty()
                || kind.is_some_and(|kind| rigs.kinds.contains(&kind)))
            && (rigs.rigs.is_empty() || rigs.rigs.contains(&rig.id))
    });
    // Where foam flows, or its panel is worked, there is something that makes it.
    let foams =
        drill.modes.iter().any(|mode| matches!(mode, Mode::TrainingFoam | Mode::Agent));
    let line = !rig.outlets.is_empty() || !takes_outlet(drill);
    let meter = rig.proportioner.as_ref().map(|unit| unit.meter);
    // Where no meter shows the water nobody reads its totals.
    let counted = meter != Some(Meter::Absent) || !rests_on_totals(drill);
    meant
        && line
        && counted
        && (rig.foams() || !foams)
        && drill.condition().lacks(rig).is_none()
}

/// Whether what decides a drill is worked from totals of the water.
fn rests_on_totals(drill: &Drill) -> bool {
    let total = |name: &String| {
        let mut readings = drill.readings.iter();
        readings.any(|one| one.id == *name && one.is == Some(Meaning::WaterUsed))
    };
    let of_total = |bind: &Bind| matches!(bind, Bind::Named(name) if total(name));
    let mut deciding = drill.measures.iter().filter(|measure| measure.critical);
    deciding.any(|measure| match &measure.expect {
        Expect::Formula(feed) => feed.with.values().any(of_total),
        Expect::Bound(bind) => of_total(bind),
    })
}
