//! Numbers as people write them: with a comma or a point, and thousands set apart.

use super::fraction::Fraction;
use super::habit::Comma;
use super::numeral::numeral;
use super::read::{Quantity, ReadFault};

/// A number with comma or point and with thousands set apart; `Some(Err)` when it can be
/// read in two ways. A fraction bar is no way to write a figure of a file but on a rule.
fn decimal(text: &str, comma: Comma) -> Option<Result<Fraction, ()>> {
    if text.contains(['/', 'e', 'E']) {
        return None;
    }
    let read = numeral(text, comma)?;
    let open = read.other.is_some() && !read.settled;
    Some(if open { Err(()) } else { Ok(read.value) })
}

/// One comma with one to three digits before it, not only a zero, and exactly three behind.
fn ambiguous(digits: &str) -> bool {
    let Some((whole, part)) = digits.split_once(',') else { return false };
    let count = whole.trim().len();
    // 0,125 cannot stand for thousands, and 1,25 neither.
    part.len() == 3 && (1..=3).contains(&count) && !whole.starts_with('0')
}

/// Blanks that people and printers set between thousands.
const BLANKS: [char; 4] = [' ', '\u{a0}', '\u{202f}', '\u{2009}'];

impl Quantity {
    /// A quantity of a file, in which thousands may be set apart: `1 000 gpm`, `12,345.5 gal`,
    /// and `1,000 gpm` where the module says what a comma means.
    pub fn read_with(text: &str, comma: Comma) -> Result<Self, ReadFault> {
        let text = text.trim();
        let (number, unit) = apart(text);
        let plain = Self::read(text);
        let marks = number.chars().filter(|c| *c == ',').count();
        let points = number.chars().filter(|c| *c == '.').count();
        if let Ok(quantity) = plain {
            // Where a comma is the decimal sign a point may set thousands apart, and nobody
            // writes a figure to three places of nothing.
            let both = comma == Comma::Decimal
                && number.split_once('.').is_some_and(|(whole, part)| {
                    // One to three digits before the mark and no zero in front, as in 12.000: that
                    // is how thousands are written, and 0.000 is none.
                    part.len() == 3
                        && (1..=3).contains(&whole.len())
                        && !whole.starts_with('0')
                });
            return if both {
                Err(ReadFault::Ambiguous(text.to_owned()))
            } else {
                Ok(quantity)
            };
        }
        let set_apart = number.contains(BLANKS) || number.contains('\'');
        // A single comma that no module explains stays a fault: half of its readers would be
        // wrong about it.
        if marks == 0 && points < 2 && !set_apart {
            return plain;
        }
        let one_comma = marks == 1 && points == 0 && !set_apart;
        let thousands = ambiguous(number);
        match (one_comma, comma, thousands) {
            (true, Comma::Unfixed, true) => {
                return Err(ReadFault::Ambiguous(text.to_owned()));
            }
            (true, Comma::Unfixed | Comma::Thousands, false) => return plain,
            // 1,000 would be one where the comma is the decimal sign: three places that end in
            // nothing are written by somebody who means a thousand.
            (true, Comma::Decimal, true) if number.ends_with('0') => {
                return Err(ReadFault::Ambiguous(text.to_owned()));
            }
            _ => {}
        }
        let spaced = number.replace(BLANKS, " ").replace('−', "-");
        match decimal(&spaced, comma) {
            Some(Ok(number)) => {
                Self::read(&format!("1 {unit}")).map(|one| Self::new(number, one.unit()))
            }
            Some(Err(())) => Err(ReadFault::Ambiguous(text.to_owned())),
            None => plain,
        }
    }
}

/// Number and unit: a blank belongs to the number where digits follow it.
fn apart(text: &str) -> (&str, &str) {
    let mut end = 0;
    let mut chars = text.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        let next = chars.peek().is_some_and(|(_, next)| next.is_ascii_digit());
        let belongs = c.is_ascii_digit()
            || (matches!(c, '.' | ',' | '\'' | '-' | '−') || BLANKS.contains(&c)) && next;
        if !belongs {
            break;
        }
        end = at + c.len_utf8();
    }
    let (number, unit) = text.split_at(end);
    (number, unit.trim())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reads(text: &str, comma: Comma) -> Result<String, ReadFault> {
        Quantity::read_with(text, comma).map(|quantity| quantity.to_string())
    }

    #[test]
    fn thousands_set_apart_are_read_in_every_convention() {
        for comma in [Comma::Unfixed, Comma::Decimal, Comma::Thousands] {
            for text in [
                "1000 gpm",
                "1 000 gpm",
                "1\u{a0}000 gpm",
                "1\u{202f}000 gpm",
                "1'000 gpm",
            ] {
                assert_eq!(reads(text, comma).unwrap(), "1000 gpm", "{text} {comma:?}");
            }
            assert_eq!(reads("1,234,567 gal", comma).unwrap(), "1234567 gal");
            assert_eq!(reads("12,345.5 gal", comma).unwrap(), "12345.5 gal");
            assert_eq!(reads("12.345,5 L", comma).unwrap(), "12345.5 L");
            assert_eq!(reads("1-3/4 in", comma).unwrap(), "1.75 in");
            assert_eq!(reads("2 1/2 in", comma).unwrap(), "2.5 in");
            assert_eq!(
                reads("15.5 psi/(100 gpm)^2/100 ft", comma).unwrap(),
                "15.5 psi/(100 gpm)^2/100 ft"
            );
            for text in
                ["1 00 gpm", "1,00,000 gpm", "1 0000 gpm", "12 345 67 gal", ", gpm"]
            {
                assert!(reads(text, comma).is_err(), "{text} {comma:?}");
            }
        }
    }

    #[test]
    fn a_comma_means_what_the_module_says() {
        let ambiguous = |text: &str| Err(ReadFault::Ambiguous(text.to_owned()));
        assert_eq!(reads("1,000 gpm", Comma::Thousands).unwrap(), "1000 gpm");
        assert_eq!(reads("1,000 gpm", Comma::Unfixed), ambiguous("1,000 gpm"));
        // Never silently one.
        assert_eq!(reads("1,000 L", Comma::Decimal), ambiguous("1,000 L"));
        assert_eq!(reads("1,200 L", Comma::Decimal), ambiguous("1,200 L"));
        assert_eq!(reads("1.000 L", Comma::Decimal), ambiguous("1.000 L"));
        assert_eq!(reads("0,5 %", Comma::Decimal).unwrap(), "0.5 %");
        assert_eq!(reads("1,234 L", Comma::Decimal).unwrap(), "1.234 L");
        for comma in [Comma::Unfixed, Comma::Thousands] {
            assert!(matches!(reads("0,5 %", comma), Err(ReadFault::NotANumber(_))));
            assert_eq!(reads("1.000 L", comma).unwrap(), "1 L");
        }
    }
}
