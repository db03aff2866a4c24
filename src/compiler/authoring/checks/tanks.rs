//! Tanks of a rig: their marks, what no pump reaches, and whether they last the way out.

use super::figures::{contradicts, figure, times, unusual};
use super::sense::of_volume;
use super::values::above;
use super::{Checked, Spot};
use crate::course::{Outlet, Rig, Tank, foam_outlets};
use crate::findings::{Code, Finding};
use crate::quantity::{Fraction, Quantity};

/// Marks of a tank: a water tank that says nothing of its mark would run out without a word.
pub(super) fn marks(checked: &Checked<'_>, rig: &Rig, tank: &Tank, spot: &Spot<'_>) {
    let water = tank.concentrate.is_none();
    let mark = spot.at("warning");
    if checked.doubted(&spot.at("nominal")) {
        return;
    }
    of_volume(checked, tank, spot);
    if water && mark.node().is_none() {
        let place = spot.at("tank").place();
        let finding = Finding::at(Code::FigureNotStated, place).with("figure", "warning");
        checked.note(finding.with("of", tank.title.clone()));
    }
    // The gauge reading at the call hangs on it, and nobody calls without a time for the way out.
    if rig.withdrawal.is_some() && tank.dead.is_none() && spot.at("dead").node().is_none()
    {
        let finding = Finding::at(Code::FigureOpen, spot.at("tank").place());
        checked.note(finding.with("figure", "dead").with("rig", tank.title.clone()));
    }
    if let Some(warning) = &tank.warning {
        let whole = if tank.mark_in == crate::course::MarkIn::Total {
            &tank.nominal
        } else {
            &tank.usable
        };
        if above(warning, whole) {
            contradicts(checked, &mark, warning.printed(), whole.printed());
        // At what no pump reaches a mark comes when nothing is left to be used.
        } else if tank.mark_usable().is_none_or(|left| left.number().signum() == 0) {
            let dead = tank.dead.as_ref().map(Quantity::printed).unwrap_or_default();
            contradicts(checked, &mark, warning.printed(), dead);
        }
        // Foam that ends leaves water to go out with; where the
        // water ends nothing is left.
        if water {
            late(checked, rig, tank, &mark);
        }
    }
    if water {
        way_out(checked, rig, tank, spot);
    }
    // A bound of ours, from memory: a foam tank seldom loses more than a fifth of its plate
    // to what no pump reaches, so that such a figure is looked at again.
    let least = Fraction::new(4, 5).and_then(|share| times(&tank.nominal, share));
    if let Some(least) = least.filter(|_| !water)
        && above(&least, &tank.usable)
    {
        unusual(checked, &spot.at("usable"), &tank.usable, (&least, &tank.nominal));
    }
}

/// The largest foam line, the time of the withdrawal, and what flows in it.
fn withdrawal(rig: &Rig) -> Option<(Quantity, Quantity, Fraction)> {
    let flows = foam_outlets(rig).map(|outlet| outlet.flow);
    let largest = flows.reduce(|a, b| if above(&b, &a) { b } else { a });
    let (flow, time) = largest.zip(rig.withdrawal)?;
    let needed = flow.base().settled()?.mul(time.base().settled()?)?;
    Some((flow, time, needed))
}

/// Whether the time of the withdrawal, or the flow of a line, is told to be a slip itself.
fn rests_on_slip(checked: &Checked<'_>, rig: &Rig) -> bool {
    let spot = checked.sheet("rigs", &rig.id);
    let line =
        |outlet: &Outlet| spot.at("outlets").entry("outlet", &outlet.id).at("flow");
    checked.doubted(&spot.at("withdrawal"))
        || rig.outlets.iter().any(|outlet| checked.doubted(&line(outlet)))
}

/// A tank that does not last the way out cannot be called by at all.
fn way_out(checked: &Checked<'_>, rig: &Rig, tank: &Tank, spot: &Spot<'_>) {
    let Some((flow, time, needed)) = withdrawal(rig) else { return };
    if rests_on_slip(checked, rig) || checked.doubted(&spot.at("usable")) {
        return;
    }
    if tank.usable.base().settled().is_some_and(|usable| usable < needed) {
        let place = spot.at("usable").place();
        let finding = Finding::at(Code::WayOutTooLong, place);
        let finding = finding.with("found", tank.usable.printed());
        let finding = finding.with("flow", flow.printed());
        checked.note(finding.with("withdrawal", time.printed()));
    }
}

/// The mark must leave the time of the withdrawal with the largest foam line flowing.
fn late(checked: &Checked<'_>, rig: &Rig, tank: &Tank, spot: &Spot<'_>) {
    let Some(((flow, time, needed), left)) = withdrawal(rig).zip(tank.mark_usable())
    else {
        return;
    };
    if left.base().settled().is_some_and(|left| left < needed)
        && !rests_on_slip(checked, rig)
    {
        let finding = figure(spot, Code::MarkLate, false);
        let finding = finding.with("found", left.printed()).with("flow", flow.printed());
        checked.note(finding.with("withdrawal", time.printed()));
    }
}
