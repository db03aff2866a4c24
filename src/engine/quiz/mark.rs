//! Answers judged: right, or wrong with the slip behind it.

use serde::{Deserialize, Serialize};

use super::asked::{Band, CLOCK_AS_DECIMAL, Format, SlipAnswer};
use super::order::{Before, broken};
use super::paper::{Lettered, WrongAnswer};
use super::typed::{AnswerFault, decimals_of_minutes, expected, read};
use super::variant::{Marking, Variant};
use crate::quantity::{Comma, Fraction, Numeral, plain};
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
    /// It cannot be read. Practice asks again; on a paper it is wrong, unless whoever typed the
    /// paper in may be behind it.
    Unreadable,
}

/// What somebody who typed a paper in should compare with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Doubt {
    /// A number that can be read in two ways.
    TwoReadings,
    /// A letter that is not on the paper.
    NoSuchLetter,
}

/// Two steps that were put the wrong way round.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Reversed {
    /// Letter of the step that comes first.
    pub first: String,
    /// Letter of the one that comes after it, and was put before it.
    pub then: String,
    /// Why.
    pub because: String,
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
    /// Why it cannot be read, or which rules of order it breaks.
    pub because: Option<String>,
    /// The pairs that stand in the wrong order in the answer, and no others.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub reversed: Vec<Reversed>,
    /// What may have been mistyped.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub doubt: Option<Doubt>,
}

impl Marked {
    fn plain(outcome: Outcome) -> Self {
        Self {
            outcome,
            marks: 0,
            slip: None,
            because: None,
            reversed: Vec::new(),
            doubt: None,
        }
    }

    fn unreadable(fault: &AnswerFault, words: &Words) -> Self {
        let doubt = match fault {
            AnswerFault::NotALetter(_) => Some(Doubt::NoSuchLetter),
            AnswerFault::Ambiguous(_) => Some(Doubt::TwoReadings),
            _ => None,
        };
        // The reason goes along in words: a recruit on a phone has nobody to ask why an
        // answer was not taken.
        let because = Some(fault.say(words));
        Self { because, doubt, ..Self::plain(Outcome::Unreadable) }
    }

    /// As a paper is marked: what cannot be read is a wrong answer, told as such. Only a number
    /// of two readings, of which one is right, waits for whoever can look at the paper.
    pub(super) fn on_paper(self) -> Self {
        match (self.outcome, self.doubt) {
            (Outcome::Unreadable, Some(Doubt::TwoReadings)) => self,
            (Outcome::Unreadable, _) => Self { outcome: Outcome::Wrong, ..self },
            _ => self,
        }
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
        let written = &plain(written);
        // Blank is not wrong: it shows no slip, and item analysis must not count one. A line
        // struck through is blank.
        if written.chars().all(|c| matches!(c, ' ' | '-' | '/')) {
            return Marked::plain(Outcome::Blank);
        }
        let mut marked = match self.marking {
            Marking::Number { format, right, band, slips } => {
                let number = Typed { format, right: *right, band, slips };
                match read(written, format, comma) {
                    Ok(value) => {
                        let cut = number.cut_to_decimals(value.value, written);
                        let marked = number.both(value, written, words);
                        let wrong =
                            marked.outcome == Outcome::Wrong && marked.slip.is_none();
                        if wrong && cut { Marked::plain(Outcome::Right) } else { marked }
                    }
                    Err(fault) => {
                        let mut marked = Marked::unreadable(&fault, words);
                        let says = marked.because.unwrap_or_default();
                        marked.because =
                            Some(format!("{says} {}", expected(format, words)));
                        marked
                    }
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
        let fault = |fault: &dyn Fn(String) -> AnswerFault| {
            Marked::unreadable(&fault(written.trim().to_owned()), words)
        };
        // Whoever copies the choice instead of its letter has ticked it all the same.
        let copied = |option: &&Lettered| {
            plain(&option.text).to_lowercase() == written.trim().to_lowercase()
        };
        let letters = match self.options.iter().find(copied) {
            Some(option) => vec![option.letter.clone()],
            None => letters(written),
        };
        let on_paper =
            |letter: &String| self.options.iter().any(|option| option.letter == *letter);
        if letters.is_empty() || !letters.iter().all(on_paper) {
            return fault(&AnswerFault::NotALetter);
        }
        let [letter] = letters.as_slice() else {
            return fault(&AnswerFault::Several);
        };
        if letter == right {
            return Marked::plain(Outcome::Right);
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
            let fault = match option.and_then(|at| places.get(at)) {
                Some(place) if !order.contains(place) => {
                    order.push(*place);
                    continue;
                }
                Some(_) => AnswerFault::LetterTwice(letter),
                None => AnswerFault::NotALetter(letter),
            };
            return Marked::unreadable(&fault, words);
        }
        // A step left out has no place in the order that could be judged.
        if order.len() != places.len() {
            let fault = AnswerFault::StepsMissing(written.trim().to_owned());
            return Marked::unreadable(&fault, words);
        }
        let letter = |place: usize| {
            let at = places.iter().position(|other| *other == place);
            let option = at.and_then(|at| self.options.get(at));
            option.map(|option| option.letter.clone()).unwrap_or_default()
        };
        let reversed: Vec<Reversed> = broken(rules, &order)
            .into_iter()
            .map(|rule| Reversed {
                first: letter(rule.first),
                then: letter(rule.then),
                because: rule.because.clone(),
            })
            .collect();
        if reversed.is_empty() {
            return Marked::plain(Outcome::Right);
        }
        let says: Vec<String> = reversed.iter().map(|pair| pair.say(words)).collect();
        let because = Some(says.join(" "));
        Marked { because, reversed, ..Marked::plain(Outcome::Wrong) }
    }
}

impl Reversed {
    /// The sentence, by the letters of the paper.
    pub fn say(&self, words: &Words) -> String {
        let blanks = [
            ("first", self.first.as_str()),
            ("then", &self.then),
            ("because", &self.because),
        ];
        words.say("quiz.reversed", &blanks)
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
    /// A number that can be read in two ways is judged where both come to the same; where one is
    /// right and nothing settles which was meant, nobody is judged by a guess.
    fn both(&self, value: Numeral, written: &str, words: &Words) -> Marked {
        let first = self.judged(value.value, words);
        let Some(other) = value.other.map(|other| self.judged(other, words)) else {
            return first;
        };
        let right = |marked: &Marked| marked.outcome == Outcome::Right;
        let settled = value.settled && (right(&first) || !right(&other));
        if settled {
            return first;
        }
        let asked =
            Marked::unreadable(&AnswerFault::Ambiguous(written.trim().to_owned()), words);
        if right(&first) || right(&other) {
            return asked;
        }
        Marked { outcome: Outcome::Wrong, ..asked }
    }

    /// Whether a time in minutes with decimals is the right one as far as its decimals go, cut to
    /// the side that the tolerance leaves open: 10:31 has no other name among tenths of a minute
    /// than 10.5.
    fn cut_to_decimals(&self, value: Fraction, written: &str) -> bool {
        let places = decimals_of_minutes(written).filter(|_| self.format.clock);
        let step = places.and_then(|places| Fraction::new(60, 10_i128.pow(places)));
        // What the board shows lies below the right time where more would be dangerous.
        let down = self.band.least.is_some_and(|least| least < self.right);
        let away = if down { self.right.sub(value) } else { value.sub(self.right) };
        step.zip(away).is_some_and(|(step, away)| {
            // On a short time a tenth of a minute is no figure any more: a twentieth of it is.
            let fine = step.mul(Fraction::whole(20)).is_some_and(|all| all <= self.right);
            fine && away.signum() >= 0 && away < step
        })
    }

    fn judged(&self, value: Fraction, words: &Words) -> Marked {
        // An open side of the tolerance is open to more or to less, and not to the other side of
        // zero.
        let same_side = value.signum() == self.right.signum();
        if same_side && self.band.contains(value) {
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
            // A step that is large beside what the slip gives would take any small number for it.
            let twentieth = slip.value.exact.absolute().div(Fraction::whole(20));
            let allowed = if slip.id == CLOCK_AS_DECIMAL {
                Fraction::ZERO
            } else {
                half_percent.unwrap_or(step).max(step.min(twentieth.unwrap_or(step)))
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
