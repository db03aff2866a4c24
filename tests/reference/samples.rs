//! Every formula of the library, worked on round samples from the middle of its ranges: it
//! has an answer there, and its board adds up in both systems.

#![expect(clippy::float_arithmetic, reason = "samples need not be exact")]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use drillwright::formulas::{
    Formula, Given, GivenKind, Input, Inputs, Library, System, WorkedAnswer,
};
use drillwright::quantity::{self, Fraction, Number, Quantity};

use serde_json::json;

use super::random::{Draws, Written, systems};
use super::read;

/// Random boards of a formula, in each system and way of writing.
const BOARDS: usize = 60;

/// Boards of the same kind that another program reads back.
const READ_BACK: usize = 8;

/// How far the samples lie from the middle of the ranges.
const FACTORS: &[f64] = &[1.0, 0.5, 0.2, 2.0, 4.0];

/// Near the middle of a given's range, in the unit of the system, two figures long. A range
/// that begins at nothing has no such middle; there it is the largest value over `above`.
fn middle(given: &Given, system: System, factor: f64, above: f64) -> Option<Quantity> {
    let GivenKind::Number { unit, unit_si, least, most, .. } = &given.kind else {
        return None;
    };
    let unit = quantity::find(if system.is_metric() { unit_si } else { unit }).unwrap();
    let bare = |quantity: &Quantity| {
        Number::Exact(quantity.in_unit(unit).unwrap().number()).float()
    };
    let (least, most) = (bare(least), bare(most));
    let middle = if least > 0.0 { (least * most).sqrt() } else { most / above };
    let value = (middle * factor).clamp(least, most);
    let short: f64 = format!("{value:.1e}").parse().unwrap();
    Some(Quantity::new(Fraction::read(&short.to_string()).unwrap(), unit))
}

fn sample(formula: &Formula, system: System, factor: f64) -> Inputs {
    let one = |given: &Given| {
        let input = match &given.kind {
            GivenKind::Number { .. } => {
                Input::Number(middle(given, system, factor, 400.0)?)
            }
            GivenKind::Choice { words } => Input::Word(words.first()?.clone()),
            GivenKind::List { columns } => {
                // Three rows that differ, so that lines through points have a slope.
                let row = |part: f64| {
                    let cell = |column: &Given| {
                        Some((
                            column.name.clone(),
                            middle(column, system, factor * part, 20.0)?,
                        ))
                    };
                    columns.iter().map(cell).collect::<Option<BTreeMap<_, _>>>()
                };
                Input::Rows([0.8, 1.0, 1.2].map(|part| row(part).unwrap()).to_vec())
            }
        };
        Some((given.name.clone(), input))
    };
    formula.givens.iter().filter_map(one).collect()
}

fn faults(library: &Library, formula: &Formula, system: System) -> Vec<String> {
    let (mut worked, mut wrong) = (0, Vec::new());
    let mut why = String::new();
    for factor in FACTORS {
        let inputs = sample(formula, system, *factor);
        match library.board_adds_up(&formula.id, &inputs, system) {
            Ok(None) => worked += 1,
            Ok(Some(line)) => {
                let board = library.work(&formula.id, &inputs, system).map(|w| w.lines);
                let line = board.ok().and_then(|lines| lines.into_iter().nth(line));
                wrong.push(format!("{} {system:?} {line:?}", formula.id));
            }
            Err(fault) => why = format!("{fault:?}"),
        }
    }
    if worked == 0 {
        wrong.push(format!("{} {system:?} works on no sample: {why}", formula.id));
    }
    wrong
}

#[test]
fn boards_of_all_formulas_add_up() {
    let library = read::library();
    let mut wrong = Vec::new();
    for formula in library.formulas() {
        for system in systems(formula) {
            wrong.extend(faults(&library, formula, *system));
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// Boards over random inputs, in the board's own units and in any others.
#[test]
fn boards_add_up_over_random_inputs() {
    let library = read::library();
    let mut wrong = Vec::new();
    let mut boards = 0;
    for formula in library.formulas() {
        for system in systems(formula) {
            for written in [Written::AsShown, Written::InAny] {
                let mut draws = Draws::new(&library, formula, *system, written);
                for _ in 0..BOARDS {
                    let Some(inputs) = draws.sound() else {
                        wrong.push(format!("{} {system:?} works on nothing", formula.id));
                        break;
                    };
                    boards += 1;
                    if let Some(line) =
                        library.board_adds_up(&formula.id, &inputs, *system).unwrap()
                    {
                        let board = library.work(&formula.id, &inputs, *system).unwrap();
                        let line = &board.lines[line];
                        wrong.push(format!(
                            "{} {system:?} {written:?}: {} {} {}",
                            formula.id, line.numbers, line.relation, line.result
                        ));
                    }
                }
            }
        }
    }
    println!("{boards} boards over random inputs");
    assert!(wrong.is_empty(), "{} of {boards}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(boards > 10_000);
}

/// What a question tries is what its key prints: a formula without its board gives the same
/// answers, verdicts and slips, or the same reason why there is none.
#[test]
fn what_is_tried_is_what_is_worked() {
    let library = read::library();
    let (mut tried, mut refused) = (0, 0);
    for formula in library.formulas() {
        for system in systems(formula) {
            let mut draws = Draws::new(&library, formula, *system, Written::InAny);
            for _ in 0..READ_BACK {
                for inputs in [draws.sound().unwrap(), draws.any()] {
                    let worked = library.work(&formula.id, &inputs, *system);
                    let quick = library.attempt(&formula.id, &inputs, *system);
                    let (worked, quick) = match (worked, quick) {
                        (Ok(worked), Ok(quick)) => (worked, quick),
                        (worked, quick) => {
                            assert_eq!(worked.err(), quick.err(), "{}", formula.id);
                            refused += 1;
                            continue;
                        }
                    };
                    let numbers = |answers: &[WorkedAnswer]| -> Vec<Option<Number>> {
                        answers.iter().map(|answer| answer.number).collect()
                    };
                    assert_eq!(quick.answers, numbers(&worked.answers), "{}", formula.id);
                    assert_eq!(quick.verdicts, worked.verdicts, "{}", formula.id);
                    let slips = quick.slips.into_iter();
                    let slips =
                        slips.map(|(at, numbers)| (&formula.slips[at].id, numbers));
                    let wanted = worked.slips.iter();
                    let wanted = wanted.map(|slip| (&slip.id, numbers(&slip.answers)));
                    assert!(slips.eq(wanted), "slips of {}", formula.id);
                    tried += 1;
                }
            }
        }
    }
    println!("{tried} tried, {refused} refused");
    assert!(tried > 1_000 && refused > 20);
}

/// Boards for the script that reads them back: what is printed of some random inputs of each
/// formula, and the step and direction of its answers.
#[test]
fn boards_to_be_read_back_are_written() {
    let library = read::library();
    let mut boards = Vec::new();
    for formula in library.formulas() {
        for system in systems(formula) {
            for written in [Written::AsShown, Written::InAny] {
                let mut draws = Draws::new(&library, formula, *system, written);
                for _ in 0..READ_BACK {
                    let inputs = draws.sound().unwrap();
                    let worked = library.work(&formula.id, &inputs, *system).unwrap();
                    boards.push(json!({
                        "system": system,
                        "answers": formula.answers,
                        "worked": worked,
                    }));
                }
            }
        }
    }
    assert!(boards.len() > 2_000);
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("boards.json");
    fs::write(path, serde_json::to_string(&boards).unwrap()).unwrap();
}
