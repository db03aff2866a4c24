//! The foam tank from which a run drew, on a rig that has several of that foam.
//!
//! Volume, mark and label are those of one tank. Where they are not alike the sheet asks which tank
//! it was, and what rests on it is open until somebody says it.

use super::kit::Kit;
use crate::course::{FoamClass, Meaning, Tank};

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
