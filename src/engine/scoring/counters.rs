//! What the counters of a rig count.
//!
//! A total of water is water, on every rig: a percent is worked from it as its basis says. Where the
//! meter stands behind the injection the counter shows solution, and whoever reads it has to take
//! the foam off before writing; the sheet and the keypad say so where the figure is written.

use super::kit::Kit;
use crate::course::{Meaning, Meter, MeterCounts};

fn meter(kit: &Kit) -> Option<(Meter, MeterCounts)> {
    let unit = kit.rig().proportioner.as_ref()?;
    Some((unit.meter, unit.meter_counts))
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
