//! Narrated runs: does the key fit its drill, does each mark rest on a paragraph, does each paragraph
//! carry a mark, and does scoring make of the key what it announces?

use super::run::no_kit;
use super::run_faults::Told;
use super::{Checked, Spot, nearest};
use crate::course::{Narrated, RunSheet};
use crate::findings::{self, Code, Finding};
use crate::scoring::{Kit, Kits, entries, faults, form_misread, keyed, open};

pub(super) fn check(checked: &Checked<'_>) {
    let words = checked.course.face.words.clone();
    let kits = Kits::new(checked.course, &words);
    // A fault of a drill or a rig says nothing about a key to it, and
    // neither does a figure that is most likely a slip.
    let slip = checked.found.borrow().iter().any(|one| one.code == Code::FigureUnusual);
    let sound = !findings::blocks(&checked.found.borrow()) && !checked.broken && !slip;
    for narrated in &checked.course.narrated {
        let spot = checked.sheet("narrated", &narrated.id);
        let key = spot.at("key");
        people(checked, narrated, &key);
        paragraphs(checked, narrated, &spot);
        if !sound {
            continue;
        }
        let kit = match kits.of(&narrated.key, &checked.course.kept) {
            Ok(kit) => kit,
            Err(lacks) => {
                for no in &lacks {
                    no_kit(checked, no, &narrated.key, &key);
                }
                continue;
            }
        };
        unheard(checked, (narrated, &kit), &key);
        let told =
            Told { checked, sheet: &narrated.key, kit: Some(&kit), words: Some(&words) };
        let found = faults(&kit, &narrated.key).into_iter();
        let found = found.chain(open(&kit, &narrated.key));
        for fault in found.chain(form_misread(&narrated.key)) {
            told.note(&fault, &key);
        }
        // What is wrong with the key itself is told; what follows from it would be told twice.
        if findings::blocks(&checked.found.borrow()) {
            continue;
        }
        let Some(verdict) = keyed(&kit, narrated) else { continue };
        if verdict.outcome.key() != narrated.announces.key() {
            let place = spot.at("announces").place();
            let finding = Finding::at(Code::KeyAnnounced, place);
            let finding = finding.with("announced", narrated.announces.word());
            let finding = finding.with("found", verdict.outcome_text);
            checked.note(finding.with("reason", verdict.reason));
        }
    }
}

/// Nobody of the department stands in a run that was not.
fn people(checked: &Checked<'_>, narrated: &Narrated, key: &Spot<'_>) {
    let mut spots = vec![key.at("candidate"), key.at("evaluator").at("person")];
    spots.extend([key.at("safety-officer"), key.at("stop").at("by")]);
    let crew = key.at("crew");
    spots.extend(crew.keys().into_iter().flat_map(|role| {
        let held = crew.at(role);
        super::run::holders(&held)
    }));
    let people = &checked.course.people;
    for spot in spots {
        let Some(id) = spot.text().filter(|id| people.contains_key(*id)) else {
            continue;
        };
        let finding = Finding::at(Code::KeyPerson, spot.place());
        checked.note(finding.with("person", id).with("run", narrated.id.clone()));
    }
}

fn paragraphs(checked: &Checked<'_>, narrated: &Narrated, spot: &Spot<'_>) {
    let marked = narrated.marked();
    let known: Vec<String> = marked.iter().cloned().collect();
    let items = spot.at("narration").items();
    let mut before = None;
    for (one, item) in narrated.narration.iter().zip(&items) {
        let at = one.at.base();
        if before
            .is_some_and(|before: crate::quantity::Number| at.compare(before).is_lt())
        {
            checked.note(Finding::at(Code::HeardEarlier, item.at("at").place()));
        }
        before = Some(at);
        if one.marks.is_empty() {
            checked.note(Finding::at(Code::HeardUnmarked, item.at("says").place()));
        }
        for name in one.marks.keys().filter(|name| !marked.contains(*name)) {
            let finding = Finding::at(Code::UnknownId, item.at("marks").at(name).key());
            let finding =
                finding.with("kind", "mark of the key").with("id", name.clone());
            checked.note(finding.with("nearest", nearest(name, &known)));
        }
    }
}

/// Marks of the key that no paragraph gives a reason for; what the drill does not have is told as that.
fn unheard(checked: &Checked<'_>, (narrated, kit): (&Narrated, &Kit), key: &Spot<'_>) {
    let words = &checked.course.face.words;
    let all = entries(kit, &narrated.key, words).into_iter().map(|entry| entry.name);
    let names = narrated.marked();
    let unheard = all.filter(|name| names.contains(name));
    let unheard = unheard.filter(|name| narrated.reasons(name).next().is_none());
    let unheard: Vec<String> = unheard.collect();
    if !unheard.is_empty() {
        let finding = Finding::at(Code::KeyUnheard, key.key());
        checked.note(finding.with("names", unheard.join(", ")));
    }
}

/// A sheet of a narrated run among the runs, or another run under its name. True where there is
/// nothing more to say of it: it marks what nobody did.
pub(super) fn among_runs(
    checked: &Checked<'_>,
    sheet: &RunSheet,
    spot: &Spot<'_>,
) -> bool {
    let course = checked.course;
    if let Some(narrated) = course.narrated_of(sheet) {
        let finding = Finding::at(Code::RunNarrated, spot.at("run").place());
        checked
            .note(finding.with("run", sheet.id.clone()).with("id", narrated.id.clone()));
        return true;
    }
    false
}

/// A run that has the name of a narrated one and is none.
pub(super) fn under_its_name(checked: &Checked<'_>, sheet: &RunSheet, spot: &Spot<'_>) {
    let named = checked.course.narrated.iter().find(|one| one.key.id == sheet.id);
    let narrated = named.filter(|_| checked.course.narrated_of(sheet).is_none());
    if let Some(narrated) = narrated {
        let finding = Finding::at(Code::DuplicateId, spot.at("run").place());
        let finding = finding.with("kind", "runs").with("id", sheet.id.clone());
        checked.note(finding.with("other", format!("narrated/{}.yaml", narrated.id)));
    }
}
