//! Which runs can say anything against which: of a county's year each has a handful, and to ask every
//! other one would take the square of the time.

use std::collections::BTreeMap;

use super::earlier::Run;
use super::form::code;
use crate::quantity::Moment;

/// What two runs have in common where one can say anything against the other.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Common<'r> {
    /// One run, as several watched it, or its crew and the drills of its chain (rules 26, 34).
    Name(&'r str),
    /// The tries of one person, whatever they are called (rules 29 to 31).
    Candidate(&'r str),
    /// Nobody watches two runs at one minute (rule 26).
    Watched(&'r str, Moment),
    /// A form is for one run, whoever used it (rule 30).
    Form(String),
}

fn common<'r>(run: &Run<'r>) -> impl Iterator<Item = Common<'r>> {
    let sheet = run.sheet;
    let at = Moment::read(&sheet.performed_at);
    let watched = at.map(|at| Common::Watched(&sheet.evaluator.person, at));
    let named = [Common::Name(&sheet.id), Common::Candidate(&sheet.candidate)];
    named.into_iter().chain(watched).chain(code(sheet).map(Common::Form))
}

/// Runs by what they have in common.
pub(super) struct Near<'r>(BTreeMap<Common<'r>, Vec<usize>>);

impl<'r> Near<'r> {
    pub(super) fn of(runs: &[Run<'r>]) -> Self {
        let mut all: BTreeMap<Common<'r>, Vec<usize>> = BTreeMap::new();
        for (at, run) in runs.iter().enumerate() {
            for key in common(run) {
                all.entry(key).or_default().push(at);
            }
        }
        Self(all)
    }

    /// Where those stand that can say anything against a run, itself among them, in their order.
    pub(super) fn to(&self, run: &Run<'r>) -> Vec<usize> {
        let of = |key: Common<'r>| self.0.get(&key).into_iter().flatten().copied();
        let mut all: Vec<usize> = common(run).flat_map(of).collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}
