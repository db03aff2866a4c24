//! Values as they are printed in a unit.

use super::answers::Answer;
use super::printed::in_unit;
use super::worked::WorkedAnswer;
use crate::quantity::{
    self, Direction, Fraction, Number, Quantity, Shown, System, minutes_seconds,
};

/// The value in the unit of `shown`, rounded to its number.
pub(super) fn show_in(
    value: Number,
    shown: &Quantity,
    round: Direction,
) -> Option<Shown> {
    quantity::show(in_unit(value, shown.unit())?, shown.number(), round)
}

/// An answer printed as the formula says, or in another unit and step.
pub(super) fn print_answer(
    answer: &Answer,
    number: Number,
    system: System,
    shown: Option<Quantity>,
) -> Option<WorkedAnswer> {
    let own = if system.is_metric() { answer.shown_si } else { answer.shown };
    let shown = shown.unwrap_or(own);
    let printed = show_in(number, &shown, answer.round)?;
    let unit = shown.unit();
    let bare = in_unit(number, unit)?.settled()?;
    let (text, unit_name) = if answer.clock {
        // A clock answer has a step of whole seconds, so nothing is lost by the floor.
        (minutes_seconds(printed.value.floor()), "min:s".to_owned())
    } else {
        (printed.with_unit(unit.symbol), unit.symbol.to_owned())
    };
    Some(WorkedAnswer {
        name: answer.name.clone(),
        label: answer.label.clone(),
        text,
        unit: unit_name,
        exact: printed.exact,
        value: printed.value.to_string(),
        number: Some(number),
        unrounded: unrounded(bare),
    })
}

/// Exact decimal where there is a short one, else 12 significant digits.
fn unrounded(value: Fraction) -> String {
    // A third has no end; beyond these digits a reader has no use for more.
    value.decimal().filter(|text| text.len() <= 14).unwrap_or_else(|| {
        let digits = format!("{:.11e}", Number::Exact(value).float());
        let settled =
            digits.parse::<f64>().ok().and_then(|v| Number::Approx(v).settled());
        settled.and_then(Fraction::decimal).unwrap_or(digits)
    })
}
