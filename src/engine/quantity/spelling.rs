//! How units are written and said by people, and the unit of each spelling.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::LazyLock;

use super::dimension::Dimension;
use super::unit::{UNITS, Unit, find};

/// Other spellings: as units are printed, and as people say them.
const SPELLINGS: &[(&str, &str)] = &[
    ("inch", "in"),
    ("inches", "in"),
    ("foot", "ft"),
    ("feet", "ft"),
    // The marks of a rule, straight, curled and of type: a minute is never written so here.
    ("'", "ft"),
    ("’", "ft"),
    ("′", "ft"),
    ("\"", "in"),
    ("”", "in"),
    ("″", "in"),
    ("yards", "yd"),
    ("sq ft", "ft2"),
    ("acres", "acre"),
    ("cfm", "ft3/min"),
    ("CFM", "ft3/min"),
    ("SCFM", "scfm"),
    ("gallon", "gal"),
    ("gallons", "gal"),
    ("US gal", "gal"),
    ("imp gal", "impgal"),
    ("imperial_gallon", "impgal"),
    ("quarts", "qt"),
    ("fl oz", "floz"),
    ("fl_oz", "floz"),
    ("l", "L"),
    ("litre", "L"),
    ("litres", "L"),
    ("liter", "L"),
    ("liters", "L"),
    ("ml", "mL"),
    ("sec", "s"),
    ("second", "s"),
    ("seconds", "s"),
    ("minute", "min"),
    ("minutes", "min"),
    ("hour", "h"),
    ("hours", "h"),
    ("GPM", "gpm"),
    ("gal/min", "gpm"),
    ("lpm", "L/min"),
    ("LPM", "L/min"),
    ("l/min", "L/min"),
    ("l/s", "L/s"),
    ("PSI", "psi"),
    ("psig", "psi"),
    ("kpa", "kPa"),
    ("in Hg", "inHg"),
    ("lbs", "lb"),
    ("pound", "lb"),
    ("pounds", "lb"),
    ("percent", "%"),
    ("°F", "degF"),
    ("°C", "degC"),
    ("dB(A)", "dBA"),
    ("psi per (100 gpm)^2 and 100 ft", "psi/(100 gpm)^2/100 ft"),
    ("psi per (100 gpm)^2 per 100 ft", "psi/(100 gpm)^2/100 ft"),
    ("psi per 100 ft at 100 gpm", "psi/(100 gpm)^2/100 ft"),
    ("psi in 100 ft at 100 gpm", "psi/(100 gpm)^2/100 ft"),
    ("kPa per (100 L/min)^2 and 100 m", "kPa/(100 L/min)^2/100 m"),
    ("kPa per (100 L/min)^2 per 100 m", "kPa/(100 L/min)^2/100 m"),
    ("kPa per 100 m at 100 L/min", "kPa/(100 L/min)^2/100 m"),
    ("kPa in 100 m at 100 L/min", "kPa/(100 L/min)^2/100 m"),
    ("bar per (100 L/min)^2 and 100 m", "bar/(100 L/min)^2/100 m"),
    ("bar per (100 L/min)^2 per 100 m", "bar/(100 L/min)^2/100 m"),
    ("bar per 100 m at 100 L/min", "bar/(100 L/min)^2/100 m"),
    ("bar in 100 m at 100 L/min", "bar/(100 L/min)^2/100 m"),
];

/// Units by their other spellings.
static BY_SPELLING: LazyLock<BTreeMap<&str, &Unit>> = LazyLock::new(|| {
    let all = SPELLINGS.iter().rev();
    all.filter_map(|(spelling, symbol)| Some((*spelling, find(symbol)?))).collect()
});

/// Units of friction coefficients by each of their spellings, bare.
static FRICTION: LazyLock<BTreeMap<String, &Unit>> = LazyLock::new(|| {
    let units = UNITS.iter().filter(|unit| unit.dimension == Dimension::FRICTION);
    let all = units.flat_map(|unit| spellings(unit).map(move |said| (bare(said), unit)));
    // The first of equal ones is the one that is meant.
    let mut found = BTreeMap::new();
    all.for_each(|(said, unit)| {
        found.entry(said).or_insert(unit);
    });
    found
});

/// How a unit may be written, but for powers and slashes in other signs.
pub fn spellings(unit: &'static Unit) -> impl Iterator<Item = &'static str> {
    let others = SPELLINGS.iter().filter(|(_, symbol)| *symbol == unit.symbol);
    std::iter::once(unit.symbol).chain(others.map(|(spelling, _)| *spelling))
}

/// The unit of another spelling: `ft²`, `ft^2`, `imp gal`, `gallons`.
pub fn spelled(text: &str) -> Option<&'static Unit> {
    // What the pages print between number and unit, copied back into a file.
    let text: Cow<'_, str> = if text.contains('\u{a0}') {
        text.replace('\u{a0}', " ").into()
    } else {
        text.into()
    };
    if let Some(unit) = BY_SPELLING.get(text.as_ref()) {
        return Some(unit);
    }
    // Most words are plain already, and then no unit's own sign: that was looked for before.
    let signs =
        |c: char| matches!(c, '^' | '(' | ')' | '²' | '³' | '*' | '·' | '/' | ' ');
    if !text.contains(signs) && !text.contains(char::is_numeric) {
        return find(&text).filter(|unit| !unit.symbol.is_empty());
    }
    let plain: String = text
        .chars()
        .filter(|c| !matches!(c, '^' | '(' | ')'))
        .map(|c| match c {
            '²' => '2',
            '³' => '3',
            '*' | '·' => '/',
            other => other,
        })
        .collect();
    let unit = find(&plain).filter(|unit| !unit.symbol.is_empty());
    // So long a unit is never typed twice in the same way.
    unit.or_else(|| FRICTION.get(&bare(&text)).copied())
}

/// A spelling without what says nothing in a unit of friction coefficients: blanks, parentheses and
/// the sign of a power.
fn bare(text: &str) -> String {
    let sign = |c: char| match c {
        '²' => '2',
        '*' | '·' => '/',
        other => other,
    };
    text.chars().filter(|c| !matches!(c, ' ' | '^' | '(' | ')')).map(sign).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_friction_coefficient_is_spelled_in_many_ways() {
        for text in [
            "psi/(100 gpm)²/100 ft",
            "psi/(100gpm)^2/100ft",
            "psi per (100 gpm)² and 100 ft",
            "psi per 100 ft at 100 gpm",
        ] {
            assert_eq!(spelled(text), find("psi/(100 gpm)^2/100 ft"), "{text}");
        }
        for text in
            ["psi/100 ft", "psi/(100 gpm)/100 ft", "psi/(100 gpm)^2", "psi per 100 ft"]
        {
            assert_eq!(spelled(text), None, "{text}");
        }
    }

    #[test]
    fn a_spelling_is_that_of_one_unit() {
        // Looked for in the order of the list before: the first of equal ones must be the only one.
        for (at, (spelling, symbol)) in SPELLINGS.iter().enumerate() {
            let same = SPELLINGS.iter().take(at).find(|(other, _)| other == spelling);
            assert_eq!(same, None, "{spelling} stands twice");
            assert_eq!(spelled(spelling), find(symbol), "{spelling}");
        }
        for unit in UNITS {
            assert_eq!(find(unit.symbol), Some(unit), "{} stands twice", unit.symbol);
        }
    }
}
