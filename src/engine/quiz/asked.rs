//! One question worked for one draw: the right answer, what is accepted, and the slips, all
//! printed in the same unit and to the same step.

use serde::{Deserialize, Serialize};

use super::draw::Drawn;
use super::fault::{QuestionFault, Unusable};
use super::kit::Kit;
use crate::course::{Ask, Edge, Tolerance, inputs};
use crate::formulas::{Answer, Inputs, System, WorkFault, Worked, WorkedAnswer};
use crate::quantity::{
    Dimension, Direction, Fraction, Kind, Number, Quantity, Unit, decimal_mark, find,
    minutes_seconds, prose_written, show, written,
};

/// A slip of reading and writing, not of a formula: 10:31 written as 10.31 min.
pub const CLOCK_AS_DECIMAL: &str = "clock-as-decimal";

/// How the answers of one question are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Format {
    #[serde(with = "symbol")]
    pub(super) unit: &'static Unit,
    /// In the unit.
    pub(super) step: Fraction,
    /// Minutes and seconds.
    pub(super) clock: bool,
}

/// A value and how it is printed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Printed {
    pub(super) text: String,
    /// Before rounding, in base units.
    pub(super) exact: Fraction,
    /// As printed, in base units.
    pub(super) shown: Fraction,
    /// As printed, in the printed unit.
    pub(super) bare: Fraction,
}

/// What a slip gives.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct SlipAnswer {
    pub(super) id: String,
    pub(super) says: String,
    pub(super) value: Printed,
}

/// A question worked.
#[derive(Debug, Clone)]
pub(super) struct Asked {
    given: Inputs,
    /// Name of the answer that is asked for.
    answer: String,
    pub(super) verdicts: Vec<String>,
    pub(super) format: Format,
    pub(super) right: Printed,
    pub(super) slips: Vec<SlipAnswer>,
    /// Half a step in base units, where the answer is rounded to the nearest one.
    pub(super) half: Option<Fraction>,
}

/// Accepted values in base units, edges inside; an open side has no edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Band {
    pub(super) least: Option<Fraction>,
    pub(super) most: Option<Fraction>,
}

/// A unit by its symbol.
mod symbol {
    use serde::{Deserialize, Deserializer, Serializer, de};

    use crate::quantity::{Unit, find};

    #[expect(clippy::trivially_copy_pass_by_ref, reason = "the shape serde asks for")]
    pub(super) fn serialize<S: Serializer>(
        unit: &&'static Unit,
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(unit.symbol)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<&'static Unit, D::Error> {
        let text = String::deserialize(deserializer)?;
        find(&text).ok_or_else(|| de::Error::custom(format!("{text} is no unit")))
    }
}

impl Band {
    /// The band around an answer. The printed answer and the unrounded one are both inside,
    /// whatever the tolerance says: somebody who rounds as the key does is right. So is whoever
    /// writes more digits than were asked for: `half` a step around the printed answer is inside,
    /// where it was rounded to the nearest step. Where it was rounded to the safe side, there is
    /// no such half.
    pub(super) fn around(
        right: &Printed,
        tolerance: &Tolerance,
        half: Option<Fraction>,
    ) -> Option<Self> {
        let half = half.unwrap_or(Fraction::ZERO);
        // Whoever rounds as the paper asks lies up to half a step from the exact value, and is
        // right without any tolerance.
        let low = right.exact.min(right.shown.sub(half)?);
        let high = right.exact.max(right.shown.add(half)?);
        // Each side has its own edge, because an error to one side may be harmless and to the
        // other not.
        let away = |edge: &Edge| match edge {
            Edge::Open => Some(None),
            Edge::Absolute(quantity) => Some(Some(size(quantity)?.absolute())),
            Edge::Relative(share) => {
                Some(Some(size(share)?.mul(right.exact)?.absolute()))
            }
        };
        let least = match away(&tolerance.below)? {
            Some(away) => Some(low.sub(away)?),
            None => None,
        };
        let most = match away(&tolerance.above)? {
            Some(away) => Some(high.add(away)?),
            None => None,
        };
        Some(Self { least, most })
    }

    pub(super) fn contains(&self, value: Fraction) -> bool {
        self.least.is_none_or(|least| value >= least)
            && self.most.is_none_or(|most| value <= most)
    }
}

/// A quantity as a size in base units: a step of temperature, not a point of the scale.
fn size(quantity: &Quantity) -> Option<Fraction> {
    quantity.number().mul(quantity.unit().factor())
}

impl Format {
    /// The format that a question asks for, else the formula's own.
    pub(super) fn of(
        ask: &Ask,
        answer: &Answer,
        system: System,
    ) -> Result<Self, QuestionFault> {
        let own = if system.is_metric() { answer.shown_si } else { answer.shown };
        let wrong = |text: &str| QuestionFault::WrongUnit(text.to_owned());
        let unit = match (&ask.unit, &ask.step) {
            // A clock shows minutes and seconds whatever unit is asked for.
            _ if answer.clock => own.unit(),
            (Some(symbol), _) => find(symbol).ok_or_else(|| wrong(symbol))?,
            (None, Some(step)) => step.unit(),
            (None, None) => own.unit(),
        };
        if unit.dimension != own.dimension()
            || (unit.kind == Kind::Share) != (own.unit().kind == Kind::Share)
        {
            return Err(wrong(unit.symbol));
        }
        let step = match &ask.step {
            Some(step) => {
                let fault = || wrong(&step.to_string());
                step.number()
                    .mul(step.unit().factor())
                    .and_then(|base| base.div(unit.factor()))
                    .filter(|step| step.signum() > 0 && step.decimal().is_some())
                    .filter(|_| step.dimension() == unit.dimension)
                    .ok_or_else(fault)?
            }
            None => own.number(),
        };
        Ok(Self { unit, step, clock: answer.clock })
    }

    /// The unit as it stands beside the line for the answer.
    pub(super) fn unit_text(&self) -> String {
        if self.clock {
            return "min:s".to_owned();
        }
        let one = Quantity::new(Fraction::ONE, self.unit).printed();
        one.trim_start_matches('1').trim_start_matches('\u{a0}').to_owned()
    }

    /// An edge of the band, to a tenth of the step and never outside the band.
    pub(super) fn edge(&self, base: Fraction, round: Direction) -> Option<String> {
        let bare = self.bare(base)?;
        if self.clock {
            let shown = show(Number::Exact(bare), Fraction::ONE, round)?;
            return Some(minutes_seconds(shown.value.floor()));
        }
        // A tenth of the step: an edge that was rounded to the step could stand on the wrong
        // side.
        let mut step = self.step.div(Fraction::whole(10))?;
        if self.step.is_whole() && bare.is_whole() {
            step = Fraction::ONE;
        }
        let shown = show(Number::Exact(bare), step, round)?;
        let text = shown.with_unit(self.unit.symbol);
        let Some((number, rest)) =
            text.split_once('\u{a0}').filter(|(n, _)| n.contains(decimal_mark()))
        else {
            return Some(text);
        };
        let short = number.trim_end_matches('0').trim_end_matches(decimal_mark());
        Some(format!("{short}\u{a0}{rest}"))
    }

    /// A value of base units in the unit of this format.
    pub(super) fn bare(&self, base: Fraction) -> Option<Fraction> {
        let base = if self.unit.kind == Kind::Reading {
            base.sub(self.unit.zero())?
        } else {
            base
        };
        base.div(self.unit.factor())
    }

    /// What the answer measures.
    pub(super) const fn dimension(&self) -> Dimension {
        self.unit.dimension
    }

    fn printed(&self, answer: &WorkedAnswer) -> Option<Printed> {
        let bare = Fraction::read(&answer.value)?;
        Some(Printed {
            text: answer.text.clone(),
            exact: answer.number?.settled()?,
            shown: Quantity::new(bare, self.unit).base().settled()?,
            bare,
        })
    }
}

impl Asked {
    /// The board, which only what is printed needs. Its last line is the answer as the key has
    /// it.
    pub(super) fn board(&self, kit: Kit<'_>, ask: &Ask) -> Option<Worked> {
        let format = &self.format;
        let asked = (self.answer.as_str(), Quantity::new(format.step, format.unit));
        let formula = &ask.feed.formula;
        kit.library.work_asked(formula, &self.given, kit.system, Some(asked)).ok()
    }

    /// The board of a question whose answer is a sentence: no figure of it is asked for.
    pub(super) fn whole_board(&self, kit: Kit<'_>, ask: &Ask) -> Option<Worked> {
        kit.library.work(&ask.feed.formula, &self.given, kit.system).ok()
    }
}

/// Works a question for one draw.
pub(super) fn work(kit: Kit<'_>, ask: &Ask, drawn: &Drawn) -> Result<Asked, Unusable> {
    let fault = |fault| Unusable::Question(Box::new(fault));
    let given = inputs(&ask.feed, &drawn.figures, drawn).map_err(|no| {
        fault(QuestionFault::NoSuchName { given: no.given, name: no.name })
    })?;
    let id = &ask.feed.formula;
    let tried = kit
        .library
        .attempt(id, &given, kit.system)
        .map_err(|why| Unusable::Unworkable(Box::new(why)))?;
    let name = ask.feed.answer.as_deref();
    let no_answer =
        || fault(QuestionFault::NoSuchAnswer(name.unwrap_or_default().to_owned()));
    let formula = kit.library.formula(id).ok_or_else(no_answer)?;
    let mut answers = formula.answers.iter().enumerate();
    let (at, own) = answers
        .find(|(_, own)| name.is_none_or(|name| own.name == name))
        .ok_or_else(no_answer)?;
    let format = Format::of(ask, own, kit.system).map_err(fault)?;
    let half = format.step.mul(format.unit.factor());
    let half = half.and_then(|step| step.div(Fraction::whole(2)));
    // An answer that is rounded down or up has no half step to either side: its direction is
    // part of what is asked.
    let half = half.filter(|_| own.round == Direction::Near && !format.clock);
    let shown = Quantity::new(format.step, format.unit);
    let print = |numbers: &[Option<Number>]| {
        let answer = (own.name.as_str(), (*numbers.get(at)?)?);
        format.printed(&kit.library.print(id, answer, kit.system, shown)?)
    };
    // A time that does not end is no answer that anybody could write down.
    if tried.answers.get(at) == Some(&None) {
        let says = own.endless.as_ref().map_or("", |endless| endless.says.as_str());
        let why = WorkFault::endless(&own.label, says);
        return Err(Unusable::Unworkable(Box::new(why)));
    }
    let right = print(&tried.answers).ok_or(Unusable::NoAnswer)?;
    let slips = tried.slips.iter().filter_map(|(slip, numbers)| {
        let slip = formula.slips.get(*slip)?;
        let (id, says) = (slip.id.clone(), slip.feedback(kit.system));
        let says = prose_written(says).into_owned();
        Some(SlipAnswer { id, says, value: print(numbers)? })
    });
    let mut slips: Vec<SlipAnswer> = slips.collect();
    slips.extend(clock_slip(kit, &format, &right));
    let (answer, verdicts) = (own.name.clone(), tried.verdicts);
    Ok(Asked { given, answer, verdicts, format, right, slips, half })
}

/// `10:31` read as ten point three one minutes.
fn clock_slip(kit: Kit<'_>, format: &Format, right: &Printed) -> Option<SlipAnswer> {
    if !format.clock {
        return None;
    }
    let whole = right.bare.floor();
    let (minutes, seconds) = (whole.div_euclid(60), whole.rem_euclid(60));
    // Ten minutes and no seconds read the same either way.
    if seconds == 0 {
        return None;
    }
    // What "10.31 min" says: ten minutes and thirty-one hundredths of one.
    let value = Fraction::new(seconds * 60, 100)?.add(Fraction::whole(minutes * 60))?;
    Some(SlipAnswer {
        id: CLOCK_AS_DECIMAL.to_owned(),
        says: kit.words.say(
            "quiz.clock-as-decimal",
            &[("clock", &minutes_seconds(631)), ("decimal", &written("10.52"))],
        ),
        value: Printed {
            text: format!("{}\u{a0}min", written(&format!("{minutes}.{seconds:02}"))),
            exact: value,
            shown: value,
            bare: value,
        },
    })
}
