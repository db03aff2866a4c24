//! Units that stand in a sentence: "a line of 95 gpm", "two gallons".

use super::read::Quantity;
use super::spelling::spelled;
use super::unit::{self, Unit};

/// A unit in a text, with the number before it where there is one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedUnit {
    /// First byte of what was found.
    pub start: usize,
    /// One past its last byte.
    pub end: usize,
    /// What was found.
    pub text: String,
    /// The unit.
    pub unit: &'static Unit,
    /// Number and unit, where both can be read.
    pub quantity: Option<Quantity>,
}

/// Spellings that are words or names of their own: they are units after a number alone.
const AFTER_NUMBERS: &[&str] = &[
    "in", "ft", "m", "L", "l", "g", "N", "h", "s", "J", "bar", "foot", "feet", "yards",
    "yd", "pound", "pounds", "lb", "lbs", "oz", "cm", "mm", "min", "second", "hour",
    "minute", "seconds", "hours", "minutes", "sec",
];

/// Every unit that a text names, in its order.
pub fn named_units(text: &str) -> Vec<NamedUnit> {
    let mut out = Vec::new();
    let mut from = 0;
    while let Some((start, end)) = word(text, from) {
        from = end;
        let said = text.get(start..end).unwrap_or_default();
        let Some(unit) = unit::find(said).or_else(|| begun(said)) else {
            continue;
        };
        let number = number_before(text, start);
        let small = said.to_lowercase();
        let after = |said: &str| AFTER_NUMBERS.contains(&said);
        if number.is_none() && (after(said) || after(&small)) {
            continue;
        }
        // "2 in the yard" is no length.
        if said == "in" && !ends_a_measure(text.get(end..).unwrap_or_default()) {
            continue;
        }
        let start = number.unwrap_or(start);
        let found = text.get(start..end).unwrap_or_default();
        let spoken = found.replacen('-', " ", usize::from(!found.contains('/')));
        let quantity = Quantity::read(&spoken).or_else(|_| Quantity::read(found)).ok();
        out.push(NamedUnit { start, end, text: found.to_owned(), unit, quantity });
    }
    out
}

/// A unit in words, with a capital letter too where a sentence begins with it.
fn begun(said: &str) -> Option<&'static Unit> {
    spelled(said).or_else(|| {
        let mut letters = said.chars();
        let first = letters.next().filter(|letter| letter.is_uppercase())?;
        let rest = letters.as_str();
        // No shorter ones, because with a capital those are names and signs of their own.
        let word = rest.len() > 3 && rest.chars().all(|c| c.is_ascii_lowercase());
        let small: String = first.to_lowercase().chain(rest.chars()).collect();
        if word { spelled(&small) } else { None }
    })
}

/// The next run of letters from a byte on, with what units have between and behind them.
fn word(text: &str, from: usize) -> Option<(usize, usize)> {
    let rest = text.get(from..)?;
    let begins = |c: char| c.is_alphabetic() || c == '°';
    let start = from + rest.find(begins)?;
    let tail = text.get(start..)?;
    let goes_on = |c: char| {
        c.is_alphanumeric() || matches!(c, '°' | '/' | '²' | '³' | '^' | '(' | ')')
    };
    let length = tail.find(|c: char| !goes_on(c)).unwrap_or(tail.len());
    let whole = tail.get(..length)?;
    // dB(A) has a bracket of its own; one that closes a sentence's is not the unit's.
    let whole = if whole.contains('(') { whole } else { whole.trim_end_matches(')') };
    let whole = whole.trim_end_matches(['/', '(', '^']);
    Some((start, start + whole.len().max(1)))
}

/// Where the number before a unit begins: `95 gpm`, `1-3/4 inch`, `5-gallon`, `1.5 L`.
fn number_before(text: &str, unit: usize) -> Option<usize> {
    let before = text.get(..unit)?;
    let bare = before.trim_end_matches([' ', '\u{a0}', '\n']);
    let bare = bare.strip_suffix('-').unwrap_or(bare);
    if !bare.ends_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let part = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/' | '-' | '−');
    let start = bare.rfind(|c: char| !part(c)).map_or(0, |at| {
        at + bare.get(at..).and_then(|rest| rest.chars().next()).map_or(1, char::len_utf8)
    });
    let number = bare.get(start..)?;
    let start =
        start + (number.len() - number.trim_start_matches(['-', '.', ',', '/']).len());
    // F2-25 or A-1 is a name and no number.
    let named = text.get(..start)?.ends_with(|c: char| c.is_alphabetic() || c == '-');
    (!named).then_some(start)
}

/// What may stand behind "in" where it is inches.
fn ends_a_measure(rest: &str) -> bool {
    let things =
        ["hose", "pipe", "tip", "line", "bore", "supply", "nozzle", "coupling", "x "];
    let next = rest.trim_start();
    next.is_empty()
        || rest.starts_with([',', ';', ':', ')', '\n', ']'])
        || (rest.starts_with('.') && !next.starts_with(". "))
        || things.iter().any(|thing| next.starts_with(thing))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(text: &str) -> Vec<(String, &'static str)> {
        let all = named_units(text).into_iter();
        all.map(|found| (found.text, found.unit.symbol)).collect()
    }

    fn one(text: &str) -> (String, &'static str) {
        let mut all = named(text);
        assert_eq!(all.len(), 1, "{text}: {all:?}");
        all.remove(0)
    }

    #[test]
    fn units_are_found_in_sentences() {
        for (text, found, symbol) in [
            ("a line of 95 gpm draws", "95 gpm", "gpm"),
            ("How many gallons of foam?", "gallons", "gal"),
            ("full 5 gallon pails", "5 gallon", "gal"),
            ("full 5-gallon pails", "5-gallon", "gal"),
            ("200\u{a0}ft of hose", "200\u{a0}ft", "ft"),
            ("of 1-3/4 inch hose", "1-3/4 inch", "in"),
            ("a hose of 1.75 in", "1.75 in", "in"),
            ("(at 0.1 gpm/ft²)", "0.1 gpm/ft²", "gpm/ft2"),
            ("below 35 °F the", "35 °F", "degF"),
            ("flow in gpm:", "gpm", "gpm"),
            ("at 700 kPa.", "700 kPa", "kPa"),
            ("4.1 L/min/m2", "4.1 L/min/m2", "L/min/m2"),
            ("half an acre of grass", "acre", "acre"),
            ("wants 1,200 gpm", "1,200 gpm", "gpm"),
        ] {
            assert_eq!(one(text), (found.to_owned(), symbol), "{text}");
        }
    }

    #[test]
    fn words_are_no_units() {
        for text in [
            "2 in the yard, at the foot of the ladder",
            "stand on both feet, two in. a row",
            "a bar across the door, grade L, the m behind it",
            "draw.flow and rig.outlet.flow",
            "class A-1 in hand, 3. In the yard",
            "the pounding of a pump; footing; psychology",
        ] {
            assert_eq!(named(text), [], "{text}");
        }
    }

    #[test]
    fn the_number_is_read_with_its_unit() {
        let read = |text: &str| named_units(text).remove(0).quantity.unwrap().to_string();
        assert_eq!(read("a 5-gallon pail"), "5 gal");
        assert_eq!(read("of 1-3/4 inch hose"), "1.75 in");
        assert_eq!(read("7 bar"), "7 bar");
    }
}
