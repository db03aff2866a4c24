//! Formulas against the percent basis of the rigs that they are worked on.

use std::collections::BTreeSet;

use super::super::by_rig::only_basis;
use super::{Checked, Spot};
use crate::course::{Feed, PercentBasis, Reckoning, Rig};
use crate::findings::{Code, Finding};

/// A question or an example may name the basis itself: then it must be that of its rig and of its
/// formula. `asks` is where the formula stands.
pub(super) fn named_basis(
    checked: &Checked<'_>,
    feed: &Feed,
    (spot, asks): (&Spot<'_>, &Spot<'_>),
    rigs: &[&Rig],
) {
    let written = spot.at("basis").text().map(str::trim);
    let all = [PercentBasis::Solution, PercentBasis::Water];
    let named = all.into_iter().find(|basis| Some(basis.word()) == written);
    let Some(named) = named else {
        basis(checked, feed, asks, rigs);
        if rigs.is_empty() {
            unsaid(checked, feed, asks);
        }
        return;
    };
    let of_rig = rigs
        .iter()
        .find_map(|rig| rig.basis().filter(|basis| basis.word() != named.word()));
    let of_formula = only_basis(&checked.course.bases, &feed.formula);
    if of_rig.is_some() || of_formula.is_some_and(|only| only != named) {
        let finding = Finding::at(Code::BasisContradicts, spot.at("basis").place());
        let other = match of_rig {
            Some(_) => {
                rigs.iter().map(|rig| rig.title.clone()).collect::<Vec<_>>().join(", ")
            }
            None => feed.formula.clone(),
        };
        checked.note(finding.with("basis", named.word()).with("other", other));
    }
}

/// Where the rigs of a module differ in it, a basis that came with a formula may be nobody's choice:
/// the figure is right on one rig and wrong on the next.
fn unsaid(checked: &Checked<'_>, feed: &Feed, asks: &Spot<'_>) {
    let rigs = checked.course.rigs.values();
    let known: BTreeSet<&str> = rigs
        .filter_map(|rig| rig.basis().map(Reckoning::word))
        .filter(|word| *word != PercentBasis::NotKnown.word())
        .collect();
    let both = known.len() > 1;
    if let Some(only) = only_basis(&checked.course.bases, &feed.formula).filter(|_| both)
    {
        let finding = Finding::at(Code::BasisUnsaid, asks.at("formula").place());
        let finding = finding.with("formula", feed.formula.clone());
        checked.note(finding.with("basis", only.word()));
    }
}

/// Whether a rig of the module could not be read: its own fault is told, and nobody knows what it
/// would have said of its basis.
fn torn(checked: &Checked<'_>) -> bool {
    let files = checked.sources.keys().filter_map(|file| file.strip_prefix("rigs/"));
    let mut rigs = files.filter_map(|file| file.strip_suffix(".yaml"));
    checked.torn.iter().any(|file| file.starts_with("rigs/"))
        || rigs.any(|rig| !checked.course.rigs.contains_key(rig))
}

/// The same of a drill: on a rig of whose basis somebody wrote that nobody knows it, the sheet says so
/// and the manual is asked (rule 20).
pub(super) fn basis_of_drill(
    checked: &Checked<'_>,
    feed: &Feed,
    spot: &Spot<'_>,
    rigs: &[&Rig],
) {
    if !rigs.iter().any(|rig| rig.basis() == Some(Reckoning::NotKnown)) {
        basis(checked, feed, spot, rigs);
    }
}

/// A formula of the basis that a rig does not have gives a figure that its panel never shows;
/// one that is left to the rig needs a rig that says what its percent is a share of.
fn basis(checked: &Checked<'_>, feed: &Feed, spot: &Spot<'_>, rigs: &[&Rig]) {
    let table = &checked.course.bases;
    let place = spot.at("formula").place();
    let written = spot.at("formula").text().unwrap_or(&feed.formula).trim();
    if let Some(asked) = table.iter().find(|asked| asked.id == written) {
        let known = |rig: &&Rig| rig.basis().and_then(|basis| asked.formula(basis));
        // A drill for a rig that is not there has been told so.
        let told = |one: &Finding| {
            one.code == Code::UnknownId
                && one.place.as_ref().is_some_and(|at| at.file == place.file)
        };
        let lost = rigs.is_empty() && checked.found.borrow().iter().any(told);
        // One rig that has a basis is enough: on the others the
        // sheet asks the manual (rule 20).
        if rigs.iter().all(|rig| known(rig).is_none()) && !torn(checked) && !lost {
            let finding = Finding::at(Code::BasisWithoutRig, place);
            let finding = finding.with("asked", asked.id.clone());
            let finding = finding.with("solution", asked.solution.clone());
            checked.note(finding.with("water", asked.water.clone()));
        }
        return;
    }
    for rig in rigs {
        let Some(own) = rig.basis() else { continue };
        let other = table.iter().find(|asked| asked.is_of_another(&feed.formula, own));
        // On the first of them, because the mend is the same for all.
        if let Some(asked) = other {
            let finding = Finding::at(Code::OtherBasis, place);
            let finding = finding.with("formula", feed.formula.clone());
            let finding = finding.with("rig", rig.title.clone());
            let finding = finding.with("basis", own.word());
            checked.note(finding.with("asked", asked.id.clone()));
            return;
        }
    }
}
