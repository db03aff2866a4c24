//! A line worked again on what the board prints, to see that the board adds up.

use super::board::{At, Board};
use super::check::Code;
use super::eval::{Frame, Run, fold_values};
use super::printed::{in_unit, step_of_digits};
use super::tree::Op;
use crate::quantity::{self, Direction, Fraction, Number, Unit};

/// Digits of a number that a line takes in another unit than it is printed in. A reader
/// converts by a factor of about seven digits, 3.785412 L in a gallon, and no finer.
const DIGITS: u32 = 7;

impl Board<'_> {
    /// The value of a line, in base units, for somebody who has only the board: every name is
    /// what is printed for it. Nothing for a condition.
    pub(super) fn again(&self, code: &Code, at: Option<At>) -> Option<Number> {
        let go = |code: &Code| self.again(code, at);
        match code {
            Code::Constant(value, ..) => Some(*value),
            Code::Named(index) => Some(self.library.constants.get(*index)?.value.base()),
            Code::Slot(slot) => Some(self.printed.get(*slot)?.as_ref()?.says),
            Code::Column(column) => {
                let at = at?;
                let row = self.cells.get(at.list)?.get(at.row)?;
                Some(row.get(*column)?.says)
            }
            Code::Count(list) => {
                let rows = i128::try_from(self.cells.get(*list)?.len()).ok()?;
                Some(Number::Exact(Fraction::whole(rows)))
            }
            Code::Group(inner) => go(inner),
            Code::Negative(inner) => Number::ZERO.sub(go(inner)?).ok(),
            Code::Binary(op, left, right) => {
                let (left, right) = (go(left)?, go(right)?);
                let result = match op {
                    Op::Add => left.add(right),
                    Op::Sub => left.sub(right),
                    Op::Mul => left.mul(right),
                    Op::Div => left.div(right),
                };
                result.ok()
            }
            Code::Power(base, exponent) => go(base)?.pow(go(exponent)?).ok(),
            // In another unit than it is printed in, the board prints the converted number too,
            // and that is the one the reader works on.
            Code::As(inner, unit) => match self.other_unit(inner, unit, at) {
                Some(_) => self.converted(code, at).map(Number::Exact),
                None => in_unit(go(inner)?, unit),
            },
            // The arguments as printed numbers, handed to the same function that made the
            // value.
            Code::Call(function, arguments) => {
                let plain =
                    |code: &Code| Some(Code::Constant(go(code)?, Fraction::ZERO, None));
                let arguments =
                    arguments.iter().map(plain).collect::<Option<Vec<_>>>()?;
                let frame = Frame::default();
                let run = Run { world: self.world, frame: &frame, row: None };
                run.number(&Code::Call(*function, arguments)).ok()
            }
            Code::Table(..) => self.called(code, at).map(|printed| printed.says),
            Code::Formula(index, handed) => match self.inner(*index, handed) {
                Some(line) => go(&line),
                None => self.called(code, at).map(|printed| printed.says),
            },
            Code::Fold(fold, list, inner) => {
                let rows = 0..self.cells.get(*list)?.len();
                let terms =
                    rows.map(|row| self.again(inner, Some(At { list: *list, row })));
                fold_values(*fold, &terms.collect::<Option<Vec<_>>>()?).ok()
            }
            Code::If(condition, yes, no) => {
                // The branch that the true values took; printed ones could tip it over.
                let taken = self.run(at).test(condition).ok()?;
                go(if taken { yes } else { no })
            }
            Code::Compare(..) | Code::Is(..) | Code::And(_) | Code::Or(_) => None,
        }
    }

    /// The unit in which a value is printed, when a line takes it in another one.
    pub(super) fn other_unit(
        &self,
        inner: &Code,
        unit: &Unit,
        at: Option<At>,
    ) -> Option<&'static Unit> {
        let printed = match inner {
            Code::Slot(slot) => self.printed.get(*slot)?.as_ref()?.unit,
            Code::Column(column) => {
                let at = at?;
                self.cells.get(at.list)?.get(at.row)?.get(*column)?.unit
            }
            Code::Constant(_, _, unit) => (*unit)?,
            Code::Named(index) => self.library.constants.get(*index)?.value.unit(),
            _ => return None,
        };
        (printed.symbol != unit.symbol).then_some(printed)
    }

    /// The bare number of a value in the unit in which a line takes it, with enough digits to
    /// work on.
    pub(super) fn converted(&self, code: &Code, at: Option<At>) -> Option<Fraction> {
        let value = self.run(at).number(code).ok()?;
        let step = step_of_digits(value, DIGITS)?;
        Some(quantity::show(value, step, Direction::Near)?.value)
    }
}
