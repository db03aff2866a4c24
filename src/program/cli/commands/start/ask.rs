//! Asks on a terminal what no file and no option has answered: the questions are the fields of the
//! tables with their sentences, the answers the lines of a file with answers.
//!
//! Each line is read as soon as it is typed. What is wrong with it is told in the sentence that a
//! file would get, and the question comes again.

use std::io::{BufRead, StdinLock};

use crate::cli::terminal::Terminal;
use crate::findings::{self, Code, Finding, Sources};
use crate::quantity::System;
use crate::starting::BOOKS;
use crate::wire::{Cases, Field, Kind, Layout, Need, Table, YES_NO, scalar, sentence};

/// Letters of an answer at most: a page of text was pasted by mistake.
const LONGEST: usize = 1_000;

/// Nothing more can be asked: the input has ended.
#[derive(Debug)]
pub(super) struct Ended;

/// How one question ended.
#[derive(PartialEq, Eq)]
enum Said {
    Answered,
    LeftOut,
}

/// A conversation and the text that comes of it.
pub(super) struct Talk<'t> {
    pub(super) text: String,
    pub(super) terminal: &'t Terminal,
    pub(super) input: StdinLock<'t>,
    pub(super) file: &'static str,
    /// What is wrong with a text so far.
    pub(super) faults: &'t dyn Fn(&str) -> (System, Vec<Finding>),
}

impl Talk<'_> {
    /// The fields of a table that are not there yet, at the top of the text.
    pub(super) fn top(&mut self, table: &'static Table) -> Result<(), Ended> {
        for field in table.fields {
            match (field.need, field.kind) {
                (Need::Flat, Kind::Group(inner)) => self.top(inner())?,
                (Need::Flat, Kind::OneOf(cases))
                    if !self.there(cases().by.unwrap_or_default()) =>
                {
                    self.chosen(table.name, cases(), 0)?;
                }
                (Need::Must | Need::May, _) if !self.there(field.key) => {
                    self.field(table.name, field, 0)?;
                }
                _ => {}
            }
        }
        Ok(())
    }

    fn there(&self, key: &str) -> bool {
        crate::starting::says(&self.text, key)
    }

    fn group(
        &mut self,
        table: &'static Table,
        indent: usize,
        skip: usize,
    ) -> Result<(), Ended> {
        for field in table.fields.iter().skip(skip) {
            match (field.need, field.kind) {
                (Need::Flat, Kind::Group(inner)) => self.group(inner(), indent, 0)?,
                (Need::Flat, Kind::OneOf(cases)) => {
                    self.chosen(table.name, cases(), indent)?;
                }
                (Need::Must | Need::May, _) => self.field(table.name, field, indent)?,
                _ => {}
            }
        }
        Ok(())
    }

    /// One of several groups: its word, then its fields.
    fn chosen(
        &mut self,
        _of: &str,
        cases: &'static Cases,
        indent: usize,
    ) -> Result<(), Ended> {
        let Some(by) = cases.by else { return Ok(()) };
        let book = BOOKS.of(cases.name);
        let about = book.map(|book| sentence(book.about)).unwrap_or_default();
        for case in cases.of {
            let help = book.and_then(|book| book.entry(case.word));
            let help = help.map(|entry| sentence(entry.help)).unwrap_or_default();
            self.terminal.talk(&format!("  {:<20}{help}", case.word));
        }
        let list: Vec<&str> = cases.of.iter().map(|case| case.word).collect();
        let question = format!("{about} ({})", list.join(", "));
        let start = self.text.len();
        self.line(&question, None, (by, indent))?;
        let word = self.text.get(start..).and_then(|line| line.split_once(':'));
        let word = word
            .map(|(_, word)| word.trim().trim_matches('"').to_owned())
            .unwrap_or_default();
        match cases.of.iter().find(|case| case.word == word) {
            Some(case) => self.group(case.table, indent, 0),
            None => Ok(()),
        }
    }

    fn field(
        &mut self,
        of: &str,
        field: &'static Field,
        indent: usize,
    ) -> Result<(), Ended> {
        let entry = BOOKS.of(of).and_then(|book| book.entry(field.key));
        let help = entry.map(|entry| sentence(entry.help)).unwrap_or_default();
        let own = field.or.or(field.nothing);
        let own = own.filter(|own| !own.is_empty());
        let optional = own.or_else(|| (!field.must()).then_some(""));
        match (field.layout, field.kind) {
            (Layout::List, Kind::Group(table)) => {
                self.list(&help, table(), (field.key, indent))
            }
            (_, Kind::Group(table)) => {
                let start = self.text.len();
                self.push(field.key, indent, "");
                if optional.is_some() && !self.wanted(&help)? {
                    self.text.truncate(start);
                    if field.must()
                        && let Some(nothing) = field.nothing
                    {
                        self.push(field.key, indent, nothing);
                    }
                    return Ok(());
                }
                if optional.is_none() {
                    self.terminal.talk(&help);
                }
                self.group(table(), indent + 2, 0)
            }
            _ => {
                let mut question = help;
                if let Kind::Word(list) = field.kind {
                    question.push_str(&format!(" ({})", list.words.join(", ")));
                } else if let Some(eg) = entry.and_then(|entry| entry.eg) {
                    let (system, _) = (self.faults)(&self.text);
                    let eg = system.example_text(eg).into_owned();
                    let blanks = [("eg", eg.as_str())];
                    question
                        .push_str(&self.terminal.words.say("start.ask.such-as", &blanks));
                }
                // What a needed field says where there is none is typed: an empty line may be a slip,
                // and a mark that was only skipped would print as one that is not there.
                let optional = if field.must() { field.or } else { optional };
                self.line(&question, optional, (field.key, indent)).map(|_| ())
            }
        }
    }

    /// Groups one after the other, until there is no further one.
    fn list(
        &mut self,
        help: &str,
        table: &'static Table,
        (key, indent): (&str, usize),
    ) -> Result<(), Ended> {
        let start = self.text.len();
        self.push(key, indent, "");
        self.terminal.talk(help);
        let Some(first) = table.fields.first() else { return Ok(()) };
        // A hundred is more than anybody types, and an end for
        // a stream that only says yes.
        for number in 1..=100 {
            let entry = BOOKS.of(table.name).and_then(|book| book.entry(first.key));
            let help = entry.map(|entry| sentence(entry.help)).unwrap_or_default();
            let count = number.to_string();
            let blanks = [("number", count.as_str()), ("help", help.as_str())];
            let question = self.terminal.words.say("start.ask.numbered", &blanks);
            // The first is asked for; from the second on an empty line ends the list.
            let end = (number > 1).then_some("");
            let key = format!("- {}", first.key);
            if self.line(&question, end, (&key, indent))? == Said::LeftOut {
                break;
            }
            self.group(table, indent + 2, 1)?;
        }
        if self.text.len() == start {
            self.text.truncate(start);
        }
        Ok(())
    }

    fn push(&mut self, key: &str, indent: usize, said: &str) {
        let blank = " ".repeat(indent);
        let line = format!("{blank}{key}: {said}");
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// Whether there is such a thing at all.
    fn wanted(&mut self, help: &str) -> Result<bool, Ended> {
        let question = self.terminal.words.say("start.ask.whether", &[("help", help)]);
        loop {
            self.terminal.talk(&question);
            let said = self.typed()?;
            match said.as_str() {
                "" => return Ok(false),
                said if YES_NO.words.contains(&said) => return Ok(said == "yes"),
                _ => self.terminal.talk(&self.terminal.words.get("start.ask.yes-no")),
            }
        }
    }

    /// Asks until the line can be read. An empty one leaves out what may be left out.
    fn line(
        &mut self,
        question: &str,
        optional: Option<&str>,
        (key, indent): (&str, usize),
    ) -> Result<Said, Ended> {
        let words = &self.terminal.words;
        loop {
            self.terminal.talk(question);
            match optional {
                Some("") => self.terminal.talk(&words.get("start.ask.may")),
                Some(or) => self.terminal.talk(&words.say("start.ask.or", &[("or", or)])),
                None => {}
            }
            let said = self.typed()?;
            if said.is_empty() && optional.is_some() {
                return Ok(Said::LeftOut);
            }
            if said.is_empty() {
                self.terminal.talk(&words.get("start.ask.must"));
                continue;
            }
            let start = self.text.len();
            let listed = matches!(key, "settings" | "drills") && !said.starts_with('[');
            // A list is typed as it is said, with a comma and a blank between its parts.
            let said = if listed { format!("[{said}]") } else { said };
            let value = if said.starts_with('[') { said } else { scalar(&said) };
            self.push(key, indent, &value);
            let faults = self.faults_from(start);
            if faults.is_empty() {
                return Ok(Said::Answered);
            }
            for fault in faults {
                self.terminal.talk(&fault);
            }
            // Taken out again, so that what was answered before stays whole.
            self.text.truncate(start);
        }
    }

    /// What is wrong with the lines from there on, in the sentences of a file.
    fn faults_from(&self, start: usize) -> Vec<String> {
        let (_, found) = (self.faults)(&self.text);
        let sources = Sources::from([(self.file.to_owned(), self.text.clone())]);
        let of_line = |finding: &&Finding| {
            let place = finding.place.as_ref();
            // What is still to come is missing, and nothing is wrong with that.
            place.is_some_and(|place| place.start >= start)
                && finding.code != Code::MissingField
        };
        let told = |finding: &Finding| {
            let printed = findings::printed(finding, &sources, &self.terminal.words);
            format!("  {}\n  {}", printed.says, printed.write).trim_end().to_owned()
        };
        found.iter().filter(of_line).map(told).collect()
    }

    fn typed(&mut self) -> Result<String, Ended> {
        let mut line = String::new();
        match self.input.read_line(&mut line) {
            Ok(0) | Err(_) => Err(Ended),
            Ok(_) => {
                // Arrow keys and the like type signs that nobody sees and
                // that would stand in the file.
                let shown = line.chars().filter(|c| !c.is_control()).take(LONGEST);
                Ok(shown.collect::<String>().trim().to_owned())
            }
        }
    }
}
