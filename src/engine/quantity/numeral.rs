//! A number as people type it: with thousands set apart, a comma for a point, a fraction bar,
//! the signs of other keyboards. The one reader of typed numbers, for practice, papers and live
//! sheets; what a text may mean in two ways is told as both.

use super::fraction::Fraction;
use super::habit::Comma;

/// What a typed number says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Numeral {
    /// The number, as the module writes its commas.
    pub value: Fraction,
    /// The other number that the same text may say, where its comma or point may as well set
    /// the thousands apart.
    pub other: Option<Fraction>,
    /// Whether the module settles which of the two it is.
    pub settled: bool,
}

impl Numeral {
    const fn one(value: Fraction) -> Self {
        Self { value, other: None, settled: true }
    }

    /// Both with something done to them; nothing where one of them has no result.
    pub fn map(self, each: impl Fn(Fraction) -> Option<Fraction>) -> Option<Self> {
        let other = match self.other {
            Some(other) => Some(each(other)?),
            None => None,
        };
        Some(Self { value: each(self.value)?, other, ..self })
    }
}

/// Powers of ten that a typed `1.5e3` may have: what a pocket calculator shows.
const MOST_TENS: u32 = 12;

/// Fractions with a sign of their own on some keyboards.
const VULGAR: &[(char, &str)] = &[
    ('½', "1/2"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
    ('¼', "1/4"),
    ('¾', "3/4"),
    ('⅕', "1/5"),
    ('⅖', "2/5"),
    ('⅗', "3/5"),
    ('⅘', "4/5"),
    ('⅙', "1/6"),
    ('⅚', "5/6"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
];

/// Signs of other keyboards as the plain ones, blanks as one kind of blank, fractions written
/// out.
pub fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.trim().chars() {
        // Full-width forms stand in the order of the plain ones, from ！ to ～: 94 signs, and what
        // comes behind them has no plain one.
        let wide = u32::from(sign).checked_sub(0xff01).filter(|at| *at < 94);
        let wide = wide.and_then(|at| char::from_u32(at + 0x21));
        match wide.unwrap_or(sign) {
            // No-break, narrow, thin, figure and ideographic blanks.
            '\u{a0}' | '\u{202f}' | '\u{2009}' | '\u{2007}' | '\u{3000}' | '\t' => {
                out.push(' ');
            }
            '−' | '‐' | '‑' | '–' | '—' => out.push('-'),
            '’' | '‘' | '′' => out.push('\''),
            '⁄' | '∕' => out.push('/'),
            '٫' => out.push(','),
            sign => match VULGAR.iter().find(|(vulgar, _)| *vulgar == sign) {
                Some((_, written)) => {
                    if out.ends_with(|c: char| c.is_ascii_digit()) {
                        out.push(' ');
                    }
                    out.push_str(written);
                }
                None => out.push(sign),
            },
        }
    }
    out
}

/// Reads a number alone, of a [`plain`] text; nothing when it is none, or too long to be
/// reckoned with.
pub fn numeral(text: &str, comma: Comma) -> Option<Numeral> {
    let text = text.trim();
    let (minus, digits) = match text.strip_prefix('-') {
        Some(rest) => (true, rest.trim_start()),
        None => (false, text.strip_prefix('+').unwrap_or(text).trim_start()),
    };
    let read = if digits.contains('/') {
        Numeral::one(broken(digits)?)
    } else if let Some((number, tens)) = digits.split_once(['e', 'E']) {
        let tens = power_of_ten(tens)?;
        decimal(number, comma)?.map(|value| value.mul(tens))?
    } else {
        decimal(digits, comma)?
    };
    read.map(|value| if minus { Fraction::ZERO.sub(value) } else { Some(value) })
}

/// `1/2`, `3/4`, `1 1/2`, `1-1/2`.
fn broken(text: &str) -> Option<Fraction> {
    let (upper, lower) = text.split_once('/')?;
    let (whole, upper) = match upper.trim().rsplit_once([' ', '-']) {
        Some((whole, upper)) => (counted(whole.trim())?, counted(upper)?),
        None => (0, counted(upper.trim())?),
    };
    let part = Fraction::new(upper, counted(lower.trim())?)?;
    part.add(Fraction::whole(whole))
}

/// Digits alone, no more than a rule or a gauge has.
fn counted(text: &str) -> Option<i128> {
    // Nine digits are a milliard: no rule is divided finer and no gauge shows more. Longer
    // ones would be cut off in silence by the fractions they are put into.
    let digits = !text.is_empty() && text.len() <= 9;
    let all = text.chars().all(|c| c.is_ascii_digit());
    if digits && all { text.parse().ok() } else { None }
}

fn power_of_ten(text: &str) -> Option<Fraction> {
    let (minus, digits) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let power =
        u32::try_from(counted(digits)?).ok().filter(|power| *power <= MOST_TENS)?;
    let tens = 10_i128.checked_pow(power)?;
    if minus { Fraction::new(1, tens) } else { Some(Fraction::whole(tens)) }
}

/// A number with comma or point and with thousands set apart.
fn decimal(digits: &str, comma: Comma) -> Option<Numeral> {
    let marks: Vec<char> = digits.chars().filter(|c| matches!(c, '.' | ',')).collect();
    let several = |mark: char| marks.iter().filter(|m| **m == mark).count() > 1;
    let Some(last) = marks.last().copied() else {
        return with_point(digits, None).map(Numeral::one);
    };
    // A sign that stands twice sets thousands apart; a decimal point stands once.
    if several(last) {
        return with_point(digits, None).map(Numeral::one);
    }
    // Of two different signs the last is the decimal one, in every way of writing.
    if marks.iter().any(|mark| *mark != last) || !looks_like_thousands(digits, last) {
        return with_point(digits, Some(last)).map(Numeral::one);
    }
    let (part, thousand) = (with_point(digits, Some(last))?, with_point(digits, None)?);
    let doubtful =
        |value, other, settled| Some(Numeral { value, other: Some(other), settled });
    match (last, comma) {
        // Three zeros, or a last zero, behind a decimal comma are written by nobody who means
        // one and a bit; whoever copies a printed 1,500 means more than a thousand.
        (',', Comma::Decimal) => doubtful(part, thousand, !digits.ends_with('0')),
        (',', Comma::Thousands) => Some(Numeral::one(thousand)),
        (',', Comma::Unfixed) => doubtful(part, thousand, false),
        // Where the comma is the decimal sign, a point sets thousands apart on many keyboards.
        (_, Comma::Decimal) => doubtful(part, thousand, !digits.ends_with('0')),
        _ => Some(Numeral::one(part)),
    }
}

/// One sign with one to three digits before it, not beginning with a zero, and exactly three
/// behind: 0,125 cannot stand for thousands, and 1,25 neither.
fn looks_like_thousands(digits: &str, sign: char) -> bool {
    let Some((whole, part)) = digits.split_once(sign) else { return false };
    // Fewer behind are a decimal, more before were to be grouped themselves: in both cases
    // it cannot be thousands.
    part.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0')
}

/// The number with that sign for its point; every other sign sets thousands apart.
fn with_point(digits: &str, point: Option<char>) -> Option<Fraction> {
    let (whole, part) = match point {
        Some(point) => digits.split_once(point)?,
        None => (digits, ""),
    };
    if point.is_some() && part.is_empty() {
        return None;
    }
    let whole = grouped(whole)?;
    if part.is_empty() {
        return Fraction::read(&whole);
    }
    Fraction::read(&format!("{whole}.{part}"))
}

/// Digits whose thousands, if set apart, are groups of three, by one sign only.
fn grouped(whole: &str) -> Option<String> {
    let sign = |c: char| !c.is_ascii_digit();
    let Some(first_sign) = whole.chars().find(|c| sign(*c)) else {
        return Some(whole.to_owned());
    };
    if !matches!(first_sign, ',' | '.' | ' ' | '\'') {
        return None;
    }
    let groups: Vec<&str> = whole.split(first_sign).collect();
    // Groups of three, the first of one to three: 1,23,456 is grouped as nobody here
    // groups, and is more likely a slip than a number.
    let three = |group: &&str| group.len() == 3 && !group.contains(sign);
    let (first, rest) = groups.split_first()?;
    // The first may be shorter than the others, as in 1,234.
    let begins = (1..=3).contains(&first.len()) && !first.contains(sign);
    (begins && rest.iter().all(three)).then(|| groups.concat())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Value, or `value|other`, with a question mark where nothing settles which.
    fn says(text: &str, comma: Comma) -> String {
        match numeral(&plain(text), comma) {
            None => "-".to_owned(),
            Some(Numeral { value, other: None, .. }) => value.to_string(),
            Some(Numeral { value, other: Some(other), settled }) => {
                format!("{value}|{other}{}", if settled { "" } else { "?" })
            }
        }
    }

    #[test]
    fn numbers_as_people_type_them() {
        // Text; where nobody says what a comma is; where it is decimal; where it is thousands.
        let rows = [
            ("95", "95", "95", "95"),
            ("0.5", "0.5", "0.5", "0.5"),
            (".5", "0.5", "0.5", "0.5"),
            ("0,5", "0.5", "0.5", "0.5"),
            ("+7", "7", "7", "7"),
            ("-0", "0", "0", "0"),
            ("- 5", "-5", "-5", "-5"),
            ("−5", "-5", "-5", "-5"),
            ("1,000", "1|1000?", "1|1000?", "1000"),
            ("1,234", "1.234|1234?", "1.234|1234", "1234"),
            ("12,500", "12.5|12500?", "12.5|12500?", "12500"),
            ("0,125", "0.125", "0.125", "0.125"),
            ("1,25", "1.25", "1.25", "1.25"),
            ("1.000", "1", "1|1000?", "1"),
            ("1.234", "1.234", "1.234|1234", "1.234"),
            ("0.125", "0.125", "0.125", "0.125"),
            ("1 000", "1000", "1000", "1000"),
            ("1\u{202f}000", "1000", "1000", "1000"),
            ("1'000", "1000", "1000", "1000"),
            ("1’000.5", "1000.5", "1000.5", "1000.5"),
            ("1 000 000", "1000000", "1000000", "1000000"),
            ("1,000,000", "1000000", "1000000", "1000000"),
            ("1.000.000", "1000000", "1000000", "1000000"),
            ("1,000.5", "1000.5", "1000.5", "1000.5"),
            ("1.000,5", "1000.5", "1000.5", "1000.5"),
            ("1/2", "0.5", "0.5", "0.5"),
            ("½", "0.5", "0.5", "0.5"),
            ("1½", "1.5", "1.5", "1.5"),
            ("1 1/2", "1.5", "1.5", "1.5"),
            ("1-3/4", "1.75", "1.75", "1.75"),
            ("1⁄3", "1/3", "1/3", "1/3"),
            ("1.5e3", "1500", "1500", "1500"),
            ("2E-2", "0.02", "0.02", "0.02"),
            ("９５", "95", "95", "95"),
            ("０．５", "0.5", "0.5", "0.5"),
        ];
        for (text, unfixed, decimal, thousands) in rows {
            let found = [Comma::Unfixed, Comma::Decimal, Comma::Thousands]
                .map(|comma| says(text, comma));
            assert_eq!(found, [unfixed, decimal, thousands], "{text}");
        }
    }

    #[test]
    fn what_is_no_number() {
        for text in [
            "",
            "abc",
            "∞",
            "NaN",
            "inf",
            "1e99",
            "1e",
            "e5",
            "1/0",
            "1/",
            "/2",
            "1/2/3",
            "1 2",
            "12 34",
            "1 0000",
            "1000 000",
            "1,00,000",
            "1, 000",
            "1.",
            ",",
            "1..2",
            "1.2.3",
            "1,2,3",
            "1 000,000.5,5",
            "--5",
            "5-",
            "1.5/2",
            "1 000'000",
            "1,000 000",
            "5%",
            "10:31",
            "-",
            "+-5",
            "0x10",
            "9999999999999999999999999999999999999999",
        ] {
            for comma in [Comma::Unfixed, Comma::Decimal, Comma::Thousands] {
                assert_eq!(says(text, comma), "-", "{text}");
            }
        }
    }
}
