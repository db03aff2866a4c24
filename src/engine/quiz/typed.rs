//! What a person wrote in answer to a question, and why it cannot be judged as it stands.

use crate::quantity::{
    self, Comma, Numeral, Quantity, TypedFault, Wanted, minutes_seconds,
};
use crate::words::Words;

use super::asked::Format;

/// Why an answer cannot be judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum AnswerFault {
    /// It is no quantity of the kind that is asked for.
    Quantity(TypedFault),
    /// Its comma may be a decimal comma or stand between thousands.
    Ambiguous(String),
    /// A letter that is not on the paper.
    NotALetter(String),
    /// Several letters where one is ticked.
    Several(String),
    /// A step that stands twice in an order.
    LetterTwice(String),
    /// An order that leaves steps out.
    StepsMissing(String),
}

impl AnswerFault {
    /// The sentence.
    pub(super) fn say(&self, words: &Words) -> String {
        let (key, found) = match self {
            Self::Ambiguous(found) => ("quiz.typed.ambiguous", found),
            Self::Quantity(TypedFault::NotANumber(found)) => {
                ("quiz.typed.not-a-number", found)
            }
            Self::Quantity(TypedFault::NotATime(found)) => {
                ("quiz.typed.not-a-time", found)
            }
            Self::Quantity(TypedFault::UnknownUnit(found)) => {
                ("quiz.typed.unknown-unit", found)
            }
            Self::Quantity(TypedFault::WrongDimension(found)) => {
                ("quiz.typed.wrong-dimension", found)
            }
            Self::Quantity(TypedFault::NoUnit(found)) => ("quiz.typed.no-unit", found),
            Self::NotALetter(found) => ("quiz.typed.not-a-letter", found),
            Self::Several(found) => ("quiz.typed.several", found),
            Self::LetterTwice(found) => ("quiz.typed.letter-twice", found),
            Self::StepsMissing(found) => ("quiz.typed.steps-missing", found),
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
) -> Result<Numeral, AnswerFault> {
    let wanted = Wanted { unit: format.unit, clock: format.clock };
    // What nobody sees comes along when a number is copied; nobody is marked wrong for it.
    let unseen = |c: &char| {
        matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}')
    };
    let text: String = text.chars().filter(|c| !unseen(c)).collect();
    let (number, unit) =
        quantity::typed(&text, wanted, comma).map_err(AnswerFault::Quantity)?;
    let base = |value| Quantity::new(value, unit).base().settled();
    let too_long = || TypedFault::NotANumber(text.trim().to_owned());
    number.map(base).ok_or_else(|| AnswerFault::Quantity(too_long()))
}

/// The decimals of an answer in minutes; nothing where it is written in another way.
pub(super) fn decimals_of_minutes(written: &str) -> Option<u32> {
    let text = written.trim();
    let figure = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let unit = text.trim_start_matches(figure);
    let minutes = ["min", "min.", "mins", "minute", "minutes"].contains(&unit.trim());
    let (_, decimals) = text.strip_suffix(unit)?.split_once(['.', ','])?;
    let plain = decimals.chars().all(|c| c.is_ascii_digit());
    let places = u32::try_from(decimals.len()).ok()?;
    // Tenths and hundredths: nobody tells a time by less than half a second.
    (minutes && plain && (1..=2).contains(&places)).then_some(places)
}

/// What is expected instead, in a sentence.
pub(super) fn expected(format: &Format, words: &Words) -> String {
    if format.clock {
        let example = minutes_seconds(631);
        return words.say("quiz.typed.expected-time", &[("example", &example)]);
    }
    let unit = format.unit_text();
    if unit.is_empty() {
        return words.get("quiz.typed.expected-number");
    }
    words.say("quiz.typed.expected-unit", &[("unit", &unit)])
}
