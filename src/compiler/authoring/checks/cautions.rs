//! A module's own wording of a caution of the trade library.

use super::Checked;
use crate::course::Signal;
use crate::findings::{Code, Finding};

/// The four signal words, the gravest first.
const GRAVEST_FIRST: [Signal; 4] =
    [Signal::Danger, Signal::Warning, Signal::Caution, Signal::Notice];

/// A caution of the library keeps its signal word, or takes a graver one: a danger that a module
/// calls a notice is printed below every other and read by nobody.
pub(super) fn check(checked: &Checked<'_>) {
    let library = checked.file("trade/cautions.yaml").items();
    for own in checked.file("cautions.yaml").items() {
        let Some(id) = own.at("caution").text().map(str::trim) else { continue };
        let known = library
            .iter()
            .find(|one| one.at("caution").text().map(str::trim) == Some(id));
        // A caution of the department's own has no signal word to keep.
        let Some(plain) = known.and_then(|one| one.at("signal").text()) else { continue };
        let said = own.at("signal").text().unwrap_or_default();
        let rank = |word: &str| {
            GRAVEST_FIRST.iter().position(|signal| signal.word() == word.trim())
        };
        if rank(plain).zip(rank(said)).is_some_and(|(plain, said)| said > plain) {
            let finding = Finding::at(Code::CautionSoftened, own.at("signal").place());
            checked.note(finding.with("plain", plain).with("own", said));
        }
    }
}
