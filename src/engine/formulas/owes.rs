//! What a formula owes beside lines that can be worked: a source, ranges that hold something,
//! and steps in which its results can be shown.

use super::data::{Formula, Given, GivenKind};
use super::fault::{Fault, FaultKind, Part};
use super::library::Program;
use super::types::Type;
use crate::quantity::{Fraction, Quantity};

/// Every debt of a formula; `us` is its program.
pub(super) fn owes(formula: &Formula, us: &Program) -> Vec<Fault> {
    let mut out = Vec::new();
    let mut report = |part: Part, kind: FaultKind| {
        out.push(Fault { formula: formula.id.clone(), part, start: 0, end: 0, kind });
    };
    if formula.sources.is_empty() {
        report(Part::Whole, FaultKind::NoSource);
    }
    for (at, given) in formula.givens.iter().enumerate() {
        if empty_range(given) {
            report(Part::Given(at), FaultKind::NoRange(given.name.clone()));
        }
    }
    for (at, line) in formula.work.iter().enumerate() {
        for shown in [&line.shown, &line.shown_si] {
            let kind = Some(super::compile::type_of(&line.shown));
            if let Some(fault) = wrong_step(shown, kind) {
                report(Part::Work(at), fault);
            }
        }
    }
    for (at, line) in formula.work_si.iter().enumerate() {
        // What metric lines measure is checked where they are compiled.
        if let Some(fault) = wrong_step(&line.shown_si, None) {
            report(Part::WorkSi(at), fault);
        }
    }
    for (at, (answer, slot)) in formula.answers.iter().zip(&us.answers).enumerate() {
        let kind = us.types.get(*slot).copied().flatten();
        for shown in [&answer.shown, &answer.shown_si] {
            if let Some(fault) = wrong_step(shown, kind) {
                report(Part::Answer(at), fault);
            }
        }
    }
    for (at, (answer, slot)) in formula.answers.iter().zip(&us.answers).enumerate() {
        let kind = us.types.get(*slot).copied().flatten();
        for sense in &answer.sense {
            let limits = [&sense.least, &sense.most];
            let other = limits.into_iter().flatten().find_map(|limit| {
                let kind =
                    kind.filter(|kind| kind.dimension != limit.unit().dimension)?;
                Some(FaultKind::ShownWrong(limit.unit().symbol.to_owned(), kind.name()))
            });
            let empty = match (&sense.least, &sense.most) {
                // A limit without a figure refuses nothing.
                (None, None) => true,
                (Some(least), Some(most)) => least.base().compare(most.base()).is_ge(),
                _ => false,
            };
            // First, because numbers of two dimensions cannot be compared.
            if let Some(fault) = other {
                report(Part::Sense(at), fault);
            } else if empty {
                report(Part::Sense(at), FaultKind::NoRange(answer.name.clone()));
            }
        }
    }
    // The step of both systems is often one and the same, and one fault is told once.
    out.dedup();
    out
}

/// A step of another dimension than the value, or one that is not above zero.
fn wrong_step(shown: &Quantity, kind: Option<Type>) -> Option<FaultKind> {
    let other = kind.filter(|kind| kind.dimension != shown.unit().dimension);
    match other {
        Some(kind) => {
            Some(FaultKind::ShownWrong(shown.unit().symbol.to_owned(), kind.name()))
        }
        None => (shown.number() <= Fraction::ZERO)
            .then(|| FaultKind::NoStep(shown.to_string())),
    }
}

fn empty_range(given: &Given) -> bool {
    match &given.kind {
        GivenKind::Number { least, most, .. } => {
            least.base().compare(most.base()).is_gt()
        }
        GivenKind::List { columns } => columns.iter().any(empty_range),
        GivenKind::Choice { words } => words.is_empty(),
    }
}
