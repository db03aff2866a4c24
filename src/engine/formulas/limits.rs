//! What is said where a formula has no figure: beyond the sense of its answer, refused, or
//! without an end.

use super::answers::{Answer, Verdict};
use super::check::Code;
use super::eval::{EvalFault, Run};
use super::printed::Printed;
use super::worked::{WorkFault, WorkedAnswer};
use crate::quantity::{Dimension, Direction, Fraction, Number, Quantity, System};
use crate::quantity::{find, minutes_seconds, show};

/// The sentence of a verdict with its figure put in.
pub(super) fn sentence(
    verdict: &Verdict,
    figure: Option<&Code>,
    run: Run<'_>,
    system: System,
) -> Result<String, EvalFault> {
    let Some(figure) = figure else { return Ok(verdict.says.clone()) };
    let value = run.number(figure)?;
    let shown = if system.is_metric() { verdict.shown_si } else { verdict.shown };
    let text = shown.and_then(|shown| told(value, shown)).unwrap_or_default();
    Ok(verdict.says.replace("{figure}", &text))
}

/// A value in the unit and step of `shown`; whole seconds as on a clock.
fn told(value: Number, shown: Quantity) -> Option<String> {
    if shown.unit().symbol != "s" {
        return Some(Printed::new(value, &shown, Direction::Near)?.text);
    }
    // Down, because what is told here had run out by then.
    Some(minutes_seconds(Printed::new(value, &shown, Direction::Down)?.whole()))
}

/// What is wrong with an answer that makes no sense. The value is compared before it is
/// rounded, so that both systems refuse the same.
pub(super) fn nonsense(
    answer: &Answer,
    value: Number,
    system: System,
) -> Option<WorkFault> {
    let beyond = answer.sense.iter().find_map(|sense| {
        let above = sense.most.filter(|most| value.compare(most.base()).is_gt());
        let below = sense.least.filter(|least| value.compare(least.base()).is_lt());
        let above = above.map(|limit| (WorkFault::new("above-sense"), limit));
        Some((
            above.or(below.map(|limit| (WorkFault::new("below-sense"), limit)))?,
            sense,
        ))
    });
    let ((fault, limit), sense) = beyond?;
    let own = if system.is_metric() { answer.shown_si } else { answer.shown };
    let shown = |value: Number| {
        // In so many digits as it is worked in, or more where it would be nothing.
        let printed = Printed::converted(value, own.unit());
        let rounded = printed.clone().map(|printed| printed.of_digits(3)).or(printed);
        let text = rounded.map(|printed| printed.text).unwrap_or_default();
        let clock = answer.clock.then(|| seconds(value)).flatten();
        clock.unwrap_or(text)
    };
    let fault = fault.with("label", answer.label.clone());
    let fault = fault.with("found", shown(value)).with("limit", shown(limit.base()));
    Some(fault.with("says", sense.says.clone()))
}

fn seconds(value: Number) -> Option<String> {
    let second = Quantity::new(Fraction::ONE, find("s")?);
    if second.dimension() != Dimension::TIME {
        return None;
    }
    let shown = show(value, Fraction::ONE, Direction::Near)?;
    Some(minutes_seconds(shown.value.floor()))
}

/// An answer without a figure.
pub(super) fn endless(answer: &Answer) -> WorkedAnswer {
    let says = answer.endless.as_ref().map(|endless| endless.says.clone());
    let text = says.unwrap_or_default();
    WorkedAnswer {
        name: answer.name.clone(),
        label: answer.label.clone(),
        text,
        unit: String::new(),
        // Nothing was rounded.
        exact: true,
        value: String::new(),
        number: None,
        unrounded: String::new(),
    }
}
