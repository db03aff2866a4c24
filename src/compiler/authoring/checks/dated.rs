//! Drills and rig cards against what is kept of them: other content has another day.

use super::{Checked, Spot};
use crate::course::Kept;
use crate::findings::{Code, Finding};
use crate::scoring::short_revision;
use crate::wire::revision;

/// A revision that is kept: its hash, its day, and whether its content is that of today.
type Earlier<'k> = (&'k String, &'k str, bool);

/// Rule 37 tells by the day in a revision which of two a run can have been made for. Where the
/// content is another and the day is not, nobody knows when one took the place of the other.
pub(super) fn check(checked: &Checked<'_>) {
    // A figure that cannot be read makes another content by itself: whoever mends it has the old one.
    if checked.broken {
        return;
    }
    let kept = &checked.course.kept;
    for drill in &checked.course.drills {
        let Ok(own) = revision(drill) else { continue };
        let of = kept.drills.iter().filter(|(_, one)| one.drill.id == drill.id);
        let of = of.map(|(hash, one)| {
            let same = revision(&one.drill).is_ok_and(|other| other == own);
            (hash, one.drill.revised_on.as_str(), same)
        });
        let spot = checked.sheet("drills", &drill.id).at("revised-on");
        told(checked, kept, of, (&drill.revised_on, &spot));
    }
    for rig in checked.course.rigs.values() {
        let Ok(own) = revision(rig) else { continue };
        let of = kept.rigs.iter().filter(|(_, one)| one.id == rig.id);
        let of = of.map(|(hash, one)| {
            (hash, one.revised_on.as_deref().unwrap_or_default(), *hash == own)
        });
        let sheet = checked.sheet("rigs", &rig.id);
        let spot = match &rig.revised_on {
            Some(_) => sheet.at("revised-on"),
            None => sheet.at("rig"),
        };
        let day = rig.revised_on.as_deref().unwrap_or_default();
        told(checked, kept, of, (day, &spot));
    }
}

/// Tells of the newest that has other content and no earlier day. One that was taken back for the
/// sake of safety cannot be mistaken for today's.
fn told<'k>(
    checked: &Checked<'_>,
    kept: &Kept,
    earlier: impl Iterator<Item = Earlier<'k>>,
    (day, spot): (&str, &Spot<'_>),
) {
    let other = earlier.filter(|(hash, on, same)| {
        !same && !kept.withdrawn.contains_key(*hash) && *on >= day
    });
    // ISO days stand in the order of the calendar.
    let Some((hash, on, _)) = other.max_by_key(|(hash, on, _)| (*on, *hash)) else {
        return;
    };
    let finding = Finding::at(Code::RevisionUndated, spot.place());
    let finding = finding.with("kept", short_revision(hash));
    // A card that was kept before cards had a day is of none.
    checked.note(finding.with("on", if on.is_empty() { "–" } else { on }));
}
