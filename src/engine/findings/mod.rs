//! What is wrong with what an author wrote: code, place, and what to write instead.
//!
//! A finding is data. Its sentences stand in the words file under `finding.<code>`, so
//! that they can be translated and explained (`drillwright why CODE`). This room never
//! touches the disk or the terminal.
//!
//! To add one: a line in [`codes`], its `says`, `write` and `why` in the words file, and a
//! file in `tests/wrong` that provokes it.

mod grade;
mod codes;
mod first;
mod signs;
mod print;

pub use codes::{ALL, Code};
pub use first::{MOST_OF_A_FILE, first_of_each_file};
pub use grade::Grade;
pub use print::{Printed, printed, text};
pub use signs::{is_hidden, visible};

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

/// A run of bytes in a file of the module.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The file's name relative to the module, with forward slashes.
    pub file: String,
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

/// One fault, where it is and what the sentences about it need to say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Which rule spoke.
    pub code: Code,
    /// Where; a fault of the whole module has none.
    pub place: Option<Place>,
    /// Values for the blanks of the sentences.
    pub blanks: Vec<(&'static str, String)>,
    /// Where it is in a table of runs: whoever mends it has a spreadsheet open, and no lines.
    pub cell: Option<Box<Cell>>,
}

/// A cell of a table of runs.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Cell {
    /// Row as a spreadsheet counts: the head is the first.
    pub row: usize,
    /// What stands above its column.
    pub column: String,
    /// The run of the row.
    pub run: String,
}

impl Finding {
    /// A finding at a place.
    pub fn at(code: Code, place: Place) -> Self {
        Self { code, place: Some(place), blanks: Vec::new(), cell: None }
    }

    /// A finding about the module as a whole.
    pub fn whole(code: Code) -> Self {
        Self { code, place: None, blanks: Vec::new(), cell: None }
    }

    /// The same with one more blank filled.
    #[must_use]
    pub fn with(mut self, blank: &'static str, value: impl Into<String>) -> Self {
        self.blanks.push((blank, value.into()));
        self
    }
}

/// The texts that places point into, by file name.
pub type Sources = BTreeMap<String, String>;

/// In the order a person mends them: what cannot be read at all, because others may follow from it;
/// then file, place, code.
pub fn sort(findings: &mut Vec<Finding>) {
    findings.sort_by(|a, b| {
        let readable = |finding: &Finding| finding.code != Code::NotYaml;
        let (one, other) = (readable(a), readable(b));
        (one, &a.place, a.code, &a.blanks).cmp(&(other, &b.place, b.code, &b.blanks))
    });
    // Two checks may come upon one fault; to the author it is one.
    findings.dedup();
}

/// Whether anything stops even a draft: a quantity without its unit, a task without its
/// cautions, a critical without role, act or reason.
pub fn blocks_draft(findings: &[Finding]) -> bool {
    const STOPS: &[Code] =
        &[Code::NoUnit, Code::UnknownUnit, Code::NoCautions, Code::CriticalIncomplete];
    findings.iter().any(|finding| STOPS.contains(&finding.code))
}

/// Whether anything must be fixed before the module is published.
pub fn blocks(findings: &[Finding]) -> bool {
    findings.iter().any(|finding| finding.code.grade() == Grade::MustFix)
}
