//! Decimal rounding and printing.

use super::fraction::{Fraction, digits};
use super::number::Number;
use super::written::{decimal_mark, join as join_parts, thousands_mark};

/// Which way a value is rounded. Safety has a direction: endurance down, containers up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Direction {
    /// To the nearest step, half away from zero.
    Near,
    /// To the step below.
    Down,
    /// To the step above.
    Up,
}

/// A printed number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// The rounded value.
    pub value: Fraction,
    /// Digits, without a unit; a true minus, thousands set apart from 10,000.
    pub text: String,
    /// Whether the printed number is the value (`=`) or only near it (`≈`).
    pub exact: bool,
}

/// Rounds a number to a step; nothing for a number beyond every printable size.
pub fn show(number: Number, step: Fraction, direction: Direction) -> Option<Shown> {
    // A fraction too long to be divided by the step still has its first twelve digits.
    round(number, step, direction)
        .or_else(|| round(Number::Approx(number.float()), step, direction))
}

fn round(number: Number, step: Fraction, direction: Direction) -> Option<Shown> {
    let value = number.settled()?;
    let steps = value.div(step)?;
    let whole = match direction {
        Direction::Down => steps.floor(),
        // Up means away from below, for numbers below zero too: a container more, never less.
        Direction::Up => -steps.negated().floor(),
        Direction::Near => {
            let half = Fraction::new(1, 2)?;
            let away = steps.absolute().add(half)?.floor();
            steps.signum() * away
        }
    };
    let rounded = Fraction::whole(whole).mul(step)?;
    // Decimal places that the step needs: 0.25 two, 5 none.
    let places = step.places()?;
    let scaled = rounded.mul(Fraction::whole(10_i128.checked_pow(places)?))?;
    Some(Shown {
        value: rounded,
        text: grouped(&digits(scaled.floor(), places)),
        exact: number.is_exact() && rounded == value,
    })
}

fn grouped(text: &str) -> String {
    // A true minus on paper, because a hyphen at the end of a line is lost.
    let (sign, rest) = match text.strip_prefix('-') {
        Some(rest) => ("−", rest),
        None => ("", text),
    };
    let (whole, part) = rest.split_once('.').unwrap_or((rest, ""));
    let mark = decimal_mark();
    let mut out = String::from(sign);
    for (index, digit) in whole.chars().enumerate() {
        let left = whole.len() - index;
        // Four digits are read at a glance, 1200; from five on they are grouped, 12,000, because
        // nobody counts zeros at a panel.
        if whole.len() >= 5 && index > 0 && left.is_multiple_of(3) {
            out.push(thousands_mark(mark));
        }
        out.push(digit);
    }
    join_parts(&out, part, mark)
}

/// Number and unit with a no-break space between them.
pub(super) fn join(number: &str, symbol: &str) -> String {
    let symbol = match symbol {
        "degF" | "Fdeg" => "°F",
        "degC" | "Cdeg" => "°C",
        "ft2" => "ft²",
        "in2" => "in²",
        "m2" => "m²",
        "kg/m3" => "kg/m³",
        "lb/ft3" => "lb/ft³",
        "m3/h" => "m³/h",
        "m3/min" => "m³/min",
        "ft3/min" => "ft³/min",
        "mm2" => "mm²",
        "ft3" => "ft³",
        "in3" => "in³",
        "m3" => "m³",
        "gpm/ft2" => "gpm/ft²",
        "L/min/m2" => "L/min/m²",
        "floz" => "fl\u{a0}oz",
        "impgal" => "imp\u{a0}gal",
        "psi/(100 gpm)^2/100 ft" => "psi/(100\u{a0}gpm)²/100\u{a0}ft",
        "kPa/(100 L/min)^2/100 m" => "kPa/(100\u{a0}L/min)²/100\u{a0}m",
        "bar/(100 L/min)^2/100 m" => "bar/(100\u{a0}L/min)²/100\u{a0}m",
        other => other,
    };
    if symbol.is_empty() { number.to_owned() } else { format!("{number}\u{a0}{symbol}") }
}

impl Shown {
    /// With its unit, a no-break space between.
    pub fn with_unit(&self, symbol: &str) -> String {
        join(&self.text, symbol)
    }
}

/// Whole seconds as `m:ss`.
pub fn minutes_seconds(seconds: i128) -> String {
    let sign = if seconds < 0 { "−" } else { "" };
    let seconds = seconds.unsigned_abs();
    format!("{sign}{}:{:02}", seconds.div_euclid(60), seconds.rem_euclid(60))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(value: &str, step: &str, direction: Direction) -> String {
        let value = Number::Exact(Fraction::read(value).unwrap());
        show(value, Fraction::read(step).unwrap(), direction).unwrap().text
    }

    #[test]
    fn ties_go_away_from_zero() {
        for (value, expected) in [
            ("0.25", "0.3"),
            ("0.35", "0.4"),
            ("4.25", "4.3"),
            ("6.25", "6.3"),
            ("-0.25", "−0.3"),
        ] {
            assert_eq!(shown(value, "0.1", Direction::Near), expected);
        }
        assert_eq!(shown("15.1", "1", Direction::Up), "16");
        assert_eq!(shown("10.99", "1", Direction::Down), "10");
        assert_eq!(shown("169.75", "5", Direction::Near), "170");
        assert_eq!(shown("26190", "1", Direction::Near), "26,190");
        assert_eq!(shown("2.5", "0.01", Direction::Near), "2.50");
    }

    #[test]
    fn a_long_fraction_is_shown_by_its_first_digits() {
        let long = Fraction::new(10_i128.pow(37) + 1, 3 * 10_i128.pow(36)).unwrap();
        let step = Fraction::read("0.001").unwrap();
        let shown = show(Number::Exact(long), step, Direction::Near).unwrap();
        assert_eq!((shown.text.as_str(), shown.exact), ("3.333", false));
    }

    #[test]
    fn clock_form() {
        assert_eq!(minutes_seconds(631), "10:31");
        assert_eq!(minutes_seconds(59), "0:59");
    }
}
