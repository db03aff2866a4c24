//! What a person wrote on the line for the answer, read as a quantity.

use crate::quantity::{
    Comma, Dimension, Fraction, Kind, Quantity, UNITS, Unit, decimal, find,
};
use crate::words::Words;

use super::asked::Format;

/// Why an answer cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TypedFault {
    /// A comma that may be a decimal comma or stand between thousands.
    Ambiguous(String),
    /// No number.
    NotANumber(String),
    /// A unit that does not exist.
    UnknownUnit(String),
    /// A unit of something else than is asked for.
    WrongDimension(String),
    /// A time without a unit: minutes, or minutes and seconds?
    NoUnit(String),
    /// A letter that is not on the paper, or several where one is wanted.
    NotALetter(String),
}

impl TypedFault {
    /// The sentence.
    pub fn say(&self, words: &Words) -> String {
        let (key, found) = match self {
            Self::Ambiguous(found) => ("quiz.typed.ambiguous", found),
            Self::NotANumber(found) => ("quiz.typed.not-a-number", found),
            Self::UnknownUnit(found) => ("quiz.typed.unknown-unit", found),
            Self::WrongDimension(found) => ("quiz.typed.wrong-dimension", found),
            Self::NoUnit(found) => ("quiz.typed.no-unit", found),
            Self::NotALetter(found) => ("quiz.typed.not-a-letter", found),
        };
        words.say(key, &[("found", found)])
    }
}

/// Reads an answer in base units. Without a unit, that of the answer line is meant; another
/// unit of the same dimension is converted exactly.
pub(super) fn read(
    text: &str,
    format: &Format,
    comma: Comma,
) -> Result<Fraction, TypedFault> {
    let text = text.replace(['\u{a0}', '\u{202f}', '\u{2009}'], " ").replace('−', "-");
    let text = text.trim();
    let not_a_number = || TypedFault::NotANumber(text.to_owned());
    let time = format.dimension() == Dimension::TIME;
    if time && text.contains(':') {
        return clock(text).ok_or_else(not_a_number);
    }
    if time && let Some(seconds) = spoken(text, comma) {
        return seconds;
    }
    let (number, unit) = split(text);
    let number = decimal(number, comma).ok_or_else(not_a_number)?;
    let number = number.map_err(|()| TypedFault::Ambiguous(text.to_owned()))?;
    // 10.31 without a unit is minutes to one person and minutes with seconds to another.
    if unit.is_empty() && format.clock {
        return Err(TypedFault::NoUnit(text.to_owned()));
    }
    let unit = match unit_of(unit) {
        _ if unit.is_empty() => format.unit,
        // "16 pails": a count is followed by the word for what is counted.
        None if format.unit.kind == Kind::Plain => format.unit,
        Some(found) => found,
        None => return Err(TypedFault::UnknownUnit(unit.to_owned())),
    };
    let share = |unit: &Unit| unit.kind == Kind::Share;
    if unit.dimension != format.dimension() || share(unit) != share(format.unit) {
        return Err(TypedFault::WrongDimension(unit.symbol.to_owned()));
    }
    Quantity::new(number, unit).base().settled().ok_or_else(not_a_number)
}

/// Number and unit of a text such as `26 190 gal`.
fn split(text: &str) -> (&str, &str) {
    let part =
        |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+' | ' ' | '\'');
    let end = text.find(|c: char| !part(c)).unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    (number.trim(), unit.trim().trim_end_matches('.'))
}

/// `10:31` and `1:10:31` in seconds.
fn clock(text: &str) -> Option<Fraction> {
    let (text, _) = text.split_once(' ').unwrap_or((text, ""));
    let parts: Vec<&str> = text.split(':').collect();
    let mut seconds = 0_i128;
    for (at, part) in parts.iter().enumerate() {
        let value: i128 = part.parse().ok().filter(|_| part.len() <= 4)?;
        // 10:5 is a slip for 10:05 or 10:50, and nobody can say which.
        if at > 0 && (part.len() != 2 || value >= 60) {
            return None;
        }
        seconds = seconds * 60 + value;
    }
    (parts.len() <= 3).then(|| Fraction::whole(seconds))
}

/// `10 min 31 s`, `1 h 5 min`: two or more numbers, each with a unit of time.
fn spoken(text: &str, comma: Comma) -> Option<Result<Fraction, TypedFault>> {
    let mut rest = text;
    let (mut total, mut parts) = (Fraction::ZERO, 0);
    while !rest.is_empty() {
        let digits = rest.find(|c: char| c.is_alphabetic())?;
        let (number, after) = rest.split_at(digits);
        let end =
            after.find(|c: char| !c.is_alphabetic() && c != '.').unwrap_or(after.len());
        let (unit, tail) = after.split_at(end);
        let unit = unit_of(unit.trim_end_matches('.'));
        let unit = unit.filter(|unit| unit.dimension == Dimension::TIME)?;
        let Ok(number) = decimal(number.trim(), comma)? else {
            return Some(Err(TypedFault::Ambiguous(text.to_owned())));
        };
        total = number.mul(unit.factor()).and_then(|part| total.add(part))?;
        parts += 1;
        rest = tail.trim_start_matches([' ', ',']);
    }
    (parts > 0).then_some(Ok(total))
}

/// The unit as people write it: small or capital letters, signs and abbreviations.
fn unit_of(text: &str) -> Option<&'static Unit> {
    let plain = text.replace('²', "2").replace('³', "3").replace([' ', '°'], "");
    let small = plain.to_lowercase();
    let written = match small.as_str() {
        "percent" | "pct" => "%",
        "sec" | "secs" | "second" | "seconds" => "s",
        "mins" | "minute" | "minutes" => "min",
        "hr" | "hrs" | "hour" | "hours" => "h",
        "gallon" | "gallons" | "gals" => "gal",
        "lpm" => "L/min",
        "feet" | "foot" => "ft",
        "inch" | "inches" => "in",
        "lbs" | "pounds" => "lb",
        "f" => "degF",
        "c" => "degC",
        _ => plain.as_str(),
    };
    let mut alike =
        UNITS.iter().filter(|unit| unit.symbol.to_lowercase() == written.to_lowercase());
    // Capitals are forgiven only where no other unit differs by them alone, such as mL and ML.
    let first = alike.next();
    find(written).or(if alike.next().is_none() { first } else { None })
}
