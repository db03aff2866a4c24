//! Boards that add up, and two unit systems that agree, over the inputs of the cases.

use std::collections::BTreeMap;

use drillwright::formulas::{Given, GivenKind, Input, Inputs, Library, System};
use drillwright::quantity::{self, Fraction, Number, Quantity};

use super::cases::{Case, Mapping, reference};
use super::random::systems;
use super::read;

type Check = dyn Fn(&Library, &Case, &str, &Inputs) -> Option<String>;

fn worked(check: &Check) -> Vec<String> {
    let (library, reference) = (read::library(), reference());
    let mut wrong = Vec::new();
    for (case, mapping) in &reference.pairs {
        let Mapping { formula: Some(formula), .. } = mapping else {
            continue;
        };
        let inputs = reference.inputs(case, mapping);
        wrong.extend(check(&library, case, formula, &inputs));
    }
    wrong
}

/// The quantity as somebody would write it in the unit of a system: three figures at most
/// when it has to be converted.
fn natural(given: &Given, quantity: Quantity, system: System) -> Quantity {
    let GivenKind::Number { unit, unit_si, .. } = &given.kind else { return quantity };
    let unit = quantity::find(if system.is_metric() { unit_si } else { unit }).unwrap();
    if quantity.unit() == unit {
        return quantity;
    }
    let exact = quantity.in_unit(unit).unwrap();
    let text = format!("{:.2e}", Number::Exact(exact.number()).float());
    let short: f64 = text.parse().unwrap();
    Quantity::new(Fraction::read(&short.to_string()).unwrap(), unit)
}

fn natural_inputs(givens: &[Given], inputs: &Inputs, system: System) -> Inputs {
    let one = |(name, input): (&String, &Input)| {
        let given = givens.iter().find(|given| given.name == *name).unwrap();
        let input = match (input, &given.kind) {
            (Input::Number(quantity), _) => {
                Input::Number(natural(given, *quantity, system))
            }
            (Input::Rows(rows), GivenKind::List { columns }) => {
                let cell = |(name, quantity): (&String, &Quantity)| {
                    let column =
                        columns.iter().find(|column| column.name == *name).unwrap();
                    (name.clone(), natural(column, *quantity, system))
                };
                let row =
                    |row: &BTreeMap<String, Quantity>| row.iter().map(cell).collect();
                Input::Rows(rows.iter().map(row).collect())
            }
            (other, _) => other.clone(),
        };
        (name.clone(), input)
    };
    inputs.iter().map(one).collect()
}

#[test]
fn boards_add_up_in_both_systems() {
    let wrong = worked(&|library, case, formula, inputs| {
        let data = library.formula(formula)?;
        let (all, mut without_row) = (systems(data).len(), 0);
        for system in systems(data).iter().copied() {
            let inputs = &natural_inputs(&data.givens, inputs, system);
            match library.board_adds_up(formula, inputs, system) {
                Ok(None) => {}
                Ok(Some(line)) => {
                    let board = library.work(formula, inputs, system).ok()?;
                    let line = board.lines.get(line)?;
                    return Some(format!(
                        "{} {formula} {system:?}: {} {} {} {}",
                        case.id, line.label, line.numbers, line.relation, line.result
                    ));
                }
                // A size of hose has a row only in the table of the system that names it so.
                Err(fault) if fault.key == "missing-row" => without_row += 1,
                Err(fault) => return Some(format!("{} {formula}: {fault:?}", case.id)),
            }
        }
        (without_row == all).then(|| format!("{} {formula}: no row at all", case.id))
    });
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn both_systems_give_the_same() {
    let wrong = worked(&|library, case, formula, inputs| {
        let of = library.formula(formula)?;
        if !super::systems::same(of, &of.answers.first()?.name) {
            return None;
        }
        // What is left out may be another usual figure in each system, such as a length of hose.
        let own_default = |given: &&Given| given.default_si.is_some();
        let mut left_out = library.formula(formula)?.givens.iter().filter(own_default);
        if left_out.any(|given| !inputs.contains_key(&given.name)) {
            return None;
        }
        let us = library.evaluate(formula, inputs, System::Us).ok()?;
        let si = library.evaluate(formula, inputs, System::Si).ok()?;
        // Rounded handbook constants, and a lifting equation whose two forms differ by 3 %.
        let (us, si) = ((*us.first()?)?.float(), (*si.first()?)?.float());
        let apart = (us - si).abs() > 0.035 * us.abs();
        apart.then(|| format!("{} {formula}: {us} and {si}", case.id))
    });
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// A coefficient of 1-3/4 inch hose.
const HOSE: &str = "15.5 psi/(100 gpm)^2/100 ft";

#[test]
fn a_called_formula_shows_its_line() {
    let number = |text: &str| Input::Number(Quantity::read(text).unwrap());
    let given = [("nozzle", "100 psi"), ("flow", "150 gpm"), ("coefficient", HOSE)];
    let mut inputs: Inputs =
        given.iter().map(|(name, text)| ((*name).to_owned(), number(text))).collect();
    inputs.insert("length".to_owned(), number("200 ft"));
    let worked = read::library().work("pump-pressure", &inputs, System::Us).unwrap();
    let first = worked.lines.first().unwrap();
    let plain = |text: &str| text.replace('\u{a0}', " ");
    assert_eq!(
        plain(&first.numbers),
        "15.5 × (150 gpm ÷ 100 gpm)² × (200 ft ÷ 100 ft) × 1 psi"
    );
    assert!(plain(&first.words).starts_with("friction coefficient × (flow ÷ 100 gpm)²"));
}
