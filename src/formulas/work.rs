//! One formula worked for one set of givens: the value, the working and the slips.

use std::collections::BTreeMap;

use serde::Serialize;

use super::board::{Board, Printed, Style};
use super::check::Code;
use super::data::{Answer, Given, GivenKind, SlipKind, SourceRef, WorkLine};
use super::eval::{EvalFault, Frame, Run, Value};
use super::library::{Library, Program};
use crate::quantity::{
    self, Direction, Fraction, Kind, Number, NumberFault, Quantity, Shown, Unit,
    minutes_seconds,
};

/// The units a result is shown in.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, serde::Deserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum System {
    /// US customary units.
    Us,
    /// Metric units.
    Si,
}

/// A value for a given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Input {
    /// A quantity in any unit of the given's dimension.
    Number(Quantity),
    /// A word of a choice.
    Word(String),
    /// Rows of a list, by column.
    Rows(Vec<BTreeMap<String, Quantity>>),
}

/// Values by name of the given.
pub type Inputs = BTreeMap<String, Input>;

/// Why a formula has no answer: a key under `formula.` in the words file, with its blanks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct WorkFault {
    /// Key, such as `out-of-range`.
    pub key: &'static str,
    /// Values of the sentence's blanks.
    pub blanks: Vec<(&'static str, String)>,
    /// The given that is at fault.
    pub given: Option<String>,
    /// The work line at which it came up, from 0.
    pub line: Option<usize>,
}

impl WorkFault {
    fn new(key: &'static str) -> Self {
        Self { key, blanks: Vec::new(), given: None, line: None }
    }

    fn with(mut self, blank: &'static str, value: impl Into<String>) -> Self {
        self.blanks.push((blank, value.into()));
        self
    }

    fn of(mut self, given: &Given) -> Self {
        self.given = Some(given.name.clone());
        self.with("given", given.label.clone()).with("name", given.name.clone())
    }

    /// The sentence.
    pub fn say(&self, words: &crate::words::Words) -> String {
        let blanks: Vec<(&str, &str)> =
            self.blanks.iter().map(|(name, value)| (*name, value.as_str())).collect();
        words.say(&format!("formula.{}", self.key), &blanks)
    }
}

/// A given as printed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct WorkedGiven {
    /// Name in the formula.
    pub name: String,
    /// In words.
    pub label: String,
    /// Value with unit; rows one after the other.
    pub text: String,
    /// What was written, when it was converted.
    pub converted_from: Option<String>,
}

/// One line of the board.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BoardLine {
    /// The result's name in words.
    pub label: String,
    /// Right side in words.
    pub words: String,
    /// Right side with the numbers.
    pub numbers: String,
    /// `=` when the printed result is the value, else `≈`.
    pub relation: &'static str,
    /// Result with unit.
    pub result: String,
}

/// An answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WorkedAnswer {
    /// Name.
    pub name: String,
    /// In words.
    pub label: String,
    /// Printed, with unit.
    pub text: String,
    /// Unit symbol; `min:s` for a clock.
    pub unit: String,
    /// Whether the printed value is exact.
    pub exact: bool,
    /// The printed value in the printed unit (seconds for a clock), as decimal text.
    pub value: String,
    /// The value before rounding, in base units.
    #[serde(skip)]
    pub number: Number,
    /// The value before rounding, in the printed unit, to 12 significant digits.
    pub unrounded: String,
}

/// A slip worked out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WorkedSlip {
    /// Id.
    pub id: String,
    /// Kind.
    pub kind: SlipKind,
    /// Feedback.
    pub says: String,
    /// Answers it gives, in the order of the formula's answers.
    pub answers: Vec<WorkedAnswer>,
}

/// A contested constant that was used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct UsedConstant {
    /// In words.
    pub label: String,
    /// Value.
    pub value: String,
    /// Whose it is.
    pub source: SourceRef,
    /// Whether the department chose it.
    pub local: bool,
}

/// A formula worked.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Worked {
    /// Formula id.
    pub formula: String,
    /// Title.
    pub title: String,
    /// Percent basis in words.
    pub basis: Option<String>,
    /// Givens.
    pub givens: Vec<WorkedGiven>,
    /// Board.
    pub lines: Vec<BoardLine>,
    /// Answers, principal first.
    pub answers: Vec<WorkedAnswer>,
    /// Verdicts that hold.
    pub verdicts: Vec<String>,
    /// Slips that have a value.
    pub slips: Vec<WorkedSlip>,
    /// Contested constants used.
    pub constants: Vec<UsedConstant>,
    /// Range and what happens outside.
    pub range: String,
    /// Sources.
    pub sources: Vec<SourceRef>,
}

impl Worked {
    /// The answer of that name, or the principal one.
    pub fn answer(&self, name: Option<&str>) -> Option<&WorkedAnswer> {
        match name {
            Some(name) => self.answers.iter().find(|answer| answer.name == name),
            None => self.answers.first(),
        }
    }
}

/// The value in the unit of `shown`, rounded to its number.
pub(super) fn show_in(
    value: Number,
    shown: &Quantity,
    round: Direction,
) -> Option<Shown> {
    quantity::show(in_unit(value, shown.unit())?, shown.number(), round)
}

pub(super) fn in_unit(value: Number, unit: &Unit) -> Option<Number> {
    let value = if unit.kind == Kind::Reading {
        value.sub(Number::Exact(unit.zero())).ok()?
    } else {
        value
    };
    value.div(Number::Exact(unit.factor())).ok()
}

/// An answer printed as the formula says, or in another unit and step.
pub(super) fn print_answer(
    answer: &Answer,
    number: Number,
    system: System,
    shown: Option<Quantity>,
) -> Option<WorkedAnswer> {
    let own = if system == System::Si { answer.shown_si } else { answer.shown };
    let shown = shown.unwrap_or(own);
    let printed = show_in(number, &shown, answer.round)?;
    let unit = shown.unit();
    let bare = in_unit(number, unit)?.settled()?;
    let (text, unit_name) = if answer.clock {
        (minutes_seconds(printed.value.floor()), "min:s".to_owned())
    } else {
        (printed.with_unit(unit.symbol), unit.symbol.to_owned())
    };
    Some(WorkedAnswer {
        name: answer.name.clone(),
        label: answer.label.clone(),
        text,
        unit: unit_name,
        exact: printed.exact,
        value: printed.value.to_string(),
        number,
        unrounded: unrounded(bare),
    })
}

/// Exact decimal where there is a short one, else 12 significant digits.
fn unrounded(value: Fraction) -> String {
    value.decimal().filter(|text| text.len() <= 14).unwrap_or_else(|| {
        let digits = format!("{:.11e}", Number::Exact(value).float());
        let settled =
            digits.parse::<f64>().ok().and_then(|v| Number::Approx(v).settled());
        settled.and_then(Fraction::decimal).unwrap_or(digits)
    })
}

struct Bound {
    frame: Frame,
    given: Vec<WorkedGiven>,
    printed: Vec<Option<Printed>>,
    cells: Vec<Vec<Vec<Printed>>>,
}

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
            if let Some(printed) = self.print_slot(&frame, *slot, line, system)
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
            constants: self.used_constants(program),
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
            let Some(printed) = self.print_slot(&frame, *slot, line, system) else {
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
    ) -> Result<(usize, &super::data::Formula, &Program), WorkFault> {
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
        let printed = self.print_slot(put.frame, put.slot, put.line, put.system);
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

    fn print_slot(
        &self,
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

    fn used_constants(&self, program: &Program) -> Vec<UsedConstant> {
        let used = |index: usize| {
            let named = |code: &Code| mentions(code, index);
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

    fn bind(
        &self,
        index: usize,
        inputs: &Inputs,
        system: System,
    ) -> Result<Bound, WorkFault> {
        let missing = || WorkFault::new("unknown-formula");
        let formula = self.formulas.get(index).ok_or_else(missing)?;
        let program = self.us.get(index).ok_or_else(missing)?;
        let longest =
            self.si.get(index).map_or(0, |si| si.names.len()).max(program.names.len());
        let mut bound = Bound {
            frame: program.frame.clone(),
            given: Vec::new(),
            printed: vec![None; longest],
            cells: Vec::new(),
        };
        bound.frame.slots.resize(longest, Value::Unset);
        for name in inputs.keys() {
            if !formula.givens.iter().any(|given| given.name == *name) {
                let known = formula.givens.iter().map(|given| given.name.as_str());
                let near = crate::words::nearest(name, known).unwrap_or_default();
                let fault = WorkFault::new("unknown-given").with("name", name.clone());
                let names: Vec<_> =
                    formula.givens.iter().map(|g| g.name.clone()).collect();
                return Err(fault.with("nearest", near).with("names", names.join(", ")));
            }
        }
        let (mut slot, mut list) = (0, 0);
        for given in &formula.givens {
            let input = inputs.get(&given.name);
            match &given.kind {
                GivenKind::Number { default, .. } => {
                    bind_number(&mut bound, slot, given, input, *default, system)?;
                    slot += 1;
                }
                GivenKind::Choice { words } => {
                    bind_word(&mut bound, slot, given, input, words)?;
                    slot += 1;
                }
                GivenKind::List { columns } => {
                    bind_rows(&mut bound, list, given, columns, input, system)?;
                    list += 1;
                }
            }
        }
        Ok(bound)
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

fn bind_number(
    bound: &mut Bound,
    slot: usize,
    given: &Given,
    input: Option<&Input>,
    default: Option<Quantity>,
    system: System,
) -> Result<(), WorkFault> {
    let quantity = match (input, default) {
        (Some(Input::Number(quantity)), _) => *quantity,
        (None, Some(default)) => default,
        (None, None) => return Err(WorkFault::new("missing-given").of(given)),
        (Some(_), _) => return Err(WorkFault::new("wants-number").of(given)),
    };
    let (printed, converted_from) = check_number(given, quantity, system)?;
    if let Some(target) = bound.frame.slots.get_mut(slot) {
        *target = Value::Number(quantity.base());
    }
    bound.given.push(WorkedGiven {
        name: given.name.clone(),
        label: given.label.clone(),
        text: printed.text.clone(),
        converted_from,
    });
    if let Some(place) = bound.printed.get_mut(slot) {
        *place = Some(printed);
    }
    Ok(())
}

/// A quantity within the given's dimension and range, printed in the module's unit.
fn check_number(
    given: &Given,
    quantity: Quantity,
    system: System,
) -> Result<(Printed, Option<String>), WorkFault> {
    let GivenKind::Number { unit, unit_si, least, most, .. } = &given.kind else {
        return Err(WorkFault::new("wants-number").of(given));
    };
    let symbol = if system == System::Si { unit_si } else { unit };
    let target = quantity::find(symbol).unwrap_or(quantity.unit());
    let wrong = || {
        let fault = WorkFault::new("wrong-dimension")
            .of(given)
            .with("found", quantity.to_string());
        fault.with("unit", symbol.clone())
    };
    if quantity.dimension() != target.dimension
        || (quantity.unit().kind == Kind::Reading) != (target.kind == Kind::Reading)
        || (quantity.unit().kind == Kind::Share && target.kind == Kind::Plain)
        || (quantity.unit().kind == Kind::Plain && target.kind == Kind::Share)
    {
        return Err(wrong());
    }
    let base = quantity.base();
    if base.compare(least.base()).is_lt() || base.compare(most.base()).is_gt() {
        let fault =
            WorkFault::new("out-of-range").of(given).with("found", quantity.to_string());
        return Err(fault
            .with("least", least.to_string())
            .with("most", most.to_string()));
    }
    if quantity.unit() == target {
        let share = target.kind == Kind::Share;
        let scale = if share { Fraction::new(1, 100) } else { Some(Fraction::ONE) };
        let says = scale.and_then(|scale| quantity.number().mul(scale));
        let says = says.unwrap_or(quantity.number());
        return Ok((Printed { text: quantity.printed(), says, exact: true }, None));
    }
    let step = Fraction::new(1, 1000).unwrap_or(Fraction::ONE);
    let shown = in_unit(base, target)
        .and_then(|value| quantity::show(value, step, Direction::Near))
        .ok_or_else(wrong)?;
    let trimmed = Shown { text: trim_zeros(&shown.text), ..shown };
    Ok((Printed::new(&trimmed, target), Some(quantity.printed())))
}

fn trim_zeros(text: &str) -> String {
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text.to_owned()
    }
}

fn bind_word(
    bound: &mut Bound,
    slot: usize,
    given: &Given,
    input: Option<&Input>,
    words: &[String],
) -> Result<(), WorkFault> {
    let word = match input {
        Some(Input::Word(word)) if words.contains(word) => word.clone(),
        None => return Err(WorkFault::new("missing-given").of(given)),
        _ => {
            return Err(WorkFault::new("wants-word")
                .of(given)
                .with("words", words.join(", ")));
        }
    };
    bound.given.push(WorkedGiven {
        name: given.name.clone(),
        label: given.label.clone(),
        text: word.clone(),
        converted_from: None,
    });
    if let Some(target) = bound.frame.slots.get_mut(slot) {
        *target = Value::Word(word);
    }
    Ok(())
}

fn bind_rows(
    bound: &mut Bound,
    list: usize,
    given: &Given,
    columns: &[Given],
    input: Option<&Input>,
    system: System,
) -> Result<(), WorkFault> {
    let rows = match input {
        Some(Input::Rows(rows)) if rows.len() > 50 => {
            return Err(WorkFault::new("too-many-rows").of(given));
        }
        Some(Input::Rows(rows)) if !rows.is_empty() => rows,
        Some(Input::Rows(_)) => return Err(WorkFault::new("empty-list").of(given)),
        None => return Err(WorkFault::new("missing-given").of(given)),
        Some(_) => return Err(WorkFault::new("wants-rows").of(given)),
    };
    let (mut values, mut cells, mut texts) = (Vec::new(), Vec::new(), Vec::new());
    for row in rows {
        let (mut numbers, mut printed_row, mut text_row) =
            (Vec::new(), Vec::new(), Vec::new());
        for column in columns {
            let default = match &column.kind {
                GivenKind::Number { default, .. } => *default,
                _ => None,
            };
            let quantity = row.get(&column.name).copied().or(default);
            let quantity =
                quantity.ok_or_else(|| WorkFault::new("missing-given").of(column))?;
            let (printed, _) = check_number(column, quantity, system)?;
            numbers.push(quantity.base());
            text_row.push(format!("{} {}", column.label, printed.text));
            printed_row.push(printed);
        }
        if let Some(stray) =
            row.keys().find(|key| !columns.iter().any(|c| c.name == **key))
        {
            let names: Vec<_> = columns.iter().map(|c| c.name.clone()).collect();
            let fault = WorkFault::new("unknown-given").with("name", stray.clone());
            return Err(fault.with("nearest", "").with("names", names.join(", ")));
        }
        values.push(numbers);
        cells.push(printed_row);
        texts.push(text_row.join(", "));
    }
    if let Some(target) = bound.frame.lists.get_mut(list) {
        *target = values;
    }
    bound.cells.push(cells);
    bound.given.push(WorkedGiven {
        name: given.name.clone(),
        label: given.label.clone(),
        text: texts.join("; "),
        converted_from: None,
    });
    Ok(())
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
