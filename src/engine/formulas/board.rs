//! A line as it stands on a board: in words, with the numbers put in, and the result.

use super::call::Function;
use super::check::Code;
use super::eval::{Frame, Run, Value, World};
use super::library::{Library, Program};
use super::printed::Printed;
use super::tree::{Fold, Op, Test};
use crate::quantity::{Dimension, Direction, Fraction, Kind};

/// What a line can name on the board.
#[derive(Clone, Copy)]
pub(super) struct Board<'b> {
    pub(super) library: &'b Library,
    pub(super) program: &'b Program,
    pub(super) world: World<'b>,
    pub(super) frame: &'b Frame,
    /// By slot.
    pub(super) printed: &'b [Option<Printed>],
    /// Labels by slot.
    pub(super) labels: &'b [String],
    /// Labels of columns by list.
    pub(super) columns: &'b [Vec<String>],
    /// Printed cells by list, row and column.
    pub(super) cells: &'b [Vec<Vec<Printed>>],
    /// How many digits more called values have.
    pub(super) digits: u32,
    pub(super) si: bool,
}

/// What is being written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Style {
    Words,
    Numbers,
}

/// The row of a list that a fold stands at.
#[derive(Debug, Clone, Copy)]
pub(super) struct At {
    pub(super) list: usize,
    pub(super) row: usize,
}

impl Board<'_> {
    #[expect(clippy::too_many_lines, reason = "one arm for each kind of node")]
    pub(super) fn write(&self, code: &Code, style: Style, at: Option<At>) -> String {
        let go = |code: &Code| self.write(code, style, at);
        let part = |code: &Code| self.part(code, style, at);
        match code {
            Code::Constant(_, number, unit) => {
                crate::quantity::find(unit.map_or("", |unit| unit.symbol)).map_or_else(
                    || crate::quantity::written(&number.to_string()),
                    |unit| crate::quantity::Quantity::new(*number, unit).printed(),
                )
            }
            Code::Slot(slot) => self.slot(*slot, style),
            Code::Named(index) => match (style, self.library.constants.get(*index)) {
                (Style::Words, Some(constant)) => constant.label.clone(),
                (Style::Numbers, Some(constant)) => constant.value.printed(),
                _ => String::new(),
            },
            Code::Column(column) => self.column(*column, style, at),
            Code::Negative(inner) => format!("−{}", part(inner)),
            // A coefficient taken as a number needs no parentheses where its unit is not told.
            Code::Group(inner) => match inner.as_ref() {
                Code::As(_, unit) if unit.dimension == Dimension::FRICTION => go(inner),
                _ => grouped(go(inner)),
            },
            Code::Binary(op, left, right) => {
                let sign = match op {
                    Op::Add => "+",
                    Op::Sub => "−",
                    Op::Mul => "×",
                    Op::Div => "÷",
                };
                format!("{} {sign} {}", part(left), part(right))
            }
            Code::Power(base, exponent) => {
                let base = part(base);
                // 5 ft² is an area, (5 ft)² the square of a length.
                let alone = base.starts_with(['(', '√']) || !base.contains('\u{a0}');
                // A minus before a power would read as the power taken first.
                let base = if base.starts_with('−') || !alone {
                    format!("({base})")
                } else {
                    base
                };
                match exponent.as_ref() {
                    Code::Constant(_, n, None) if *n == Fraction::whole(2) => {
                        format!("{base}²")
                    }
                    Code::Constant(_, n, None) if *n == Fraction::whole(3) => {
                        format!("{base}³")
                    }
                    other => format!("{base}^{}", part(other)),
                }
            }
            Code::As(inner, unit) => {
                let other = self.other_unit(inner, unit, at);
                let number = other.and_then(|_| self.converted(code, at)?.decimal());
                match (style, number) {
                    // Its name says by which flow and length it counts, as the line does.
                    (Style::Words, _) if unit.dimension == Dimension::FRICTION => {
                        go(inner)
                    }
                    // "bore in in" is no sentence; a percent is counted and not converted.
                    (Style::Words, _) if unit.kind == Kind::Share => {
                        self.library.phrase("as-number", &[("of", &go(inner))])
                    }
                    (Style::Words, _) => {
                        let name = self.library.unit_name(unit);
                        self.library
                            .phrase("in-unit", &[("of", &go(inner)), ("unit", &name)])
                    }
                    (Style::Numbers, Some(number)) => {
                        crate::quantity::written(&number).replace('-', "−")
                    }
                    (Style::Numbers, None) => bare(&go(inner)),
                }
            }
            Code::Call(function, arguments) => {
                let texts: Vec<String> = arguments.iter().map(go).collect();
                self.call(*function, &texts)
            }
            Code::Table(index, _) => match style {
                Style::Words => {
                    let title =
                        self.library.table_data.get(*index).map(|t| t.title.clone());
                    title.unwrap_or_default()
                }
                Style::Numbers => self.called(code, at).map_or(String::new(), |p| p.text),
            },
            Code::Formula(index, handed) => match (self.inner(*index, handed), style) {
                (Some(line), _) => go(&line),
                (None, Style::Words) => {
                    let formula = self.library.formulas.get(*index);
                    lower_first(formula.map_or("", |formula| formula.title.as_str()))
                }
                (None, Style::Numbers) => {
                    self.called(code, at).map_or(String::new(), |p| p.text)
                }
            },
            Code::Fold(fold, list, inner) => self.fold(*fold, *list, inner, style),
            Code::Count(list) => match style {
                Style::Words => {
                    let name = self.program.lists.get(*list).map_or("", String::as_str);
                    self.library.phrase("count", &[("list", name)])
                }
                Style::Numbers => self.cells.get(*list).map_or(0, Vec::len).to_string(),
            },
            Code::If(condition, yes, no) => match style {
                Style::Words => {
                    let (when, yes, no) = (go(condition), go(yes), go(no));
                    let blanks = [("when", &*when), ("yes", &*yes), ("no", &*no)];
                    self.library.phrase("either", &blanks)
                }
                // With numbers put in only the branch that was taken is written; the other is
                // no part of this sum.
                Style::Numbers => match self.run(at).test(condition) {
                    Ok(true) => go(yes),
                    _ => go(no),
                },
            },
            Code::Compare(test, left, right) => {
                let sign = match test {
                    Test::Less => "<",
                    Test::LessOrEqual => "≤",
                    Test::More => ">",
                    Test::MoreOrEqual => "≥",
                };
                format!("{} {sign} {}", go(left), go(right))
            }
            Code::Is(slot, word) => {
                let of = self.slot(*slot, Style::Words);
                self.library.phrase("is", &[("of", &of), ("word", word)])
            }
            Code::And(tests) => {
                tests.iter().map(go).collect::<Vec<_>>().join(&self.between("and"))
            }
            Code::Or(tests) => {
                tests.iter().map(go).collect::<Vec<_>>().join(&self.between("or"))
            }
        }
    }

    /// A part of a longer line; what is written out as a sum or a product of its own stands in
    /// parentheses.
    fn part(&self, code: &Code, style: Style, at: Option<At>) -> String {
        let text = self.write(code, style, at);
        let own = match code {
            Code::Fold(Fold::Sum, ..) => text.contains(" + ") || style == Style::Words,
            Code::Fold(..) => style == Style::Words,
            Code::Formula(index, handed) => {
                let line = self.inner(*index, handed);
                matches!(line, Some(Code::Binary(..) | Code::Negative(_) | Code::If(..)))
            }
            _ => false,
        };
        if own { format!("({text})") } else { text }
    }

    pub(super) fn run(&self, at: Option<At>) -> Run<'_> {
        let row = at.and_then(|at| self.frame.lists.get(at.list)?.get(at.row));
        Run { world: self.world, frame: self.frame, row: row.map(Vec::as_slice) }
    }

    fn slot(&self, slot: usize, style: Style) -> String {
        let printed = self.printed.get(slot).and_then(Option::as_ref);
        match (style, printed) {
            (Style::Numbers, Some(printed)) => printed.text.clone(),
            (Style::Numbers, None) => match self.frame.slots.get(slot) {
                Some(Value::Word(word)) => word.clone(),
                _ => String::new(),
            },
            (Style::Words, _) => self.labels.get(slot).cloned().unwrap_or_default(),
        }
    }

    fn column(&self, column: usize, style: Style, at: Option<At>) -> String {
        let list = at.map_or(0, |at| at.list);
        match style {
            Style::Words => {
                let label = self.columns.get(list).and_then(|labels| labels.get(column));
                label.cloned().unwrap_or_default()
            }
            Style::Numbers => {
                let cell =
                    at.and_then(|at| self.cells.get(at.list)?.get(at.row)?.get(column));
                cell.map(|printed| printed.text.clone()).unwrap_or_default()
            }
        }
    }

    fn fold(&self, fold: Fold, list: usize, inner: &Code, style: Style) -> String {
        if style == Style::Words {
            let name = self.program.lists.get(list).map_or("", String::as_str);
            let inner = self.write(inner, style, Some(At { list, row: 0 }));
            let over = match fold {
                Fold::Sum => "over-all.sum",
                Fold::Least => "over-all.least",
                Fold::Most => "over-all.most",
            };
            return self.library.phrase(over, &[("list", name), ("of", &inner)]);
        }
        let rows = self.cells.get(list).map_or(0, Vec::len);
        let terms = (0..rows).map(|row| self.write(inner, style, Some(At { list, row })));
        let terms: Vec<String> = terms.collect();
        match fold {
            Fold::Sum => terms.join(" + "),
            Fold::Least => self.library.phrase("smallest", &[("of", &terms.join("; "))]),
            Fold::Most => self.library.phrase("largest", &[("of", &terms.join("; "))]),
        }
    }

    /// A table's or another formula's value as it is printed on this board.
    pub(super) fn called(&self, code: &Code, at: Option<At>) -> Option<Printed> {
        let value = self.run(at).number(code).ok()?;
        let printed = match code {
            Code::Formula(index, _) => {
                let answer = self.library.formulas.get(*index)?.answers.first()?;
                let shown = if self.si { answer.shown_si } else { answer.shown };
                Printed::new(value, &shown, Direction::Near)?
            }
            Code::Table(index, _) => {
                let row = self.library.table_data.get(*index)?.rows.first()?;
                Printed::converted(value, row.value.unit())?
            }
            _ => return None,
        };
        Some(printed.finer(self.digits))
    }
}

impl Board<'_> {
    /// A word between two parts of a condition.
    fn between(&self, word: &str) -> String {
        // words: board.{and|or}
        format!(" {} ", self.library.phrase(word, &[]))
    }

    fn call(&self, function: Function, texts: &[String]) -> String {
        let first = texts.first().map_or("", String::as_str);
        let second = texts.get(1).map_or("", String::as_str);
        let step = [("of", first), ("step", second)];
        match function {
            Function::Min => {
                self.library.phrase("smallest", &[("of", &texts.join("; "))])
            }
            Function::Max => self.library.phrase("largest", &[("of", &texts.join("; "))]),
            Function::Abs => format!("|{first}|"),
            Function::Sqrt => format!("√({first})"),
            Function::Ln => format!("ln({first})"),
            Function::Exp => format!("e^({first})"),
            Function::Down => self.library.phrase("down", &step),
            Function::Up => self.library.phrase("up", &step),
            Function::Near => self.library.phrase("near", &step),
            Function::Absolute => self.library.phrase("absolute", &[("of", first)]),
        }
    }
}

/// `95 gpm` → `95`; a longer expression keeps its units.
fn bare(text: &str) -> String {
    let number = text.split('\u{a0}').next().unwrap_or_default();
    let digits =
        |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '−' | '\u{202f}');
    // A sum keeps the units of its parts, because a number alone would hide what was added.
    let alone = !text.contains(' ') && number.chars().all(digits);
    if alone { number.to_owned() } else { text.to_owned() }
}

/// In parentheses, unless it is a number alone.
fn grouped(text: String) -> String {
    let number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '\u{202f}');
    if text.chars().all(number) { text } else { format!("({text})") }
}

fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_lowercase().chain(chars).collect(),
        None => String::new(),
    }
}
