//! What somebody typed where a quantity is wanted, read as one: a number in any common way of
//! writing, a unit in any spelling, times of the clock. Practice, papers and live sheets all
//! read by this, so that none takes for right what another refuses.

use super::dimension::{Dimension, Kind};
use super::fraction::Fraction;
use super::habit::Comma;
use super::numeral::{Numeral, numeral, plain};
use super::read::Quantity;
use super::spelling::spelled;
use super::unit::{UNITS, Unit, find};

/// Why a typed quantity cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TypedFault {
    /// No number.
    NotANumber(String),
    /// Written like a time of the clock, and none: 10:75.
    NotATime(String),
    /// A unit that does not exist.
    UnknownUnit(String),
    /// A unit of something else than is wanted.
    WrongDimension(String),
    /// A time without a unit: minutes, or minutes and seconds?
    NoUnit(String),
}

/// What is wanted.
#[derive(Debug, Clone, Copy)]
pub struct Wanted {
    /// Unit that a number without one has.
    pub unit: &'static Unit,
    /// Whether it is printed as minutes and seconds; a number without a unit then says neither.
    pub clock: bool,
}

type Read<T> = Result<T, TypedFault>;

/// Reads a typed quantity, as a number of the unit that stands there, else of the wanted one.
pub fn typed(text: &str, wanted: Wanted, comma: Comma) -> Read<(Numeral, &'static Unit)> {
    let text = plain(text);
    // "= 5 gpm", "about 5 gpm": the sum's sign, or modesty, before the answer.
    let text = text.trim_start_matches(['=', '≈', '~', ' ']);
    let second = find("s").unwrap_or(wanted.unit);
    if text.contains(':') {
        let seconds = clock(text)?;
        if wanted.unit.dimension != Dimension::TIME {
            return Err(TypedFault::WrongDimension("min:s".to_owned()));
        }
        let value = Numeral { value: seconds, other: None, settled: true };
        return Ok((value, second));
    }
    if wanted.unit.dimension == Dimension::TIME
        && let Some(seconds) = spoken(text, comma)
    {
        return Ok((seconds?, second));
    }
    let not_a_number = || TypedFault::NotANumber(text.to_owned());
    let (number, unit) = split(text, comma).ok_or_else(not_a_number)?;
    let unit = unit.trim_end_matches('.').trim();
    if unit.is_empty() {
        // 10.31 without a unit is minutes to one person and minutes with seconds to another.
        let fault = || TypedFault::NoUnit(text.to_owned());
        return if wanted.clock { Err(fault()) } else { Ok((number, wanted.unit)) };
    }
    let unit = match unit_of(unit) {
        Some(unit) => unit,
        // A second number is no unit: "5 or 6", "2.5 3.5".
        None if unit
            .split(' ')
            .any(|word| word.starts_with(|c: char| c.is_ascii_digit())) =>
        {
            return Err(not_a_number());
        }
        // "16 pails": a count is followed by the word for what is counted.
        None if wanted.unit.kind == Kind::Plain => wanted.unit,
        None => return Err(TypedFault::UnknownUnit(unit.to_owned())),
    };
    let share = |unit: &Unit| unit.kind == Kind::Share;
    if unit.dimension != wanted.unit.dimension || share(unit) != share(wanted.unit) {
        return Err(TypedFault::WrongDimension(
            Quantity::new(Fraction::ONE, unit).unit_printed(),
        ));
    }
    Ok((number, unit))
}

/// Number and unit of a text such as `26 190 gal`: the longest beginning that is a number.
fn split(text: &str, comma: Comma) -> Option<(Numeral, &str)> {
    let part = |c: char| c.is_ascii_digit() || ".,-+ '/eE".contains(c);
    let end = text.find(|c: char| !part(c)).unwrap_or(text.len());
    let ends = text.char_indices().map(|(at, _)| at).chain([text.len()]);
    let mut ends: Vec<usize> = ends.filter(|at| *at <= end && *at > 0).collect();
    ends.reverse();
    for at in ends {
        let (number, unit) = (text.get(..at)?, text.get(at..)?);
        // A digit, or a sign of a number, right behind belongs to it: 1.2.3 is not 1.2 of ".3".
        let digit = |c: char| c.is_ascii_digit() || ".,-+'/".contains(c);
        let power =
            unit.strip_prefix(['e', 'E']).is_some_and(|tens| tens.starts_with(digit));
        let whole = !unit.trim_start().starts_with(digit) && !power;
        if whole && let Some(read) = numeral(number, comma) {
            return Some((read, unit.trim()));
        }
    }
    None
}

/// `10:31` and `1:10:31` in seconds; behind it at most the word for minutes.
fn clock(text: &str) -> Read<Fraction> {
    let fault = || TypedFault::NotATime(text.to_owned());
    let end = text.find(|c: char| !c.is_ascii_digit() && c != ':').unwrap_or(text.len());
    let (time, behind) = text.split_at(end);
    match behind.trim().trim_end_matches('.') {
        "" | "min" | "mins" | "minutes" | "min:s" | "min:sec" | "m:s" | "mm:ss" => {}
        unit => {
            return Err(match unit_of(unit) {
                Some(unit) if unit.dimension != Dimension::TIME => {
                    TypedFault::WrongDimension(
                        Quantity::new(Fraction::ONE, unit).unit_printed(),
                    )
                }
                _ => fault(),
            });
        }
    }
    let parts: Vec<&str> = time.split(':').collect();
    let mut seconds = 0_i128;
    for (at, part) in parts.iter().enumerate() {
        // Four digits are 9,999 seconds or hours: longer than any drill, and short enough
        // that the sum below cannot run over.
        let value: i128 =
            part.parse().ok().filter(|_| part.len() <= 4).ok_or_else(fault)?;
        // 10:5 is a slip for 10:05 or 10:50, and nobody can say which.
        if at > 0 && (part.len() != 2 || value >= 60) {
            return Err(fault());
        }
        seconds = seconds * 60 + value;
    }
    // Hours, minutes, seconds; a fourth part would have to be days, which no watch of a
    // drill shows.
    if parts.len() > 3 { Err(fault()) } else { Ok(Fraction::whole(seconds)) }
}

/// `10 min 31 s`, `1 h 5 min`, `10m 31s`: numbers, each with a unit of time. Nothing where it is
/// written in another way.
fn spoken(text: &str, comma: Comma) -> Option<Read<Numeral>> {
    let mut rest = text;
    let (mut total, mut last): (Option<Numeral>, Option<Fraction>) = (None, None);
    while !rest.is_empty() {
        let digits = rest.find(|c: char| c.is_alphabetic())?;
        let (number, after) = rest.split_at(digits);
        let end =
            after.find(|c: char| !c.is_alphabetic() && c != '.').unwrap_or(after.len());
        let (unit, tail) = after.split_at(end);
        let unit = match unit.trim_end_matches('.') {
            // Nobody writes metres beside seconds.
            "m" if !tail.trim().is_empty() || last.is_some() => find("min"),
            unit => unit_of(unit),
        };
        let unit = unit.filter(|unit| unit.dimension == Dimension::TIME)?;
        let number = numeral(number, comma)?;
        let part = number.map(|value| value.mul(unit.factor()))?;
        if let Some(before) = last {
            // 10 min 75 s is no way to say 11 min 15 s, and 31 s 10 min stands upside down.
            if part.value >= before || number.value.signum() < 0 {
                return Some(Err(TypedFault::NotATime(text.to_owned())));
            }
        }
        last = Some(unit.factor());
        total = Some(match total {
            None => part,
            Some(sum) => {
                let other = match (sum.other, part.other) {
                    (None, None) => None,
                    (a, b) => a.unwrap_or(sum.value).add(b.unwrap_or(part.value)),
                };
                let settled = sum.settled && part.settled;
                Numeral { value: sum.value.add(part.value)?, other, settled }
            }
        });
        rest = tail.trim_start_matches([' ', ',']);
        rest = rest.strip_prefix("and ").unwrap_or(rest).trim_start();
    }
    total.map(Ok)
}

/// The unit as people write it: small or capital letters, signs and abbreviations.
pub fn unit_of(text: &str) -> Option<&'static Unit> {
    if let Some(unit) = find(text).or_else(|| spelled(text)) {
        return Some(unit);
    }
    let bare = text.replace('²', "2").replace('³', "3").replace([' ', '°', '^'], "");
    let small = bare.to_lowercase();
    let written = match small.as_str() {
        "pct" => "%",
        "secs" => "s",
        "mins" => "min",
        "hr" | "hrs" => "h",
        "gals" | "usgal" => "gal",
        "gallonsperminute" | "galperminute" | "gallonsaminute" | "usgpm" => "gpm",
        "litresperminute" | "litersperminute" | "litresaminute" | "litersaminute" => {
            "L/min"
        }
        "metre" | "metres" | "meter" | "meters" => "m",
        "'" => "ft",
        "\"" => "in",
        "f" => "degF",
        "c" => "degC",
        _ => bare.as_str(),
    };
    let alike = |unit: &&Unit| unit.symbol.to_lowercase() == written.to_lowercase();
    let mut alike = UNITS.iter().filter(alike);
    // Capitals are forgiven only where no other unit differs by them alone, such as mL and ML.
    let first = alike.next();
    let only = if alike.next().is_none() { first } else { None };
    let found = find(written).or_else(|| spelled(&small)).or(only);
    found.filter(|unit| unit.kind != Kind::Plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, unit: &str, clock: bool) -> String {
        let wanted = Wanted { unit: find(unit).unwrap(), clock };
        match typed(text, wanted, Comma::Unfixed) {
            Ok((number, unit)) => format!("{} {}", number.value, unit.symbol),
            Err(TypedFault::NotANumber(_)) => "no number".into(),
            Err(TypedFault::NotATime(_)) => "no time".into(),
            Err(TypedFault::UnknownUnit(unit)) => format!("no unit {unit}"),
            Err(TypedFault::WrongDimension(unit)) => format!("other {unit}"),
            Err(TypedFault::NoUnit(_)) => "unit?".into(),
        }
    }

    #[test]
    fn a_number_and_its_unit() {
        for (text, says) in [
            ("95", "95 gpm"),
            ("95 gpm", "95 gpm"),
            ("95GPM.", "95 gpm"),
            ("= 95 gpm", "95 gpm"),
            ("≈95 gal/min", "95 gpm"),
            ("1 000 gpm", "1000 gpm"),
            ("1/2 gpm", "0.5 gpm"),
            ("360 l/min", "360 L/min"),
            ("360 LPM", "360 L/min"),
            ("95 gallons per minute", "95 gpm"),
            ("９５ ｇｐｍ", "95 gpm"),
            ("1.5e2", "150 gpm"),
            ("1.5e99", "no number"),
            ("gpm", "no number"),
            ("abc", "no number"),
            ("", "no number"),
            ("∞", "no number"),
            ("95 gpm 3 gpm", "no number"),
            ("95 or 96", "no number"),
            ("95 96", "no number"),
            ("95-96", "no number"),
            ("1.2.3 gpm", "no number"),
            ("95 gpn", "no unit gpn"),
            ("95 gpm or so", "no unit gpm or so"),
            ("95 gal", "other gal"),
            ("95 %", "other %"),
            ("10:31", "other min:s"),
            ("95 ft2", "other ft²"),
        ] {
            assert_eq!(read(text, "gpm", false), says, "{text}");
        }
        assert_eq!(read("16 pails", "", false), "16 ");
        assert_eq!(read("16 %", "", false), "other %");
        assert_eq!(read("68 °F", "degC", false), "68 degF");
        assert_eq!(read("1½ in", "in", false), "1.5 in");
        assert_eq!(read("0.5 pct", "%", false), "0.5 %");
        assert_eq!(read("5", "%", false), "5 %");
    }

    #[test]
    fn times_in_every_spelling() {
        for (text, says) in [
            ("10:31", "631 s"),
            ("10:31 min", "631 s"),
            ("1:10:31", "4231 s"),
            ("10 min 31 s", "631 s"),
            ("10min31s", "631 s"),
            ("10m 31s", "631 s"),
            ("10 minutes and 31 seconds", "631 s"),
            ("10.5 min", "630 s"),
            ("10 1/2 min", "630 s"),
            ("10,5 min", "630 s"),
            ("631 sec", "631 s"),
            ("1 h 5 min", "3900 s"),
            ("10.31", "unit?"),
            ("10", "unit?"),
            ("10:75", "no time"),
            ("10:5", "no time"),
            ("10:", "no time"),
            (":31", "no time"),
            ("-10:31", "no time"),
            ("1:-5", "no time"),
            ("10:31:61", "no time"),
            ("1:2:3:4", "no time"),
            ("10:31 gal", "other gal"),
            ("10:31 h", "no time"),
            ("10:31 or 10:32", "no time"),
            ("10 min 75 s", "no time"),
            ("31 s 10 min", "no time"),
            ("10 min 31", "no number"),
            ("10 gal", "other gal"),
            ("10 min 31 gal", "no number"),
            ("soon", "no number"),
        ] {
            assert_eq!(read(text, "s", true), says, "{text}");
        }
        assert_eq!(read("40", "s", false), "40 s");
    }
}
