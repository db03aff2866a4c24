//! Checked code → value. Everything is in base units; a bare share is a part of one.

use std::cmp::Ordering;

use super::call::Function;
use super::check::Code;
use super::data::TableRule;
use super::library::Program;
use super::tree::{Fold, Op, Test};
use crate::quantity::{Fraction, Kind, Number, NumberFault};

/// What a name holds while a formula runs.
#[derive(Debug, Clone)]
pub(super) enum Value {
    Number(Number),
    Word(String),
    Unset,
}

/// Names and lists of one run.
#[derive(Debug, Clone, Default)]
pub(super) struct Frame {
    pub(super) slots: Vec<Value>,
    pub(super) lists: Vec<Vec<Vec<Number>>>,
}

/// Why code has no value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum EvalFault {
    Number(NumberFault),
    EmptyList,
    MissingRow { table: String, key: String, rows: String },
    BadStep,
    Unset,
    Negative,
}

/// A table with keys in base units.
#[derive(Debug, Clone)]
pub(super) struct Rows {
    pub(super) id: String,
    pub(super) rule: TableRule,
    pub(super) unit: String,
    pub(super) entries: Vec<(Vec<Key>, Number)>,
}

/// A numeric key and its value.
type KeyValue = (Number, Number);

/// A key of a row.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Key {
    Word(String),
    Number(Number, String),
}

/// What code can reach beside its frame.
#[derive(Debug, Clone, Copy)]
pub(super) struct World<'w> {
    pub(super) programs: &'w [Program],
    pub(super) tables: &'w [Rows],
    pub(super) constants: &'w [Number],
}

type Result<T> = std::result::Result<T, EvalFault>;

impl From<NumberFault> for EvalFault {
    fn from(fault: NumberFault) -> Self {
        Self::Number(fault)
    }
}

/// One run of code.
#[derive(Debug, Clone, Copy)]
pub(super) struct Run<'r> {
    pub(super) world: World<'r>,
    pub(super) frame: &'r Frame,
    pub(super) row: Option<&'r [Number]>,
}

impl Run<'_> {
    pub(super) fn number(&self, code: &Code) -> Result<Number> {
        match code {
            Code::Constant(value, ..) => Ok(*value),
            Code::Slot(slot) => match self.frame.slots.get(*slot) {
                Some(Value::Number(number)) => Ok(*number),
                // A word where a number is wanted was refused when the formula was read; a
                // name that nobody filled can still be missing here.
                _ => Err(EvalFault::Unset),
            },
            Code::Named(index) => {
                self.world.constants.get(*index).copied().ok_or(EvalFault::Unset)
            }
            Code::Column(column) => {
                // A column has a value only inside a sum over rows; elsewhere the same name
                // stands for nothing.
                let cell = self.row.and_then(|row| row.get(*column)).copied();
                cell.ok_or(EvalFault::Unset)
            }
            Code::Negative(inner) => Ok(Number::ZERO.sub(self.number(inner)?)?),
            // Brackets are kept in the code although they change no value: the board prints
            // them as the author wrote them.
            Code::Group(inner) => self.number(inner),
            Code::Binary(op, left, right) => {
                let (left, right) = (self.number(left)?, self.number(right)?);
                Ok(match op {
                    Op::Add => left.add(right),
                    Op::Sub => left.sub(right),
                    Op::Mul => left.mul(right),
                    Op::Div => left.div(right),
                }?)
            }
            Code::Power(base, exponent) => {
                Ok(self.number(base)?.pow(self.number(exponent)?)?)
            }
            Code::As(inner, unit) => {
                let mut value = self.number(inner)?;
                // A scale has its zero elsewhere: 68 °F is 68 steps above the zero of that
                // scale.
                if unit.kind == Kind::Reading {
                    value = value.sub(Number::Exact(unit.zero()))?;
                }
                Ok(value.div(Number::Exact(unit.factor()))?)
            }
            Code::Call(function, arguments) => self.function(*function, arguments),
            Code::Table(index, keys) => self.table(*index, keys),
            Code::Formula(index, givens) => self.formula(*index, givens),
            Code::Fold(fold, list, inner) => {
                let values = self.fold_terms(*list, inner)?;
                fold_values(*fold, &values)
            }
            Code::Count(list) => {
                let rows = self.rows(*list)?.len();
                let count = i128::try_from(rows).unwrap_or(0);
                Ok(Number::Exact(Fraction::whole(count)))
            }
            Code::If(condition, yes, no) => {
                if self.test(condition)? {
                    self.number(yes)
                } else {
                    self.number(no)
                }
            }
            // The check gave every node a type, so none of these is ever asked for a number.
            Code::Compare(..) | Code::Is(..) | Code::And(_) | Code::Or(_) => {
                Err(EvalFault::Unset)
            }
        }
    }

    pub(super) fn test(&self, code: &Code) -> Result<bool> {
        match code {
            Code::Group(inner) => self.test(inner),
            Code::Compare(test, left, right) => {
                let order = self.number(left)?.compare(self.number(right)?);
                Ok(match test {
                    Test::Less => order == Ordering::Less,
                    Test::LessOrEqual => order != Ordering::Greater,
                    Test::More => order == Ordering::Greater,
                    Test::MoreOrEqual => order != Ordering::Less,
                })
            }
            Code::Is(slot, word) => match self.frame.slots.get(*slot) {
                Some(Value::Word(held)) => Ok(held == word),
                _ => Err(EvalFault::Unset),
            },
            Code::And(tests) => {
                for test in tests {
                    if !self.test(test)? {
                        return Ok(false);
                    }
                }
                Ok(true)
            }
            Code::Or(tests) => {
                for test in tests {
                    if self.test(test)? {
                        return Ok(true);
                    }
                }
                Ok(false)
            }
            _ => Err(EvalFault::Unset),
        }
    }

    pub(super) fn rows(&self, list: usize) -> Result<&[Vec<Number>]> {
        match self.frame.lists.get(list) {
            Some(rows) if !rows.is_empty() => Ok(rows),
            _ => Err(EvalFault::EmptyList),
        }
    }

    pub(super) fn fold_terms(&self, list: usize, inner: &Code) -> Result<Vec<Number>> {
        let run = |row: &Vec<Number>| {
            let (world, frame) = (self.world, self.frame);
            Run { world, frame, row: Some(row) }.number(inner)
        };
        self.rows(list)?.iter().map(run).collect()
    }

    fn function(&self, function: Function, arguments: &[Code]) -> Result<Number> {
        let mut values = Vec::with_capacity(arguments.len());
        for argument in arguments {
            values.push(self.number(argument)?);
        }
        let first = values.first().copied().ok_or(EvalFault::Unset)?;
        // Functions of one value never look at it; the check counted the arguments.
        let second = values.get(1).copied().unwrap_or(Number::ZERO);
        match function {
            Function::Min => fold_values(Fold::Least, &values),
            Function::Max => fold_values(Fold::Most, &values),
            Function::Abs => Ok(first.absolute()),
            Function::Sqrt => Ok(first.sqrt()?),
            Function::Ln => Ok(first.ln()?),
            Function::Exp => Ok(first.exp()?),
            Function::Down => stepped(first, second, Fraction::floor),
            Function::Up => stepped(first, second, |steps| -steps.negated().floor()),
            Function::Near => stepped(first, second, |steps| {
                let half = Fraction::new(1, 2).unwrap_or(Fraction::ZERO);
                // Half a step goes away from zero, as people round on paper.
                let away = steps.absolute().add(half).unwrap_or(steps);
                steps.signum() * away.floor()
            }),
            Function::Absolute => Ok(first),
        }
    }

    fn formula(&self, index: usize, givens: &[(usize, Code)]) -> Result<Number> {
        let program = self.world.programs.get(index).ok_or(EvalFault::Unset)?;
        // A called formula starts from its own defaults and sees nothing of the caller.
        let mut frame = program.frame.clone();
        for (slot, code) in givens {
            let value = self.number(code)?;
            if let Some(target) = frame.slots.get_mut(*slot) {
                *target = Value::Number(value);
            }
        }
        program.run(&mut frame, self.world)?;
        let slot = program.answers.first().copied().unwrap_or(0);
        // The first answer is what a call of the formula gives; an author names the others only
        // where a board is shown.
        Run { world: self.world, frame: &frame, row: None }.number(&Code::Slot(slot))
    }

    fn table(&self, index: usize, keys: &[Code]) -> Result<Number> {
        let table = self.world.tables.get(index).ok_or(EvalFault::Unset)?;
        let mut wanted = Vec::new();
        for key in keys {
            wanted.push(match key {
                Code::Slot(slot) => match self.frame.slots.get(*slot) {
                    Some(Value::Word(word)) => Key::Word(word.clone()),
                    _ => Key::Number(self.number(key)?, String::new()),
                },
                _ => Key::Number(self.number(key)?, String::new()),
            });
        }
        table.look_up(&wanted)
    }
}

fn stepped(
    value: Number,
    step: Number,
    round: impl Fn(Fraction) -> i128,
) -> Result<Number> {
    if step.sign() != Ordering::Greater {
        return Err(EvalFault::BadStep);
    }
    // Settled first: 0.3 / 0.1 through a root is not to fall just below three.
    let steps = value.div(step)?.settled().ok_or(NumberFault::Overflow)?;
    Ok(Number::Exact(Fraction::whole(round(steps))).mul(step)?)
}

pub(super) fn fold_values(fold: Fold, values: &[Number]) -> Result<Number> {
    let mut all = values.iter().copied();
    let mut result = all.next().ok_or(EvalFault::EmptyList)?;
    for value in all {
        result = match fold {
            Fold::Sum => result.add(value)?,
            Fold::Least if value.compare(result) == Ordering::Less => value,
            Fold::Most if value.compare(result) == Ordering::Greater => value,
            _ => result,
        };
    }
    Ok(result)
}

impl Rows {
    fn look_up(&self, wanted: &[Key]) -> Result<Number> {
        let same = |key: &Key, wanted: &Key| match (key, wanted) {
            (Key::Word(a), Key::Word(b)) => a == b,
            (Key::Number(a, _), Key::Number(b, _)) => a.compare(*b) == Ordering::Equal,
            _ => false,
        };
        // A row that is there is taken as printed, whatever the rule for what lies between
        // rows.
        let exact = self.entries.iter().find(|(keys, _)| {
            keys.len() == wanted.len() && keys.iter().zip(wanted).all(|(a, b)| same(a, b))
        });
        if let Some((_, value)) = exact {
            return Ok(*value);
        }
        if self.rule != TableRule::Exact
            && let Some(value) = self.by_number(wanted, &same)?
        {
            return Ok(value);
        }
        let name = |key: &Key| match key {
            Key::Word(word) => word.clone(),
            Key::Number(_, text) => text.clone(),
        };
        let names = |keys: &[Key]| keys.iter().map(name).collect::<Vec<_>>().join(" ");
        let rows: Vec<String> =
            self.entries.iter().map(|(keys, _)| names(keys)).collect();
        Err(EvalFault::MissingRow {
            table: self.id.clone(),
            key: self.printed(wanted),
            rows: rows.join(", "),
        })
    }

    fn printed(&self, wanted: &[Key]) -> String {
        let unit = crate::quantity::find(&self.unit);
        let name = |key: &Key| match key {
            Key::Word(word) => word.clone(),
            Key::Number(number, _) => {
                let factor = unit.map_or(Fraction::ONE, crate::quantity::Unit::factor);
                let bare = number.settled().and_then(|value| value.div(factor));
                let bare = bare.unwrap_or(Fraction::ZERO);
                // A converted key, such as 45 mm in inches, has no short decimal: beyond eight signs it
                // is one that goes on, and a thousandth is finer than any key of a table.
                let short = bare.decimal().filter(|text| text.len() < 9).or_else(|| {
                    let step = Fraction::new(1, 1000)?;
                    let near = crate::quantity::Direction::Near;
                    let shown = crate::quantity::show(Number::Exact(bare), step, near)?;
                    Some(format!("about {}", shown.text))
                });
                let short = short.map(|text| crate::quantity::written(&text));
                format!("{} {}", short.unwrap_or_default(), self.unit)
            }
        };
        wanted.iter().map(name).collect::<Vec<_>>().join(" ")
    }

    /// Step: the last row not above; between: a straight line between the neighbours.
    fn by_number(
        &self,
        wanted: &[Key],
        same: &dyn Fn(&Key, &Key) -> bool,
    ) -> Result<Option<Number>> {
        // The number stands last in the keys of such a table; the words before it say which
        // column.
        let Some((Key::Number(at, _), words)) = wanted.split_last() else {
            return Ok(None);
        };
        let (mut below, mut above): (Option<KeyValue>, Option<KeyValue>) = (None, None);
        for (keys, value) in &self.entries {
            let Some((Key::Number(key, _), row_words)) = keys.split_last() else {
                continue;
            };
            if !row_words.iter().zip(words).all(|(a, b)| same(a, b)) {
                continue;
            }
            if key.compare(*at) == Ordering::Less {
                if below.is_none_or(|(k, _)| key.compare(k) == Ordering::Greater) {
                    below = Some((*key, *value));
                }
            } else if above.is_none_or(|(k, _)| key.compare(k) == Ordering::Less) {
                above = Some((*key, *value));
            }
        }
        match (self.rule, below, above) {
            (TableRule::Step, Some((_, value)), _) => Ok(Some(value)),
            (TableRule::Between, Some((k0, v0)), Some((k1, v1))) => {
                let share = at.sub(k0)?.div(k1.sub(k0)?)?;
                Ok(Some(v0.add(v1.sub(v0)?.mul(share)?)?))
            }
            // Nothing is guessed beyond the first and the last row of a table.
            _ => Ok(None),
        }
    }
}
