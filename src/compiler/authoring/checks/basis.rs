//! Formulas against the percent basis of the rigs that they are worked on.

use super::super::by_rig::only_basis;
use super::{Checked, Spot};
use crate::course::{Feed, PercentBasis, Rig};
use crate::findings::{Code, Finding};

/// A question may name the basis itself: then it must be that of its rig and of its formula.
pub(super) fn question_basis(
    checked: &Checked<'_>,
    feed: &Feed,
    spot: &Spot<'_>,
    rigs: &[&Rig],
) {
    let written = spot.at("basis").text().map(str::trim);
    let all = [PercentBasis::Solution, PercentBasis::Water];
    let named = all.into_iter().find(|basis| Some(basis.word()) == written);
    let Some(named) = named else {
        basis(checked, feed, &spot.at("ask"), rigs);
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

/// A formula of the basis that a rig does not have gives a figure that its panel never shows;
/// one that is left to the rig needs a rig that says what its percent is a share of.
pub(super) fn basis(checked: &Checked<'_>, feed: &Feed, spot: &Spot<'_>, rigs: &[&Rig]) {
    let table = &checked.course.bases;
    let place = spot.at("formula").place();
    let written = spot.at("formula").text().unwrap_or(&feed.formula).trim();
    if let Some(asked) = table.iter().find(|asked| asked.id == written) {
        let known = |rig: &&Rig| rig.basis().and_then(|basis| asked.formula(basis));
        if rigs.iter().all(|rig| known(rig).is_none()) {
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
