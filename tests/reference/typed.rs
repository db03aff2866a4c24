//! Cases of the reference typed at the command line, as a person types them: the program
//! answers with the same working as the library, and says what it converted.

use std::path::Path;

use drillwright::formulas::{Formula, Given, GivenKind, Input, System};
use drillwright::quantity::Quantity;
use serde_json::Value;

use super::cases::{Mapping, reference};
use super::read;
use crate::program::{ends_with, program};

/// One case in so many is typed; all of them together would take minutes.
const EVERY: usize = 6;

/// A quantity as it is written in a module, or as it stands on a board.
fn text(quantity: &Quantity, as_printed: bool) -> String {
    if as_printed { quantity.printed().replace('−', "-") } else { quantity.to_string() }
}

fn typed(input: &Input, as_printed: bool) -> String {
    match input {
        Input::Number(quantity) => text(quantity, as_printed),
        Input::Word(word) => word.clone(),
        Input::Rows(rows) => {
            let rows = rows.iter().map(|row| {
                let cells = row.iter().map(|(column, quantity)| {
                    format!("{column}: {}", text(quantity, as_printed))
                });
                cells.collect::<Vec<_>>().join(", ")
            });
            rows.collect::<Vec<_>>().join("; ")
        }
    }
}

/// Whether a value is in another unit than the board's.
fn foreign(given: &Given, input: &Input, system: System) -> bool {
    let other = |given: &Given, quantity: &Quantity| match &given.kind {
        GivenKind::Number { unit, unit_si, .. } => {
            quantity.unit().symbol != if system.is_metric() { unit_si } else { unit }
        }
        _ => false,
    };
    match (input, &given.kind) {
        (Input::Number(quantity), _) => other(given, quantity),
        (Input::Rows(rows), GivenKind::List { columns }) => rows
            .iter()
            .any(|row| columns.iter().any(|column| other(column, &row[&column.name]))),
        _ => false,
    }
}

fn said_of(formula: &Formula, answer: &Value, given: &str) -> bool {
    let at = formula.givens.iter().position(|known| known.name == given).unwrap();
    answer["givens"][at]["converted_from"].is_string()
}

#[test]
fn cases_typed_at_the_command_line_are_worked_and_conversions_said() {
    let reference = reference();
    // Sentences of the library are told in the units of the answer.
    let libraries = [System::Us, System::Si].map(read::library_in);
    let library = &libraries[0];
    let worked = reference.pairs.iter().filter_map(|(case, mapping)| {
        let Mapping { formula: Some(formula), .. } = mapping else { return None };
        Some((case, mapping, formula))
    });
    let (mut count, mut converted) = (0, 0);
    for (at, (case, mapping, id)) in worked.enumerate().filter(|(at, _)| at % EVERY == 0)
    {
        let inputs = reference.inputs(case, mapping);
        // The other system than that of the case, so that there is something to convert.
        let own = mapping.system.unwrap_or(System::Us);
        let formula = library.formula(id).unwrap();
        let other = at % (2 * EVERY) == 0 && formula.only.is_none();
        let system = match (own, other) {
            (System::Us, false) | (System::Si, true) => System::Us,
            _ => System::Si,
        };
        let library = &libraries[usize::from(system == System::Si)];
        let units = if system == System::Us { "us" } else { "si" };
        let mut command = program(Path::new("/"));
        command.args(["work", id, "--format", "json", "--units", units]);
        for (name, input) in &inputs {
            command.arg(format!("{name}={}", typed(input, at % (3 * EVERY) == 0)));
        }
        let output = ends_with(0, &mut command);
        let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
        let ours = library.work(id, &inputs, system).unwrap();
        assert_eq!(answer, serde_json::to_value(&ours).unwrap(), "{}", case.id);
        for given in &formula.givens {
            let Some(input) = inputs.get(&given.name) else { continue };
            let foreign = foreign(given, input, system);
            assert_eq!(said_of(formula, &answer, &given.name), foreign, "{}", case.id);
            converted += usize::from(foreign);
        }
        count += 1;
    }
    println!("{count} cases typed, {converted} values converted");
    assert!(count >= 30 && converted >= 20);
}
