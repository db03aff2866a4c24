//! A value as the board prints it, and the same with more digits.

use crate::quantity::{self, Direction, Fraction, Kind, Number, Quantity, Unit};

/// Digits that a converted value has at least: with fewer, 1 psi and 7 kPa would be the same
/// and the next line of the board wrong.
const DIGITS: u32 = 4;

/// Text, and the value that the text says.
#[derive(Debug, Clone)]
pub(super) struct Printed {
    pub(super) text: String,
    /// What the text says, in base units.
    pub(super) says: Number,
    /// Whether that is the value itself.
    pub(super) exact: bool,
    pub(super) unit: &'static Unit,
    /// The value in the unit, rounded and as it is, and how it is rounded.
    rounded: Fraction,
    value: Number,
    step: Fraction,
    round: Direction,
}

impl Printed {
    /// A value in base units in the unit of `shown`, rounded to its number.
    pub(super) fn new(base: Number, shown: &Quantity, round: Direction) -> Option<Self> {
        let value = in_unit(base, shown.unit())?;
        Self::with(value, shown.unit(), shown.number(), round)
    }

    /// A quantity as it was written.
    pub(super) fn written(quantity: &Quantity) -> Self {
        Self {
            text: quantity.printed(),
            says: quantity.base(),
            exact: true,
            unit: quantity.unit(),
            rounded: quantity.number(),
            value: Number::Exact(quantity.number()),
            step: Fraction::ONE,
            round: Direction::Near,
        }
    }

    /// A value in base units in a unit it was not written in: three decimals, or more where
    /// those would be too few digits to work on.
    pub(super) fn converted(base: Number, unit: &'static Unit) -> Option<Self> {
        let value = in_unit(base, unit)?;
        let step = Fraction::new(1, 1000)?.min(step_of_digits(value, DIGITS)?);
        let mut printed = Self::with(value, unit, step, Direction::Near)?;
        printed.trim(0);
        Some(printed)
    }

    fn with(
        value: Number,
        unit: &'static Unit,
        step: Fraction,
        round: Direction,
    ) -> Option<Self> {
        let shown = quantity::show(value, step, round)?;
        let says = Quantity::new(shown.value, unit).base();
        let text = shown.with_unit(unit.symbol);
        let (rounded, exact) = (shown.value, shown.exact);
        Some(Self { text, says, exact, unit, rounded, value, step, round })
    }

    /// The value rounded, as a whole number of the unit.
    pub(super) fn whole(&self) -> i128 {
        self.rounded.floor()
    }

    /// To so many digits in all, and never fewer before the point.
    pub(super) fn of_digits(&self, digits: u32) -> Self {
        let shown = step_of_digits(self.value, digits)
            .and_then(|step| Self::with(self.value, self.unit, step, Direction::Near));
        let mut shown = shown.unwrap_or_else(|| self.clone());
        shown.trim(0);
        shown
    }

    /// The same with so many digits more; a value that needs none stays as it is.
    pub(super) fn finer(&self, digits: u32) -> Self {
        // More digits of an exact value would be zeros that say it was measured so finely.
        if self.exact || digits == 0 {
            return self.clone();
        }
        let places = decimals(&self.text);
        let finer = || {
            let tens = Fraction::whole(10_i128.checked_pow(digits)?);
            // A step such as 5 or 0.5 first becomes a power of ten.
            let mut step = Fraction::ONE;
            while step > self.step {
                step = step.div(Fraction::whole(10))?;
            }
            Self::with(self.value, self.unit, step.div(tens)?, Direction::Near)
        };
        let mut printed = finer().unwrap_or_else(|| self.clone());
        if printed.exact {
            printed.trim(places);
        }
        printed
    }

    /// Whether another value, in base units, is printed with the same digits, or agrees with
    /// this one in more digits than a calculator shows.
    pub(super) fn is_also(&self, base: Number) -> bool {
        let Some(value) = in_unit(base, self.unit) else { return false };
        let shown = quantity::show(value, self.step, self.round);
        shown.is_some_and(|shown| shown.value == self.rounded)
            || self.nearly(value).unwrap_or(false)
    }

    fn nearly(&self, value: Number) -> Option<bool> {
        // One in a million millions: the digits to which approximate numbers are settled.
        let least = Number::Exact(Fraction::new(1, 1_000_000_000_000)?);
        let away = value.sub(self.value).ok()?.absolute();
        let borne = self.value.absolute().mul(least).ok()?;
        Some(away.compare(borne).is_le())
    }

    /// Whether the value lies half-way between two steps, where no number of digits in what
    /// it is worked from settles how it is rounded.
    pub(super) fn is_tie(&self) -> bool {
        let Number::Exact(value) = self.value else { return false };
        let halves = value.div(self.step).and_then(|steps| steps.mul(Fraction::whole(2)));
        halves.is_some_and(|halves| halves.is_whole() && halves.numerator() % 2 != 0)
    }

    /// Takes zeros off the end, down to so many decimals.
    fn trim(&mut self, places: usize) {
        let (number, unit) = match self.text.split_once('\u{a0}') {
            Some((number, unit)) => (number, Some(unit)),
            None => (self.text.as_str(), None),
        };
        let mark = quantity::decimal_mark();
        let Some((whole, part)) = number.split_once(mark) else { return };
        let kept = part.trim_end_matches('0').len().max(places);
        let part: String = part.chars().take(kept).collect();
        let point = if part.is_empty() { String::new() } else { mark.to_string() };
        let unit = unit.map(|unit| format!("\u{a0}{unit}")).unwrap_or_default();
        self.text = format!("{whole}{point}{part}{unit}");
    }
}

fn decimals(text: &str) -> usize {
    let number = text.split('\u{a0}').next().unwrap_or_default();
    number.split_once(quantity::decimal_mark()).map_or(0, |(_, part)| part.len())
}

/// A value of base units in a unit.
pub(super) fn in_unit(value: Number, unit: &Unit) -> Option<Number> {
    // The zero of a reading is not nothing: 0 °C is 32 °F.
    let value = if unit.kind == Kind::Reading {
        value.sub(Number::Exact(unit.zero())).ok()?
    } else {
        value
    };
    value.div(Number::Exact(unit.factor())).ok()
}

/// The power of ten with which a number has so many digits; one at most.
pub(super) fn step_of_digits(value: Number, digits: u32) -> Option<Fraction> {
    let size = value.settled()?.absolute();
    let least = Fraction::whole(10_i128.checked_pow(digits.saturating_sub(1))?);
    let mut step = Fraction::ONE;
    // Twelve digits are what an approximate number has.
    for _ in 0..12 {
        if size.div(step)? >= least {
            break;
        }
        step = step.div(Fraction::whole(10))?;
    }
    Some(step)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Quantity {
        Quantity::read(text).unwrap()
    }

    fn plain(printed: &Printed) -> String {
        printed.text.replace('\u{a0}', " ")
    }

    #[test]
    fn more_digits_come_only_where_they_say_more() {
        let shown = read("0.01 gal");
        let new = |text: &str| {
            Printed::new(read(text).base(), &shown, Direction::Near).unwrap()
        };
        assert_eq!(plain(&new("1.2 gal").finer(3)), "1.20 gal");
        assert_eq!(plain(&new("1.23456 gal").finer(1)), "1.235 gal");
        assert_eq!(plain(&new("1.2346 gal").finer(4)), "1.2346 gal");
        let steps = Printed::new(read("1234 gal").base(), &read("5 gal"), Direction::Up);
        assert_eq!(plain(&steps.unwrap().finer(1)), "1234 gal");
    }

    #[test]
    fn a_small_converted_value_keeps_its_digits() {
        let inches = quantity::find("in").unwrap();
        let converted =
            |text: &str| plain(&Printed::converted(read(text).base(), inches).unwrap());
        assert_eq!(converted("1.3 mm"), "0.05118 in");
        assert_eq!(converted("65 mm"), "2.559 in");
        assert_eq!(converted("10 ft"), "120 in");
    }
}
