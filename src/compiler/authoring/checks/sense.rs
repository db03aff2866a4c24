//! Figures of a rig that nothing built ever has: a slip of a sign, a point or a unit.

use super::figures::{contradicts, times, unusual, usual};
use super::values::{above, within};
use super::{Checked, Spot};
use crate::course::{Rig, Tank};
use crate::quantity::{Fraction, Quantity};

/// What supplies give, and how long a pump may turn dry.
pub(super) fn limits(checked: &Checked<'_>, rig: &Rig, spot: &Spot<'_>) {
    for supply in &rig.supplies {
        // From a garden hydrant to a relay of large hose (common practice).
        if let Some(flow) = &supply.flow {
            let spot = spot.at("supplies").entry("supply", &supply.id).at("flow");
            usual(checked, &spot, flow, ("10 gpm", "5000 gpm"));
        }
    }
    if let Some(dry) = rig.pump.as_ref().and_then(|pump| pump.dry.as_ref()) {
        // A pump without water is warm within seconds and ruined within minutes (common practice).
        usual(checked, &spot.at("pump").at("dry"), dry, ("1 s", "5 min"));
    }
}

/// What is left below the pick-up, and what can be used, of a tank: together they are at most all of
/// it, and neither is less than nothing.
pub(super) fn of_volume(checked: &Checked<'_>, tank: &Tank, spot: &Spot<'_>) {
    let share = |part| Fraction::new(1, part).and_then(|part| times(&tank.nominal, part));
    let none = Quantity::new(Fraction::ZERO, tank.nominal.unit());
    if let Some(dead) = &tank.dead {
        // More than a fifth below the pick-up is a tank that nobody builds (common practice).
        if let Some(most) = share(5).filter(|most| !within(dead, &none, most)) {
            unusual(checked, &spot.at("dead"), dead, (&none, &most));
        }
        let sum = dead.in_unit(tank.usable.unit()).and_then(|dead| {
            let sum = dead.number().add(tank.usable.number())?;
            Some(Quantity::new(sum, tank.usable.unit()))
        });
        // More usable than there is has its own finding.
        if sum.is_some_and(|sum| above(&sum, &tank.nominal))
            && !above(&tank.usable, &tank.nominal)
            && !checked.doubted(&spot.at("dead"))
        {
            let (found, other) = (dead.printed(), tank.nominal.printed());
            contradicts(checked, &spot.at("dead"), found, other);
        }
    }
    // Of a water tank less than half can be used only where a figure is wrong (common practice).
    if tank.concentrate.is_none()
        && let Some(half) = share(2).filter(|half| above(half, &tank.usable))
    {
        unusual(checked, &spot.at("usable"), &tank.usable, (&half, &tank.nominal));
    }
}
