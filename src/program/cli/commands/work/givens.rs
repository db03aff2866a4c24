//! `name=value` as it is typed → the inputs of a formula, with every fault of a run.

use std::collections::BTreeMap;

use crate::cli::terminal::Terminal;
use crate::formulas::{Fallback, Formula, Given, GivenKind, Input, Inputs, System};
use crate::quantity::{Comma, Direction, Quantity, ReadFault};
use crate::words::Words;

/// Reads every value, or tells every fault.
pub(super) fn read(
    formula: &Formula,
    typed: &[String],
    system: System,
    terminal: &Terminal,
) -> Result<Inputs, Vec<String>> {
    let (words, comma) = (&terminal.words, terminal.comma);
    let mut inputs = Inputs::new();
    let mut faults = Vec::new();
    for typed in typed {
        let Some((name, value)) = typed.split_once('=') else {
            let example = formula.givens.first().map(|given| assignment(given, system));
            let example = example.unwrap_or_default();
            let blanks = [("found", typed.as_str()), ("example", example.as_str())];
            faults.push(words.say("cli.work.no-sign", &blanks));
            continue;
        };
        let (name, value) = (name.trim(), value.trim());
        if value.is_empty() {
            faults.push(words.say("cli.work.no-value", &[("name", name)]));
            continue;
        }
        let Some(given) = formula.givens.iter().find(|given| given.name == name) else {
            let names: Vec<&str> =
                formula.givens.iter().map(|given| given.name.as_str()).collect();
            let blanks = [("name", name), ("names", &names.join(", "))];
            faults.push(words.say("formula.unknown-given", &blanks));
            continue;
        };
        let reading = Reading { given, system, comma, words };
        match reading.input(value) {
            Ok(input) => {
                if inputs.insert(name.to_owned(), input).is_some() {
                    faults.push(words.say("cli.work.twice", &[("name", name)]));
                }
            }
            Err(found) => faults.extend(found),
        }
    }
    if faults.is_empty() { Ok(inputs) } else { Err(faults) }
}

/// A value that could be typed for a given, as an example.
pub(super) fn example(given: &Given, system: System) -> String {
    match &given.kind {
        GivenKind::Number { unit, unit_si, least, most, .. } => {
            let symbol = if system.is_metric() { unit_si } else { unit };
            let within = |value: &Quantity| {
                Some(value.bound(crate::quantity::find(symbol)?, Direction::Up))
            };
            let default = given.default_in(system).and_then(Fallback::value);
            // The default first, because it makes sense; a bound is only possible.
            let found = default.iter().chain([least, most]).find_map(within);
            found.unwrap_or(*least).typed()
        }
        GivenKind::Choice { words } => words.first().cloned().unwrap_or_default(),
        GivenKind::List { columns } => {
            let cells: Vec<String> =
                columns.iter().map(|column| example(column, system)).collect();
            cells.join(", ")
        }
    }
}

/// The same with its name, quoted as a shell wants it.
pub(super) fn assignment(given: &Given, system: System) -> String {
    format!("\"{}={}\"", given.name, example(given, system))
}

struct Reading<'r> {
    given: &'r Given,
    system: System,
    comma: Comma,
    words: &'r Words,
}

impl Reading<'_> {
    fn input(&self, value: &str) -> Result<Input, Vec<String>> {
        match &self.given.kind {
            GivenKind::Number { .. } => {
                self.quantity(self.given, value).map(Input::Number).map_err(|f| vec![f])
            }
            // Whether it is one of the formula's words, the formula says.
            GivenKind::Choice { .. } => Ok(Input::Word(value.to_owned())),
            GivenKind::List { columns } => {
                let mut rows = Vec::new();
                let mut faults = Vec::new();
                let typed = value.split(';').filter(|row| !row.trim().is_empty());
                for row in typed {
                    match self.row(columns, row) {
                        Ok(row) => rows.push(row),
                        Err(found) => faults.extend(found),
                    }
                }
                if faults.is_empty() { Ok(Input::Rows(rows)) } else { Err(faults) }
            }
        }
    }

    fn row(
        &self,
        columns: &[Given],
        typed: &str,
    ) -> Result<BTreeMap<String, Quantity>, Vec<String>> {
        let name = self.given.name.as_str();
        let names: Vec<&str> = columns.iter().map(|c| c.name.as_str()).collect();
        let names = names.join(", ");
        let say = |key: &str, column: &str| {
            let blanks = [("name", name), ("column", column), ("columns", &names)];
            // words: cli.work.{say(..)}
            self.words.say(&format!("cli.work.{key}"), &blanks)
        };
        let mut row = BTreeMap::new();
        let mut faults = Vec::new();
        for (at, cell) in cells(typed, self.comma).into_iter().enumerate() {
            let (column, value) = match cell.split_once(':') {
                Some((column, value)) => {
                    let column = column.trim();
                    (columns.iter().find(|c| c.name == column).ok_or(column), value)
                }
                None => (columns.get(at).ok_or(""), cell),
            };
            match column {
                Ok(column) => match self.quantity(column, value.trim()) {
                    Ok(quantity) => {
                        if row.insert(column.name.clone(), quantity).is_some() {
                            let blanks = [("name", column.name.as_str())];
                            faults.push(self.words.say("cli.work.twice", &blanks));
                        }
                    }
                    Err(fault) => faults.push(fault),
                },
                Err("") => {
                    faults.push(say("too-many-cells", ""));
                    break;
                }
                Err(unknown) => faults.push(say("no-column", unknown)),
            }
        }
        // Only in a row without another fault: a cell that cannot be read is
        // there, and would be told as missing.
        if faults.is_empty() {
            let lacking = columns.iter().filter(|column| {
                let default =
                    matches!(column.kind, GivenKind::Number { default: Some(_), .. });
                !row.contains_key(&column.name) && !default
            });
            faults.extend(lacking.map(|column| say("no-cell", &column.name)));
        }
        if faults.is_empty() { Ok(row) } else { Err(faults) }
    }

    fn quantity(&self, given: &Given, typed: &str) -> Result<Quantity, String> {
        let example = example(given, self.system);
        let say = |key: &str, found: &str| {
            let blanks =
                [("found", found), ("unit", found), ("example", example.as_str())];
            self.words.say(&format!("cli.work.{key}"), &blanks)
        };
        let quantity =
            Quantity::read_with(typed, self.comma).map_err(|fault| match fault {
                ReadFault::Nothing => say("not-a-number", typed),
                ReadFault::NotANumber(found) | ReadFault::Ambiguous(found) => {
                    say("not-a-number", &found)
                }
                ReadFault::UnknownUnit(unit, near) => {
                    let example = near.map_or(example.clone(), str::to_owned);
                    let blanks = [("unit", unit.as_str()), ("example", example.as_str())];
                    self.words.say("cli.work.unknown-unit", &blanks)
                }
            })?;
        let GivenKind::Number { unit, unit_si, .. } = &given.kind else {
            return Ok(quantity);
        };
        let unit = if self.system.is_metric() { unit_si } else { unit };
        let wanted = crate::quantity::find(unit).map(|unit| unit.dimension);
        if wanted.is_some_and(|wanted| wanted != quantity.dimension()) {
            let blanks =
                [("found", typed), ("given", given.label.as_str()), ("unit", unit)];
            return Err(self.words.say("formula.wrong-dimension", &blanks));
        }
        Ok(quantity)
    }
}

/// The values of a row. Where a comma is the decimal sign, the one between two digits ends none.
fn cells(typed: &str, comma: Comma) -> Vec<&str> {
    let mut out = Vec::new();
    let mut from = 0;
    for (at, _) in typed.match_indices(',') {
        let (before, behind) = (typed.get(..at), typed.get(at + 1..));
        let digit = |c: char| c.is_ascii_digit();
        let inside = before.is_some_and(|text| text.ends_with(digit))
            && behind.is_some_and(|text| text.starts_with(digit));
        if comma == Comma::Decimal && inside {
            continue;
        }
        out.extend(typed.get(from..at));
        from = at + 1;
    }
    out.extend(typed.get(from..));
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn trade(formula: &str, typed: &[&str]) -> Result<Inputs, Vec<String>> {
        let (library, _) = crate::authoring::library(&crate::findings::Sources::new());
        let typed: Vec<String> = typed.iter().map(|text| (*text).to_owned()).collect();
        let terminal = Terminal::new(crate::cli::terminal::Format::Text);
        read(library.formula(formula).unwrap(), &typed, System::Us, &terminal)
    }

    #[test]
    fn rows_may_be_typed_by_order_or_by_name() {
        let by_order = trade("flush-time", &["sections=1.75 in, 200 ft; 1in,50ft"]);
        let by_name =
            trade("flush-time", &["sections=length:200 ft, bore: 1.75 in; 1 in, 50 ft"]);
        assert_eq!(by_order, by_name);
        let Ok(inputs) = by_order else { panic!("{by_order:?}") };
        assert!(matches!(&inputs["sections"], Input::Rows(rows) if rows.len() == 2));
    }

    #[test]
    fn a_decimal_comma_ends_no_value_of_a_row() {
        let split = |typed, comma| cells(typed, comma).join("|");
        let both = "1,75 in, 200 ft,3 ft";
        assert_eq!(split(both, Comma::Decimal), "1,75 in| 200 ft|3 ft");
        assert_eq!(split(both, Comma::Unfixed), "1|75 in| 200 ft|3 ft");
        assert_eq!(split("", Comma::Decimal), "");
        assert_eq!(split("0,5 %,", Comma::Decimal), "0,5 %|");
    }

    #[test]
    fn every_fault_is_told_at_once() {
        let typed = ["flow", "flow=fast", "percent=0.5 parcent", "speed=3", "percent="];
        let faults = trade("concentrate-flow", &typed).unwrap_err();
        assert_eq!(faults.len(), 5, "{faults:#?}");
        assert!(faults.iter().all(|fault| !fault.contains(['⟨', '{'])), "{faults:#?}");
        assert!(trade("concentrate-flow", &["flow=95gpm", "flow=1 gpm"]).is_err());
        let faults = trade("flush-time", &["sections=1 in; 1 in, 2 ft, 3 ft; x: 1 in"]);
        assert_eq!(faults.unwrap_err().len(), 3);
    }
}
