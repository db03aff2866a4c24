//! One formula worked for one set of givens: the value, the working and the slips.

use super::adding::Sum;
use super::check::Code;
use super::data::{Formula, Given, GivenKind, WorkLine};
use super::eval::{EvalFault, Frame, Run, Value};
use super::library::{Library, Program};
use super::print::print_answer;
use super::worked::{
    Inputs, Tried, UsedConstant, WorkFault, Worked, WorkedAnswer, WorkedSlip,
};
use crate::quantity::{Number, NumberFault, Quantity, System};

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
        let mut frame = bound.frame.clone();
        // The value comes first and from unrounded numbers; the board is printed to fit it,
        // never the other way round.
        self.run(index, system, &mut frame, None)?;
        let (labels, columns) = (self.labels(index, system), self.column_labels(index));
        let sum = Sum {
            library: self,
            formula,
            program,
            lines: self.work_lines(index, system),
            labels: &labels,
            columns: &columns,
            frame: &frame,
            system,
        };
        let (digits, exact, _) = sum.print(&mut bound);
        bound.tell(&formula.givens);
        let lines = sum.write(&bound, &digits, &exact);
        let verdicts = self.verdicts(index, program, &frame)?;
        let answers = self.answers(index, program, &frame, system)?;
        let slips = formula.slips.iter().enumerate().filter_map(|(at, slip)| {
            let mut frame = bound.frame.clone();
            // A slip that has no value for these numbers, such as a division by zero, is no
            // slip here.
            self.run(index, system, &mut frame, Some(at)).ok()?;
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

    /// Answers, verdicts and slips without a board, in base units: for those who try many
    /// values and print few.
    pub fn attempt(
        &self,
        id: &str,
        inputs: &Inputs,
        system: System,
    ) -> Result<Tried, WorkFault> {
        let (index, formula, program) = self.find(id, system)?;
        let bound = self.bind(index, inputs, system)?;
        let mut frame = bound.frame.clone();
        self.run(index, system, &mut frame, None)?;
        let verdicts = self.verdicts(index, program, &frame)?;
        let overflow = || eval(0, &formula.title, NumberFault::Overflow.into());
        let answers = numbers(program, &frame).ok_or_else(overflow)?;
        let slips = (0..formula.slips.len()).filter_map(|at| {
            let mut frame = bound.frame.clone();
            self.run(index, system, &mut frame, Some(at)).ok()?;
            Some((at, numbers(program, &frame)?))
        });
        Ok(Tried { answers, verdicts, slips: slips.collect() })
    }

    /// The answers alone, in base units.
    pub fn evaluate(
        &self,
        id: &str,
        inputs: &Inputs,
        system: System,
    ) -> Result<Vec<Number>, WorkFault> {
        let (index, _, program) = self.find(id, system)?;
        let mut bound = self.bind(index, inputs, system)?;
        self.run(index, system, &mut bound.frame, None)?;
        // Asked for what it refuses alone: a proof must see the same draws fail as a paper
        // would.
        self.verdicts(index, program, &bound.frame)?;
        let slots = program.answers.iter();
        Ok(slots.filter_map(|slot| number(&bound.frame, *slot)).collect())
    }

    /// Whether every line, worked on the printed numbers, gives the printed result, and the
    /// printed result of a line the answer. Returns the first line that does not.
    pub fn board_adds_up(
        &self,
        id: &str,
        inputs: &Inputs,
        system: System,
    ) -> Result<Option<usize>, WorkFault> {
        let (index, formula, program) = self.find(id, system)?;
        let mut bound = self.bind(index, inputs, system)?;
        let mut frame = bound.frame.clone();
        self.run(index, system, &mut frame, None)?;
        let sum = Sum {
            library: self,
            formula,
            program,
            lines: self.work_lines(index, system),
            labels: &[],
            columns: &[],
            frame: &frame,
            system,
        };
        Ok(sum.print(&mut bound).2)
    }

    /// An answer printed in another unit and step than the formula's own.
    pub fn print(
        &self,
        id: &str,
        (name, number): (&str, Number),
        system: System,
        shown: Quantity,
    ) -> Option<WorkedAnswer> {
        let formula = self.formula(id)?;
        let own = formula.answers.iter().find(|own| own.name == name)?;
        print_answer(own, number, system, Some(shown))
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

    fn run(
        &self,
        index: usize,
        system: System,
        frame: &mut Frame,
        slip: Option<usize>,
    ) -> Result<(), WorkFault> {
        let si = system == System::Si;
        let program = if si { self.si.get(index) } else { self.us.get(index) };
        let program = program.ok_or_else(|| WorkFault::new("unknown-formula"))?;
        program.run_with(frame, self.world(si), slip).map_err(|(line, fault)| {
            let label = self.work_lines(index, system).get(line);
            eval(line, label.map_or("", |line| line.label.as_str()), fault)
        })
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
            if run.test(code).map_err(|fault| eval(0, &verdict.says, fault))? {
                // A formula that refuses has no answer, not even one with a caution beside it.
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
                    .ok_or_else(|| eval(0, &answer.label, NumberFault::Overflow.into()))
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
            let open = |given: &Given| !inputs.contains_key(&given.name);
            formula.defaults().any(|(given, constant)| constant == id && open(given))
        };
        let used = |index: usize| {
            let named = |code: &Code| {
                code.any(&mut |part| matches!(part, Code::Named(own) if *own == index))
            };
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

fn numbers(program: &Program, frame: &Frame) -> Option<Vec<Number>> {
    program.answers.iter().map(|slot| number(frame, *slot)).collect()
}

fn number(frame: &Frame, slot: usize) -> Option<Number> {
    match frame.slots.get(slot) {
        Some(Value::Number(number)) => Some(*number),
        _ => None,
    }
}

fn eval(line: usize, label: &str, fault: EvalFault) -> WorkFault {
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
    out.blanks.push(("label", label.to_owned()));
    out.line = Some(line);
    out
}
