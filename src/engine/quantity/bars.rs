//! Pressures in bar, for a metric department whose gauges show bar.
//!
//! The library has one metric side, in kilopascals. A bar is 100 of them by definition, so its
//! figures, units and steps are turned one by one and stay what they are.

use std::borrow::Cow;

use super::fraction::Fraction;
use super::read::Quantity;
use super::unit::{self, Unit};

/// Of a pressure and of a friction coefficient, each with its own.
const UNITS: &[(&str, &str)] =
    &[("kPa", "bar"), ("kPa/(100 L/min)^2/100 m", "bar/(100 L/min)^2/100 m")];

/// As the unit begins in a line or a sentence.
const KILOPASCALS: &str = "kPa";

/// The same in bar; any other unit is as it was.
pub(super) fn unit(unit: &'static Unit) -> &'static Unit {
    let pair = UNITS.iter().find(|(symbol, _)| *symbol == unit.symbol);
    pair.and_then(|(_, bar)| unit::find(bar)).unwrap_or(unit)
}

/// A text of the library for a module that writes bar.
pub(super) fn told(text: &str) -> Cow<'_, str> {
    if !text.contains(['|', 'k']) {
        return text.into();
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    // A coefficient that is taken as a bare number gives a bare number of its own pressure:
    // `(coefficient as kPa/…) * … * 1 kPa`. Both are turned and no number is.
    let bare = text.contains("as kPa/(");
    while let Some((before, after)) = rest.split_once('{') {
        turn(before, bare, &mut out);
        let pair = after
            .split_once('}')
            .and_then(|(inside, tail)| Some((inside.split_once('|')?, tail)));
        match pair {
            Some(((_, metric), tail)) => {
                match metric.split_once('|') {
                    Some((_, bars)) => out.push_str(bars),
                    None => turn(metric, bare, &mut out),
                }
                rest = tail;
            }
            None => {
                out.push('{');
                rest = after;
            }
        }
    }
    turn(rest, bare, &mut out);
    out.trim_end().to_owned().into()
}

/// Adds a text with its kilopascals in bar.
fn turn(text: &str, bare: bool, out: &mut String) {
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(KILOPASCALS) {
        let number = if bare { None } else { number_at_the_end(before) };
        match number {
            Some((start, bars)) => {
                out.push_str(before.get(..start).unwrap_or_default());
                out.push_str(&bars);
                out.push(' ');
            }
            None => out.push_str(before),
        }
        out.push_str("bar");
        rest = after;
    }
    out.push_str(rest);
}

/// The number before a unit in bar, and where it begins.
fn number_at_the_end(text: &str) -> Option<(usize, String)> {
    let bare = text.trim_end_matches([' ', '\u{a0}']);
    let start = bare
        .rfind(|c: char| !(c.is_ascii_digit() || c == '.'))
        .map_or(Some(0), |at| Some(at + bare.get(at..)?.chars().next()?.len_utf8()))?;
    let number = Fraction::read(bare.get(start..)?)?;
    Some((start, number.div(Fraction::whole(100))?.decimal()?))
}

/// Least step of a pressure in bar: gauges show tenths, and a finer one than a tenth of those would
/// promise what nobody can read.
const STEP: (i128, i128) = (1, 100);

/// A step that was told in bar, as a page shows it.
pub(super) fn step(text: &str) -> Cow<'_, str> {
    let least = Fraction::new(STEP.0, STEP.1);
    let fine = Quantity::read(text)
        .is_ok_and(|step| step.unit().symbol == "bar" && Some(step.number()) < least);
    if fine { "0.01 bar".into() } else { text.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kilopascal_is_told_in_bar() {
        for (text, bars) in [
            ("700 kPa", "7 bar"),
            ("kPa", "bar"),
            ("0.1 kPa", "0.001 bar"),
            ("24.5 kPa/(100 L/min)^2/100 m", "0.245 bar/(100 L/min)^2/100 m"),
            ("kPa/(100 L/min)^2/100 m", "bar/(100 L/min)^2/100 m"),
            ("p + 101.325 kPa) / 1 kPa", "p + 1.01325 bar) / 0.01 bar"),
            (
                "(c as kPa/(100 L/min)^2/100 m) * 1 kPa",
                "(c as bar/(100 L/min)^2/100 m) * 1 bar",
            ),
            ("sqrt(p as {psi|kPa|bar})", "sqrt(p as bar)"),
            ("taken in {psi|bar|kPa}.", "taken in kPa."),
            ("{20 psi|140 kPa}, {name}", "1.4 bar, {name}"),
            ("-1000 kPa", "-10 bar"),
            ("a keyword", "a keyword"),
        ] {
            assert_eq!(told(text), bars, "{text}");
        }
    }

    #[test]
    fn both_units_are_the_same_pressure() {
        for (kilopascals, bar) in UNITS {
            let of = |symbol: &str| unit::find(symbol).unwrap().factor();
            assert_eq!(of(bar).div(of(kilopascals)).unwrap(), Fraction::whole(100));
        }
    }
}
