//! The outlets that a run names.

use std::collections::BTreeSet;

use super::fault::{Fault, unknown};
use super::kit::Kit;
use super::lines::has_repeats;
use crate::course::{
    Bind, Drill, Expect, Line, Meaning, Measure, Outlet, RunSheet, outlet_of,
};

/// What is wrong with the outlets that a run names: one that the rig does not have, one named
/// twice, a second one on a drill that is done on one.
pub(super) fn outlet_faults(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let known = || kit.rig().outlets.iter().map(|outlet| outlet.id.as_str());
    let mut found = Vec::new();
    if sheet.outlet.is_empty() {
        // An act that the sheet tells decides all the same.
        let asked = takes_outlet(kit.drill());
        found.extend(asked.then(|| Fault::asks(&["outlet"], "outlet-missing")));
    } else if kit.rig().outlet(&sheet.outlet).is_none() {
        found.push(unknown(&["outlet"], "unknown-outlet", &sheet.outlet, known()));
    }
    let mut seen = BTreeSet::from([&sheet.outlet]);
    for (at, outlet) in sheet.further.iter().enumerate() {
        let path = ["further-outlets", &at.to_string()];
        if kit.rig().outlet(outlet).is_none() {
            found.push(unknown(&path, "unknown-outlet", outlet, known()));
        } else if !seen.insert(outlet) {
            found.push(Fault::at(&path, "outlet-twice").with("name", outlet));
        }
    }
    if !sheet.further.is_empty() && !has_repeats(kit.drill()) {
        let fault = Fault::at(&["further-outlets"], "one-outlet");
        found.push(fault.with("drill", &kit.drill().title));
    }
    found
}

/// What is read or set on a line that flows.
const OF_A_LINE: &[Meaning] = &[
    Meaning::Flow,
    Meaning::FoamFlow,
    Meaning::PumpPressure,
    Meaning::AirPressure,
    Meaning::PercentOrdered,
    Meaning::PercentSet,
    Meaning::MinutesTold,
];

/// Whether a drill is done on a line: one stands under pressure or flows, its air or foam is worked,
/// or a value of the drill rests on it. Of any other drill nobody asks which outlet was used.
pub fn takes_outlet(drill: &Drill) -> bool {
    let line = [drill.starts_with.line, drill.leaves.line];
    let fed = line.iter().any(|line| matches!(line, Some(Line::Charged | Line::Flowing)));
    let of_a_line = |is: Option<Meaning>| is.is_some_and(|is| OF_A_LINE.contains(&is));
    let measured = |one: &Measure| {
        let feeds = match &one.expect {
            Expect::Bound(bind) => return of_a_line(one.is) || of_outlet(bind),
            Expect::Formula(feed) => [Some(feed), one.measured.as_ref()],
        };
        let mut feeds = feeds.into_iter().flatten();
        of_a_line(one.is) || feeds.any(|feed| feed.with.values().any(of_outlet))
    };
    fed || has_repeats(drill)
        || drill.steps.iter().any(|step| step.is.is_some())
        || drill.readings.iter().any(|one| of_a_line(one.is))
        || drill.measures.iter().any(measured)
        || drill.drawn.as_ref().is_some_and(|plan| plan.outlet.is_some())
}

/// Whether something is bound to a figure of the outlet in use.
fn of_outlet(bind: &Bind) -> bool {
    match bind {
        Bind::Rig(name) => {
            let plain = name.strip_prefix("rig.").unwrap_or(name);
            plain.starts_with("outlet.") || plain.starts_with("eductor.")
        }
        Bind::Rows(rows) => rows.iter().any(|row| row.values().any(of_outlet)),
        Bind::Value(_) | Bind::Word(_) | Bind::Named(_) => false,
    }
}

/// The outlet that something on a sheet is of.
pub(super) fn outlet_at<'k>(
    kit: &'k Kit,
    sheet: &RunSheet,
    id: &str,
) -> Option<&'k Outlet> {
    kit.rig().outlet(outlet_of(id).unwrap_or(&sheet.outlet))
}

/// Every outlet of a run, the first first.
pub(super) fn outlets<'k>(
    kit: &'k Kit,
    sheet: &'k RunSheet,
) -> impl Iterator<Item = &'k Outlet> {
    let all = std::iter::once(&sheet.outlet).chain(&sheet.further);
    all.filter_map(|id| kit.rig().outlet(id))
}
