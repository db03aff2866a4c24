//! Quantities inside an example, as another system would write them.

use super::read::Quantity;
use super::unit::{UNITS, Unit};
use super::written::written;

/// Each quantity of a text as it is written in a system, and with the module's own sign before decimals; all else
/// as it is.
pub(super) fn told(text: &str, own: impl Fn(&Quantity) -> Quantity) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    // What stands right before a figure: a letter, a hyphen or a point makes it part of a name, a
    // day or a section.
    let mut before = ' ';
    while let Some(first) = rest.chars().next() {
        let part = before.is_alphanumeric() || "-./:".contains(before);
        let found = if first.is_ascii_digit() && !part { at_start(rest) } else { None };
        let step = match found {
            Some((quantity, length)) => {
                let plain = own(&quantity).to_string();
                let (number, unit) = plain.split_once(' ').unwrap_or((&plain, ""));
                out.push_str(&format!("{} {unit}", written(number)));
                length
            }
            None => {
                out.push(first);
                first.len_utf8()
            }
        };
        let (done, after) = rest.split_at_checked(step).unwrap_or((rest, ""));
        before = done.chars().next_back().unwrap_or(' ');
        rest = after;
    }
    out
}

/// The quantity with which a text begins, and how long it is there.
fn at_start(text: &str) -> Option<(Quantity, usize)> {
    // Plates and rules in inches are read in fractions: 15/16.
    let end = text.find(|c: char| !(c.is_ascii_digit() || "./".contains(c)))?;
    let (_, rest) = text.split_at_checked(end)?;
    let unit = longest(rest.strip_prefix(' ')?)?;
    let length = end + 1 + unit.symbol.len();
    let quantity = Quantity::read(text.get(..length)?).ok()?;
    Some((quantity, length))
}

/// The longest unit that stands there whole: `psi` begins a coefficient, and `m` a minute. An inch
/// is no word of a sentence where something follows.
fn longest(text: &str) -> Option<&'static Unit> {
    let whole = |unit: &&Unit| {
        let after = text.strip_prefix(unit.symbol).filter(|_| !unit.symbol.is_empty());
        let word = |after: &str| unit.symbol == "in" && after.starts_with(' ');
        after.is_some_and(|after| {
            let next = after.chars().next().unwrap_or(' ');
            !next.is_alphanumeric() && !"/^(".contains(next) && !word(after)
        })
    };
    UNITS.iter().filter(whole).max_by_key(|unit| unit.symbol.len())
}
