//! A formula's texts → a program.

use std::collections::{BTreeMap, BTreeSet};

use super::answers::Verdict;
use super::check::{CallGiven, Callable, Code, Named, Scope};
use super::data::{Fallback, Formula, Given, GivenKind, Table, TableKey, WorkLine};
use super::eval::{Key, Rows, Value};
use super::fault::{Fault, FaultKind, Part};
use super::library::{Program, SlipCode};
use super::parser::{self, Located};
use super::sourced::Constant;
use super::types::Type;
use crate::quantity::{self, Dimension, Kind, Quantity, System};

pub(super) fn type_of(quantity: &Quantity) -> Type {
    let unit = quantity.unit();
    let whole = unit.kind == Kind::Plain && quantity.number().is_whole();
    let kind = if whole { Kind::Whole } else { unit.kind };
    Type { dimension: unit.dimension, kind }
}

fn given_type(unit: &str) -> Type {
    match quantity::find(unit) {
        Some(unit) => Type { dimension: unit.dimension, kind: unit.kind },
        None => Type { dimension: Dimension::NONE, kind: Kind::Plain },
    }
}

pub(super) fn rows(table: &Table) -> Rows {
    let unit = table.keys.iter().find_map(|key| match key {
        TableKey::Number { unit, .. } => Some(unit.clone()),
        TableKey::Choice { .. } => None,
    });
    let key = |(text, key): (&String, &TableKey)| match (key, Quantity::read(text)) {
        (TableKey::Number { .. }, Ok(quantity)) => {
            Key::Number(quantity.base(), text.clone())
        }
        _ => Key::Word(text.clone()),
    };
    Rows {
        id: table.id.clone(),
        rule: table.rule,
        unit: unit.unwrap_or_default(),
        entries: table
            .rows
            .iter()
            .map(|row| {
                let keys = row.keys.iter().zip(&table.keys).map(key).collect();
                (keys, row.value.base())
            })
            .collect(),
    }
}

/// Names that a formula's lines call.
pub(super) fn called(formula: &Formula) -> Vec<String> {
    let slips =
        formula.slips.iter().flat_map(|slip| slip.lines.iter().chain(&slip.lines_si));
    let work = formula.work.iter().chain(&formula.work_si).map(|line| &line.text);
    let mut out = BTreeSet::new();
    for text in work.chain(slips) {
        // The texts are not parsed here: a formula with a fault still has to stand in its place
        // in the order of calls. A name too many only makes that order stricter.
        for (at, _) in text.match_indices('(') {
            let before = text.get(..at).unwrap_or_default().trim_end();
            let name =
                before.rsplit(|c: char| !(c.is_ascii_alphanumeric() || c == '-')).next();
            out.extend(name.filter(|name| !name.is_empty()).map(str::to_owned));
        }
    }
    out.into_iter().collect()
}

pub(super) fn callable(formula: &Formula, program: &Program, index: usize) -> Callable {
    let mut givens = Vec::new();
    for given in &formula.givens {
        let GivenKind::Number { unit, default, .. } = &given.kind else { continue };
        let slot = program.names.iter().position(|name| *name == given.name).unwrap_or(0);
        givens.push(CallGiven {
            name: given.name.clone(),
            slot,
            kind: given_type(unit),
            optional: default.is_some(),
        });
    }
    let answer =
        program.answers.first().and_then(|slot| program.types.get(*slot).copied());
    let result = answer.flatten().unwrap_or(Type::PLAIN);
    Callable::Formula { index, givens, result }
}

/// What stands around a formula.
#[derive(Clone, Copy)]
pub(super) struct Outside<'o> {
    pub(super) calls: &'o BTreeMap<String, Callable>,
    pub(super) constants: &'o [Constant],
    /// Names of what holds in modules of the other units alone.
    pub(super) barred: &'o BTreeSet<String>,
}

/// The scope of a formula's givens, and the program with their slots.
fn givens<'s>(
    formula: &Formula,
    system: System,
    outside: Outside<'s>,
) -> (Scope<'s>, Program) {
    let (calls, barred) = (Some(outside.calls), Some(outside.barred));
    let mut scope = Scope { calls, barred, ..Scope::default() };
    let mut program = Program::default();
    for (index, constant) in outside.constants.iter().enumerate() {
        if outside.barred.contains(&constant.id) {
            continue;
        }
        scope.names.insert(
            constant.id.clone(),
            Named::Constant(index, type_of(&constant.value)),
        );
    }
    for given in &formula.givens {
        let named = match &given.kind {
            GivenKind::Number { unit, .. } => {
                let kind = given_type(unit);
                let default = given.default_in(system).and_then(Fallback::value);
                let default = default.map_or(Value::Unset, |q| Value::Number(q.base()));
                Named::Number(program.slot(&given.name, Some(kind), default), kind)
            }
            GivenKind::Choice { words } => Named::Choice(
                program.slot(&given.name, None, Value::Unset),
                words.clone(),
            ),
            GivenKind::List { columns } => {
                program.lists.push(given.name.clone());
                program.columns.push(columns.iter().map(|c| c.name.clone()).collect());
                program.frame.lists.push(Vec::new());
                Named::List(program.lists.len() - 1, columns.iter().map(column).collect())
            }
        };
        scope.names.insert(given.name.clone(), named);
    }
    (scope, program)
}

fn column(given: &Given) -> (String, Type) {
    let kind = match &given.kind {
        GivenKind::Number { unit, .. } => given_type(unit),
        _ => Type::PLAIN,
    };
    (given.name.clone(), kind)
}

impl Program {
    fn slot(&mut self, name: &str, kind: Option<Type>, value: Value) -> usize {
        self.names.push(name.to_owned());
        self.types.push(kind);
        self.frame.slots.push(value);
        self.names.len() - 1
    }
}

pub(super) fn compile(
    formula: &Formula,
    system: System,
    outside: Outside<'_>,
    faults: &mut Vec<Fault>,
) -> Program {
    let (mut scope, mut program) = givens(formula, system, outside);
    let before = faults.len();
    let mut report = |part: Part, (kind, start, end): Located| {
        faults.push(Fault { formula: formula.id.clone(), part, start, end, kind });
    };
    // Only where handbook constants differ are there two sets of lines; else one serves both
    // systems.
    let si = system.is_metric() && !formula.work_si.is_empty();
    let work = if si { &formula.work_si } else { &formula.work };
    for (index, line) in work.iter().enumerate() {
        let part = if si { Part::WorkSi(index) } else { Part::Work(index) };
        match parser::line(&line.text) {
            Err(fault) => report(part, fault),
            // A name keeps its value for the whole board; otherwise a reader could not look up
            // what a line was fed with.
            Ok((name, _)) if scope.names.contains_key(&name) => {
                report(part, (FaultKind::TwiceNamed(name.clone()), 0, name.len()));
            }
            Ok((name, node)) => match scope.number(&node) {
                Err(fault) => report(part, fault),
                Ok((code, kind)) => {
                    let unit = line.shown.unit();
                    if unit.dimension != kind.dimension {
                        let fault =
                            FaultKind::ShownWrong(unit.symbol.to_owned(), kind.name());
                        report(part, (fault, 0, name.len()));
                    }
                    let slot = program.slot(&name, Some(kind), Value::Unset);
                    scope.names.insert(name, Named::Number(slot, kind));
                    // Named after its own line was checked, so a line can use only what stands
                    // above it.
                    program.lines.push((slot, code, line.signed));
                }
            },
        }
    }
    for (index, answer) in formula.answers.iter().enumerate() {
        match program.names.iter().position(|name| *name == answer.name) {
            Some(slot) => program.answers.push(slot),
            None => {
                report(
                    Part::Answer(index),
                    (FaultKind::NoLine(answer.name.clone()), 0, 0),
                );
            }
        }
    }
    told(formula, system, (&mut scope, &mut program), &mut report);
    leave_out_what_follows(work, faults, before);
    program
}

/// A line with a fault has no value, and all that rests on it would be told as well: its author mends
/// one line and reads of one.
fn leave_out_what_follows(work: &[WorkLine], faults: &mut Vec<Fault>, before: usize) {
    let own: Vec<Fault> = faults.drain(before..).collect();
    let mut lost: BTreeSet<&str> = BTreeSet::new();
    for fault in own {
        let follows = match &fault.kind {
            FaultKind::UnknownName(name, _)
            | FaultKind::UnknownCall(name, _)
            | FaultKind::NoLine(name) => lost.contains(name.as_str()),
            _ => false,
        };
        // The name of a line stands before its sign even where nothing else of it can be read.
        if let Part::Work(index) | Part::WorkSi(index) = fault.part
            && let Some(line) = work.get(index)
        {
            let text = &line.text;
            let name = text.split(|c: char| !c.is_alphanumeric() && c != '_').next();
            lost.extend(name.filter(|name| !name.is_empty()));
        }
        if !follows {
            faults.push(fault);
        }
    }
}

/// What a formula says in the end: answers without a figure, verdicts, slips.
fn told(
    formula: &Formula,
    system: System,
    (scope, program): (&mut Scope<'_>, &mut Program),
    report: &mut dyn FnMut(Part, Located),
) {
    for (index, answer) in formula.answers.iter().enumerate() {
        let endless =
            answer.endless.as_ref().map(|endless| condition(scope, &endless.when));
        match endless.transpose() {
            Ok(code) => program.endless.push(code),
            Err(fault) => report(Part::Endless(index), fault),
        }
    }
    for (index, verdict) in formula.verdicts.iter().enumerate() {
        match condition(scope, &verdict.when) {
            Ok(code) => {
                let figure = figure(scope, verdict);
                let figure = figure.unwrap_or_else(|fault| {
                    report(Part::Figure(index), fault);
                    None
                });
                program.verdicts.push((code, figure));
            }
            Err(fault) => report(Part::Verdict(index), fault),
        }
    }
    for (index, slip) in formula.slips.iter().enumerate() {
        // A slip of the other system keeps its place, for slips are known by their place.
        let lines = if slip.made_in(system) { slip.written(system) } else { &[] };
        let metric = system.is_metric() && !slip.lines_si.is_empty();
        let compiled = compile_slip(lines, scope, program, &mut |line, fault| {
            let part =
                if metric { Part::SlipSi(index, line) } else { Part::Slip(index, line) };
            report(part, fault);
        });
        program.slips.push(compiled);
    }
}

fn condition(scope: &mut Scope<'_>, text: &str) -> Result<Code, Located> {
    parser::value(text).and_then(|node| scope.condition(&node))
}

/// The figure of a verdict's sentence; its step must measure it.
fn figure(scope: &mut Scope<'_>, verdict: &Verdict) -> Result<Option<Code>, Located> {
    let Some(text) = &verdict.figure else { return Ok(None) };
    let (code, kind) = parser::value(text).and_then(|node| scope.number(&node))?;
    for shown in [&verdict.shown, &verdict.shown_si] {
        let unit = shown.map_or(Dimension::NONE, |shown| shown.unit().dimension);
        let symbol = shown.map_or("", |shown| shown.unit().symbol).to_owned();
        if unit != kind.dimension {
            return Err((FaultKind::ShownWrong(symbol, kind.name()), 0, text.len()));
        }
    }
    Ok(Some(code))
}

fn compile_slip(
    lines: &[String],
    scope: &mut Scope<'_>,
    program: &mut Program,
    report: &mut dyn FnMut(usize, Located),
) -> SlipCode {
    // A slip shows what people do wrong, and multiplying a percent by a hundred is one of those
    // things.
    scope.slip = true;
    let mut first = Vec::new();
    let mut replaced = BTreeMap::new();
    for (index, text) in lines.iter().enumerate() {
        let (name, node) = match parser::line(text) {
            Ok(parsed) => parsed,
            Err(fault) => {
                report(index, fault);
                continue;
            }
        };
        let (code, kind) = match scope.number(&node) {
            Ok(checked) => checked,
            Err(fault) => {
                report(index, fault);
                continue;
            }
        };
        match scope.names.get(&name) {
            Some(Named::Number(_, known)) if known.dimension != kind.dimension => {
                let fault = FaultKind::Unlike(known.name(), kind.name());
                report(index, (fault, node.start, node.end));
            }
            Some(Named::Number(slot, _)) => {
                // A given is replaced before the work starts, a line in its own turn, so that
                // lines above it keep their right values.
                let is_line = program.lines.iter().any(|(line, ..)| line == slot);
                if is_line {
                    replaced.insert(*slot, code);
                } else {
                    first.push((*slot, code));
                }
            }
            Some(_) => report(index, (FaultKind::NotANumber, 0, name.len())),
            None => {
                let fault = FaultKind::NoLine(name.clone());
                report(index, (fault, 0, name.len()));
            }
        }
    }
    scope.slip = false;
    (first, replaced)
}
