//! What a measured value should be, and the band in which it is accepted.
//!
//! Expected values come from the formula library, fed from the rig and from the day's
//! readings. Everything is compared in exact fractions and both edges are inside.

use std::borrow::Cow;
use std::collections::BTreeMap;

use serde::Serialize;

use super::kit::Kit;
use super::lines::expected_on;
use super::no_value::NoValue;
use crate::course::{
    Bind, Edge, Expect, Feed, Figures, How, Mark, Meaning, Measure, Names, RunSheet,
    Tolerance, bound, inputs,
};
use crate::formulas::WorkFault;
use crate::quantity::{Direction, Fraction, Kind, Number, Quantity, Unit, find, show};
use crate::words::Words;

/// Readings of the day by name.
pub type Readings = BTreeMap<String, Quantity>;

/// An expected value with its band, in the unit of the measure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Expected {
    /// The value, unrounded.
    #[serde(skip)]
    pub value: Fraction,
    /// Least accepted value; none where that side is open.
    #[serde(skip)]
    pub least: Option<Fraction>,
    /// Largest accepted value; none where that side is open.
    #[serde(skip)]
    pub most: Option<Fraction>,
    /// The value as printed.
    pub text: String,
    /// The band as printed, in words, to what the instrument can show.
    pub band: String,
    /// How it was worked out, line by line.
    pub working: Vec<String>,
}

impl Expected {
    /// Whether a value is accepted; edges are inside.
    pub fn contains(&self, value: Fraction) -> bool {
        self.least.is_none_or(|least| value >= least)
            && self.most.is_none_or(|most| value <= most)
    }
}

/// A value that was worked out.
pub(super) struct WorkedValue {
    /// In base units.
    base: Fraction,
    share: bool,
    pub(super) working: Vec<String>,
}

/// Where feeds look things up.
pub(super) struct Day<'d> {
    pub(super) kit: &'d Kit,
    figures: Figures,
    /// As they are written.
    written: &'d Readings,
    /// As formulas take them.
    readings: Cow<'d, Readings>,
    /// The floor of the intake, where it was not held.
    dry: Option<Quantity>,
    /// Whether it is told how a value is worked out: to write that takes longer than the value.
    told: bool,
}

/// What a measure should be on a rig's outlet with a day's readings: for the blank sheet,
/// for the filled one, for the verdict.
pub fn expectation(
    kit: &Kit,
    measure: &Measure,
    outlet: &str,
    readings: &Readings,
) -> Result<Expected, NoValue> {
    Day::of(kit, kit.figures(outlet), (readings, None)).expected(measure)
}

impl<'d> Day<'d> {
    /// The day of a run sheet.
    pub(super) fn of_sheet(kit: &'d Kit, figures: Figures, sheet: &'d RunSheet) -> Self {
        // An intake that nobody looked at proves no supply: skipping the look is never better (rule 9).
        // Where its pressure is written somebody looked; the mark beside it is asked about, and
        // nobody is told that he promised too long by a supply that was read.
        let looks = |one: &Measure| {
            one.is == Some(Meaning::IntakePressure)
                && sheet.marks.get(&one.step) == Some(&Mark::NotDone)
                && !sheet.measures.contains_key(&one.id)
        };
        let unwatched = kit.drill().measures.iter().any(looks);
        let measured = Some(&sheet.measures);
        Self::with(kit, figures, (&sheet.readings, measured), unwatched)
    }

    /// Readings of a day, and what was measured by then. A supply counts in minutes left only
    /// while it holds: with the intake below the floor of the rig it is nothing (section 4 of the
    /// rules of scoring), whatever was written down as the flow it should give.
    pub(super) fn of(
        kit: &'d Kit,
        figures: Figures,
        day: (&'d Readings, Option<&Readings>),
    ) -> Self {
        Self::with(kit, figures, day, false)
    }

    fn with(
        kit: &'d Kit,
        figures: Figures,
        (readings, measured): (&'d Readings, Option<&Readings>),
        unwatched: bool,
    ) -> Self {
        let drill = kit.drill();
        let intake = |is: Option<Meaning>| is == Some(Meaning::IntakePressure);
        let read = drill.readings.iter().filter(|one| intake(one.is));
        let read = read.filter_map(|one| readings.get(&one.id));
        let shown = drill.measures.iter().filter(|one| intake(one.is));
        let shown = shown.filter_map(|one| measured?.get(&one.id));
        let floor = kit.rig().intake_floor;
        let below = |value: &Quantity| {
            floor.is_some_and(|floor| {
                value.dimension() == floor.dimension()
                    && value.base().compare(floor.base()).is_lt()
            })
        };
        let dry = floor.filter(|_| unwatched || read.chain(shown).any(below));
        let written = readings;
        let mut readings = Cow::Borrowed(written);
        if dry.is_some() {
            let supplies = drill.readings.iter();
            for one in supplies.filter(|one| one.is == Some(Meaning::Supply)) {
                if let Some(value) = readings.to_mut().get_mut(&one.id) {
                    *value = Quantity::new(Fraction::ZERO, value.unit());
                }
            }
        }
        Self { kit, figures, written, readings, dry, told: true }
    }

    /// The same where nobody reads how values are worked out: of a thousand tries, and of values that
    /// are only compared.
    pub(super) fn untold(self) -> Self {
        Self { told: false, ..self }
    }

    pub(super) fn expected(&self, measure: &Measure) -> Result<Expected, NoValue> {
        // Rule 20: a card that nobody checked gives no band.
        if !self.kit.rig().verified() && measure.expect.rests_on_card() {
            return Err(NoValue::Unchecked);
        }
        let mut worked = self.worked(&measure.expect)?;
        // One value for all outlets is what each of them needs, added up.
        for outlet in self.kit.further().iter().filter(|_| measure.together) {
            let drill = self.kit.drill();
            let other = self.worked(&expected_on(drill, &measure.expect, outlet))?;
            worked.base = worked.base.add(other.base).ok_or(NoValue::Unit)?;
            worked.working.extend(other.working);
        }
        let unit = find(&measure.unit).ok_or(NoValue::Unit)?;
        let value = as_asked(measure, worked.in_unit(unit)?, unit);
        let side = |edge: &Edge| match edge {
            Edge::Open => Some(None),
            Edge::Absolute(away) => size_in(away, unit).map(Some),
            Edge::Relative(share) => {
                let share = share.number().mul(share.unit().factor())?;
                Some(Some(share.mul(value)?.absolute()))
            }
        };
        let mut below = side(&measure.tolerance.below).ok_or(NoValue::Unit)?;
        if measure.is == Some(Meaning::MinutesTold) {
            let part = value.div(Fraction::whole(CAUTIOUS));
            below = below.map(|away| part.map_or(away, |part| away.max(part)));
        }
        let above = side(&measure.tolerance.above).ok_or(NoValue::Unit)?;
        let least = below.map(|away| value.sub(away).ok_or(NoValue::Unit)).transpose()?;
        let most = above.map(|away| value.add(away).ok_or(NoValue::Unit)).transpose()?;
        let step = size_in(&measure.resolution, unit);
        let words = self.kit.words();
        Ok(Expected {
            value,
            least,
            most,
            text: printed(value, unit, step),
            band: band(words, (least, most), unit, step),
            working: worked.working,
        })
    }

    /// What a measured value should be, in base units.
    fn worked(&self, expect: &Expect) -> Result<WorkedValue, NoValue> {
        let bind = match expect {
            Expect::Formula(feed) => return self.work(feed),
            Expect::Bound(bind) => bind,
        };
        let quantity =
            bound(bind, &self.figures, &Written(self.written)).map_err(NoValue::of)?;
        Ok(WorkedValue {
            base: quantity.base().settled().ok_or(NoValue::Unit)?,
            share: quantity.unit().kind == Kind::Share,
            working: Vec::new(),
        })
    }

    /// A formula worked on the rig and the day.
    pub(super) fn work(&self, feed: &Feed) -> Result<WorkedValue, NoValue> {
        let day = Written(&self.readings);
        let inputs =
            inputs(feed, &self.figures, &day).map_err(|no| NoValue::of(no.name))?;
        let words = self.kit.words();
        let system = self.kit.standard().system;
        let formula = self.kit.formula(feed);
        let refused =
            |no: WorkFault| NoValue::Formula(self.kit.refusal(formula, no.say(words)));
        let (library, name) = (self.kit.library(), feed.answer.as_deref());
        if !self.told {
            let found = library.figure(formula, name, (&inputs, system));
            let (figure, share) = found.map_err(refused)?.ok_or(NoValue::Unit)?;
            let figure = figure.map_err(|no| NoValue::Formula(no.say(words)))?;
            let base = figure.settled().ok_or(NoValue::Unit)?;
            return Ok(WorkedValue { base, share, working: Vec::new() });
        }
        let worked = library.work(formula, &inputs, system).map_err(refused)?;
        let answer = worked.answer(name).ok_or(NoValue::Unit)?;
        let figure = answer.figure().map_err(|no| NoValue::Formula(no.say(words)))?;
        let lines = worked.lines.iter().map(|line| {
            let blanks = [
                ("label", line.label.as_str()),
                ("words", &line.words),
                ("numbers", &line.numbers),
                ("relation", line.relation),
                ("result", &line.result),
            ];
            words.say("scoring.working", &blanks)
        });
        let dry = self
            .dry
            .filter(|_| self.takes_supply(feed))
            .map(|floor| words.say("scoring.supply-dry", &[("floor", &floor.printed())]));
        Ok(WorkedValue {
            base: figure.settled().ok_or(NoValue::Unit)?,
            share: answer.unit == "%",
            working: dry.into_iter().chain(lines).collect(),
        })
    }

    /// Whether a feed takes a reading that is a supply.
    fn takes_supply(&self, feed: &Feed) -> bool {
        let readings = &self.kit.drill().readings;
        let supply = |name: &str| {
            let one = readings.iter().find(|one| one.id == name);
            one.is_some_and(|one| one.is == Some(Meaning::Supply))
        };
        feed.with.values().any(|bind| matches!(bind, Bind::Named(name) if supply(name)))
    }
}

/// Minutes that are told low by no more than this part of them cost nothing: whoever leaves earlier
/// is safe (section 2.2 of the rules of scoring).
const CAUTIOUS: i128 = 5;

/// A figure that the candidate works out on paper is told to the step of its field, and is held
/// against the right figure told so (rule 21). Only one that is asked for to within as much below
/// as above: anything else has a bound, and rounding could pass over it.
fn as_asked(measure: &Measure, value: Fraction, unit: &'static Unit) -> Fraction {
    let Tolerance { below: Edge::Absolute(below), above: Edge::Absolute(above) } =
        &measure.tolerance
    else {
        return value;
    };
    let even = below.base().compare(above.base()).is_eq();
    let step = size_in(&measure.resolution, unit).filter(|step| step.signum() > 0);
    let Some(step) = step.filter(|_| even && measure.how == How::FromTotals) else {
        return value;
    };
    show(Number::Exact(value), step, Direction::Near).map_or(value, |shown| shown.value)
}

/// Readings as they stand on the sheet.
struct Written<'r>(&'r Readings);

impl Names for Written<'_> {
    fn number(&self, name: &str) -> Option<Quantity> {
        self.0.get(name).copied()
    }

    fn word(&self, _: &str) -> Option<String> {
        None
    }
}

impl WorkedValue {
    /// In a unit; a percent never passes for a bare number.
    pub(super) fn in_unit(&self, unit: &'static Unit) -> Result<Fraction, NoValue> {
        if self.share != (unit.kind == Kind::Share) {
            return Err(NoValue::Unit);
        }
        let base = if unit.kind == Kind::Reading {
            self.base.sub(unit.zero()).ok_or(NoValue::Unit)?
        } else {
            self.base
        };
        base.div(unit.factor()).ok_or(NoValue::Unit)
    }
}

/// A written value as a number of a unit; nothing when it measures something else.
pub(super) fn value_in(quantity: &Quantity, unit: &'static Unit) -> Option<Fraction> {
    let alike = (quantity.unit().kind == Kind::Share) == (unit.kind == Kind::Share);
    alike.then(|| quantity.in_unit(unit)).flatten().map(|quantity| quantity.number())
}

/// A size, such as a tolerance or a resolution, as a number of a unit. A size of
/// temperature is a step, not a point of the scale.
pub(super) fn size_in(size: &Quantity, unit: &Unit) -> Option<Fraction> {
    if size.dimension() != unit.dimension
        || (size.unit().kind == Kind::Share) != (unit.kind == Kind::Share)
    {
        return None;
    }
    size.number().mul(size.unit().factor())?.div(unit.factor())
}

/// A value to a tenth of what the instrument shows, or exactly where that is short.
pub(super) fn printed(
    value: Fraction,
    unit: &'static Unit,
    step: Option<Fraction>,
) -> String {
    let fine = step.and_then(|step| step.div(Fraction::whole(10)));
    // Seven signs are what a form's box takes in handwriting, as in 1234.56; beyond that a
    // decimal is one that was divided and shows more than was measured.
    let short = |text: &String| text.len() <= 7;
    match (value.decimal().filter(short), fine.filter(|fine| fine.signum() > 0)) {
        (None, Some(fine)) => show(Number::Exact(value), fine, Direction::Near)
            .map_or_else(
                || crate::quantity::written(&value.to_string()),
                |shown| shown.with_unit(unit.symbol),
            ),
        _ => Quantity::new(value, unit).printed(),
    }
}

/// The band in words, its edges moved inward to what the instrument can show, so that
/// comparing by eye and comparing exactly give the same.
fn band(
    words: &Words,
    (least, most): (Option<Fraction>, Option<Fraction>),
    unit: &'static Unit,
    step: Option<Fraction>,
) -> String {
    let edge = |value: Fraction, direction: Direction| {
        step.filter(|step| step.signum() > 0)
            .and_then(|step| show(Number::Exact(value), step, direction))
            .map_or_else(
                || printed(value, unit, None),
                |shown| shown.with_unit(unit.symbol),
            )
    };
    let least = least.map(|value| edge(value, Direction::Up));
    let most = most.map(|value| edge(value, Direction::Down));
    match (least, most) {
        (Some(least), Some(most)) if least == most => {
            words.say("scoring.band.exactly", &[("value", &least)])
        }
        (Some(least), Some(most)) => {
            words.say("scoring.band.between", &[("least", &least), ("most", &most)])
        }
        (Some(least), None) => words.say("scoring.band.least", &[("least", &least)]),
        (None, Some(most)) => words.say("scoring.band.most", &[("most", &most)]),
        (None, None) => words.get("scoring.band.any"),
    }
}
