//! Formulas, tables and constants checked once, ready to run many times.

use std::collections::{BTreeMap, BTreeSet};

use super::check::{CallGiven, Callable, Code, Named, Scope};
use super::data::{Constant, Formula, Given, GivenKind, Table, TableKey};
use super::eval::{EvalFault, Frame, Key, Rows, Run, Value, World};
use super::fault::{Fault, FaultKind, Part};
use super::parser::{self, Located};
use super::types::Type;
use crate::quantity::{self, Dimension, Kind, Number, Quantity};

/// A formula that can run.
#[derive(Debug, Clone, Default)]
pub(super) struct Program {
    /// Slots with their defaults.
    pub(super) frame: Frame,
    pub(super) names: Vec<String>,
    pub(super) lists: Vec<String>,
    pub(super) columns: Vec<Vec<String>>,
    pub(super) lines: Vec<(usize, Code, bool)>,
    pub(super) answers: Vec<usize>,
    pub(super) verdicts: Vec<Code>,
    /// Per slip: what runs first, and what replaces a work line.
    pub(super) slips: Vec<(Vec<(usize, Code)>, BTreeMap<usize, Code>)>,
    pub(super) types: Vec<Option<Type>>,
}

impl Program {
    pub(super) fn run(
        &self,
        frame: &mut Frame,
        world: World<'_>,
    ) -> Result<(), EvalFault> {
        self.run_with(frame, world, None).map_err(|(_, fault)| fault)
    }

    /// Runs all lines; a fault names the line.
    pub(super) fn run_with(
        &self,
        frame: &mut Frame,
        world: World<'_>,
        slip: Option<usize>,
    ) -> Result<(), (usize, EvalFault)> {
        let slip = slip.and_then(|at| self.slips.get(at));
        if let Some((first, _)) = slip {
            for (slot, code) in first {
                let value =
                    Run { world, frame, row: None }.number(code).map_err(|f| (0, f))?;
                set(frame, *slot, value);
            }
        }
        for (index, (slot, code, signed)) in self.lines.iter().enumerate() {
            let replaced = slip.and_then(|(_, lines)| lines.get(slot));
            let run = Run { world, frame, row: None };
            let value =
                run.number(replaced.unwrap_or(code)).map_err(|fault| (index, fault))?;
            if !signed && slip.is_none() && value.sign() == std::cmp::Ordering::Less {
                return Err((index, EvalFault::Negative));
            }
            set(frame, *slot, value);
        }
        Ok(())
    }
}

fn set(frame: &mut Frame, slot: usize, value: Number) {
    if let Some(target) = frame.slots.get_mut(slot) {
        *target = Value::Number(value);
    }
}

/// A condition between named quantities, checked: `percent * flow <= 5 gpm`.
#[derive(Debug, Clone)]
pub struct Condition {
    code: Code,
    names: Vec<String>,
}

/// Checked formulas, tables and constants.
#[derive(Debug, Clone, Default)]
pub struct Library {
    pub(super) formulas: Vec<Formula>,
    pub(super) us: Vec<Program>,
    pub(super) si: Vec<Program>,
    pub(super) tables: Vec<Rows>,
    pub(super) table_data: Vec<Table>,
    pub(super) constants: Vec<Constant>,
    pub(super) values: Vec<Number>,
    index: BTreeMap<String, usize>,
}

impl Library {
    /// Checks everything; a formula with a fault is left out and its faults are returned.
    pub fn new(
        formulas: Vec<Formula>,
        tables: Vec<Table>,
        constants: Vec<Constant>,
    ) -> (Self, Vec<Fault>) {
        let mut library = Self {
            values: constants.iter().map(|constant| constant.value.base()).collect(),
            tables: tables.iter().map(rows).collect(),
            constants,
            table_data: tables,
            ..Self::default()
        };
        let mut faults = Vec::new();
        let mut calls = library.table_calls();
        let ids: BTreeSet<String> =
            formulas.iter().map(|formula| formula.id.clone()).collect();
        let mut waiting = formulas;
        // Called formulas come first. What still waits when a round adds nothing calls in a
        // circle; each round goes one call deeper, and four are allowed.
        for _ in 0..=4 {
            let mut later = Vec::new();
            let known: BTreeSet<String> = library.index.keys().cloned().collect();
            for formula in waiting {
                let open = called(&formula).into_iter().any(|name| {
                    ids.contains(&name)
                        && !known.contains(&name)
                        && !calls.contains_key(&name)
                });
                if open {
                    later.push(formula);
                } else {
                    library.add(formula, &mut calls, &mut faults);
                }
            }
            waiting = later;
        }
        for formula in waiting {
            let kind = FaultKind::Circle(called(&formula).join(", "));
            faults.push(Fault {
                formula: formula.id,
                part: Part::Whole,
                start: 0,
                end: 0,
                kind,
            });
        }
        (library, faults)
    }

    fn table_calls(&self) -> BTreeMap<String, Callable> {
        let all = self.table_data.iter().enumerate();
        all.map(|(index, table)| {
            let keys = table.keys.iter().map(|key| match key {
                TableKey::Choice { .. } => None,
                TableKey::Number { unit, .. } => {
                    quantity::find(unit).map(|unit| unit.dimension)
                }
            });
            let value = table.rows.first().map(|row| type_of(&row.value));
            let result = value.unwrap_or(Type::PLAIN);
            (table.id.clone(), Callable::Table { index, keys: keys.collect(), result })
        })
        .collect()
    }

    fn add(
        &mut self,
        formula: Formula,
        calls: &mut BTreeMap<String, Callable>,
        faults: &mut Vec<Fault>,
    ) {
        let before = faults.len();
        let constants = &self.constants;
        let us = compile(&formula, false, calls, constants, faults);
        let si = if formula.work_si.is_empty() {
            us.clone()
        } else {
            compile(&formula, true, calls, constants, faults)
        };
        let index = self.formulas.len();
        if faults.len() == before {
            calls.insert(formula.id.clone(), callable(&formula, &us, index));
        }
        // A faulty formula keeps its place so that others are still checked against it, but
        // nobody can find it.
        if faults.len() == before {
            self.index.insert(formula.id.clone(), index);
        }
        self.us.push(us);
        self.si.push(si);
        self.formulas.push(formula);
    }

    /// The formula of that id.
    pub fn formula(&self, id: &str) -> Option<&Formula> {
        self.index.get(id).and_then(|index| self.formulas.get(*index))
    }

    pub(super) fn position(&self, id: &str) -> Option<usize> {
        self.index.get(id).copied()
    }

    /// All formulas in the order of their ids.
    pub fn formulas(&self) -> impl Iterator<Item = &Formula> {
        self.index.values().filter_map(|index| self.formulas.get(*index))
    }

    /// The id that a mistyped one most likely means.
    pub fn nearest(&self, id: &str) -> Option<String> {
        crate::words::nearest(id, self.index.keys().map(String::as_str))
    }

    /// Tables in the order they were read.
    pub fn tables(&self) -> &[Table] {
        &self.table_data
    }

    /// Constants in the order they were read.
    pub fn constants(&self) -> &[Constant] {
        &self.constants
    }

    pub(super) fn world(&self, si: bool) -> World<'_> {
        World {
            programs: if si { &self.si } else { &self.us },
            tables: &self.tables,
            constants: &self.values,
        }
    }

    /// Checks a condition between names whose types are those of the sample quantities.
    pub fn condition(
        &self,
        text: &str,
        names: &BTreeMap<String, Quantity>,
    ) -> Result<Condition, Fault> {
        let fault = |(kind, start, end): Located| Fault {
            formula: String::new(),
            part: Part::Outside,
            start,
            end,
            kind,
        };
        let node = parser::value(text).map_err(fault)?;
        let mut scope = Scope::default();
        for (slot, (name, sample)) in names.iter().enumerate() {
            scope.names.insert(name.clone(), Named::Number(slot, type_of(sample)));
        }
        for (index, constant) in self.constants.iter().enumerate() {
            let named = Named::Constant(index, type_of(&constant.value));
            scope.names.entry(constant.id.clone()).or_insert(named);
        }
        let code = scope.condition(&node).map_err(fault)?;
        Ok(Condition { code, names: names.keys().cloned().collect() })
    }

    /// Whether a condition holds; false when it cannot be computed.
    pub fn holds(
        &self,
        condition: &Condition,
        values: &BTreeMap<String, Quantity>,
    ) -> bool {
        let slots = condition.names.iter().map(|name| match values.get(name) {
            Some(quantity) => Value::Number(quantity.base()),
            None => Value::Unset,
        });
        let frame = Frame { slots: slots.collect(), lists: Vec::new() };
        let run = Run { world: self.world(false), frame: &frame, row: None };
        run.test(&condition.code).unwrap_or(false)
    }
}

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

fn rows(table: &Table) -> Rows {
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
        rows: table
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
fn called(formula: &Formula) -> Vec<String> {
    let slips = formula.slips.iter().flat_map(|slip| slip.lines.iter());
    let work = formula.work.iter().chain(&formula.work_si).map(|line| &line.text);
    let mut out = BTreeSet::new();
    for text in work.chain(slips) {
        for (at, _) in text.match_indices('(') {
            let before = text.get(..at).unwrap_or_default().trim_end();
            let name =
                before.rsplit(|c: char| !(c.is_ascii_alphanumeric() || c == '-')).next();
            out.extend(name.filter(|name| !name.is_empty()).map(str::to_owned));
        }
    }
    out.into_iter().collect()
}

fn callable(formula: &Formula, program: &Program, index: usize) -> Callable {
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

/// The scope of a formula's givens, and the program with their slots.
fn givens<'s>(
    formula: &Formula,
    calls: &'s BTreeMap<String, Callable>,
    constants: &[Constant],
) -> (Scope<'s>, Program) {
    let mut scope = Scope { calls: Some(calls), ..Scope::default() };
    let mut program = Program::default();
    for (index, constant) in constants.iter().enumerate() {
        scope.names.insert(
            constant.id.clone(),
            Named::Constant(index, type_of(&constant.value)),
        );
    }
    for given in &formula.givens {
        let named = match &given.kind {
            GivenKind::Number { unit, default, .. } => {
                let kind = given_type(unit);
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

fn compile(
    formula: &Formula,
    si: bool,
    calls: &BTreeMap<String, Callable>,
    constants: &[Constant],
    faults: &mut Vec<Fault>,
) -> Program {
    let (mut scope, mut program) = givens(formula, calls, constants);
    let mut report = |part: Part, (kind, start, end): Located| {
        faults.push(Fault { formula: formula.id.clone(), part, start, end, kind });
    };
    let work = if si { &formula.work_si } else { &formula.work };
    for (index, line) in work.iter().enumerate() {
        let part = if si { Part::WorkSi(index) } else { Part::Work(index) };
        match parser::line(&line.text) {
            Err(fault) => report(part, fault),
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
    for (index, verdict) in formula.verdicts.iter().enumerate() {
        let checked =
            parser::value(&verdict.when).and_then(|node| scope.condition(&node));
        match checked {
            Ok(code) => program.verdicts.push(code),
            Err(fault) => report(Part::Verdict(index), fault),
        }
    }
    for (index, slip) in formula.slips.iter().enumerate() {
        let compiled =
            compile_slip(&slip.lines, &mut scope, &mut program, &mut |line, fault| {
                report(Part::Slip(index, line), fault);
            });
        program.slips.push(compiled);
    }
    program
}

type SlipCode = (Vec<(usize, Code)>, BTreeMap<usize, Code>);

fn compile_slip(
    lines: &[String],
    scope: &mut Scope<'_>,
    program: &mut Program,
    report: &mut dyn FnMut(usize, Located),
) -> SlipCode {
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
