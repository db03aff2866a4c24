//! What a few formulas can reach: the part of the library that must travel with them.

use std::collections::BTreeSet;

use super::data::{Formula, Table};
use super::library::Library;
use super::sourced::Constant;
use crate::quantity::System;
use crate::record;
use crate::wire::Book;
use crate::words::Words;

record! {
    /// Formulas with all that their lines call or name. Everything is in the order of its ids, so that two libraries that agree on these parts give the same text.
    Reach {
        /// The formulas themselves and those they call.
        formulas: Vec<Formula> = may "formulas";
        /// Tables they read.
        tables: Vec<Table> = may "tables";
        /// Constants they name.
        constants: Vec<Constant> = may "constants";
    }
}

/// Help of what travels.
pub(super) const REACH: &[Book] = &[Reach::BOOK];

impl Reach {
    /// A library of these parts alone. A formula with a fault is left out: whatever needs it says
    /// so.
    pub fn library(&self, words: &Words) -> Library {
        let (formulas, tables) = (self.formulas.clone(), self.tables.clone());
        let (library, _) = Library::new(formulas, tables, self.constants.clone());
        library.speaking(words)
    }

    /// These parts with those of another that they do not have.
    #[must_use]
    pub fn with(&self, other: &Self) -> Self {
        let mut all = self.clone();
        let new = |formula: &&Formula| !self.formulas.iter().any(|f| f.id == formula.id);
        all.formulas.extend(other.formulas.iter().filter(new).cloned());
        let new = |table: &&Table| !self.tables.iter().any(|one| one.id == table.id);
        all.tables.extend(other.tables.iter().filter(new).cloned());
        let new = |known: &&Constant| !self.constants.iter().any(|c| c.id == known.id);
        all.constants.extend(other.constants.iter().filter(new).cloned());
        all
    }
}

impl Library {
    /// The part of the library that formulas can reach. An id that no formula has is
    /// passed over.
    pub fn reach<'i>(&self, ids: impl IntoIterator<Item = &'i str>) -> Reach {
        let mut waiting: Vec<&Formula> =
            ids.into_iter().filter_map(|id| self.formula(id)).collect();
        let mut seen = BTreeSet::new();
        let mut names = BTreeSet::new();
        while let Some(formula) = waiting.pop() {
            // Formulas call each other, so each is looked through once.
            if !seen.insert(formula.id.as_str()) {
                continue;
            }
            let own = names_of(formula);
            waiting.extend(own.iter().filter_map(|name| self.formula(name)));
            names.extend(own);
        }
        let mut reach = Reach {
            formulas: seen
                .iter()
                .filter_map(|id| self.formula(id))
                .map(Formula::bare)
                .collect(),
            tables: self.tables().to_vec(),
            constants: self.constants().to_vec(),
        };
        reach.tables.retain(|table| names.contains(table.id.as_str()));
        // Sorted by id and not by file, so that a table that moves to another file changes no
        // revision.
        reach.tables.sort_by(|a, b| a.id.cmp(&b.id));
        reach.constants.retain(|constant| names.contains(constant.id.as_str()));
        reach.constants.sort_by(|a, b| a.id.cmp(&b.id));
        reach
    }
}

/// Every word of a formula's lines and conditions. Some are units and givens; they find
/// nothing in the library unless it has a thing of that name.
fn names_of(formula: &Formula) -> BTreeSet<&str> {
    let work = formula.work.iter().chain(&formula.work_si).map(|line| line.text.as_str());
    let slips =
        formula.slips.iter().flat_map(|slip| slip.lines.iter().chain(&slip.lines_si));
    let slips = slips.map(String::as_str);
    let verdicts = formula.verdicts.iter().flat_map(|verdict| {
        std::iter::once(verdict.when.as_str()).chain(verdict.figure.as_deref())
    });
    let endless = formula.answers.iter().filter_map(|answer| answer.endless.as_ref());
    let verdicts = verdicts.chain(endless.map(|endless| endless.when.as_str()));
    let both = [System::Us, System::Si].into_iter();
    let defaults = both.flat_map(|system| formula.defaults(system)).map(|(_, name)| name);
    work.chain(slips)
        .chain(defaults)
        .chain(verdicts)
        .flat_map(|text| {
            text.split(|c: char| {
                !(c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
            })
        })
        .map(|word| word.trim_matches('-'))
        .filter(|word| !word.is_empty())
        .collect()
}
