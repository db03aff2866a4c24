//! A called formula on the board of the one that calls it: its line, not only its result.

use super::board::Board;
use super::check::Code;
use super::data::GivenKind;

impl Board<'_> {
    /// The line of a called formula with what was handed to it put in; nothing when it has
    /// several lines, which would not fit into one, or a list.
    pub(super) fn inner(&self, index: usize, handed: &[(usize, Code)]) -> Option<Code> {
        let program = self.world.programs.get(index)?;
        // A reader can follow one line with the numbers put in; for more there is the page of
        // the formula itself.
        let [(_, line, _)] = program.lines.as_slice() else { return None };
        self.put_in(index, line, handed)
    }

    fn put_in(
        &self,
        index: usize,
        code: &Code,
        handed: &[(usize, Code)],
    ) -> Option<Code> {
        let go = |code: &Code| self.put_in(index, code, handed);
        let boxed = |code: &Code| go(code).map(Box::new);
        let all = |codes: &[Code]| codes.iter().map(go).collect::<Option<Vec<_>>>();
        Some(match code {
            Code::Slot(slot) => match handed.iter().find(|(given, _)| given == slot) {
                // What was a name in the called line may be a sum here, and needs its brackets.
                Some((_, code @ (Code::Binary(..) | Code::Negative(_)))) => {
                    Code::Group(Box::new(code.clone()))
                }
                Some((_, code)) => code.clone(),
                None => self.default_of(index, *slot)?,
            },
            Code::Constant(..) | Code::Named(_) => code.clone(),
            Code::Negative(inner) => Code::Negative(boxed(inner)?),
            Code::Group(inner) => Code::Group(boxed(inner)?),
            Code::As(inner, unit) => Code::As(boxed(inner)?, unit),
            Code::Binary(op, left, right) => {
                Code::Binary(*op, boxed(left)?, boxed(right)?)
            }
            Code::Power(base, exponent) => Code::Power(boxed(base)?, boxed(exponent)?),
            Code::Call(function, arguments) => Code::Call(*function, all(arguments)?),
            Code::Table(table, keys) => Code::Table(*table, all(keys)?),
            Code::Formula(other, inner) => {
                let inner = inner.iter().map(|(slot, code)| Some((*slot, go(code)?)));
                Code::Formula(*other, inner.collect::<Option<Vec<_>>>()?)
            }
            Code::If(condition, yes, no) => {
                Code::If(boxed(condition)?, boxed(yes)?, boxed(no)?)
            }
            Code::Compare(test, left, right) => {
                Code::Compare(*test, boxed(left)?, boxed(right)?)
            }
            Code::And(tests) => Code::And(all(tests)?),
            Code::Or(tests) => Code::Or(all(tests)?),
            // They hang on rows and words of the called formula,
            // which this board does not have.
            Code::Column(_) | Code::Fold(..) | Code::Count(_) | Code::Is(..) => {
                return None;
            }
        })
    }

    /// A given that was not handed over has its default.
    fn default_of(&self, index: usize, slot: usize) -> Option<Code> {
        let givens = &self.library.formulas.get(index)?.givens;
        let mut single =
            givens.iter().filter(|g| !matches!(g.kind, GivenKind::List { .. }));
        match &single.nth(slot)?.kind {
            GivenKind::Number { default: Some(default), .. } => {
                let default = default.value()?;
                let (base, number) = (default.base(), default.number());
                Some(Code::Constant(base, number, Some(default.unit())))
            }
            _ => None,
        }
    }
}
