//! How many digits a board needs so that each of its lines is true as it is printed.
//!
//! A line is fed with what is printed above it. Where a rounded value has too few digits for
//! the line below, it gets one more, and the board is worked again. So a reader with a
//! calculator gets every printed result, and every answer from the last line.

use std::collections::BTreeSet;

use super::bind::Bound;
use super::board::{Board, Style};
use super::check::Code;
use super::data::{Formula, WorkLine};
use super::eval::{Frame, Run, Value};
use super::library::{Library, Program};
use super::printed::Printed;
use super::worked::BoardLine;
use crate::quantity::{Direction, Number, Quantity, System, show};

/// How often a board is worked again at most. One try gives one value one digit, and boards
/// have a few lines; without the bound a board whose lines ask for digits of each other would never end.
const TRIES: usize = 64;
/// How many digits a value gets at most: the twelve that are still exact where a value is no
/// fraction any more.
const MOST: u32 = 12;

/// A formula with the values of one run.
#[derive(Clone, Copy)]
pub(super) struct Sum<'s> {
    pub(super) library: &'s Library,
    pub(super) formula: &'s Formula,
    pub(super) program: &'s Program,
    pub(super) lines: &'s [WorkLine],
    pub(super) labels: &'s [String],
    pub(super) columns: &'s [Vec<String>],
    pub(super) frame: &'s Frame,
    pub(super) system: System,
    /// The answer that is asked for, by its place, in another step or unit than the formula's.
    pub(super) asked: Option<(usize, Quantity)>,
}

/// How many digits more than their own the printed values have.
#[derive(Default)]
pub(super) struct Digits {
    slots: Vec<u32>,
    lists: Vec<u32>,
    called: u32,
}

/// What a line on a board is fed with, as far as it was rounded.
enum Short {
    /// A work line or an answer, from 0.
    Line(usize),
    Answer(usize),
}

impl<'s> Sum<'s> {
    pub(super) fn board(self, bound: &'s Bound, digits: u32) -> Board<'s> {
        let si = self.system.is_metric();
        Board {
            library: self.library,
            program: self.program,
            world: self.library.world(si),
            frame: self.frame,
            printed: &bound.printed,
            labels: self.labels,
            columns: self.columns,
            cells: &bound.cells,
            digits,
            si,
        }
    }

    /// Puts into `bound` what is printed of every given and line. Returns the digits of
    /// called values, the relation of each line, and the first line that still does not add
    /// up, which only numbers beyond all printing bring about.
    pub(super) fn print(self, bound: &mut Bound) -> (Digits, Vec<bool>, Option<usize>) {
        // Kept apart, because a finer print is made from the value and never from a print
        // that was rounded by now.
        let own = (bound.printed.clone(), bound.cells.clone());
        let mut digits = Digits {
            slots: vec![0; own.0.len()],
            lists: vec![0; own.1.len()],
            called: 0,
        };
        // From the authors' own steps again each time: digits are only ever added, so the first
        // board that adds up is the shortest of this kind.
        for _ in 0..TRIES {
            let finer = |(printed, digits): (&Option<Printed>, &u32)| {
                printed.as_ref().map(|printed| printed.finer(*digits))
            };
            bound.printed = own.0.iter().zip(&digits.slots).map(finer).collect();
            let finer = |(rows, digits): (&Vec<Vec<Printed>>, &u32)| {
                let row = |row: &Vec<Printed>| {
                    row.iter().map(|cell| cell.finer(*digits)).collect()
                };
                rows.iter().map(row).collect()
            };
            bound.cells = own.1.iter().zip(&digits.lists).map(finer).collect();
            let mut exact = Vec::new();
            let Some(short) = self.short(bound, &digits, &mut exact) else {
                return (digits, exact, None);
            };
            // Nothing can be printed finer: then the board stays as it is, and whoever
            // checks boards is told which line.
            if !self.more(&short, bound, &mut digits) {
                break;
            }
        }
        // With the digits of the last try every line still has its value.
        let mut exact = Vec::new();
        let line = match self.short(bound, &digits, &mut exact) {
            Some(Short::Line(line)) => Some(line),
            Some(Short::Answer(_)) => Some(self.lines.len().saturating_sub(1)),
            None => None,
        };
        self.rest(bound, &digits, &mut exact);
        (digits, exact, line)
    }

    /// The lines as text, once every name has what is printed of it. A line's own result is
    /// not among the names of that line or of one above it.
    pub(super) fn write(
        self,
        bound: &Bound,
        digits: &Digits,
        exact: &[bool],
    ) -> Vec<BoardLine> {
        let board = self.board(bound, digits.called);
        let lines = self.lines.iter().zip(&self.program.lines).enumerate();
        let told = |slot: usize| !self.ends_never(slot);
        lines
            // A time that does not end has no line: its number would be a stand-in.
            .filter(|(_, (_, (slot, ..)))| told(*slot))
            .map(|(at, (line, (slot, code, _)))| {
                let printed = bound.printed.get(*slot).and_then(Option::as_ref);
                BoardLine {
                    label: line.label.clone(),
                    words: board.write(code, Style::Words, None),
                    numbers: board.write(code, Style::Numbers, None),
                    relation: if exact.get(at) == Some(&true) { "=" } else { "≈" },
                    result: printed.map(|p| p.text.clone()).unwrap_or_default(),
                }
            })
            .collect()
    }

    /// Whether a line's value is an answer that has no figure.
    fn ends_never(self, slot: usize) -> bool {
        let at = self.program.answers.iter().position(|answer| *answer == slot);
        let code =
            at.and_then(|at| self.program.endless.get(at)).and_then(Option::as_ref);
        let world = self.library.world(self.system.is_metric());
        let run = Run { world, frame: self.frame, row: None };
        code.is_some_and(|code| run.test(code) == Ok(true))
    }

    /// Prints line after line; the first that printed numbers do not give.
    fn short(
        self,
        bound: &mut Bound,
        digits: &Digits,
        exact: &mut Vec<bool>,
    ) -> Option<Short> {
        for (at, (slot, code, _)) in self.program.lines.iter().enumerate() {
            // Worked before its own result is printed: a line may not feed itself.
            let again = self.board(bound, digits.called).again(code, None);
            let printed = self.line(at, *slot, digits)?;
            let true_to_print = again.is_some_and(|again| printed.is_also(again));
            let equal = again.is_some_and(|again| {
                again.is_exact() && again.compare(printed.says).is_eq()
            });
            // An equals sign says both that nothing was rounded and that the reader gets the
            // very value.
            exact.push(printed.exact && equal);
            if let Some(place) = bound.printed.get_mut(*slot) {
                *place = Some(printed);
            }
            if !true_to_print && !equal {
                return Some(Short::Line(at));
            }
        }
        self.short_answer(bound).map(Short::Answer)
    }

    /// What is left of the lines after one that does not add up.
    fn rest(self, bound: &mut Bound, digits: &Digits, exact: &mut Vec<bool>) {
        for (at, (slot, ..)) in self.program.lines.iter().enumerate().skip(exact.len()) {
            if let (Some(place), printed) =
                (bound.printed.get_mut(*slot), self.line(at, *slot, digits))
            {
                *place = printed;
            }
            exact.push(false);
        }
    }

    fn line(self, at: usize, slot: usize, digits: &Digits) -> Option<Printed> {
        let line = self.lines.get(at)?;
        let shown = if self.system.is_metric() { line.shown_si } else { line.shown };
        let printed = Printed::new(value(self.frame, slot)?, &shown, Direction::Near)?;
        Some(printed.finer(digits.slots.get(slot).copied().unwrap_or(0)))
    }

    /// The first answer that the printed result of its line, rounded, does not give.
    fn short_answer(self, bound: &Bound) -> Option<usize> {
        let pairs = self.formula.answers.iter().zip(&self.program.answers).enumerate();
        for (at, (answer, slot)) in pairs {
            let line = bound.printed.get(*slot).and_then(Option::as_ref);
            let own = value(self.frame, *slot);
            let (Some(line), Some(own)) = (line, own) else { continue };
            let metric = self.system.is_metric();
            let shown = if metric { answer.shown_si } else { answer.shown };
            let asked = self.asked.filter(|(asked, _)| *asked == at);
            let shown = asked.map_or(shown, |(_, shown)| shown);
            let round = |value: Number, round: Direction| {
                let value = super::printed::in_unit(value, shown.unit())?;
                Some(show(value, shown.number(), round)?.value)
            };
            let answer_of_own = round(own, answer.round);
            // A value that stands on a step is no decimal of the line's unit, such as the
            // twenty seconds of 3.333 min; the nearest step is meant then.
            // Rounding up and down agree only for a value that is itself a step.
            let on_a_step = round(own, Direction::Up) == round(own, Direction::Down);
            let direction = if on_a_step { Direction::Near } else { answer.round };
            if round(line.says, direction) != answer_of_own {
                return Some(at);
            }
        }
        None
    }

    /// One digit more for all rounded values that feed a line; whether there are any.
    fn more(self, short: &Short, bound: &Bound, digits: &mut Digits) -> bool {
        let (mut slots, mut lists, mut calls) = (BTreeSet::new(), BTreeSet::new(), false);
        match short {
            Short::Answer(at) => {
                slots.extend(self.program.answers.get(*at));
            }
            Short::Line(at) => {
                let Some((slot, code, _)) = self.program.lines.get(*at) else {
                    return false;
                };
                let own = bound.printed.get(*slot).and_then(Option::as_ref);
                // A tie is a coin toss for whoever rounds by hand; one digit more of the line
                // itself settles it, where more digits of its givens would not.
                if own.is_some_and(Printed::is_tie)
                    && let Some(digits) = digits.slots.get_mut(*slot)
                {
                    *digits += 1;
                    return true;
                }
                code.any(&mut |part| {
                    match part {
                        Code::Slot(slot) => {
                            slots.insert(*slot);
                        }
                        Code::Fold(_, list, _) => {
                            lists.insert(*list);
                        }
                        // Called values have no slot of their own; all of them get the digit
                        // together.
                        Code::Table(..) | Code::Formula(..) => calls = true,
                        _ => {}
                    }
                    false
                });
            }
        }
        let rounded = |slot: &usize| {
            bound.printed.get(*slot).and_then(Option::as_ref).is_some_and(|p| !p.exact)
        };
        let mut any = false;
        let mut add = |digits: Option<&mut u32>| {
            if let Some(digits) = digits.filter(|digits| **digits < MOST) {
                *digits += 1;
                any = true;
            }
        };
        // A value that is printed exactly gains nothing from more digits but zeros.
        for slot in slots.iter().filter(|slot| rounded(slot)) {
            add(digits.slots.get_mut(*slot));
        }
        for list in lists {
            let cells = bound.cells.get(list).into_iter().flatten().flatten();
            if cells.filter(|cell| !cell.exact).count() > 0 {
                add(digits.lists.get_mut(list));
            }
        }
        add(calls.then_some(&mut digits.called));
        any
    }
}

fn value(frame: &Frame, slot: usize) -> Option<Number> {
    match frame.slots.get(slot) {
        Some(Value::Number(number)) => Some(*number),
        _ => None,
    }
}
