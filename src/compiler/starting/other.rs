//! Another department's module, what a drill brings from it, and why one stays there.

use std::collections::BTreeSet;

use crate::authoring::{Options, read};
use crate::findings::{self, Finding, Grade, Sources};
use crate::stock;
use crate::words::Words;

/// Where drills come from.
#[derive(Debug, Clone, Copy)]
pub struct Other<'s> {
    /// Its texts.
    pub texts: &'s Sources,
    /// Whether it is the library: then figures are turned to metric ones, and whose orders its
    /// invented department cites is left out.
    pub library: bool,
}

/// What a drill brought with it.
#[derive(Debug, Default)]
pub struct Brought {
    /// Files that are new or have more in them, with their whole texts.
    pub files: Sources,
    /// What that is, one sentence each.
    pub said: Vec<String>,
}

/// Why it cannot come over.
#[derive(Debug)]
pub enum Refused {
    /// In a sentence.
    Said(String),
    /// The module could not be compiled with it.
    Faults(Vec<Finding>, Sources),
}

pub(super) fn must_fix(found: Vec<Finding>) -> Vec<Finding> {
    found.into_iter().filter(|finding| finding.code.grade() == Grade::MustFix).collect()
}

/// What must be fixed in a module with more in it, and was not wrong before.
pub fn worse(before: &Sources, after: &Sources) -> Vec<Finding> {
    let must_fix = |texts| {
        let (_, found) = read(texts, &BTreeSet::new(), Options::default());
        must_fix(found)
    };
    // By what it says and not by its place: with lines added above
    // it an old fault stands elsewhere.
    let known: Vec<_> = must_fix(before)
        .into_iter()
        .map(|finding| (finding.code, finding.blanks))
        .collect();
    let mut after = must_fix(after);
    after.retain(|finding| !known.contains(&(finding.code, finding.blanks.clone())));
    after
}

/// A finding's place may be in a text that is not on the disk yet.
pub fn printed(
    found: &[Finding],
    texts: &Sources,
    words: &Words,
) -> Vec<findings::Printed> {
    let mut all = texts.clone();
    all.extend(stock::trade());
    found.iter().map(|finding| findings::printed(finding, &all, words)).collect()
}
