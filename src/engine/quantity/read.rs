//! A quantity as an author writes it: a decimal number and a unit.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use super::dimension::{Dimension, Kind};
use super::fraction::Fraction;
use super::number::Number;
use super::spelling::spelled;
use super::unit::{self, Unit};

/// An exact number of a unit, such as `95 gpm` or `0.5 %`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quantity {
    number: Fraction,
    unit: &'static Unit,
}

/// Why a text is no quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ReadFault {
    /// The text is empty.
    Nothing,
    /// The part before the unit is no decimal number.
    NotANumber(String),
    /// A comma or a point that is a decimal sign to one reader and sets thousands apart to
    /// another.
    Ambiguous(String),
    /// There is no unit of that name; with the nearest one.
    UnknownUnit(String, Option<&'static str>),
}

impl Quantity {
    /// A number of a unit.
    pub const fn new(number: Fraction, unit: &'static Unit) -> Self {
        Self { number, unit }
    }

    /// Reads `95 gpm`, `0.5 %`, `-40 degF`, `1-3/4 in`, `3`; units as they are printed and in
    /// other common spellings too. A bare number has the unit of no name.
    pub fn read(text: &str) -> Result<Self, ReadFault> {
        let text = text.trim();
        if text.is_empty() {
            return Err(ReadFault::Nothing);
        }
        let part_of_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '−');
        let end = text.find(|c: char| !part_of_number(c)).unwrap_or(text.len());
        let (number, unit) = text.split_at(end);
        let decimal = || Some((Fraction::read(number)?, unit));
        // A rule's fraction first: the decimal reader would stop at the hyphen of 1-3/4.
        let Some((number, unit)) = inches(text).or_else(decimal) else {
            return Err(ReadFault::NotANumber(text.to_owned()));
        };
        let unit = unit.trim();
        match unit::find(unit).or_else(|| spelled(unit)) {
            Some(unit) => Ok(Self { number, unit }),
            // What is left begins with a digit or a comma: the number is at fault, 1,200, and
            // not the unit.
            None if unit.starts_with(|c: char| c.is_ascii_digit() || c == ',') => {
                Err(ReadFault::NotANumber(text.to_owned()))
            }
            None => {
                let near = unit::nearest(unit).map(|unit| unit.symbol);
                Err(ReadFault::UnknownUnit(unit.to_owned(), near))
            }
        }
    }

    /// The number before the unit.
    pub const fn number(&self) -> Fraction {
        self.number
    }

    /// The unit.
    pub const fn unit(&self) -> &'static Unit {
        self.unit
    }

    /// What it measures.
    pub const fn dimension(&self) -> Dimension {
        self.unit.dimension
    }

    /// In base units; a reading counts from absolute zero.
    pub fn base(&self) -> Number {
        let exact = self.number.mul(self.unit.factor()).and_then(|base| {
            if self.unit.kind == Kind::Reading {
                base.add(self.unit.zero())
            } else {
                Some(base)
            }
        });
        match exact {
            Some(base) => Number::Exact(base),
            None => Number::Exact(self.number)
                .mul(Number::Exact(self.unit.factor()))
                .unwrap_or(Number::ZERO),
        }
    }

    /// In another unit of the same dimension, when that has an exact value.
    pub fn in_unit(&self, unit: &'static Unit) -> Option<Self> {
        if unit.dimension != self.unit.dimension {
            return None;
        }
        let base = self.base().settled()?;
        let base = if unit.kind == Kind::Reading { base.sub(unit.zero())? } else { base };
        Some(Self { number: base.div(unit.factor())?, unit })
    }

    /// The unit alone, as it is printed.
    pub fn unit_printed(&self) -> String {
        super::show::join("", self.unit.symbol).trim_start_matches('\u{a0}').to_owned()
    }

    /// With a no-break space, and a true minus.
    pub fn printed(&self) -> String {
        let number = super::written::written(&self.number.to_string());
        super::show::join(&number.replace('-', "−"), self.unit.symbol)
    }

    /// As somebody types it: with the sign of the module, a plain blank and a plain minus.
    pub fn typed(&self) -> String {
        let number = super::written::written(&self.number.to_string());
        format!("{number} {}", self.unit.symbol).trim_end().to_owned()
    }

    /// As a sentence has it: all its decimals, thousands apart, and its unit held to it.
    pub fn in_text(&self) -> String {
        let decimals = self.number.decimal();
        let places = decimals.as_deref().map(|text| text.split_once('.'));
        let places = places.map(|parts| parts.map_or(0, |(_, part)| part.len()));
        let tenths = |places: usize| {
            10_i128.checked_pow(u32::try_from(places).unwrap_or(u32::MAX))
        };
        let step = places.and_then(tenths).and_then(|tenths| Fraction::new(1, tenths));
        let near = super::Direction::Near;
        let shown =
            step.and_then(|step| super::show(Number::Exact(self.number), step, near));
        shown.map_or_else(|| self.printed(), |shown| shown.with_unit(self.unit.symbol))
    }
}

/// A fraction of a rule, such as `1-3/4` or `15/16`, and what stands behind it.
fn inches(text: &str) -> Option<(Fraction, &str)> {
    let end =
        text.find(|c: char| !c.is_ascii_digit() && !matches!(c, '-' | '/' | ' '))?;
    let (number, rest) = text.split_at(end);
    let (upper, lower) = number.trim_end().split_once('/')?;
    let (whole, upper) = upper.split_once(['-', ' ']).unwrap_or(("0", upper));
    let small = |text: &str| text.parse::<i128>().ok();
    let (whole, upper, lower) = (small(whole)?, small(upper)?, small(lower)?);
    let on_a_rule =
        // The marks of an inch rule; 3/7 in is a slip and not a size.
        matches!(lower, 2 | 4 | 8 | 16 | 32 | 64) && 0 < upper && upper < lower;
    let part = on_a_rule.then(|| Fraction::new(upper, lower))??;
    Some((part.add(Fraction::whole(whole))?, rest))
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.unit.symbol {
            "" => write!(f, "{}", self.number),
            symbol => write!(f, "{} {symbol}", self.number),
        }
    }
}

impl Serialize for Quantity {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Quantity {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::read(&text).map_err(|fault| de::Error::custom(format!("{text}: {fault:?}")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_authors_write() {
        assert_eq!(Quantity::read("95 gpm").unwrap().to_string(), "95 gpm");
        assert_eq!(Quantity::read("0.50%").unwrap().to_string(), "0.5 %");
        assert_eq!(Quantity::read("3").unwrap().to_string(), "3");
        assert_eq!(
            Quantity::read("95 gpn"),
            Err(ReadFault::UnknownUnit("gpn".into(), Some("gpm")))
        );
        assert_eq!(Quantity::read("fast"), Err(ReadFault::NotANumber("fast".into())));
        assert_eq!(
            Quantity::read("1,5 gal"),
            Err(ReadFault::NotANumber("1,5 gal".into()))
        );
    }

    #[test]
    fn reads_what_is_printed_and_said() {
        let reads = |text: &str| Quantity::read(text).unwrap().to_string();
        for unit in unit::UNITS.iter().filter(|unit| !unit.symbol.ends_with("deg")) {
            let quantity = Quantity::new(Fraction::whole(7), unit);
            assert_eq!(Quantity::read(&quantity.printed()), Ok(quantity), "{unit:?}");
        }
        assert_eq!(reads("1-3/4 in"), "1.75 in");
        assert_eq!(reads("15/16 inch"), "0.9375 in");
        assert_eq!(reads("2 1/2 in"), "2.5 in");
        assert_eq!(reads("0.1 gpm/ft^2"), "0.1 gpm/ft2");
        assert_eq!(reads("4.1 L/(min*m^2)"), "4.1 L/min/m2");
        assert_eq!(reads("50 cfm"), "50 ft3/min");
        assert_eq!(reads("50 ft³/min"), "50 ft3/min");
        assert_eq!(reads("2 acres"), "2 acre");
        assert_eq!(reads("3 percent"), "3 %");
        assert_eq!(reads("100 psig"), "100 psi");
        for text in ["1-3 in", "1/3 in", "3/2 in", "1-3/4-1 in", "/4 in", "5 mPa", "5 ^"]
        {
            assert!(Quantity::read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn converts_exactly() {
        let in_unit = |text: &str, symbol: &str| {
            let unit = unit::find(symbol).unwrap();
            Quantity::read(text).unwrap().in_unit(unit).unwrap().to_string()
        };
        assert_eq!(in_unit("100 gpm", "L/min"), "378.5411784 L/min");
        assert_eq!(in_unit("212 degF", "degC"), "100 degC");
        assert_eq!(in_unit("-40 degC", "degF"), "-40 degF");
        assert_eq!(in_unit("10 ft", "in"), "120 in");
    }
}
