//! What may be written for a given of a formula that is fed from nowhere.

use std::collections::BTreeMap;

use super::Checked;
use crate::findings::{Code, Finding, Place};
use crate::formulas::{Formula, Given, GivenKind, Input};

/// The finding of a given without a value, with the line to paste. `values` says whether a sheet has
/// any under `with`; rows have theirs side by side.
pub(super) fn missing(
    checked: &Checked<'_>,
    (formula, given): (&Formula, &Given),
    values: Option<bool>,
    place: Place,
) -> Finding {
    let line = format!("{}: {}", given.name, shown(checked, formula, given));
    let (line, beside) = match values {
        Some(false) => (format!("with: {{{line}}}"), "⟨findings.beside.formula⟩"),
        Some(true) => (line, "⟨findings.beside.with⟩"),
        None => (line, "⟨findings.beside.row⟩"),
    };
    let finding = Finding::at(Code::MissingGiven, place);
    let finding = finding.with("formula", formula.id.clone());
    let finding = finding.with("label", given.label.clone());
    finding.with("write", line).with("place", beside)
}

/// A value that a given may have, in the units of the module: that of the formula's own example, or
/// else the least for which it holds.
fn shown(checked: &Checked<'_>, formula: &Formula, given: &Given) -> String {
    let system = checked.course.module.units;
    let example = formula.example(system, &BTreeMap::new());
    match (&given.kind, example.get(&given.name)) {
        (_, Some(Input::Number(value))) => system.example(value).to_string(),
        (GivenKind::Number { least, .. }, _) => system.example(least).to_string(),
        (GivenKind::Choice { words }, _) => words.first().cloned().unwrap_or_default(),
        (GivenKind::List { columns }, _) => {
            let one = |given: &Given| {
                format!("{}: {}", given.name, shown(checked, formula, given))
            };
            let row: Vec<String> = columns.iter().map(one).collect();
            format!("[{{{}}}]", row.join(", "))
        }
    }
}
