//! A line worked again on what the board prints, to see that the board adds up.

use super::board::{At, Board, Printed};
use super::check::Code;
use super::eval::{Frame, Run, Value};
use super::tree::Op;
use crate::quantity::{self, Direction, Fraction, Kind, Number, Unit};

/// Digits of a number that a line takes in another unit than it is printed in.
const DIGITS: u32 = 7;

impl Board<'_> {
    /// The line worked on the printed numbers, units ignored and % = 1/100.
    pub(super) fn printed_value(&self, code: &Code) -> Option<(Number, bool)> {
        let mut exact = true;
        let frame = Frame {
            slots: (0..self.frame.slots.len())
                .map(|slot| match self.printed.get(slot).and_then(Option::as_ref) {
                    Some(printed) => Value::Number(Number::Exact(printed.says)),
                    None => self.frame.slots.get(slot).cloned().unwrap_or(Value::Unset),
                })
                .collect(),
            lists: self
                .cells
                .iter()
                .map(|rows| {
                    let row = |row: &Vec<Printed>| {
                        row.iter().map(|cell| Number::Exact(cell.says)).collect()
                    };
                    rows.iter().map(row).collect()
                })
                .collect(),
        };
        let stripped = self.strip(code, &mut exact)?;
        let run = Run { world: self.world, frame: &frame, row: None };
        run.number(&stripped).ok().map(|value| (value, exact))
    }

    /// Code without units: constants as written, calls replaced by what is printed of them.
    #[expect(clippy::too_many_lines, reason = "one arm for each kind of node")]
    fn strip(&self, code: &Code, exact: &mut bool) -> Option<Code> {
        let mut all = |codes: &[Code]| -> Option<Vec<Code>> {
            codes.iter().map(|code| self.strip(code, exact)).collect()
        };
        Some(match code {
            Code::Constant(_, number, unit) => {
                let share = unit.is_some_and(|unit| unit.kind == Kind::Share);
                let scale = if share { Fraction::new(1, 100)? } else { Fraction::ONE };
                let number = number.mul(scale)?;
                Code::Constant(Number::Exact(number), number, None)
            }
            Code::Named(index) => {
                let value = self.library.constants.get(*index)?.value;
                let share = value.unit().kind == Kind::Share;
                let scale = if share { Fraction::new(1, 100)? } else { Fraction::ONE };
                let number = value.number().mul(scale)?;
                Code::Constant(Number::Exact(number), number, None)
            }
            Code::Slot(slot) => {
                if let Some(Some(printed)) = self.printed.get(*slot) {
                    *exact &= printed.exact;
                }
                code.clone()
            }
            Code::Column(_) | Code::Count(_) | Code::Is(..) => code.clone(),
            Code::As(inner, unit) if unit.kind == Kind::Share => {
                // A bare percent stands on the board as its number: 3 for 3 %.
                let inner = self.strip(inner, exact)?;
                let hundred = Fraction::whole(100);
                let hundred = Code::Constant(Number::Exact(hundred), hundred, None);
                Code::Binary(Op::Mul, Box::new(inner), Box::new(hundred))
            }
            Code::As(inner, unit) => match self.other_unit(inner, unit, None) {
                Some(_) => {
                    let printed = self.converted(code, None)?;
                    *exact &= printed.exact;
                    Code::Constant(Number::Exact(printed.says), printed.says, None)
                }
                None => self.strip(inner, exact)?,
            },
            Code::Group(inner) => self.strip(inner, exact)?,
            Code::Negative(inner) => Code::Negative(Box::new(self.strip(inner, exact)?)),
            Code::Binary(op, left, right) => {
                let left = Box::new(self.strip(left, exact)?);
                Code::Binary(*op, left, Box::new(self.strip(right, exact)?))
            }
            Code::Power(base, exponent) => {
                let base = Box::new(self.strip(base, exact)?);
                Code::Power(base, Box::new(self.strip(exponent, exact)?))
            }
            Code::Call(function, arguments) => Code::Call(*function, all(arguments)?),
            Code::Table(..) | Code::Formula(..) => {
                let printed = self.called(code, None)?;
                *exact &= printed.exact;
                Code::Constant(Number::Exact(printed.says), printed.says, None)
            }
            Code::Fold(fold, list, inner) => {
                let inexact = |cell: &Printed| !cell.exact;
                let rows = self.cells.get(*list)?;
                *exact &= !rows.iter().flatten().any(inexact);
                let inner = scaled(inner, rows.first(), exact);
                Code::Fold(*fold, *list, Box::new(self.strip(&inner, exact)?))
            }
            Code::If(condition, yes, no) => {
                // The branch that the true values took; printed ones could tip it over.
                let taken = self.run(None).test(condition).ok()?;
                self.strip(if taken { yes } else { no }, exact)?
            }
            Code::Compare(..) | Code::And(_) | Code::Or(_) => return None,
        })
    }

    /// The unit in which a value is printed, when a line takes it in another one.
    pub(super) fn other_unit(
        &self,
        inner: &Code,
        unit: &Unit,
        at: Option<At>,
    ) -> Option<&'static Unit> {
        let printed = match inner {
            Code::Slot(slot) => self.printed.get(*slot)?.as_ref(),
            Code::Column(column) => {
                at.and_then(|at| self.cells.get(at.list)?.get(at.row)?.get(*column))
            }
            _ => None,
        };
        printed?.unit.filter(|printed| printed.symbol != unit.symbol)
    }

    /// A value in the unit in which a line takes it, with enough digits to work on.
    pub(super) fn converted(&self, code: &Code, at: Option<At>) -> Option<Printed> {
        let value = self.run(at).number(code).ok()?;
        let size = value.settled()?.absolute();
        let mut step = Fraction::ONE;
        for _ in 0..12 {
            let digits = size.div(step)?.floor();
            if digits >= 10_i128.checked_pow(DIGITS - 1)? {
                break;
            }
            step = step.div(Fraction::whole(10))?;
        }
        let shown = quantity::show(value, step, Direction::Near)?;
        let text = shown.value.decimal()?;
        Some(Printed { text, says: shown.value, exact: shown.exact, unit: None })
    }
}

/// The same line of a list with a factor at each column that it takes in another unit.
fn scaled(code: &Code, row: Option<&Vec<Printed>>, exact: &mut bool) -> Code {
    let mut go = |code: &Code| Box::new(scaled(code, row, exact));
    match code {
        Code::As(inner, unit) => {
            let printed = match inner.as_ref() {
                Code::Column(column) => row.and_then(|row| row.get(*column)),
                _ => None,
            };
            let own = printed.and_then(|printed| printed.unit);
            let other = own.filter(|own| own.symbol != unit.symbol);
            match other.and_then(|own| own.factor().div(unit.factor())) {
                Some(factor) => {
                    *exact = false;
                    let factor = Code::Constant(Number::Exact(factor), factor, None);
                    Code::Binary(Op::Mul, inner.clone(), Box::new(factor))
                }
                None => code.clone(),
            }
        }
        Code::Group(inner) => Code::Group(go(inner)),
        Code::Negative(inner) => Code::Negative(go(inner)),
        Code::Binary(op, left, right) => {
            let left = go(left);
            Code::Binary(*op, left, go(right))
        }
        Code::Power(base, exponent) => {
            let base = go(base);
            Code::Power(base, go(exponent))
        }
        other => other.clone(),
    }
}
