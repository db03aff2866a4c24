//! Faults of the numbers on a run sheet: unit, range, and what no instrument can show.

use super::expected::{Day, size_in, value_in};
use super::fault::Fault;
use super::kit::Kit;
use crate::course::{Measure, Reading, RunSheet};
use crate::quantity::{Dimension, Fraction, Kind, Quantity, find};
use crate::words::nearest;

pub(super) fn value_faults(kit: &Kit, sheet: &RunSheet) -> Vec<Fault> {
    let drill = kit.drill();
    let mut found = Vec::new();
    for (id, value) in &sheet.readings {
        let field = format!("readings.{id}");
        match drill.readings.iter().find(|reading| reading.id == *id) {
            Some(known) => found.extend(reading(field, known, value)),
            None => {
                let known = drill.readings.iter().map(|reading| reading.id.as_str());
                let near = nearest(id, known).unwrap_or_default();
                let fault = Fault::new(field, "unknown-reading").with("name", id);
                found.push(fault.with("nearest", near));
            }
        }
    }
    for (id, value) in &sheet.measures {
        let field = format!("measures.{id}");
        match drill.measures.iter().find(|measure| measure.id == *id) {
            Some(known) => found.extend(measure(kit, sheet, field, known, value)),
            None => {
                let known = drill.measures.iter().map(|measure| measure.id.as_str());
                let near = nearest(id, known).unwrap_or_default();
                let fault = Fault::new(field, "unknown-measure").with("name", id);
                found.push(fault.with("nearest", near));
            }
        }
    }
    found.extend(time(sheet));
    found
}

fn wrong_unit(field: String, value: &Quantity, unit: &str) -> Fault {
    Fault::new(field, "wrong-unit").with("found", value.printed()).with("unit", unit)
}

fn reading(field: String, reading: &Reading, value: &Quantity) -> Option<Fault> {
    let unit = find(&reading.unit)?;
    if value_in(value, unit).is_none() {
        return Some(wrong_unit(field, value, &reading.unit));
    }
    let base = value.base();
    let outside = base.compare(reading.least.base()).is_lt()
        || base.compare(reading.most.base()).is_gt();
    outside.then(|| {
        Fault::new(field, "reading-range")
            .with("label", &reading.label)
            .with("found", value.printed())
            .with("least", reading.least.printed())
            .with("most", reading.most.printed())
    })
}

fn measure(
    kit: &Kit,
    sheet: &RunSheet,
    field: String,
    measure: &Measure,
    value: &Quantity,
) -> Option<Fault> {
    let unit = find(&measure.unit)?;
    let Some(number) = value_in(value, unit) else {
        return Some(wrong_unit(field, value, &measure.unit));
    };
    let step = size_in(&measure.resolution, unit).filter(|step| step.signum() > 0)?;
    let Some(feed) = &measure.measured else {
        // A value in another unit was converted and need not fall on the gauge's marks.
        let on_a_mark =
            value.unit() != unit || number.div(step).is_some_and(Fraction::is_whole);
        return (!on_a_mark).then(|| {
            Fault::new(field, "off-gauge")
                .with("found", value.printed())
                .with("step", measure.resolution.printed())
        });
    };
    let figures = kit.figures(&sheet.outlet);
    let day = Day { kit, figures, readings: &sheet.readings };
    let worked = day.work(feed).ok()?.in_unit(unit).ok()?;
    let away = worked.sub(number)?.absolute();
    (away >= step).then(|| {
        Fault::new(field, "value-differs")
            .with("found", value.printed())
            .with("worked", super::expected::printed(worked, unit, Some(step)))
    })
}

fn time(sheet: &RunSheet) -> Vec<Fault> {
    let Some(time) = &sheet.time else { return Vec::new() };
    let mut found = Vec::new();
    let held = time.held.as_ref().map(|held| ("time.held", held));
    for (field, value) in [("time.taken", &time.taken)].into_iter().chain(held) {
        let timed =
            value.dimension() == Dimension::TIME && value.unit().kind == Kind::Amount;
        if !timed {
            found.push(wrong_unit(field.to_owned(), value, "s"));
        } else if value.number().signum() < 0 {
            let fault = Fault::new(field, "time-negative");
            found.push(fault.with("found", value.printed()));
        }
    }
    if let Some(held) = &time.held
        && found.is_empty()
        && held.base().compare(time.taken.base()).is_gt()
    {
        let fault = Fault::new("time.held", "held-too-long");
        found
            .push(fault.with("held", held.printed()).with("taken", time.taken.printed()));
    }
    found
}
