//! The ends of every range: an answer, or a sentence that says why there is none and where.

use std::collections::{BTreeMap, BTreeSet};

use drillwright::formulas::{
    Formula, Given, GivenKind, Input, Inputs, Library, System, WorkFault,
};
use drillwright::quantity::Quantity;
use drillwright::{stock, words::Words};

use super::random::{Draws, Written, systems};
use super::read;

/// The `way`-th of some values of a given: its ends, or a word.
fn end(given: &Given, way: usize) -> Input {
    match &given.kind {
        GivenKind::Number { least, most, .. } => {
            Input::Number(if way.is_multiple_of(2) { *least } else { *most })
        }
        GivenKind::Choice { words } => Input::Word(words[way % words.len()].clone()),
        GivenKind::List { columns } => {
            let cell = |column: &Given| match end(column, way) {
                Input::Number(quantity) => (column.name.clone(), quantity),
                other => panic!("{other:?}"),
            };
            let row: BTreeMap<String, Quantity> = columns.iter().map(cell).collect();
            Input::Rows(vec![row; 1 + way])
        }
    }
}

/// Every combination of ends, up to 64 of them, and as many random inputs.
pub(super) fn inputs(
    library: &Library,
    formula: &Formula,
    system: System,
) -> Vec<Inputs> {
    let mut draws = Draws::new(library, formula, system, Written::InAny);
    let ends = |code: usize| {
        let given = |(at, given): (usize, &Given)| {
            (given.name.clone(), end(given, (code >> at) % 2))
        };
        formula.givens.iter().enumerate().map(given).collect::<Inputs>()
    };
    let count = 1 << formula.givens.len().min(6);
    let ends: Vec<Inputs> = (0..count).map(ends).collect();
    let random: Vec<Inputs> = (0..64).map(|_| draws.any()).collect();
    [ends, random].concat()
}

/// What is wrong with a fault as a sentence for a reader.
fn unclear(formula: &Formula, fault: &WorkFault, words: &Words) -> Option<String> {
    let says = fault.say(words);
    let told = ["not-known", "above-sense", "below-sense"].contains(&fault.key);
    let placed = fault.line.is_some() || fault.given.is_some() || told;
    let lines = formula.work.len().max(formula.work_si.len());
    let there = fault.line.is_none_or(|line| line < lines);
    let whole = says.ends_with(['.', '%']) || says.contains(" to ");
    let clear = placed && there && whole && !says.contains(['⟨', '{']);
    (!clear).then(|| format!("{}: {says} ({fault:?})", formula.id))
}

#[test]
fn the_ends_of_every_range_give_an_answer_or_a_reason() {
    let (library, words) = (read::library(), stock::words());
    let (mut wrong, mut answered) = (BTreeSet::new(), 0);
    let mut keys: BTreeMap<&str, usize> = BTreeMap::new();
    for formula in library.formulas() {
        for system in systems(formula) {
            for inputs in inputs(&library, formula, *system) {
                match library.work(&formula.id, &inputs, *system) {
                    Ok(worked) => {
                        answered += 1;
                        let lines = &formula.work;
                        let signed = lines.iter().any(|line| line.signed);
                        let below = |text: &str| text.starts_with('−');
                        let odd =
                            worked.answers.iter().any(|a| !signed && below(&a.text));
                        let empty = worked.lines.iter().any(|l| l.result.is_empty());
                        if odd || empty || worked.answers.len() != formula.answers.len() {
                            wrong.insert(format!("{}: {inputs:?}", formula.id));
                        }
                    }
                    Err(fault) => {
                        *keys.entry(fault.key).or_default() += 1;
                        wrong.extend(unclear(formula, &fault, &words));
                    }
                }
            }
        }
    }
    println!("{answered} answers; without one: {keys:?}");
    let wrong: Vec<String> = wrong.into_iter().take(20).collect();
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    for key in ["not-known", "above-sense", "below-sense"] {
        assert!(keys.contains_key(key), "no end of a range meets {key}");
    }
    // Which line fell below zero says nothing at the panel: every formula says what it means.
    for key in [
        "negative",
        "divided-by-zero",
        "root-of-negative",
        "overflow",
        "bad-step",
        "unset",
        "empty-list",
    ] {
        assert!(!keys.contains_key(key), "a formula refuses by {key} alone");
    }
}
