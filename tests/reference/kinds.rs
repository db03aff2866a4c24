//! Cases that no formula answers: conversions, rounding, minutes and seconds, and the score of
//! a checklist, which the room that marks drill runs knows.

use drillwright::quantity::{self, Direction, Fraction, Number};
use serde_json::json;

use super::cases::{Amount, Case, Reference, bare, off};
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

/// The one input of a case.
fn only(case: &Case) -> &Amount {
    assert_eq!(case.inputs.len(), 1, "{} has several inputs", case.id);
    case.inputs.values().next().unwrap()
}

fn convert(reference: &Reference, case: &Case) -> Vec<(f64, f64)> {
    let input = reference.quantity(only(case));
    let one = |expected: &Amount| {
        let unit = quantity::find(reference.unit(&expected.unit)).unwrap();
        let ours = input.in_unit(unit).unwrap().number();
        (Number::Exact(ours).float(), expected.value)
    };
    case.expected.values().map(one).collect()
}

fn round(reference: &Reference, case: &Case) -> Vec<(f64, f64)> {
    let number = Number::Exact(reference.quantity(only(case)).number());
    let step = Fraction::read("0.1").unwrap();
    let shown = quantity::show(number, step, Direction::Near).unwrap();
    case.expected.values().map(|expected| (bare(&shown.text), expected.value)).collect()
}

fn clock(reference: &Reference, case: &Case) -> Vec<(f64, f64)> {
    let base = reference.quantity(only(case)).base();
    let shown = quantity::show(base, Fraction::ONE, Direction::Down).unwrap();
    let text = quantity::minutes_seconds(shown.value.floor());
    let (minutes, seconds) = text.split_once(':').unwrap();
    let of = |name: &str| case.expected[name].value;
    vec![(bare(minutes), of("min")), (bare(seconds), of("sec"))]
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
