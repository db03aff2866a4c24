//! Minutes that are really left, by the rig and the readings of the day alone (rule 18 d).
//!
//! What a drill says its minutes should be decides points. The limit that stands in every drill
//! does not take its author's word: a feed that leaves out the plain line or the other tank would
//! let a crew stay where nothing is left. Readings are known by what they are, and the formula is
//! the one that the rig's own percent basis asks for.

use std::collections::BTreeMap;

use super::evidence::Evidence;
use super::expected::{Day, Expected, printed, size_in};
use super::kit::Kit;
use super::no_value::NoValue;
use crate::course::{
    Bind, Drill, Expect, Feed, MINUTES_LEFT, Meaning, Measure, Reading, RunSheet,
};
use crate::quantity::find;

/// Givens of what is left, and what of the day each of them is: the first that the drill reads.
const GIVENS: &[(&str, &[Meaning])] = &[
    ("foam", &[Meaning::FoamLeft]),
    ("water", &[Meaning::WaterLeft]),
    ("percent", &[Meaning::PercentOrdered, Meaning::PercentSet]),
    ("foam-flow", &[Meaning::FoamFlow, Meaning::Flow]),
    ("plain-flow", &[Meaning::PlainFlow]),
    ("supply", &[Meaning::Supply]),
];

/// Givens without which nobody knows what is left. Without a plain line and a supply there are
/// none, and a flow that nobody reads is that of the nozzle on the rig's card.
const WANTED: usize = 3;

/// Whether a drill asks for minutes.
fn asked(drill: &Drill) -> bool {
    drill.measures.iter().any(|one| one.is == Some(Meaning::MinutesTold))
}

/// The reading of a drill that a given is.
fn reading<'d>(drill: &'d Drill, meanings: &[Meaning]) -> Option<&'d Reading> {
    let of = |is: &Meaning| drill.readings.iter().find(move |one| one.is == Some(*is));
    meanings.iter().find_map(of)
}

/// What a drill has to read so that its minutes can be held against what is left, and does not:
/// each as the word that its reading would say it is.
pub fn unread(drill: &Drill) -> Vec<String> {
    let wanted = GIVENS.iter().take(WANTED).filter(|_| asked(drill));
    let lacks = wanted.filter(|(_, meanings)| reading(drill, meanings).is_none());
    lacks.filter_map(|(_, meanings)| meanings.first().map(|is| is.key())).collect()
}

/// The formula with its givens; nothing where the drill does not read them, or the kit does not
/// have it.
fn feed(kit: &Kit) -> Option<Feed> {
    let drill = kit.drill();
    if !unread(drill).is_empty() {
        return None;
    }
    let given = |(name, meanings): &(&str, &[Meaning])| {
        let reading = reading(drill, meanings);
        let card = (*name == "foam-flow").then(|| Bind::Rig("outlet.flow".to_owned()));
        let bind = reading.map(|one| Bind::Named(one.id.clone())).or(card)?;
        Some(((*name).to_owned(), bind))
    };
    let with: BTreeMap<String, Bind> = GIVENS.iter().filter_map(given).collect();
    let feed = Feed { formula: MINUTES_LEFT.to_owned(), answer: None, with };
    // A revision that was kept before this stood in it has the formula of its own feed alone.
    kit.library().formula(kit.formula(&feed)).is_some().then_some(feed)
}

/// The sheet with the percent that was set in place of the order's, where more was set: the tank
/// empties by what is set, and the crew trusts the minutes.
fn as_set(evidence: Evidence<'_>) -> Option<RunSheet> {
    let Evidence { kit, sheet } = evidence;
    let drill = kit.drill();
    let set = drill.measures.iter().find(|one| one.is == Some(Meaning::PercentSet))?;
    let set = sheet.measures.get(&set.id)?;
    let mut readings = drill.readings.iter();
    let ordered = readings.find(|one| one.is == Some(Meaning::PercentOrdered))?;
    let order = sheet.readings.get(&ordered.id)?;
    let more =
        set.unit().kind == order.unit().kind && set.base().compare(order.base()).is_gt();
    more.then(|| {
        let mut sheet = sheet.clone();
        sheet.readings.insert(ordered.id.clone(), *set);
        sheet
    })
}

/// What is left, in the unit of the value that was told. Only the value and its text are used:
/// the limit has an edge of its own.
pub(super) fn left(
    evidence: Evidence<'_>,
    measure: &Measure,
) -> Result<Expected, NoValue> {
    let Evidence { kit, sheet } = evidence;
    let figures = kit.figures(&sheet.outlet);
    // A supply below the floor of the rig counts nothing there.
    let as_set = as_set(evidence);
    let day = Day::of_sheet(kit, figures, as_set.as_ref().unwrap_or(sheet));
    // Where the drill does not read what is left there is nothing but its own word; no module is
    // published with such a drill.
    let Some(feed) = feed(kit) else { return day.expected(measure) };
    // Rule 20: a card that nobody checked gives no band.
    let expect = Expect::Formula(feed.clone());
    if !kit.rig().verified() && expect.rests_on_card() {
        return Err(NoValue::Unchecked);
    }
    let worked = day.work(&feed)?;
    let unit = find(&measure.unit).ok_or(NoValue::Unit)?;
    let value = worked.in_unit(unit)?;
    let text = printed(value, unit, size_in(&measure.resolution, unit));
    let (least, most, band) = (None, None, String::new());
    Ok(Expected { value, least, most, text, band, working: worked.working })
}
