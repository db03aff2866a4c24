//! One formula worked for one set of givens: the value, the working and the slips.

use super::bind::Bound;
use super::board::{Board, Printed, Style};
use super::check::Code;
use super::data::{Formula, GivenKind, WorkLine};
use super::eval::{EvalFault, Frame, Run, Value};
use super::library::{Library, Program};
use super::print::{print_answer, show_in};
use super::worked::{
    BoardLine, Inputs, System, UsedConstant, WorkFault, Worked, WorkedAnswer, WorkedSlip,
};
use crate::quantity::{self, Direction, Fraction, Kind, Number, NumberFault, Quantity};

impl Library {
    /// Works a formula: value, board, verdicts, slips.
    pub fn work(
        &self,
        id: &str,
        inputs: &Inputs,
        system: System,
    ) -> Result<Worked, WorkFault> {
        let (index, formula, program) = self.find(id, system)?;
        let mut bound = self.bind(index, inputs, system)?;
        let mut lines = Vec::new();
        let labels = self.labels(index, system);
        let mut frame = bound.frame.clone();
        self.run(program, &mut frame, None)?;
        for (at, line) in self.work_lines(index, system).iter().enumerate() {
            let Some((slot, code, _)) = program.lines.get(at) else { continue };
            lines.push(self.board_line(&Putting {
                program,
                labels: &labels,
                frame: &frame,
                bound: &bound,
                line,
                code,
                slot: *slot,
                system,
            }));
            if let Some(printed) = print_slot(&frame, *slot, line, system)
                && let Some(place) = bound.printed.get_mut(*slot)
            {
                *place = Some(printed);
            }
        }
        let verdicts = self.verdicts(index, program, &frame)?;
        let answers = self.answers(index, program, &frame, system)?;
        let slips = formula.slips.iter().enumerate().filter_map(|(at, slip)| {
            let mut frame = bound.frame.clone();
            self.run(program, &mut frame, Some(at)).ok()?;
            let answers = self.answers(index, program, &frame, system).ok()?;
            Some(WorkedSlip {
                id: slip.id.clone(),
                kind: slip.kind,
                says: slip.says.clone(),
                answers,
            })
        });
        Ok(Worked {
            formula: formula.id.clone(),
            title: formula.title.clone(),
            basis: formula.basis.clone(),
            givens: bound.given.clone(),
            lines,
            answers,
            verdicts,
            slips: slips.collect(),
            constants: self.used_constants(program, formula, inputs),
            range: formula.range.clone(),
            sources: formula.sources.clone(),
        })
    }

    /// The answers alone, in base units: the quick way for proofs.
    pub fn evaluate(
        &self,
        id: &str,
        inputs: &Inputs,
        system: System,
    ) -> Result<Vec<Number>, WorkFault> {
        let (index, _, program) = self.find(id, system)?;
        let mut bound = self.bind(index, inputs, system)?;
        self.run(program, &mut bound.frame, None)?;
        self.verdicts(index, program, &bound.frame)?;
        let slots = program.answers.iter();
        Ok(slots.filter_map(|slot| number(&bound.frame, *slot)).collect())
    }

    /// Whether every line, worked on the printed numbers, gives the printed result. A line
    /// fed with rounded numbers may be one step away. Returns the first that does not.
    pub fn board_adds_up(
        &self,
        id: &str,
        inputs: &Inputs,
        system: System,
    ) -> Result<Option<usize>, WorkFault> {
        let (index, _, program) = self.find(id, system)?;
        let mut bound = self.bind(index, inputs, system)?;
        let labels = self.labels(index, system);
        let mut frame = bound.frame.clone();
        self.run(program, &mut frame, None)?;
        for (at, line) in self.work_lines(index, system).iter().enumerate() {
            let Some((slot, code, _)) = program.lines.get(at) else { continue };
            let columns = self.column_labels(index);
            let board = self.board(program, &labels, &columns, &frame, &bound, system);
            let shown = if system == System::Si { line.shown_si } else { line.shown };
            let Some(printed) = print_slot(&frame, *slot, line, system) else {
                return Ok(Some(at));
            };
            let Some((value, exact)) = board.printed_value(code) else {
                return Ok(Some(at));
            };
            let share = shown.unit().kind == Kind::Share;
            let scale = if share { Fraction::new(1, 100) } else { Some(Fraction::ONE) };
            let step = scale.and_then(|scale| shown.number().mul(scale));
            let again =
                step.and_then(|step| quantity::show(value, step, Direction::Near));
            let (Some(step), Some(again)) = (step, again) else { return Ok(Some(at)) };
            let away = again.value.sub(printed.says).map(Fraction::absolute);
            let allowed = if exact { Fraction::ZERO } else { step };
            if away.is_none_or(|away| away > allowed) {
                return Ok(Some(at));
            }
            if let Some(place) = bound.printed.get_mut(*slot) {
                *place = Some(printed);
            }
        }
        Ok(None)
    }

    /// An answer printed in another unit and step than the formula's own.
    pub fn print(
        &self,
        id: &str,
        answer: &WorkedAnswer,
        system: System,
        shown: Quantity,
    ) -> Option<WorkedAnswer> {
        let formula = self.formula(id)?;
        let own = formula.answers.iter().find(|own| own.name == answer.name)?;
        print_answer(own, answer.number, system, Some(shown))
    }

    fn find(
        &self,
        id: &str,
        system: System,
    ) -> Result<(usize, &Formula, &Program), WorkFault> {
        let unknown = || {
            let near = self.nearest(id).unwrap_or_default();
            WorkFault::new("unknown-formula").with("formula", id).with("nearest", near)
        };
        let index = self.position(id).ok_or_else(unknown)?;
        let programs = if system == System::Si { &self.si } else { &self.us };
        match (self.formulas.get(index), programs.get(index)) {
            (Some(formula), Some(program)) => Ok((index, formula, program)),
            _ => Err(unknown()),
        }
    }

    fn work_lines(&self, index: usize, system: System) -> &[WorkLine] {
        match self.formulas.get(index) {
            Some(f) if system == System::Si && !f.work_si.is_empty() => &f.work_si,
            Some(f) => &f.work,
            None => &[],
        }
    }

    fn labels(&self, index: usize, system: System) -> Vec<String> {
        let Some(formula) = self.formulas.get(index) else { return Vec::new() };
        let single =
            formula.givens.iter().filter(|g| !matches!(g.kind, GivenKind::List { .. }));
        let lines = self.work_lines(index, system).iter().map(|line| line.label.clone());
        single.map(|given| given.label.clone()).chain(lines).collect()
    }

    fn column_labels(&self, index: usize) -> Vec<Vec<String>> {
        let givens = self.formulas.get(index).map_or(&[][..], |formula| &formula.givens);
        let lists = givens.iter().filter_map(|given| match &given.kind {
            GivenKind::List { columns } => {
                Some(columns.iter().map(|c| c.label.clone()).collect())
            }
            _ => None,
        });
        lists.collect()
    }

    #[expect(clippy::too_many_arguments, reason = "a board borrows each of them apart")]
    fn board<'b>(
        &'b self,
        program: &'b Program,
        labels: &'b [String],
        columns: &'b [Vec<String>],
        frame: &'b Frame,
        bound: &'b Bound,
        system: System,
    ) -> Board<'b> {
        Board {
            library: self,
            program,
            world: self.world(system == System::Si),
            frame,
            printed: &bound.printed,
            labels,
            columns,
            cells: &bound.cells,
            si: system == System::Si,
        }
    }

    fn board_line(&self, put: &Putting<'_>) -> BoardLine {
        let columns = self.column_labels(self.position_of(put.program));
        let board = self.board(
            put.program,
            put.labels,
            &columns,
            put.frame,
            put.bound,
            put.system,
        );
        let printed = print_slot(put.frame, put.slot, put.line, put.system);
        BoardLine {
            label: put.line.label.clone(),
            words: board.write(put.code, Style::Words, None),
            numbers: board.write(put.code, Style::Numbers, None),
            relation: if printed.as_ref().is_some_and(|p| p.exact) { "=" } else { "≈" },
            result: printed.map(|p| p.text).unwrap_or_default(),
        }
    }

    fn position_of(&self, program: &Program) -> usize {
        let same = |other: &Program| std::ptr::eq(other, program);
        self.us
            .iter()
            .position(same)
            .or_else(|| self.si.iter().position(same))
            .unwrap_or(0)
    }

    fn run(
        &self,
        program: &Program,
        frame: &mut Frame,
        slip: Option<usize>,
    ) -> Result<(), WorkFault> {
        let si = self.si.iter().any(|other| std::ptr::eq(other, program));
        program
            .run_with(frame, self.world(si), slip)
            .map_err(|(line, fault)| eval(line, fault))
    }

    fn verdicts(
        &self,
        index: usize,
        program: &Program,
        frame: &Frame,
    ) -> Result<Vec<String>, WorkFault> {
        let Some(formula) = self.formulas.get(index) else { return Ok(Vec::new()) };
        let run = Run { world: self.world(false), frame, row: None };
        let mut out = Vec::new();
        for (verdict, code) in formula.verdicts.iter().zip(&program.verdicts) {
            if run.test(code).map_err(|fault| eval(0, fault))? {
                if verdict.refuses {
                    return Err(
                        WorkFault::new("not-known").with("says", verdict.says.clone())
                    );
                }
                out.push(verdict.says.clone());
            }
        }
        Ok(out)
    }

    fn answers(
        &self,
        index: usize,
        program: &Program,
        frame: &Frame,
        system: System,
    ) -> Result<Vec<WorkedAnswer>, WorkFault> {
        let Some(formula) = self.formulas.get(index) else { return Ok(Vec::new()) };
        let pairs = formula.answers.iter().zip(&program.answers);
        pairs
            .map(|(answer, slot)| {
                let value = number(frame, *slot);
                value
                    .and_then(|value| print_answer(answer, value, system, None))
                    .ok_or_else(|| WorkFault::new("overflow").with("line", "1"))
            })
            .collect()
    }

    /// Constants of the lines, and those that stand in for a given without a value.
    fn used_constants(
        &self,
        program: &Program,
        formula: &Formula,
        inputs: &Inputs,
    ) -> Vec<UsedConstant> {
        let stands_in = |id: &str| {
            let mut open =
                formula.givens.iter().filter(|given| !inputs.contains_key(&given.name));
            open.any(|given| given.constant.as_deref() == Some(id))
        };
        let used = |index: usize| {
            let named = |code: &Code| mentions(code, index);
            let id = self.constants.get(index).map(|constant| constant.id.as_str());
            if id.is_some_and(stands_in) {
                return true;
            }
            program.lines.iter().any(|(_, code, _)| named(code))
                || program.verdicts.iter().any(named)
        };
        let all = self.constants.iter().enumerate().filter(|(index, _)| used(*index));
        all.map(|(_, constant)| UsedConstant {
            label: constant.label.clone(),
            value: constant.value.printed(),
            source: constant.source.clone(),
            local: constant.local,
        })
        .collect()
    }
}

struct Putting<'p> {
    program: &'p Program,
    labels: &'p [String],
    frame: &'p Frame,
    bound: &'p Bound,
    line: &'p WorkLine,
    code: &'p Code,
    slot: usize,
    system: System,
}

fn number(frame: &Frame, slot: usize) -> Option<Number> {
    match frame.slots.get(slot) {
        Some(Value::Number(number)) => Some(*number),
        _ => None,
    }
}

fn eval(line: usize, fault: EvalFault) -> WorkFault {
    let mut out = match fault {
        EvalFault::Number(NumberFault::DividedByZero) => {
            WorkFault::new("divided-by-zero")
        }
        EvalFault::Number(NumberFault::Overflow) => WorkFault::new("overflow"),
        EvalFault::Number(NumberFault::Negative) => WorkFault::new("root-of-negative"),
        EvalFault::EmptyList => {
            WorkFault::new("empty-list").with("given", "list").with("name", "")
        }
        EvalFault::MissingRow { table, key, rows } => WorkFault::new("missing-row")
            .with("table", table)
            .with("key", key)
            .with("rows", rows),
        EvalFault::BadStep => WorkFault::new("bad-step"),
        EvalFault::Unset => WorkFault::new("unset"),
        EvalFault::Negative => WorkFault::new("negative"),
    };
    out.blanks.push(("line", (line + 1).to_string()));
    out.line = Some(line);
    out
}

fn mentions(code: &Code, constant: usize) -> bool {
    let go = |code: &Code| mentions(code, constant);
    match code {
        Code::Named(index) => *index == constant,
        Code::Negative(a) | Code::As(a, _) | Code::Group(a) | Code::Fold(_, _, a) => {
            go(a)
        }
        Code::Binary(_, a, b) | Code::Power(a, b) | Code::Compare(_, a, b) => {
            go(a) || go(b)
        }
        Code::If(a, b, c) => go(a) || go(b) || go(c),
        Code::Call(_, all) | Code::Table(_, all) | Code::And(all) | Code::Or(all) => {
            all.iter().any(go)
        }
        Code::Formula(_, all) => all.iter().any(|(_, code)| go(code)),
        Code::Constant(..)
        | Code::Slot(_)
        | Code::Column(_)
        | Code::Count(_)
        | Code::Is(..) => false,
    }
}

fn print_slot(
    frame: &Frame,
    slot: usize,
    line: &WorkLine,
    system: System,
) -> Option<Printed> {
    let shown = if system == System::Si { line.shown_si } else { line.shown };
    let value = number(frame, slot)?;
    let printed = show_in(value, &shown, Direction::Near)?;
    Some(Printed::new(&printed, shown.unit()))
}
