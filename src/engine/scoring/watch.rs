//! The watch: only the named start and the named stop are timed.

use super::expected::value_in;
use super::kit::Kit;
use super::say;
use super::stands::flows;
use super::verdict::{Decision, Line, Rule};
use crate::course::{RunSheet, TimeStandard, TimeTaken};
use crate::quantity::{Direction, Fraction, Number, Quantity, Unit, show};

/// The line on the time, where the drill has a limit or the sheet a time.
pub(super) fn time(kit: &Kit, sheet: &RunSheet) -> Option<Line> {
    let words = kit.words();
    let label = words.get("scoring.time-label");
    let line = say::line(words, Rule::Time, "time", &label);
    // A time without a limit is worth knowing for the next drill and decides nothing.
    let Some(standard) = &kit.drill().time else {
        let taken = sheet.time.as_ref()?.taken.printed();
        let line = line.saw(taken, "");
        return Some(line.means(words, Decision::Noted, "time-no-limit", &[]));
    };
    let limit = standard.within.printed();
    let blanks = [
        ("limit", limit.as_str()),
        ("start", standard.starts_at.as_str()),
        ("stop", standard.stops_at.as_str()),
        ("watch", standard.watch.as_str()),
        ("source", standard.source.as_str()),
    ];
    let wanted = words.say("scoring.time-wanted", &blanks);
    // Water takes its time; without any, a limit was not shown to be kept, however fast the
    // hands were.
    let (seen, decision, key) = if !flows(sheet.mode) {
        (String::new(), Decision::InPart, "time-not-shown")
    } else {
        match sheet.time.as_ref().and_then(|time| judged(kit, standard, time)) {
            Some((seen, true)) => (seen, Decision::Kept, "time-kept"),
            Some((seen, false)) => (seen, Decision::Fails, "time-over"),
            None => {
                let nothing = words.get("scoring.nothing-written");
                (nothing, Decision::Unseen, "time-not-written")
            }
        }
    };
    Some(line.saw(seen, wanted).means(words, decision, key, &blanks))
}

/// The time as printed, and whether it is within the limit; the limit itself still is.
fn judged(
    kit: &Kit,
    standard: &TimeStandard,
    time: &TimeTaken,
) -> Option<(String, bool)> {
    let unit = standard.resolution.unit();
    let net = net(&time.taken, time.held.as_ref(), &standard.resolution)?;
    let within = value_in(&standard.within, unit)?;
    let text = Quantity::new(net, unit).printed();
    let held = time.held.as_ref().map(Quantity::printed);
    let text = held.map_or_else(
        || text.clone(),
        |held| kit.words().say("scoring.time-held", &[("net", &text), ("held", &held)]),
    );
    // Rounded before it is compared: the limit is one of this watch, and a hand on the
    // button is no better than its resolution.
    Some((text, net <= within))
}

/// Time taken less time held, rounded to the watch's resolution, ties upward, in the unit
/// of the resolution.
fn net(
    taken: &Quantity,
    held: Option<&Quantity>,
    resolution: &Quantity,
) -> Option<Fraction> {
    let unit: &'static Unit = resolution.unit();
    let held = held.map_or(Some(Fraction::ZERO), |held| value_in(held, unit))?;
    let net = value_in(taken, unit)?.sub(held)?;
    let step = resolution.number();
    (step.signum() > 0)
        .then(|| show(Number::Exact(net), step, Direction::Near))
        .flatten()
        .map(|shown| shown.value)
}
