//! Answers judged: right, or wrong with the slip behind it.

use serde::{Deserialize, Serialize};

use super::asked::{Band, CLOCK_AS_DECIMAL, Format, SlipAnswer};
use super::order::{Before, broken};
use super::paper::{Lettered, WrongAnswer};
use super::typed::{TypedFault, read};
use super::variant::{Marking, Variant};
use crate::quantity::Comma;
use crate::quantity::Fraction;
use crate::words::Words;

/// How an answer was judged. There are no half marks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Right.
    Right,
    /// Wrong.
    Wrong,
    /// Nothing was written.
    Blank,
    /// It cannot be read; nobody is marked wrong for that before somebody has looked.
    Unreadable,
}

/// One answer judged.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Marked {
    /// How.
    pub outcome: Outcome,
    /// Marks for it.
    pub marks: u32,
    /// The slip that gives this answer, when one does.
    pub slip: Option<WrongAnswer>,
    /// Why it cannot be read, or which rule of order it breaks.
    pub because: Option<String>,
}

impl Marked {
    fn plain(outcome: Outcome) -> Self {
        Self { outcome, marks: 0, slip: None, because: None }
    }

    fn unreadable(fault: &TypedFault, words: &Words) -> Self {
        Self { because: Some(fault.say(words)), ..Self::plain(Outcome::Unreadable) }
    }
}

impl Variant {
    /// Judges what was written.
    pub fn mark(&self, written: &str, comma: Comma, words: &Words) -> Marked {
        let rule = Rule {
            marks: self.item.marks,
            options: &self.item.options,
            wrong: &self.key.wrong,
            marking: &self.marking,
        };
        rule.mark(written, comma, words)
    }
}

/// What an answer is held against: of a variant just drawn, or of a form that was kept.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rule<'v> {
    pub(super) marks: u32,
    pub(super) options: &'v [Lettered],
    pub(super) wrong: &'v [WrongAnswer],
    pub(super) marking: &'v Marking,
}

impl Rule<'_> {
    /// Judges what was written.
    pub(super) fn mark(&self, written: &str, comma: Comma, words: &Words) -> Marked {
        // Blank is not wrong: it shows no slip, and item analysis must not count one.
        if written.trim().is_empty() {
            return Marked::plain(Outcome::Blank);
        }
        let mut marked = match self.marking {
            Marking::Number { format, right, band, slips } => {
                let number = Typed { format, right: *right, band, slips };
                match read(written, format, comma) {
                    Ok(value) => number.judged(value, words),
                    Err(fault) => Marked::unreadable(&fault, words),
                }
            }
            Marking::Letter { right } => self.letter(written, right, words),
            Marking::Order { places, rules } => {
                self.order(written, (places, rules), words)
            }
        };
        if marked.outcome == Outcome::Right {
            marked.marks = self.marks;
        }
        marked
    }

    fn letter(&self, written: &str, right: &str, words: &Words) -> Marked {
        let letters = letters(written);
        let [letter] = letters.as_slice() else {
            return Marked::unreadable(
                &TypedFault::NotALetter(written.trim().into()),
                words,
            );
        };
        if letter == right {
            return Marked::plain(Outcome::Right);
        }
        // A letter that is not on the paper is a slip of typing; nobody is marked wrong for it.
        if !self.options.iter().any(|option| option.letter == *letter) {
            return Marked::unreadable(&TypedFault::NotALetter(letter.clone()), words);
        }
        let slip = self.wrong.iter().find(|w| w.letter.as_ref() == Some(letter)).cloned();
        Marked { slip, ..Marked::plain(Outcome::Wrong) }
    }

    fn order(
        &self,
        written: &str,
        (places, rules): (&[usize], &[Before]),
        words: &Words,
    ) -> Marked {
        let mut order: Vec<usize> = Vec::new();
        for letter in letters(written) {
            let option = self.options.iter().position(|option| option.letter == letter);
            match option.and_then(|at| places.get(at)) {
                Some(place) if !order.contains(place) => order.push(*place),
                _ => return Marked::unreadable(&TypedFault::NotALetter(letter), words),
            }
        }
        // A step left out has no place in the order that could be judged.
        if order.len() != places.len() {
            let fault = TypedFault::NotALetter(written.trim().to_owned());
            return Marked::unreadable(&fault, words);
        }
        match broken(rules, &order) {
            None => Marked::plain(Outcome::Right),
            Some(rule) => {
                let because = Some(rule.because.clone());
                Marked { because, ..Marked::plain(Outcome::Wrong) }
            }
        }
    }
}

/// Letters as written: `CAB`, `c, a, b`, `(B)`, `C-A-B`. A stray sign is kept, and is then no
/// letter of the paper.
fn letters(written: &str) -> Vec<String> {
    let between = |c: &char| !(c.is_whitespace() || ",;.()/-–>→".contains(*c));
    let letters = written.chars().filter(between);
    letters.map(|letter| letter.to_ascii_uppercase().to_string()).collect()
}

/// What a typed number is held against.
struct Typed<'v> {
    format: &'v Format,
    right: Fraction,
    band: &'v Band,
    slips: &'v [SlipAnswer],
}

impl Typed<'_> {
    fn judged(&self, value: Fraction, words: &Words) -> Marked {
        if self.band.contains(value) {
            return Marked::plain(Outcome::Right);
        }
        // The slips of the formula come first: they say more than that a point was moved.
        let slip = self.slip(value).or_else(|| self.shifted(value, words));
        Marked { slip, ..Marked::plain(Outcome::Wrong) }
    }

    /// The slip whose value is nearest, no further away than rounding explains: one step of
    /// the answer or half a percent.
    fn slip(&self, value: Fraction) -> Option<WrongAnswer> {
        let step = self.format.step.mul(self.format.unit.factor())?;
        let mut best: Option<(Fraction, &SlipAnswer)> = None;
        for slip in self.slips {
            let away = |other: Fraction| Some(other.sub(value)?.absolute());
            let (Some(exact), Some(shown)) =
                (away(slip.value.exact), away(slip.value.shown))
            else {
                continue;
            };
            // A person who makes the slip rounds or does not; both are met.
            let near = exact.min(shown);
            // Half a percent forgives rounding on the way; of two slips that lie so near the
            // nearer one is named.
            let half_percent = slip.value.exact.absolute().div(Fraction::whole(200));
            // Minutes and seconds with a point are copied digit by digit; anything near them is
            // another slip.
            let allowed = if slip.id == CLOCK_AS_DECIMAL {
                Fraction::ZERO
            } else {
                half_percent.unwrap_or(step).max(step)
            };
            if near <= allowed && best.is_none_or(|(known, _)| near < known) {
                best = Some((near, slip));
            }
        }
        best.map(|(_, slip)| WrongAnswer {
            letter: None,
            text: slip.value.text.clone(),
            slip: slip.id.clone(),
            says: slip.says.clone(),
        })
    }

    /// Right digits with the point in the wrong place.
    fn shifted(&self, value: Fraction, words: &Words) -> Option<WrongAnswer> {
        let near = |factor: Fraction| {
            let moved = value.mul(factor)?;
            let allowed = self.right.absolute().div(Fraction::whole(200))?;
            let close = moved.sub(self.right)?.absolute() <= allowed;
            (close || (self.band.contains(moved) && self.band.least.is_some()))
                .then_some(())
        };
        // Up to three places, as gallons and litres of a thousand are confused; beyond that
        // nobody means the same number.
        let factors = [10, 100, 1000].into_iter().flat_map(|ten| {
            [Some(Fraction::whole(ten)), Fraction::new(1, ten)].into_iter().flatten()
        });
        factors.into_iter().find_map(near)?;
        Some(WrongAnswer {
            letter: None,
            text: String::new(),
            slip: "point-moved".to_owned(),
            says: words.get("quiz.point-moved"),
        })
    }
}
