//! A called formula on the board of the one that calls it: its line, not only its result.

use super::board::{At, Board, Printed, Style};
use super::check::Code;
use super::data::GivenKind;
use super::eval::Value;
use crate::quantity::Fraction;

impl Board<'_> {
    /// The line of a called formula with what was handed to it put in; nothing when it has
    /// several lines, which would not fit into one.
    pub(super) fn inner(
        &self,
        index: usize,
        handed: &[(usize, Code)],
        style: Style,
        at: Option<At>,
    ) -> Option<String> {
        let program = self.world.programs.get(index)?;
        let [(_, line, _)] = program.lines.as_slice() else { return None };
        let mut frame = program.frame.clone();
        let mut texts: Vec<String> =
            (0..frame.slots.len()).map(|slot| self.default_text(index, slot)).collect();
        for (slot, code) in handed {
            let value = self.run(at).number(code).ok()?;
            *frame.slots.get_mut(*slot)? = Value::Number(value);
            *texts.get_mut(*slot)? = match code {
                Code::Binary(..) | Code::Negative(_) => {
                    format!("({})", self.write(code, style, at))
                }
                _ => self.write(code, style, at),
            };
        }
        let print = |text: &String| {
            Some(Printed {
                text: text.clone(),
                says: Fraction::ZERO,
                exact: true,
                unit: None,
            })
        };
        let printed: Vec<Option<Printed>> = texts.iter().map(print).collect();
        let board = Board {
            program,
            frame: &frame,
            printed: &printed,
            labels: &texts,
            columns: &[],
            cells: &[],
            ..*self
        };
        Some(board.write(line, style, None))
    }

    /// A given that was not handed over has its default.
    fn default_text(&self, index: usize, slot: usize) -> String {
        let givens = self.library.formulas.get(index).map(|formula| &formula.givens);
        let mut single = givens
            .into_iter()
            .flatten()
            .filter(|g| !matches!(g.kind, GivenKind::List { .. }));
        match single.nth(slot).map(|given| &given.kind) {
            Some(GivenKind::Number { default: Some(default), .. }) => default.printed(),
            _ => String::new(),
        }
    }
}
