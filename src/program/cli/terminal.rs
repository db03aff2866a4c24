//! The one mouth of the program: data to standard output, talk to standard error.

use std::cell::RefCell;
use std::io::{self, BufWriter, ErrorKind, IsTerminal, Write};
use std::path::Path;

use clap::ValueEnum;
use serde::Serialize;

use crate::authoring;
use crate::course::BOOKS;
use crate::findings::{self, Grade, Printed, Sources};
use crate::quantity::{Comma, System, Writing};
use crate::theme::WORDS;
use crate::wire::Telling;
use crate::words::Words;
use crate::workshop::read_file;

/// Where a module says in which units it writes.
const HEAD: &str = "module.yaml";

/// Twenty times the plain words: a file beyond that is no translation of them.
const MOST: u64 = 5_000_000;

/// How a result is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// For a person.
    Text,
    /// For a machine.
    Json,
}

/// Where results and messages go, and in which form.
#[derive(Debug)]
pub(super) struct Terminal {
    /// All sentences.
    pub(super) words: Words,
    /// In which units the module of the command writes its figures.
    pub(super) system: System,
    /// What it means by a comma.
    pub(super) comma: Comma,
    format: Format,
    colour: bool,
    /// Why the result did not reach its reader.
    lost: RefCell<Option<String>>,
}

impl Terminal {
    /// The terminal the program was started in. Colour only where a person looks at it, and
    /// not where `NO_COLOR` is set to anything.
    #[expect(
        clippy::disallowed_methods,
        reason = "the one place that asks the environment about colour"
    )]
    pub(super) fn new(format: Format) -> Self {
        let unwanted = |name| std::env::var_os(name).is_some_and(|set| !set.is_empty());
        let dumb = std::env::var_os("TERM").is_some_and(|term| term == "dumb");
        // Never into a file or a pipe: what reads them would meet the signs of the colours.
        let colour = io::stdout().is_terminal() && !unwanted("NO_COLOR") && !dumb;
        let words = crate::theme::Theme::plain().words();
        let (system, comma) = (System::Us, Comma::default());
        Self { words, system, comma, format, colour, lost: RefCell::default() }
    }

    /// The same, speaking the words, the units and the numbers of the module in that folder. What
    /// cannot be read there is told when the module is.
    pub(super) fn speaking(mut self, content: &Path) -> Self {
        let read = |file: &str| {
            let bytes = read_file(&content.join(file), MOST).ok()?;
            Some((file.to_owned(), String::from_utf8(bytes).ok()?))
        };
        // Two small files and not the module: the terminal
        // speaks before anything is checked.
        let texts: Sources = [WORDS, HEAD].into_iter().filter_map(read).collect();
        self.words = authoring::words(&texts);
        (self.system, self.comma) = authoring::habits(&texts);
        self
    }

    /// How fields are told.
    pub(super) const fn telling(&self) -> Telling<'_> {
        Telling { books: BOOKS, system: self.system, words: &self.words }
    }

    /// Numbers are told as the module writes them while it stands.
    pub(super) fn writing(&self) -> Writing {
        Writing::of(self.comma)
    }

    /// Whether the result is wanted for a machine.
    pub(super) fn for_machine(&self) -> bool {
        self.format == Format::Json
    }

    /// Whether a person sees what is happening.
    pub(super) fn is_watched(&self) -> bool {
        !self.for_machine() && io::stderr().is_terminal()
    }

    /// A part of the result; a line end is added where there is none.
    pub(super) fn data(&self, text: &str) {
        let end = if text.ends_with('\n') { "" } else { "\n" };
        // Flushed at once, so that a full disk is told with the result that it cost.
        let mut out = io::stdout().lock();
        self.told(write!(out, "{text}{end}").and_then(|()| out.flush()));
    }

    fn told(&self, written: io::Result<()>) {
        if let Err(fault) = written {
            // Whoever stopped reading, such as `head`, has what they wanted.
            if fault.kind() != ErrorKind::BrokenPipe {
                *self.lost.borrow_mut() = Some(fault.to_string());
            }
        }
    }

    /// The result for a machine.
    pub(super) fn json(&self, value: &impl Serialize) {
        // Written as it comes: as one text, the verdicts of a county's year would take ten times the
        // room of the verdicts.
        let mut out = BufWriter::new(io::stdout().lock());
        let written =
            serde_json::to_writer_pretty(&mut out, value).map_err(io::Error::from);
        self.told(written.and_then(|()| writeln!(out)).and_then(|()| out.flush()));
    }

    /// A message beside the result. One that cannot be said has nowhere else to go.
    #[expect(clippy::unused_self, reason = "whoever talks has been handed the terminal")]
    pub(super) fn talk(&self, text: &str) {
        let mut err = io::stderr().lock();
        // Nobody is left to be told that talk was lost; lost data ends the program with 2.
        drop(writeln!(err, "{}", text.trim_end()));
    }

    /// Why the result did not reach its reader, if it did not.
    pub(super) fn lost(&self) -> Option<String> {
        self.lost.borrow().clone()
    }

    /// A heading.
    pub(super) fn strong(&self, text: &str) -> String {
        self.painted(text, "1")
    }

    /// A finding as text, with its grade in colour.
    pub(super) fn finding(&self, finding: &Printed) -> String {
        let text = findings::text(finding, &self.words);
        let (key, colour) = match finding.grade {
            Grade::MustFix => ("findings.must-fix", "1;31"),
            Grade::LookAgain => ("findings.look-again", "1;33"),
            Grade::Note => ("findings.note", "1"),
        };
        let grade = self.words.get(key);
        match text.strip_prefix(&grade) {
            Some(rest) => format!("{}{rest}", self.painted(&grade, colour)),
            None => text,
        }
    }

    fn painted(&self, text: &str, how: &str) -> String {
        if self.colour {
            format!("\u{1b}[{how}m{text}\u{1b}[0m")
        } else {
            text.to_owned()
        }
    }
}
