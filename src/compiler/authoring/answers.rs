//! A sheet of answers (CSV) → marked papers, and findings where a row cannot be marked.
//!
//! The first row names the columns: `person`, `form`, and the numbers of the questions. A row
//! that has something to fix is not marked; all others are.

use std::collections::{BTreeMap, BTreeSet};

use super::bounded::{MOST_RUNS, given_up};
use super::cells::{Cell, rows_from};
use crate::findings::{Code, Finding, Grade, Place};
use crate::fingerprint::check_code;
use crate::quiz::{Doubt, Form, Forms, Outcome, PaperResult};
use crate::words::{Words, nearest};

/// What a sheet of answers gives.
#[derive(Debug, Clone, Default)]
pub struct MarkedSheet {
    /// Papers of the rows that could be marked, in their order.
    pub papers: Vec<PaperResult>,
    /// Rows that could not.
    pub left_out: usize,
    /// What is wrong with the sheet.
    pub findings: Vec<Finding>,
}

/// Marks every row of a sheet of answers with the forms that are known.
pub fn mark_answers(
    file: &str,
    text: &str,
    forms: &[Forms],
    words: &Words,
) -> MarkedSheet {
    let mut marking = Marking { file, forms, words, sheet: MarkedSheet::default() };
    let mut rows = marking.rows(text).into_iter().filter(|row| row.iter().any(said));
    let Some(head) = rows.next() else {
        let place = Place { file: file.to_owned(), start: 0, end: 0 };
        let empty = Finding::at(Code::Empty, place).with("field", file);
        marking.sheet.findings.push(empty);
        return marking.sheet;
    };
    let columns = marking.columns(&head);
    let rows: Vec<Vec<Cell>> = rows.collect();
    if let Some(cell) = rows.get(MOST_RUNS).and_then(|row| row.first()) {
        let place = marking.place(cell);
        marking.sheet.left_out += rows.len();
        marking.sheet.findings.push(given_up("rows", place));
        return marking.sheet;
    }
    let twice = marking.people_twice(&columns, &rows);
    let mut missed = BTreeSet::new();
    for (at, row) in rows.iter().enumerate() {
        // In a row of another length, answers stand below the wrong numbers.
        let whole = marking.is_whole(&head, row);
        let found = if whole { marking.paper(&columns, row, &mut missed) } else { None };
        match found.filter(|_| !twice.contains(&at)) {
            Some(paper) => marking.sheet.papers.push(paper),
            None => marking.sheet.left_out += 1,
        }
    }
    if !missed.is_empty() {
        let missed: Vec<String> = missed.iter().map(usize::to_string).collect();
        marking.no_column(&head, &missed.join(", "));
    }
    marking.sheet
}

fn said(cell: &Cell) -> bool {
    !cell.text.is_empty()
}

/// Where the columns of a sheet stand.
#[derive(Debug, Default)]
struct Columns {
    person: Option<usize>,
    form: Option<usize>,
    /// By number of the question.
    answers: BTreeMap<usize, usize>,
}

struct Marking<'m> {
    file: &'m str,
    forms: &'m [Forms],
    words: &'m Words,
    sheet: MarkedSheet,
}

impl Marking<'_> {
    fn place(&self, cell: &Cell) -> Place {
        Place { file: self.file.to_owned(), start: cell.start, end: cell.end }
    }

    fn note(&mut self, finding: Finding) {
        self.sheet.findings.push(finding);
    }

    /// All rows; a line with an open quotation mark is told and passed over.
    fn rows(&mut self, text: &str) -> Vec<Vec<Cell>> {
        let (mut all, mut from) = (Vec::new(), 0);
        loop {
            let (rows, open) = rows_from((self.file, text), from);
            all.extend(rows);
            let Some(finding) = open else { return all };
            // One open quotation mark would swallow every row below it: the row is told and
            // left out, and the rest is read from the next line on.
            let at = finding.place.as_ref().map_or(0, |place| place.start);
            self.note(finding);
            self.sheet.left_out += 1;
            let end = text.get(at..).and_then(|rest| rest.find('\n'));
            let Some(end) = end else { return all };
            from = at + end + 1;
        }
    }

    fn columns(&mut self, head: &[Cell]) -> Columns {
        let mut columns = Columns::default();
        for (at, cell) in head.iter().enumerate() {
            // Heads are typed by hand or by a spreadsheet: "Question 3", "q3" and "3"
            // mean one column.
            let name = cell.text.to_lowercase().replace([' ', '_'], "-");
            let digits = name.trim_start_matches("question").trim_start_matches('q');
            let number = digits.trim_start_matches('-').parse::<usize>().ok();
            let known = match (name.as_str(), number) {
                ("person", _) => columns.person.replace(at),
                ("form" | "form-code", _) => columns.form.replace(at),
                (_, Some(number)) if number > 0 => columns.answers.insert(number, at),
                ("", _) => None,
                _ => {
                    let finding = Finding::at(Code::ColumnUnknown, self.place(cell));
                    self.note(finding.with("name", cell.text.clone()));
                    None
                }
            };
            if known.is_some() {
                let finding = Finding::at(Code::ColumnTwice, self.place(cell));
                self.note(finding.with("name", cell.text.clone()));
            }
        }
        for (name, column) in [("person", columns.person), ("form", columns.form)] {
            if column.is_none() {
                self.no_column(head, name);
            }
        }
        columns
    }

    fn no_column(&mut self, head: &[Cell], name: &str) {
        let ends = head.iter().filter(|cell| said(cell));
        let start = ends.clone().map(|cell| cell.start).min().unwrap_or_default();
        let end = ends.map(|cell| cell.end).max().unwrap_or_default();
        let place = Place { file: self.file.to_owned(), start, end };
        self.note(Finding::at(Code::NoColumn, place).with("name", name));
    }

    fn is_whole(&mut self, head: &[Cell], row: &[Cell]) -> bool {
        if row.len() == head.len() {
            return true;
        }
        let first = row.first().map_or(0, |cell| cell.start);
        let last = row.iter().filter(|cell| said(cell)).map(|cell| cell.end).max();
        let place = Place {
            file: self.file.to_owned(),
            start: first,
            end: last.unwrap_or(first),
        };
        let finding = Finding::at(Code::RowLength, place);
        let finding = finding.with("found", row.len().to_string());
        self.note(finding.with("wanted", head.len().to_string()));
        false
    }

    /// The form of a code, with what its papers are held against.
    fn form(&self, typed: &str) -> Option<(&Form, &Forms)> {
        let code = check_code(typed)?;
        self.forms.iter().find_map(|forms| {
            Some((forms.forms.iter().find(|form| form.code == code)?, forms))
        })
    }

    /// Rows of people who hand in a set twice: which one counts, nobody here can know.
    fn people_twice(&mut self, columns: &Columns, rows: &[Vec<Cell>]) -> BTreeSet<usize> {
        let mut first: BTreeMap<(String, String), usize> = BTreeMap::new();
        let mut twice = BTreeSet::new();
        for (at, row) in rows.iter().enumerate() {
            let cell = |column: Option<usize>| column.and_then(|column| row.get(column));
            let (Some(person), Some(code)) = (cell(columns.person), cell(columns.form))
            else {
                continue;
            };
            let set = self.form(&code.text).map(|(form, _)| form.set.clone());
            let Some(set) = set.filter(|_| said(person)) else { continue };
            let Some(before) = first.insert((person.text.to_lowercase(), set), at) else {
                continue;
            };
            // Neither is marked: nobody but the officer can say which of the two papers
            // was handed in.
            twice.extend([before, at]);
            let place = self.place(person);
            let other = rows.get(before).and_then(|row| row.get(columns.person?));
            let other = other.map(|cell| cell.text.clone()).unwrap_or_default();
            let finding = Finding::at(Code::PersonTwice, place);
            self.note(finding.with("person", other));
        }
        twice
    }

    fn paper(
        &mut self,
        columns: &Columns,
        row: &[Cell],
        missed: &mut BTreeSet<usize>,
    ) -> Option<PaperResult> {
        let (person, code) = (row.get(columns.person?)?, row.get(columns.form?)?);
        if !said(person) {
            let place = if said(code) { code } else { person };
            self.note(Finding::at(Code::NoPerson, self.place(place)));
        }
        let Some((form, forms)) = self.form(&code.text) else {
            self.unknown_form(code, person);
            return None;
        };
        let mut written = Vec::new();
        for number in 1..=form.items.len() {
            match columns.answers.get(&number) {
                Some(column) => {
                    let cell = row.get(*column);
                    written.push(cell.map(|cell| cell.text.clone()).unwrap_or_default());
                }
                None => {
                    missed.insert(number);
                }
            }
        }
        if written.len() < form.items.len() || !said(person) {
            return None;
        }
        let rules = (forms.comma, forms.pass_mark.as_ref());
        let paper = form.result(&person.text, &written, rules, self.words);
        let mut open = false;
        for (number, doubt) in form.doubts(&written, forms.comma, self.words) {
            let answer = paper.answers.iter().find(|answer| answer.number == number);
            let cell = columns.answers.get(&number).and_then(|at| row.get(*at));
            let (Some(answer), Some(cell)) = (answer, cell) else { continue };
            let code = match (doubt, answer.outcome) {
                (Doubt::NoSuchLetter, _) => Code::AnswerNotOnPaper,
                // Of both readings one is right: marking would be a guess.
                (Doubt::TwoReadings, Outcome::Unreadable) => Code::AnswerUnreadable,
                (Doubt::TwoReadings, _) => continue,
            };
            open |= code.grade() == Grade::MustFix;
            let finding = Finding::at(code, self.place(cell));
            let finding = finding.with("number", answer.number.to_string());
            let finding = finding.with("person", paper.person.clone());
            let why = answer.says.clone().unwrap_or_default();
            self.note(finding.with("why", why));
        }
        // A paper with a number of two readings has no result yet; any other answer is one.
        (!open).then_some(paper)
    }

    fn unknown_form(&mut self, code: &Cell, person: &Cell) {
        let place = self.place(if said(code) { code } else { person });
        let known = self.forms.iter().flat_map(|forms| &forms.forms);
        let near =
            // Codes are printed in capitals and read aloud without.
            nearest(&code.text.to_uppercase(), known.map(|form| form.code.as_str()));
        let key = match check_code(&code.text) {
            _ if !said(code) => "quiz.form.none",
            None => "quiz.form.mistyped",
            Some(_) => "quiz.form.not-here",
        };
        let finding = Finding::at(Code::UnknownForm, place);
        let finding = finding.with("code", code.text.clone());
        let finding = finding.with("why", self.words.get(key));
        let near = near.map(|near| self.words.say("quiz.form.near", &[("code", &near)]));
        let near = near.unwrap_or_else(|| self.words.get("quiz.form.look"));
        self.note(finding.with("advice", near));
    }
}
