//! Formulas, tables and constants checked once, ready to run many times.

use std::collections::{BTreeMap, BTreeSet};

use super::check::{Callable, Code, Named, Scope};
use super::compile::{Outside, callable, called, compile, rows, type_of};
use super::data::{Formula, Table, TableKey};
use super::eval::{EvalFault, Frame, Rows, Run, Value, World};
use super::fault::{Fault, FaultKind, Part};
use super::owes::owes;
use super::parser::{self, Located};
use super::sourced::Constant;
use super::types::Type;
use crate::quantity::{self, Number, Quantity, System};
use crate::words::Words;

/// What of a slip runs first, and what replaces a work line.
pub(super) type SlipCode = (Vec<(usize, Code)>, BTreeMap<usize, Code>);

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
    /// By answer, when it has no figure.
    pub(super) endless: Vec<Option<Code>>,
    /// Conditions, and the figures that their sentences print.
    pub(super) verdicts: Vec<(Code, Option<Code>)>,
    /// Per slip: what runs first, and what replaces a work line.
    pub(super) slips: Vec<SlipCode>,
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
            // Volumes, times and flows below zero mean that the formula does not hold for these
            // numbers; a slip may well come out below zero, and that shows the slip.
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
    /// What its boards say in words.
    pub(super) words: Words,
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
        for formula in &mut waiting {
            formula.stand_in(&library.constants);
        }
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

    /// Names of what holds in modules of the other units alone.
    fn barred(&self, system: System) -> BTreeSet<String> {
        let other = |only: Option<System>| !system.has(only);
        let constants = self.constants.iter().map(|own| (&own.id, own.only));
        let tables = self.table_data.iter().map(|own| (&own.id, own.only));
        let formulas = self.formulas.iter().map(|own| (&own.id, own.only));
        let all = constants.chain(tables).chain(formulas);
        all.filter(|(_, only)| other(*only)).map(|(id, _)| id.clone()).collect()
    }

    fn add(
        &mut self,
        formula: Formula,
        calls: &mut BTreeMap<String, Callable>,
        faults: &mut Vec<Fault>,
    ) {
        let before = faults.len();
        let compiled = |system: System, faults: &mut Vec<Fault>| {
            // A formula of one system alone has no lines in the other.
            let holds = formula.holds_in(system);
            let barred = self.barred(system);
            let world = Outside { calls, constants: &self.constants, barred: &barred };
            if holds {
                compile(&formula, system, world, faults)
            } else {
                Program::default()
            }
        };
        let us = compiled(System::Us, faults);
        // Checked in both even where one set of lines serves both: what they name may be of
        // one system alone. A fault of the same text is told once.
        let mut metric = Vec::new();
        let si = compiled(System::Si, &mut metric);
        metric.retain(|fault| !faults.contains(fault));
        faults.extend(metric);
        let own = if formula.holds_in(System::Us) { &us } else { &si };
        faults.extend(owes(&formula, own));
        let index = self.formulas.len();
        if faults.len() == before {
            calls.insert(formula.id.clone(), callable(&formula, own, index));
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

    /// The lines of a formula in a module of these units.
    pub(super) fn program(&self, index: usize, system: System) -> Option<&Program> {
        if system.is_metric() { self.si.get(index) } else { self.us.get(index) }
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
        // Conditions can call nothing: a draw is tried thousands of times, and a condition is
        // what an author reads at a glance.
        let mut scope = Scope::default();
        for (slot, (name, sample)) in names.iter().enumerate() {
            scope.names.insert(name.clone(), Named::Number(slot, type_of(sample)));
        }
        for (index, constant) in self.constants.iter().enumerate() {
            let named = Named::Constant(index, type_of(&constant.value));
            // A drawn value of the same name is nearer to the author than a constant.
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
