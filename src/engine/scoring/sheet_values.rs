//! Faults of the numbers on a run sheet: unit, range, and what no instrument can show.

use super::expected::{Day, size_in, value_in};
use super::fault::{Fault, unknown};
use super::kit::Kit;
use crate::course::{Measure, Reading, RunSheet};
use crate::quantity::{
    Dimension, Direction, Fraction, Kind, Number, Quantity, Unit, find, show,
};

pub(super) fn value_faults(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let drill = kit.drill();
    let readings = sheet.readings.iter().filter_map(|(id, value)| {
        let path = ["readings", id.as_str()];
        let mut of = drill.readings.iter();
        let Some(known) = of.clone().find(|reading| reading.id == *id) else {
            let known = of.by_ref().map(|reading| reading.id.as_str());
            return Some(unknown(&path, "unknown-reading", id, known));
        };
        reading(&path, known, value)
    });
    let measures = sheet.measures.iter().filter_map(|(id, value)| {
        let path = ["measures", id.as_str()];
        let mut of = drill.measures.iter();
        let Some(known) = of.clone().find(|measure| measure.id == *id) else {
            let known = of.by_ref().map(|measure| measure.id.as_str());
            return Some(unknown(&path, "unknown-measure", id, known));
        };
        measure((kit, sheet), &path, known, value)
    });
    readings.chain(measures).collect()
}

fn wrong_unit(path: &[&str], value: &Quantity, unit: &str) -> Fault {
    Fault::at(path, "wrong-unit").with("found", value.printed()).with("unit", unit)
}

fn reading(path: &[&str], reading: &Reading, value: &Quantity) -> Option<Fault> {
    let unit = find(&reading.unit)?;
    if value_in(value, unit).is_none() {
        return Some(wrong_unit(path, value, &reading.unit));
    }
    let base = value.base();
    let outside = base.compare(reading.least.base()).is_lt()
        || base.compare(reading.most.base()).is_gt();
    outside.then(|| {
        Fault::at(path, "reading-range")
            .with("label", &reading.label)
            .with("found", value.printed())
            .with("least", reading.least.printed())
            .with("most", reading.most.printed())
    })
}

/// What an instrument of that resolution cannot show.
fn between_marks(
    path: &[&str],
    value: &Quantity,
    resolution: &Quantity,
    unit: &'static Unit,
    key: &'static str,
) -> Option<Fault> {
    let step = size_in(resolution, unit).filter(|step| step.signum() > 0)?;
    let steps = value_in(value, unit)?.div(step);
    // What cannot be told exactly lies on no mark.
    let shown = steps.is_none_or(Fraction::is_whole);
    (!shown).then(|| {
        let fault = Fault::at(path, key).with("found", value.printed());
        fault.with("step", resolution.printed())
    })
}

/// What the instrument cannot show at all; nothing that is measured here is below zero where
/// the drill says nothing else, but a temperature (rule 16).
fn no_instrument(path: &[&str], measure: &Measure, value: &Quantity) -> Option<Fault> {
    let base = value.base();
    let below = match &measure.least {
        Some(least) => base.compare(least.base()).is_lt(),
        None => value.unit().kind != Kind::Reading && value.number().signum() < 0,
    };
    let beyond = if below { Some(measure.least) } else { None };
    let beyond = beyond.or_else(|| {
        let most = measure.most?;
        base.compare(most.base()).is_gt().then_some(Some(most))
    })?;
    let zero = || Quantity::new(Fraction::ZERO, value.unit());
    let key = if below { "value-below" } else { "value-above" };
    let fault = Fault::at(path, key).with("label", &measure.label);
    let fault = fault.with("found", value.printed());
    Some(fault.with("bound", beyond.unwrap_or_else(zero).printed()))
}

/// Whether a value that is written is one that cannot have been read off: it is refused with
/// its mend, and until then it decides nothing.
pub(super) fn unreadable(
    kit: &Kit,
    sheet: &RunSheet,
    of: &Measure,
    value: &Quantity,
) -> bool {
    measure((kit, sheet), &[], of, value).is_some()
}

fn measure(
    (kit, sheet): (&Kit, &RunSheet),
    path: &[&str],
    measure: &Measure,
    value: &Quantity,
) -> Option<Fault> {
    let unit = find(&measure.unit)?;
    let Some(number) = value_in(value, unit) else {
        return Some(wrong_unit(path, value, &measure.unit));
    };
    if let Some(off) = no_instrument(path, measure, value) {
        return Some(off);
    }
    // Rule 16: off the step only in its own unit; a value of another unit was converted by
    // somebody, and is rounded to the step.
    if value.unit().symbol == unit.symbol
        && let Some(off) =
            between_marks(path, value, &measure.resolution, unit, "off-gauge")
    {
        return Some(off);
    }
    // What is worked out of the readings may be written down as well, if it agrees.
    let step = size_in(&measure.resolution, unit).filter(|step| step.signum() > 0)?;
    let figures = kit.figures(&sheet.outlet);
    let day = Day::of_sheet(kit, figures, sheet).untold();
    let worked = day.work(measure.measured.as_ref()?).ok()?.in_unit(unit).ok()?;
    let away = worked.sub(number)?.absolute();
    (away >= step).then(|| {
        Fault::at(path, "value-differs")
            .with("found", value.printed())
            .with("worked", super::expected::printed(worked, unit, Some(step)))
    })
}

/// A measured value as its instrument shows it: one that was written in another unit is rounded to
/// the step of its own (rule 16).
pub(super) fn read_off(measure: &Measure, value: &Quantity) -> Quantity {
    let rounded = || {
        let unit = find(&measure.unit)?;
        let other = value.unit().symbol != unit.symbol;
        let step = size_in(&measure.resolution, unit).filter(|step| step.signum() > 0)?;
        let number = value_in(value, unit).filter(|_| other)?;
        let shown = show(Number::Exact(number), step, Direction::Near)?;
        Some(Quantity::new(shown.value, unit))
    };
    rounded().unwrap_or(*value)
}

/// The times of a sheet with their fields.
fn times(sheet: &RunSheet) -> impl Iterator<Item = (&'static str, &Quantity)> {
    let time = sheet.time.as_ref();
    let held = time.and_then(|time| time.held.as_ref());
    let taken = time.map(|time| ("taken", &time.taken));
    taken.into_iter().chain(held.map(|held| ("held", held)))
}

pub(super) fn time_faults(sheet: &RunSheet) -> Vec<Fault> {
    let mut found = Vec::new();
    for (field, value) in times(sheet) {
        let path = ["time", field];
        let timed =
            value.dimension() == Dimension::TIME && value.unit().kind == Kind::Amount;
        if !timed {
            found.push(wrong_unit(&path, value, "s"));
        } else if value.number().signum() < 0 {
            let fault = Fault::at(&path, "time-negative");
            found.push(fault.with("found", value.printed()));
        }
    }
    let both =
        sheet.time.as_ref().and_then(|time| Some((&time.taken, time.held.as_ref()?)));
    if let Some((taken, held)) = both
        && found.is_empty()
        && held.base().compare(taken.base()).is_gt()
    {
        let fault = Fault::at(&["time", "held"], "held-too-long");
        found.push(fault.with("held", held.printed()).with("taken", taken.printed()));
    }
    found
}

/// Times must be such as the watch can show, where the drill has a watch.
pub(super) fn watch_faults(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let Some(standard) = &kit.drill().time else { return Vec::new() };
    let resolution = &standard.resolution;
    let of = |(field, value): (&str, &Quantity)| {
        let unit = resolution.unit();
        between_marks(&["time", field], value, resolution, unit, "off-watch")
    };
    times(sheet).filter_map(of).collect()
}
