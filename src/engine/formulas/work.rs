//! One formula worked for one set of givens: the value, the working and the slips.

use super::adding::Sum;
use super::check::Code;
use super::data::{Formula, Given, GivenKind, WorkLine};
use super::eval::{EvalFault, Frame, Run, Value};
use super::library::{Library, Program};
use super::limits::{endless, nonsense, sentence};
use super::print::print_answer;
use super::worked::{
    Inputs, Tried, UsedConstant, WorkFault, Worked, WorkedAnswer, WorkedSlip,
};
use crate::quantity::{Number, NumberFault, Quantity, System, prose_written};

impl Library {
    /// Works a formula: value, board, verdicts, slips.
    pub fn work(
        &self,
        id: &str,
        inputs: &Inputs,
        system: System,
    ) -> Result<Worked, WorkFault> {
        self.work_asked(id, inputs, system, None)
    }

    /// [`Library::work`] for one answer, by name, in its own step and unit: it is then the only
    /// one, and the last line of the board.
    pub fn work_asked(
        &self,
        id: &str,
        inputs: &Inputs,
        system: System,
        asked: Option<(&str, Quantity)>,
    ) -> Result<Worked, WorkFault> {
        let (index, formula, program) = self.find(id, system)?;
        let asked = asked.and_then(|(name, shown)| {
            let at = formula.answers.iter().position(|answer| answer.name == name)?;
            Some((at, shown))
        });
        let mut bound = self.bind(index, inputs, system)?;
        let mut frame = bound.frame.clone();
        // The value comes first and from unrounded numbers; the board is printed to fit it,
        // never the other way round.
        self.run(index, system, &mut frame, None)?;
        // Before the board: what a formula refuses has no working to show.
        let verdicts = self.verdicts(index, program, (&frame, system))?;
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
            asked,
        };
        let (digits, exact, _) = sum.print(&mut bound);
        bound.tell(&formula.givens);
        let mut lines = sum.write(&bound, &digits, &exact);
        let mut answers = self.answers(index, program, &frame, system)?;
        lines.extend(sum.closing(&bound, &answers));
        if let Some((at, shown)) = asked
            && let Some(own) = formula.answers.get(at)
            && let Some(number) = answers.get(at).and_then(|answer| answer.number)
            && let Some(printed) = print_answer(own, number, system, Some(shown))
        {
            lines.extend(sum.last(&bound, &lines, (at, shown), &printed));
            answers = vec![printed];
        }
        let own = formula.slips.iter().enumerate();
        let made = own.filter(|(_, slip)| slip.made_in(system));
        let slips = made.filter_map(|(at, slip)| {
            let mut frame = bound.frame.clone();
            // A slip that has no value for these numbers, such as a division by zero, is no
            // slip here.
            self.run(index, system, &mut frame, Some(at)).ok()?;
            let answers = self.answers(index, program, &frame, system).ok()?;
            Some(WorkedSlip {
                id: slip.id.clone(),
                kind: slip.kind,
                says: prose_written(slip.feedback(system)).into_owned(),
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
            constants: self.used_constants(program, formula, inputs, system),
            range: prose_written(&formula.range).into_owned(),
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
        let verdicts = self.verdicts(index, program, (&frame, system))?;
        let world = self.world(system.is_metric());
        let answers = Self::ends(program, Run { world, frame: &frame, row: None })?;
        let own = formula.slips.iter().enumerate();
        let made = own.filter(|(_, slip)| slip.made_in(system));
        let slips = made.filter_map(|(at, _)| {
            let mut frame = bound.frame.clone();
            self.run(index, system, &mut frame, Some(at)).ok()?;
            Some((at, Self::ends(program, Run { world, frame: &frame, row: None }).ok()?))
        });
        Ok(Tried { answers, verdicts, slips: slips.collect() })
    }

    /// The answers alone, in base units; nothing for one that does not come to an end.
    pub fn evaluate(
        &self,
        id: &str,
        inputs: &Inputs,
        system: System,
    ) -> Result<Vec<Option<Number>>, WorkFault> {
        let (index, _, program) = self.find(id, system)?;
        let mut bound = self.bind(index, inputs, system)?;
        self.run(index, system, &mut bound.frame, None)?;
        // Asked for what it refuses alone: a proof must see the same draws fail as a paper
        // would.
        self.verdicts(index, program, (&bound.frame, system))?;
        let world = self.world(system.is_metric());
        Self::ends(program, Run { world, frame: &bound.frame, row: None })
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
            asked: None,
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
        match (self.formulas.get(index), self.program(index, system)) {
            (Some(formula), Some(_)) if !formula.holds_in(system) => {
                let instead = formula.instead.clone().unwrap_or_default();
                let fault = WorkFault::new("other-system");
                Err(fault.with("title", formula.title.clone()).with("instead", instead))
            }
            (Some(formula), Some(program)) => Ok((index, formula, program)),
            _ => Err(unknown()),
        }
    }

    fn work_lines(&self, index: usize, system: System) -> &[WorkLine] {
        match self.formulas.get(index) {
            Some(f) if system.is_metric() && !f.work_si.is_empty() => &f.work_si,
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
        let program = self.program(index, system);
        let program = program.ok_or_else(|| WorkFault::new("unknown-formula"))?;
        let world = self.world(system.is_metric());
        program.run_with(frame, world, slip).map_err(|(line, fault)| {
            // What a line without a value means is said by the formula's own refusal, as far
            // as it rests on the lines above.
            let refused = self.refused(index, program, (frame, system));
            refused.unwrap_or_else(|| {
                let label = self.work_lines(index, system).get(line);
                eval(line, label.map_or("", |line| line.label.as_str()), fault)
            })
        })
    }

    /// The first refusal that holds, of those that have a value.
    fn refused(
        &self,
        index: usize,
        program: &Program,
        (frame, system): (&Frame, System),
    ) -> Option<WorkFault> {
        let run = Run { world: self.world(system.is_metric()), frame, row: None };
        let pairs = self.formulas.get(index)?.verdicts.iter().zip(&program.verdicts);
        let mut refusing = pairs.filter(|(verdict, _)| verdict.refuses);
        let (verdict, (_, figure)) =
            refusing.find(|(_, (code, _))| run.test(code) == Ok(true))?;
        let says = sentence(verdict, figure.as_ref(), run, system).ok()?;
        Some(WorkFault::new("not-known").with("says", says))
    }

    /// Verdicts that hold; a fault where the formula refuses, or where an answer makes no
    /// sense.
    fn verdicts(
        &self,
        index: usize,
        program: &Program,
        (frame, system): (&Frame, System),
    ) -> Result<Vec<String>, WorkFault> {
        let Some(formula) = self.formulas.get(index) else { return Ok(Vec::new()) };
        let run = Run { world: self.world(system.is_metric()), frame, row: None };
        let mut out = Vec::new();
        for (verdict, (code, figure)) in formula.verdicts.iter().zip(&program.verdicts) {
            let fault = |fault| eval(0, &verdict.says, fault);
            if run.test(code).map_err(fault)? {
                let says =
                    sentence(verdict, figure.as_ref(), run, system).map_err(fault)?;
                // A formula that refuses has no answer, not even one with a caution beside it.
                if verdict.refuses {
                    return Err(WorkFault::new("not-known").with("says", says));
                }
                out.push(says);
            }
        }
        for (answer, number) in formula.answers.iter().zip(Self::ends(program, run)?) {
            if let Some(fault) =
                number.and_then(|number| nonsense(answer, number, system))
            {
                return Err(fault);
            }
        }
        Ok(out)
    }

    /// Answers in base units; nothing for one that does not come to an end.
    fn ends(program: &Program, run: Run<'_>) -> Result<Vec<Option<Number>>, WorkFault> {
        let ends = |(at, slot): (usize, &usize)| {
            let endless = program.endless.get(at).and_then(Option::as_ref);
            let endless = endless.is_some_and(|code| run.test(code) == Ok(true));
            let number = number(run.frame, *slot);
            let lost = || eval(0, "", NumberFault::Overflow.into());
            if endless { Ok(None) } else { number.ok_or_else(lost).map(Some) }
        };
        program.answers.iter().enumerate().map(ends).collect()
    }

    fn answers(
        &self,
        index: usize,
        program: &Program,
        frame: &Frame,
        system: System,
    ) -> Result<Vec<WorkedAnswer>, WorkFault> {
        let Some(formula) = self.formulas.get(index) else { return Ok(Vec::new()) };
        let run = Run { world: self.world(system.is_metric()), frame, row: None };
        let pairs = formula.answers.iter().zip(Self::ends(program, run)?);
        pairs
            .map(|(answer, number)| {
                let Some(number) = number else { return Ok(endless(answer)) };
                print_answer(answer, number, system, None)
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
        system: System,
    ) -> Vec<UsedConstant> {
        let stands_in = |id: &str| {
            let open = |given: &Given| !inputs.contains_key(&given.name);
            formula
                .defaults(system)
                .any(|(given, constant)| constant == id && open(given))
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
                || program.verdicts.iter().any(|(code, figure)| {
                    named(code) || figure.as_ref().is_some_and(named)
                })
        };
        let all = self.constants.iter().enumerate().filter(|(index, _)| used(*index));
        all.map(|(_, constant)| UsedConstant {
            label: constant.label.clone(),
            value: constant.value.printed(),
            source: constant.source.clone(),
            local: constant.local,
            looked_up: constant.looked_up(),
        })
        .collect()
    }
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
