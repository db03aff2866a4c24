//! Which system of units a unit belongs to, and sentences that are told in both.

use std::borrow::Cow;

use super::bars;
use super::dimension::Kind;
use super::examples;
use super::fraction::Fraction;
use super::habit::System;
use super::number::Number;
use super::prose::flow;
use super::read::Quantity;
use super::show::{Direction, show};
use super::unit::{self, Unit};
use crate::words::replaced;

/// What a US unit is called in a metric department, which writes litres a minute and, where it
/// says no other, kilopascals. Units that stand here on neither side, minutes,
/// percent or decibels, are of both.
const COUNTERPARTS: &[(&str, &str)] = &[
    ("in", "mm"),
    ("ft", "m"),
    ("yd", "m"),
    ("in2", "mm2"),
    ("ft2", "m2"),
    ("in3", "L"),
    ("ft3", "m3"),
    ("gal", "L"),
    ("impgal", "L"),
    ("qt", "L"),
    ("floz", "mL"),
    ("gpm", "L/min"),
    ("gph", "L/min"),
    ("impgpm", "L/min"),
    ("scfm", "m3/min"),
    ("ft3/min", "m3/min"),
    ("lb", "kg"),
    ("oz", "g"),
    ("lbf", "N"),
    ("psi", "kPa"),
    ("inHg", "kPa"),
    ("lb/gal", "kg/L"),
    ("lb/ft3", "kg/m3"),
    ("gpm/ft2", "L/min/m2"),
    ("Btu", "kJ"),
    ("Btu/lb", "kJ/kg"),
    ("psi/(100 gpm)^2/100 ft", "kPa/(100 L/min)^2/100 m"),
    ("Fdeg", "Cdeg"),
    ("degF", "degC"),
];

/// Metric units that a US department does not read, and what it reads instead. Energies,
/// roughnesses and limits for a stream are metric in both.
const METRIC: &[(&str, &str)] = &[
    ("m", "ft"),
    ("m2", "ft2"),
    ("m3", "gal"),
    ("L", "gal"),
    ("L/min", "gpm"),
    ("L/s", "gpm"),
    ("m3/h", "gpm"),
    ("m3/min", "scfm"),
    ("kg", "lb"),
    ("N", "lbf"),
    ("kPa", "psi"),
    ("bar", "psi"),
    ("MPa", "psi"),
    ("kg/L", "lb/gal"),
    ("kg/m3", "lb/ft3"),
    ("L/min/m2", "gpm/ft2"),
    ("kPa/(100 L/min)^2/100 m", "psi/(100 gpm)^2/100 ft"),
    ("bar/(100 L/min)^2/100 m", "psi/(100 gpm)^2/100 ft"),
    ("Cdeg", "Fdeg"),
    ("degC", "degF"),
];

/// Digits of a figure that was converted to be an example or a bound: it is no measurement, and
/// a gallon must not be seen through it.
const DIGITS: u32 = 2;

impl System {
    /// A step of the library in this system, told already: how finely a result is shown.
    pub fn step(self, text: &str) -> Cow<'_, str> {
        if self == Self::SiBar { bars::step(text) } else { text.into() }
    }

    /// The unit of this system for one that it does not read.
    pub fn instead_of(self, unit: &Unit) -> Option<&'static Unit> {
        let pairs = if self.is_metric() { COUNTERPARTS } else { METRIC };
        let (_, other) = pairs.iter().find(|(symbol, _)| *symbol == unit.symbol)?;
        let other = unit::find(other)?;
        Some(if self == Self::SiBar { bars::unit(other) } else { other })
    }

    /// A quantity as this system would write it, rounded to two digits; as it is where its unit
    /// is read here too. For examples, never for a figure of the trade.
    #[must_use]
    pub fn example(self, quantity: &Quantity) -> Quantity {
        let converted = self
            .instead_of(quantity.unit())
            .and_then(|unit| quantity.rounded_in(unit, DIGITS, Direction::Near));
        converted.unwrap_or(*quantity)
    }

    /// The same for a text that is a unit, or that has quantities in it: each of them as this system
    /// writes it, all else as it is.
    pub fn example_text(self, text: &str) -> Cow<'_, str> {
        if let Some(unit) = unit::find(text).and_then(|unit| self.instead_of(unit)) {
            return unit.symbol.into();
        }
        // What is written for both says the metric value itself, and nothing is converted.
        let both = text.split_once(", si: ").filter(|_| self.is_metric());
        if let Some((_, metric)) = both {
            return metric.trim_end_matches('}').to_owned().into();
        }
        let own = examples::told(text, |quantity| self.example(quantity));
        // The examples of the metric side are in kilopascals.
        let own = if self == Self::SiBar { bars::told(&own).into_owned() } else { own };
        flow(own).into()
    }

    /// A sentence of the library in this system. Where the two differ it is written
    /// `{45 lb|20 kg}`, US first; either side may be empty or a whole sentence. The kilopascals of
    /// the metric side are told in bar where a module writes bar, but where a third side says
    /// what stands there: `{|kPa|bar}`.
    pub fn told(self, text: &str) -> Cow<'_, str> {
        if self == Self::SiBar {
            return bars::told(text);
        }
        if !text.contains('|') {
            return text.into();
        }
        let told = replaced(text, |inside| {
            let (us, si) = inside.split_once('|')?;
            // A third part is for a module that writes bar, which is told above.
            let metric = si.split_once('|').map_or(si, |(kilopascals, _)| kilopascals);
            Some(if self == Self::Si { metric } else { us })
        });
        told.trim_end().to_owned().into()
    }
}

impl Quantity {
    /// A bound in the unit of whoever reads it. One that was written in another unit is rounded,
    /// inwards as a rule, so that every value that is printed as allowed is taken.
    #[must_use]
    pub fn bound(&self, unit: &'static Unit, way: Direction) -> Self {
        if self.unit() == unit {
            return *self;
        }
        self.rounded_in(unit, DIGITS, way).unwrap_or(*self)
    }

    /// In another unit of its dimension with so many digits, rounded that way.
    pub fn rounded_in(
        &self,
        unit: &'static Unit,
        digits: u32,
        direction: Direction,
    ) -> Option<Self> {
        if unit.dimension != self.dimension() {
            return None;
        }
        let base = self.base();
        let base = if unit.kind == Kind::Reading {
            base.sub(Number::Exact(unit.zero())).ok()?
        } else {
            base
        };
        let value = base.div(Number::Exact(unit.factor())).ok()?;
        // A thermometer is read to the degree, near zero too.
        let whole = unit.kind == Kind::Reading;
        let step = if whole { Fraction::ONE } else { step(value, digits)? };
        let shown = show(value, step, direction)?;
        Some(Self::new(shown.value, unit))
    }
}

/// The power of ten that leaves a number so many digits before it is rounded.
fn step(value: Number, digits: u32) -> Option<Fraction> {
    let size = value.settled()?.absolute();
    let top = Fraction::whole(10_i128.checked_pow(digits)?);
    let least = top.div(Fraction::whole(10))?;
    let ten = Fraction::whole(10);
    let mut step = Fraction::ONE;
    // Twelve digits to each side are more than any figure of the trade has.
    for _ in 0..12 {
        let steps = size.div(step)?;
        if steps >= top {
            step = step.mul(ten)?;
        } else if steps < least {
            step = step.div(ten)?;
        } else {
            break;
        }
    }
    Some(if size == Fraction::ZERO { Fraction::ONE } else { step })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::UNITS;

    #[test]
    fn a_sentence_is_told_in_one_system() {
        let text = "A pail weighs about {45 lb|20 kg}{; {drums} more|}, {feed} {a|}.";
        assert_eq!(System::Si.told("{a|b} {c} {|d"), "b {c} {|d");
        assert_eq!(System::Us.told("About {45 lb|20 kg}."), "About 45 lb.");
        assert_eq!(System::Si.told("Half.{ Never 5 psi.|}"), "Half.");
        assert!(System::Si.told(text).starts_with("A pail weighs about 20 kg"));
    }

    #[test]
    fn counterparts_measure_the_same_and_are_of_the_other_system() {
        for unit in UNITS {
            for system in [System::Us, System::Si] {
                let Some(other) = system.instead_of(unit) else { continue };
                assert_eq!(other.dimension, unit.dimension, "{unit:?}");
                assert!(system.instead_of(other).is_none(), "{unit:?}");
            }
        }
        for (us, si) in COUNTERPARTS.iter().chain(METRIC) {
            assert!(unit::find(us).is_some() && unit::find(si).is_some(), "{us} {si}");
        }
    }

    #[test]
    fn examples_are_round() {
        let si = |text| System::Si.example_text(text).into_owned();
        assert_eq!(si("95 gpm"), "360 L/min");
        assert_eq!(si("300 psi"), "2100 kPa");
        assert_eq!(si("8.5 lb/gal"), "1 kg/L");
        assert_eq!(si("[15.5 psi, 2 min]"), "[110 kPa, 2 min]");
        assert_eq!(si("gpm"), "L/min");
        assert_eq!(si("flush"), "flush");
        assert_eq!(si("0 gpm"), "0 L/min");
        assert_eq!(si("fog, 125 gpm at 100 psi"), "fog, 470 L/min at 690 kPa");
        assert_eq!(si("{ flow-read: 125 gpm }"), "{ flow-read: 470 L/min }");
        assert_eq!(si("{value: 250 gpm, si: 950 L/min}"), "950 L/min");
        assert_eq!(si("15.5 psi/(100 gpm)^2/100 ft"), "24 kPa/(100 L/min)^2/100 m");
        assert_eq!(si("2026-11-14 10:20"), "2026-11-14 10:20");
        assert_eq!(si("order-4, section 2.1 in part"), "order-4, section 2.1 in part");
        assert_eq!(si("smooth bore, 15/16 in"), "smooth bore, 24 mm");
        assert_eq!(si("Between 10 and 2000 gpm."), "Between 10 and 7600 L/min.");
        assert_eq!(System::Us.example_text("fog, 125 gpm"), "fog, 125 gpm");
        assert_eq!(System::Us.example_text("35 degF"), "35 degF");
        assert_eq!(System::Us.example_text("100 L"), "26 gal");
    }

    #[test]
    fn bounds_are_rounded_inwards() {
        let read = |text: &str| Quantity::read(text).unwrap();
        let to = |text: &str, unit, way| {
            let unit = unit::find(unit).unwrap();
            read(text).rounded_in(unit, 3, way).unwrap().to_string()
        };
        let bound = |text: &str, unit, way| {
            read(text).bound(unit::find(unit).unwrap(), way).to_string()
        };
        assert_eq!(bound("1 ft", "m", Direction::Up), "0.31 m");
        assert_eq!(bound("1000000 ft2", "m2", Direction::Down), "92000 m2");
        assert_eq!(bound("0.3048 m", "m", Direction::Up), "0.3048 m");
        assert_eq!(bound("0 gpm", "L/min", Direction::Up), "0 L/min");
        assert_eq!(to("6000 gpm", "L/min", Direction::Down), "22700 L/min");
        assert_eq!(to("1 gpm", "L/min", Direction::Up), "3.79 L/min");
        assert_eq!(to("-200 psi", "kPa", Direction::Up), "-1370 kPa");
        assert_eq!(to("33 degF", "degC", Direction::Up), "1 degC");
    }
}
