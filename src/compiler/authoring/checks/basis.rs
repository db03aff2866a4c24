//! Formulas against the percent basis of the rigs that they are worked on.

use super::{Checked, Spot};
use crate::course::{Feed, Rig};
use crate::findings::{Code, Finding};

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
