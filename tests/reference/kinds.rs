//! Cases that no formula answers: conversions, rounding, minutes and seconds, and the score of
//! a checklist, which the room that marks drill runs knows.

use drillwright::quantity::{self, Direction, Fraction, Number};
use serde_json::json;

use super::cases::{Case, Reference, off};
use crate::assessment::checklist_score;

/// What of a case is not as expected.
pub(super) fn faults(reference: &Reference, case: &Case, kind: &str) -> Vec<String> {
    let values = match kind {
        "convert" => convert(reference, case),
        "round" => round(reference, case),
        "clock" => clock(reference, case),
        "score" => checklist(case),
        other => panic!("{}: no kind {other}", case.id),
    };
    let wrong =
        values.iter().filter(|(ours, expected)| off(*ours, *expected, &case.tolerance));
    wrong.map(|(ours, expected)| format!("{ours} and not {expected}")).collect()
}

fn convert(reference: &Reference, case: &Case) -> Vec<(f64, f64)> {
    let input = case.inputs.values().next().unwrap();
    let expected = case.expected.values().next().unwrap();
    let unit = quantity::find(reference.unit(&expected.unit)).unwrap();
    let ours = reference.quantity(input).in_unit(unit).unwrap().number();
    vec![(Number::Exact(ours).float(), expected.value)]
}

fn round(reference: &Reference, case: &Case) -> Vec<(f64, f64)> {
    let input = case.inputs.values().next().unwrap();
    let number = Number::Exact(reference.quantity(input).number());
    let step = Fraction::read("0.1").unwrap();
    let shown = quantity::show(number, step, Direction::Near).unwrap();
    let expected = case.expected.values().next().unwrap();
    vec![(shown.text.parse().unwrap(), expected.value)]
}

fn clock(reference: &Reference, case: &Case) -> Vec<(f64, f64)> {
    let base = reference.quantity(case.inputs.values().next().unwrap()).base();
    let shown = quantity::show(base, Fraction::ONE, Direction::Down).unwrap();
    let text = quantity::minutes_seconds(shown.value.floor());
    let (minutes, seconds) = text.split_once(':').unwrap();
    let of = |name: &str| case.expected[name].value;
    vec![(minutes.parse().unwrap(), of("min")), (seconds.parse().unwrap(), of("sec"))]
}

/// A drill of `n` steps of one point, of which the first is critical. A missed critical is
/// that step; what else was missed are the last ones.
fn checklist(case: &Case) -> Vec<(f64, f64)> {
    let whole = |name: &str| {
        let amount = case.inputs[name].value;
        (0..=100_u32).find(|count| f64::from(*count) >= amount).unwrap()
    };
    let (count, done, critical) = (whole("n"), whole("ok"), whole("critical_missed"));
    let last = done + critical;
    let result: Vec<u8> =
        (0..count).map(|at| u8::from(at >= critical && at < last)).collect();
    let (percent, met) = checklist_score(&json!({
        "weights": vec![1; result.len()],
        "result": result,
        "critical": (0..count).map(|at| at == 0).collect::<Vec<_>>(),
        "cut": whole("pass_mark"),
    }));
    let of = |name: &str| case.expected[name].value;
    vec![
        (Number::Exact(percent).float(), of("score")),
        (f64::from(u8::from(met)), of("pass")),
    ]
}
