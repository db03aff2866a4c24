//! Cases that we worked by hand where no published case tells a term or a sign from its opposite.

use std::collections::BTreeMap;

use drillwright::formulas::{Input, Inputs, Library, System};
use drillwright::quantity::Quantity;
use serde::Deserialize;

use super::cases::{in_unit, off};
use super::read;

/// One case; `working` says how a person comes to the answers.
#[derive(Debug, Clone, Deserialize)]
pub(super) struct ByHand {
    pub(super) formula: String,
    working: String,
    givens: BTreeMap<String, String>,
    answers: BTreeMap<String, String>,
}

pub(super) fn by_hand() -> Vec<ByHand> {
    read::yaml("tests/reference/by-hand.yaml")
}

fn quantity(text: &str) -> Quantity {
    Quantity::read(text).unwrap_or_else(|fault| panic!("{text}: {fault:?}"))
}

impl ByHand {
    /// What a formula says otherwise. Times are told to the second, so that they may be off by one.
    pub(super) fn faults(&self, library: &Library) -> Vec<String> {
        let inputs: Inputs = self
            .givens
            .iter()
            .map(|(name, text)| (name.clone(), Input::Number(quantity(text))))
            .collect();
        let worked = match library.work(&self.formula, &inputs, System::Us) {
            Ok(worked) => worked,
            Err(fault) => return vec![format!("{}: {fault:?}", self.formula)],
        };
        let one = |(name, expected): (&String, &String)| {
            let answer = worked.answer(Some(name));
            let Some(number) = answer.and_then(|answer| answer.number) else {
                return Some(format!("{}: no answer {name}", self.formula));
            };
            let (value, unit) = expected.split_once(' ').unwrap_or((expected, ""));
            let value: f64 = value.parse().unwrap();
            let ours = in_unit(number, unit);
            // A sixtieth of a minute, or a thousandth of anything else.
            let allowed = if unit == "min" { 0.0167 } else { 0.001 };
            let tolerance = BTreeMap::from([("abs".to_owned(), allowed)]);
            off(ours, value, &tolerance).then(|| {
                format!(
                    "{}, {name}: {ours} and not {expected} ({})",
                    self.formula, self.working
                )
            })
        };
        self.answers.iter().filter_map(one).collect()
    }
}

#[test]
fn formulas_agree_with_what_was_worked_by_hand() {
    let library = read::library();
    let found: Vec<String> =
        by_hand().iter().flat_map(|case| case.faults(&library)).collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
}
