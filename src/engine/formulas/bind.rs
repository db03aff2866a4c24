//! Inputs → the slots and lists of a run, each within its range.

use super::data::{Fallback, Given, GivenKind};
use super::eval::{Frame, Value};
use super::library::Library;
use super::printed::Printed;
use super::worked::{Input, Inputs, WorkFault, WorkedGiven};
use crate::quantity::{self, Dimension, Direction, Fraction, Kind, Quantity, System};

pub(super) struct Bound {
    pub(super) frame: Frame,
    pub(super) given: Vec<WorkedGiven>,
    pub(super) printed: Vec<Option<Printed>>,
    /// By list, row and column.
    pub(super) cells: Vec<Vec<Vec<Printed>>>,
}

impl Bound {
    /// The givens with the digits that the board has in the end.
    pub(super) fn tell(&mut self, givens: &[Given]) {
        let (mut slots, mut lists) = (self.printed.iter(), self.cells.iter());
        for (given, told) in givens.iter().zip(&mut self.given) {
            match &given.kind {
                GivenKind::List { columns } => {
                    let cell = |(column, printed): (&Given, &Printed)| {
                        format!("{} {}", column.label, printed.text)
                    };
                    let row = |row: &Vec<Printed>| {
                        let cells = columns.iter().zip(row).map(cell);
                        cells.collect::<Vec<_>>().join(", ")
                    };
                    let rows = lists.next().into_iter().flatten().map(row);
                    told.text = rows.collect::<Vec<_>>().join("; ");
                }
                _ => {
                    if let Some(printed) = slots.next().and_then(Option::as_ref) {
                        told.text.clone_from(&printed.text);
                    }
                }
            }
        }
    }
}

/// A given and what was handed in for it.
#[derive(Clone, Copy)]
struct Taken<'t> {
    given: &'t Given,
    input: Option<&'t Input>,
    system: System,
}

impl Library {
    /// Puts inputs into the slots of a formula, or says what is wrong with one.
    pub(super) fn bind(
        &self,
        index: usize,
        inputs: &Inputs,
        system: System,
    ) -> Result<Bound, WorkFault> {
        let missing =
            || WorkFault::new("unknown-formula").with("formula", index.to_string());
        let formula = self.formulas.get(index).ok_or_else(missing)?;
        let program = self.program(index, system).ok_or_else(missing)?;
        let mut bound = Bound {
            frame: program.frame.clone(),
            given: Vec::new(),
            printed: vec![None; program.names.len()],
            cells: Vec::new(),
        };
        // A value under a name that the formula does not have is never passed over in silence:
        // it is a misspelled given, and its default would be taken instead.
        for name in inputs.keys() {
            if !formula.givens.iter().any(|given| given.name == *name) {
                let known = formula.givens.iter().map(|given| given.name.as_str());
                let near = crate::words::nearest(name, known).unwrap_or_default();
                let fault = WorkFault::new("unknown-given").with("name", name.clone());
                let names: Vec<_> =
                    formula.givens.iter().map(|g| g.name.clone()).collect();
                return Err(fault.with("nearest", near).with("names", names.join(", ")));
            }
        }
        // Numbers and words share one row of slots and lists have their own, as the checker
        // counted them: an input is found by its place and never by its name again.
        let (mut slot, mut list) = (0, 0);
        for given in &formula.givens {
            let input = inputs.get(&given.name);
            match &given.kind {
                GivenKind::Number { .. } => {
                    let default = given.default_in(system);
                    bind_number(
                        &mut bound,
                        slot,
                        &Taken { given, input, system },
                        default.and_then(Fallback::value),
                    )?;
                    slot += 1;
                }
                GivenKind::Choice { words } => {
                    bind_word(&mut bound, slot, given, input, words)?;
                    slot += 1;
                }
                GivenKind::List { columns } => {
                    bind_rows(
                        &mut bound,
                        list,
                        &Taken { given, input, system },
                        columns,
                    )?;
                    list += 1;
                }
            }
        }
        Ok(bound)
    }
}

fn bind_number(
    bound: &mut Bound,
    slot: usize,
    taken: &Taken<'_>,
    default: Option<Quantity>,
) -> Result<(), WorkFault> {
    let Taken { given, input, system } = *taken;
    let quantity = match (input, default) {
        // What was given counts before any default; a given of the wrong sort is told and
        // never passed over for a default that fits.
        (Some(Input::Number(quantity)), _) => *quantity,
        (None, Some(default)) => default,
        (None, None) => return Err(WorkFault::new("missing-given").of(given)),
        (Some(_), _) => return Err(WorkFault::new("wants-number").of(given)),
    };
    let (printed, converted_from) = check_number(given, quantity, system)?;
    if let Some(target) = bound.frame.slots.get_mut(slot) {
        *target = Value::Number(quantity.base());
    }
    bound.given.push(WorkedGiven {
        name: given.name.clone(),
        label: given.label.clone(),
        text: printed.text.clone(),
        // What nobody wrote was not converted either.
        converted_from: input.and(converted_from),
    });
    if let Some(place) = bound.printed.get_mut(slot) {
        *place = Some(printed);
    }
    Ok(())
}

/// A quantity within the given's dimension and range, printed in the module's unit.
fn check_number(
    given: &Given,
    quantity: Quantity,
    system: System,
) -> Result<(Printed, Option<String>), WorkFault> {
    let GivenKind::Number { unit, unit_si, least, most, .. } = &given.kind else {
        return Err(WorkFault::new("wants-number").of(given));
    };
    let symbol = if system.is_metric() { unit_si } else { unit };
    // In the unit of the module, whatever the input was written in, because the board
    // beside it is read by one crew.
    let target = quantity::find(symbol).unwrap_or(quantity.unit());
    let wrong = || {
        let fault = WorkFault::new("wrong-dimension")
            .of(given)
            .with("found", quantity.to_string());
        // A coefficient written as a pressure gets the unit that its number was meant in.
        let friction = (target.dimension == Dimension::FRICTION)
            .then(|| quantity::friction_of(quantity.unit()))
            .flatten();
        let unit = friction.unwrap_or(target);
        fault.with("unit", Quantity::new(Fraction::ONE, unit).unit_printed())
    };
    if quantity.dimension() != target.dimension
        || (quantity.unit().kind == Kind::Reading) != (target.kind == Kind::Reading)
        // A percent and a bare number have no dimension either, and are a hundredfold apart.
        || (quantity.unit().kind == Kind::Share && target.kind == Kind::Plain)
        || (quantity.unit().kind == Kind::Plain && target.kind == Kind::Share)
    {
        return Err(wrong());
    }
    let base = quantity.base();
    // The ends themselves are within: they are the last values the source vouches for.
    if base.compare(least.base()).is_lt() || base.compare(most.base()).is_gt() {
        let fault =
            WorkFault::new("out-of-range").of(given).with("found", quantity.to_string());
        return Err(fault
            .with("least", least.bound(target, Direction::Up).to_string())
            .with("most", most.bound(target, Direction::Down).to_string()));
    }
    // As it was written: no digit is added to or taken from what the author typed.
    if quantity.unit() == target {
        return Ok((Printed::written(&quantity), None));
    }
    let printed = Printed::converted(base, target).ok_or_else(wrong)?;
    Ok((printed, Some(quantity.printed())))
}

fn bind_word(
    bound: &mut Bound,
    slot: usize,
    given: &Given,
    input: Option<&Input>,
    words: &[String],
) -> Result<(), WorkFault> {
    let word = match input {
        Some(Input::Word(word)) if words.contains(word) => word.clone(),
        None => return Err(WorkFault::new("missing-given").of(given)),
        _ => {
            return Err(WorkFault::new("wants-word")
                .of(given)
                .with("words", words.join(", ")));
        }
    };
    bound.given.push(WorkedGiven {
        name: given.name.clone(),
        label: given.label.clone(),
        text: word.clone(),
        converted_from: None,
    });
    if let Some(target) = bound.frame.slots.get_mut(slot) {
        *target = Value::Word(word);
    }
    Ok(())
}

fn bind_rows(
    bound: &mut Bound,
    list: usize,
    taken: &Taken<'_>,
    columns: &[Given],
) -> Result<(), WorkFault> {
    let Taken { given, input, system } = *taken;
    let rows = match input {
        // More rows than any rig has sections or lines; a board of them would fill sheets.
        Some(Input::Rows(rows)) if rows.len() > 50 => {
            return Err(WorkFault::new("too-many-rows").of(given));
        }
        Some(Input::Rows(rows)) if !rows.is_empty() => rows,
        Some(Input::Rows(_)) => return Err(WorkFault::new("empty-list").of(given)),
        None => return Err(WorkFault::new("missing-given").of(given)),
        Some(_) => return Err(WorkFault::new("wants-rows").of(given)),
    };
    let (mut values, mut cells) = (Vec::new(), Vec::new());
    let (mut written, mut converted) = (Vec::new(), false);
    for row in rows {
        let (mut numbers, mut printed_row, mut written_row) =
            (Vec::new(), Vec::new(), Vec::new());
        for column in columns {
            let default = column.default_in(system);
            let quantity = row.get(&column.name).copied();
            let quantity = quantity.or_else(|| default.and_then(Fallback::value));
            let quantity =
                quantity.ok_or_else(|| WorkFault::new("missing-given").of(column))?;
            let (printed, from) = check_number(column, quantity, system)?;
            numbers.push(quantity.base());
            converted |= from.is_some();
            written_row.push(format!("{} {}", column.label, quantity.printed()));
            printed_row.push(printed);
        }
        if let Some(stray) =
            row.keys().find(|key| !columns.iter().any(|c| c.name == **key))
        {
            let names: Vec<_> = columns.iter().map(|c| c.name.clone()).collect();
            let fault = WorkFault::new("unknown-given").with("name", stray.clone());
            return Err(fault.with("nearest", "").with("names", names.join(", ")));
        }
        values.push(numbers);
        cells.push(printed_row);
        written.push(written_row.join(", "));
    }
    if let Some(target) = bound.frame.lists.get_mut(list) {
        *target = values;
    }
    bound.cells.push(cells);
    bound.given.push(WorkedGiven {
        name: given.name.clone(),
        label: given.label.clone(),
        text: String::new(),
        converted_from: converted.then(|| written.join("; ")),
    });
    Ok(())
}
