//! The outlets that a run names.

use std::borrow::Cow;
use std::collections::BTreeSet;

use super::fault::{Fault, unknown};
use super::kit::Kit;
use super::lines::{has_repeats, takes_outlet};
use super::stands::runs_on;
use super::tanks::tanks;
use crate::course::{Outlet, RunSheet, Tank, outlet_of};
use crate::quantity::{Day, Moment};

impl Kit {
    /// The kit for a run: what repeats stands in it for each of its outlets, and a card whose check
    /// had lapsed on the day of the run is one that nobody checked.
    pub fn for_run(&self, sheet: &RunSheet) -> Cow<'_, Self> {
        let mut kit = self.on_lines(&sheet.outlet, &sheet.further);
        let until = self.rig().checked.as_ref().and_then(|check| check.until.as_deref());
        let until = until.and_then(Day::read);
        let on = Moment::read(&sheet.performed_at).map(Moment::day);
        if until.zip(on).is_some_and(|(until, on)| on > until) {
            kit.to_mut().uncheck();
        }
        let tank = sheet.tank.as_deref();
        if let Some(tank) = tank.filter(|id| tanks(self).iter().any(|one| one.id == *id))
        {
            kit.to_mut().draws_from(tank);
        }
        kit
    }
}

/// A drill that is not for the rig of a run, or not for its line.
pub(super) fn unfit(kit: &Kit, sheet: &RunSheet) -> Option<Fault> {
    let (drill, rig) = (kit.drill(), kit.rig());
    let Some(needs) = drill.condition().lacks(rig) else {
        let fault = || Fault::at(&["rig"], "rig-not-meant").with("name", &rig.title);
        return (!runs_on(rig, drill)).then(fault);
    };
    if !kit.is_line_without_air() {
        return Some(Fault::at(&["rig"], "rig-lacks").with("needs", needs));
    }
    // The rig may well have one: what is wrong is the outlet or the drill.
    let outlet = rig.outlet(&sheet.outlet);
    let name = outlet.map_or(sheet.outlet.as_str(), |outlet| outlet.title.as_str());
    let fault = Fault::at(&["outlet"], "line-lacks").with("needs", needs);
    Some(fault.with("name", name))
}

/// What is wrong with the outlets that a run names, and with the tank that it draws from: one that
/// the rig does not have, one named twice, a second one on a drill that is done on one.
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
    // A chain names its outlets once, and each of its drills takes what it can.
    let alone = sheet.chain.is_none();
    if alone && !sheet.further.is_empty() && !has_repeats(kit.drill()) {
        let fault = Fault::at(&["further-outlets"], "one-outlet");
        found.push(fault.with("drill", &kit.drill().title));
    }
    found.extend(tank_faults(kit, sheet));
    found
}

/// What is wrong with the tank that a run names, or does not name.
fn tank_faults(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let asked = tanks(kit);
    let of_rig: Vec<&Tank> = kit.rig().foam_tanks().collect();
    // Where nothing hangs on it any tank of the rig can be named.
    let known = if asked.is_empty() { &of_rig } else { &asked };
    let ids = || known.iter().map(|tank| tank.id.as_str());
    match &sheet.tank {
        None if asked.is_empty() => Vec::new(),
        None => {
            let all: Vec<&str> = ids().collect();
            let fault = Fault::asks(&["draws-from"], "tank-missing");
            vec![fault.with("tanks", all.join(", "))]
        }
        Some(tank) if ids().any(|id| id == tank) => Vec::new(),
        Some(tank) => vec![unknown(&["draws-from"], "unknown-tank", tank, ids())],
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
