//! Values of a drill's measured values and readings against the unit in which they are written: a
//! step, an edge or a bound of another sort is held against nothing.

use super::feeds::other_sort;
use super::units::measures;
use super::{Checked, Spot};
use crate::course::{Edge, Tolerance};
use crate::quantity::{Quantity, find};

pub(super) fn check(checked: &Checked<'_>) {
    for drill in &checked.course.drills {
        let sheet = checked.sheet("drills", &drill.id);
        for one in &drill.measures {
            let own = sheet.at("measures").entry("measure", &one.id);
            let of = |value: &Quantity, spot: &Spot<'_>, field: &str| {
                sort(checked, (value, &one.unit, field), spot);
            };
            of(&one.resolution, &own.at("resolution"), "resolution");
            for (bound, field) in [(&one.least, "least"), (&one.most, "most")] {
                if let Some(bound) = bound {
                    of(bound, &own.at(field), field);
                }
            }
            let bands =
                [(Some(&one.tolerance), "tolerance"), (one.limit.as_ref(), "limit")];
            for (band, field) in bands {
                let Some(Tolerance { below, above }) = band else { continue };
                for (edge, side) in [(below, "below"), (above, "above")] {
                    if let Edge::Absolute(value) = edge {
                        of(value, &own.at(field).at(side), side);
                    }
                }
            }
        }
        for one in &drill.readings {
            let own = sheet.at("readings").entry("reading", &one.id);
            let bounds = [(&one.least, "least"), (&one.most, "most")];
            for (bound, field) in bounds {
                sort(checked, (bound, &one.unit, field), &own.at(field));
            }
        }
    }
}

fn sort(
    checked: &Checked<'_>,
    (value, unit, field): (&Quantity, &str, &str),
    spot: &Spot<'_>,
) {
    // A unit that nobody knows is told as that.
    let Some(known) = find(unit).filter(|_| !measures(value, unit)) else { return };
    other_sort(checked, (value, known, field), spot);
}
