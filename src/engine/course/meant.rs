//! What the values of a drill can only be, where its author says nothing: the limits of every
//! drill are found by it (rule 18), so none of them is lost by a word that was forgotten.

use super::marking::{Expect, Feed, How, Meaning, Measure, Reading, Whose};
use super::spelled::Bind;
use crate::quantity::{Dimension, Kind, find};

/// What is asked of a rig that says what is left: minutes, by the tank that ends first.
pub const MINUTES_LEFT: &str = "rig-minutes-left";

/// Formulas of what is left, for either basis, and the name under which a rig chooses.
const LEFT: &[&str] = &[MINUTES_LEFT, "endurance", "endurance-metered"];

/// Their givens.
const GIVENS: &[(&str, Meaning)] = &[
    ("foam", Meaning::FoamLeft),
    ("water", Meaning::WaterLeft),
    ("percent", Meaning::PercentOrdered),
    ("foam-flow", Meaning::FoamFlow),
    ("plain-flow", Meaning::PlainFlow),
    ("supply", Meaning::Supply),
];

/// The feed of a value that says what is left.
pub fn left_feed(measure: &Measure) -> Option<&Feed> {
    match &measure.expect {
        Expect::Formula(feed) if LEFT.contains(&feed.formula.as_str()) => Some(feed),
        _ => None,
    }
}

/// What a value of the candidate's can only be.
fn of_measure(measure: &Measure) -> Option<Meaning> {
    let unit = find(&measure.unit)?;
    if unit.kind == Kind::Share {
        // Whosever its author says that it is: what is set is set by somebody.
        (measure.how == How::Set).then_some(Meaning::PercentSet)
    } else if measure.whose == Whose::Machine || measure.measured.is_some() {
        None
    } else if unit.dimension == Dimension::PRESSURE {
        // Of all pressures that somebody holds this one has the limit that is never too high.
        Some(Meaning::PumpPressure)
    } else {
        left_feed(measure).map(|_| Meaning::MinutesTold)
    }
}

/// The reading that a value is held against directly.
fn bound(measure: &Measure) -> Option<&str> {
    match &measure.expect {
        Expect::Bound(Bind::Named(name)) => Some(name),
        _ => None,
    }
}

/// Gives each value that does not say what it is the only meaning that it can have.
pub(super) fn settle(measures: &mut [Measure], readings: &mut [Reading]) {
    for measure in &mut *measures {
        measure.is = measure.is.or_else(|| of_measure(measure));
    }
    let mut meant: Vec<(String, Meaning)> = Vec::new();
    for measure in &*measures {
        // What a percent that is set is held against is the order.
        if let (Some(Meaning::PercentSet), Some(name)) = (measure.is, bound(measure)) {
            meant.push((name.to_owned(), Meaning::PercentOrdered));
        }
        for (given, is) in left_feed(measure).map_or(&[][..], |_| GIVENS) {
            let bind = left_feed(measure).and_then(|feed| feed.with.get(*given));
            if let Some(Bind::Named(name)) = bind {
                meant.push((name.clone(), *is));
            }
        }
    }
    for reading in readings {
        let of = meant.iter().find(|(name, _)| *name == reading.id);
        reading.is = reading.is.or_else(|| of.map(|(_, is)| *is));
    }
}
