//! The foam tank from which a run drew, on a rig that has several of that foam.
//!
//! Volume, mark and label are those of one tank. Where they are not alike the sheet asks which tank
//! it was, and what rests on it is open until somebody says it.

use super::fault::{Fault, unknown};
use super::kit::Kit;
use crate::course::{FoamClass, Meaning, RunSheet, Tank};

/// What of a drill rests on the tank that it draws from.
const OF_A_TANK: &[Meaning] = &[
    Meaning::FoamLeft,
    Meaning::FoamUsed,
    Meaning::FoamAdded,
    Meaning::MinutesTold,
    Meaning::PercentSet,
];

/// The tanks between which a run has to say which it drew from; none where there is nothing to say.
pub fn tanks(kit: &Kit) -> Vec<&Tank> {
    let (drill, rig) = (kit.drill(), kit.rig());
    let classes = FoamClass::ALL.iter().map(|(_, class)| *class);
    let mut own = classes.filter(|class| rig.has_class(*class));
    let only = own.next().filter(|_| own.next().is_none());
    let Some(class) = drill.class().or(only) else { return Vec::new() };
    let tanks = rig.tanks_of(class);
    let rests = |is: Option<Meaning>| is.is_some_and(|is| OF_A_TANK.contains(&is));
    let asked = drill.readings.iter().any(|one| rests(one.is))
        || drill.measures.iter().any(|one| rests(one.is));
    let alike = |one: &Tank, other: &Tank| {
        let (id, title) = (one.id.clone(), one.title.clone());
        Tank { id, title, ..other.clone() } == *one
    };
    let differ =
        tanks.first().is_some_and(|first| !tanks.iter().all(|t| alike(t, first)));
    if asked && differ { tanks } else { Vec::new() }
}

/// What is wrong with the tank that a run names, or does not name.
pub(super) fn tank_faults(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
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
