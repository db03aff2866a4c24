//! What the counters of a rig count.
//!
//! A meter behind the injection counts solution. What stands on such a counter is not the water
//! that a percent is worked from: the foam is in it, and is taken off before anything is divided.

use std::collections::BTreeMap;

use super::kit::Kit;
use crate::course::{Meaning, Meter, MeterCounts, Reading, outlet_of};
use crate::quantity::Quantity;

/// A total that was read as solution, the foam in it, and the water that is left.
pub(super) struct Counted {
    solution: Quantity,
    foam: Quantity,
    water: Quantity,
}

impl Counted {
    /// In a sentence, for whoever reads how a value was worked out.
    pub(super) fn told(&self, kit: &Kit) -> String {
        let blanks = [
            ("solution", self.solution.printed()),
            ("foam", self.foam.printed()),
            ("water", self.water.printed()),
        ];
        let blanks: Vec<(&str, &str)> =
            blanks.iter().map(|(name, text)| (*name, text.as_str())).collect();
        kit.words().say("scoring.counted-solution", &blanks)
    }
}

fn meter(kit: &Kit) -> Option<(Meter, MeterCounts)> {
    let unit = kit.rig().proportioner.as_ref()?;
    Some((unit.meter, unit.meter_counts))
}

/// The water behind the totals of a rig whose meter counts solution, by the name of the reading.
/// Nothing is taken off where no foam total stands beside it.
pub(super) fn water(
    kit: &Kit,
    readings: &BTreeMap<String, Quantity>,
) -> BTreeMap<String, Counted> {
    if meter(kit).is_none_or(|(meter, _)| meter != Meter::AfterInjection) {
        return BTreeMap::new();
    }
    let of = |is| kit.drill().readings.iter().filter(move |one| one.is == Some(is));
    let counted = |total: &Reading| {
        // An outlet's own total has its own foam.
        let beside = |one: &&Reading| outlet_of(&one.id) == outlet_of(&total.id);
        let foam = of(Meaning::FoamUsed).find(beside)?;
        let (solution, foam) = (readings.get(&total.id)?, readings.get(&foam.id)?);
        let left = solution.number().sub(foam.in_unit(solution.unit())?.number())?;
        let water = Quantity::new(left, solution.unit());
        Some((total.id.clone(), Counted { solution: *solution, foam: *foam, water }))
    };
    of(Meaning::WaterUsed).filter_map(counted).collect()
}

/// Puts the water in the place of what a counter of solution showed.
pub(super) fn put(
    counted: &BTreeMap<String, Counted>,
    readings: &mut BTreeMap<String, Quantity>,
) {
    for (id, one) in counted {
        readings.insert(id.clone(), one.water);
    }
}

/// What whoever reads the counters of this rig has to know: that they count solution, that each
/// outlet has its own, or that there is none. Nothing where no total is read.
pub fn counted(kit: &Kit) -> Vec<String> {
    let totals =
        kit.drill().readings.iter().any(|one| one.is == Some(Meaning::WaterUsed));
    let Some((meter, counts)) = meter(kit).filter(|_| totals) else { return Vec::new() };
    let rig = kit.rig().title.as_str();
    let say =
        |key: &str| kit.words().say(&format!("scoring.counter.{key}"), &[("rig", rig)]);
    let keys = [
        (meter == Meter::AfterInjection, "solution"),
        (meter == Meter::Absent, "none"),
        (meter != Meter::Absent && counts == MeterCounts::EachOutlet, "each-outlet"),
    ];
    let keys = keys.into_iter().filter(|(holds, _)| *holds);
    // words: scoring.counter.{solution|none|each-outlet}
    keys.map(|(_, key)| say(key)).collect()
}

impl Kit {
    /// Why a formula gave no value: what it says itself, unless it was left to a rig of which nobody
    /// knows what its percent is a share of.
    pub(super) fn refusal(&self, formula: &str, says: String) -> String {
        let left = self.standard().bases.iter().any(|asked| asked.id == formula);
        if !left {
            return says;
        }
        self.words().say("scoring.basis-not-known", &[("rig", &self.rig().title)])
    }
}
