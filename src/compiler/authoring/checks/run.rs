//! Run sheets against their drill, their rig and the people on them.
//!
//! What is wrong with a sheet for its kit is told by [`faults`], as on a live page; here
//! each fault gets its place in the file and the code of its finding. What a kit does not
//! know is looked for here: people, chains, two sheets of one run.

use std::collections::BTreeMap;

use super::run_faults::Told;
use super::{Checked, Spot, narrated};
use crate::authoring::flat::Flat;
use crate::course::{Narrated, RunSheet};
use crate::findings::{self, Code, Finding};
use crate::scoring::{
    Fault, Kit, Kits, NoKit, OtherRevision, faults, faults_alone, form_misread,
    no_officers, open, short_revision,
};
use crate::wire::revision;
use crate::words::Words;

/// A run with the place where it is written and what it is scored by.
pub(in crate::authoring) struct Handed<'h> {
    pub(in crate::authoring) flat: &'h Flat,
    pub(in crate::authoring) sheet: &'h RunSheet,
    pub(in crate::authoring) kit: Result<&'h Kit, &'h Vec<NoKit>>,
    /// What its days, its kit or its log say against it.
    pub(in crate::authoring) apart: &'h [Fault],
}

/// Run sheets in the folder of the module.
pub(super) fn of_module(checked: &Checked<'_>) {
    if checked.runs.is_empty() {
        return;
    }
    let words = checked.course.face.words.clone();
    let kits = Kits::new(checked.course, &words);
    // A fault of a drill or a rig says nothing about those who ran it.
    let sound = !findings::blocks(&checked.found.borrow()) && !checked.broken;
    let mut seen: BTreeMap<[String; 4], (&str, Option<String>)> = BTreeMap::new();
    for (flat, sheet) in checked.runs {
        let spot = Spot::of(&flat.trees, flat.file.clone());
        if narrated::among_runs(checked, sheet, &spot) {
            continue;
        }
        let kit = kits.of(sheet, &checked.course.kept);
        let apart = kit.as_ref().map(|kit| kits.dated(kit, sheet, None));
        let mut apart = apart.unwrap_or_default();
        apart.extend(form_misread(sheet));
        apart.extend(no_officers(&checked.course.people, sheet));
        let handed = Handed { flat, sheet, kit: kit.as_deref(), apart: &apart };
        given(checked, &handed, if sound { Some(&words) } else { None });
        let key = sheet.known_by();
        // By what it says and not by its bytes: one of two may be
        // a table and the other a file.
        let content = revision(sheet).ok();
        match seen.get(&key) {
            // Twice with the same content it is one run; with another, one
            // of the two is wrong (rule 34).
            Some((_, before)) if *before == content => {}
            Some((other, _)) => {
                let place = Spot::of(&flat.trees, flat.file.clone()).at("run").place();
                let finding = Finding::at(Code::DuplicateId, place);
                let finding = finding.with("kind", "runs").with("id", sheet.id.clone());
                checked.note(finding.with("other", (*other).to_owned()));
            }
            None => {
                seen.insert(key, (&flat.file, content));
            }
        }
    }
    // What stands once in a file and belongs to several runs is one fault.
    let mut found = checked.found.borrow_mut();
    findings::sort(&mut found);
    found.dedup();
}

/// One run sheet, of the module or handed in. Without words what contradicts the drill or
/// itself is left for the next time: something else has to be mended first, and may be the
/// reason.
pub(super) fn given(checked: &Checked<'_>, handed: &Handed<'_>, words: Option<&Words>) {
    let sheet = handed.sheet;
    let spot = &Spot::of(&handed.flat.trees, handed.flat.file.clone());
    people(checked, sheet, spot);
    narrated::under_its_name(checked, sheet, spot);
    chain(checked, sheet, spot);
    // As long as nothing was ever printed, no run can name what was.
    let printed = !checked.course.kept.drills.is_empty();
    if let Ok(kit) = handed.kit
        && printed
    {
        pinned(checked, kit, sheet, spot);
    }
    let found: Vec<Fault> = match handed.kit {
        Ok(kit) => {
            let asked = open(kit, sheet).into_iter();
            faults(kit, sheet).into_iter().chain(asked).collect()
        }
        Err(lacks) => {
            for no in lacks {
                no_kit(checked, no, sheet, spot);
            }
            faults_alone(sheet)
        }
    };
    let told = Told { checked, sheet, kit: handed.kit.ok(), words };
    for fault in found.iter().chain(handed.apart) {
        told.note(fault, spot);
    }
}

/// A run says what its candidate was held to.
fn pinned(checked: &Checked<'_>, kit: &Kit, sheet: &RunSheet, spot: &Spot<'_>) {
    let drill = ("drill", "drill-revision", &sheet.drill_revision, kit.drill_revision());
    let rig = ("rig", "rig-revision", &sheet.rig_revision, kit.rig_revision());
    for (kind, field, given, hash) in [drill, rig] {
        if given.is_none() {
            let finding = Finding::at(Code::RevisionNotNamed, spot.at(kind).place());
            let finding = finding.with("kind", kind).with("field", field);
            checked.note(finding.with("today", short_revision(hash)));
        }
    }
}

/// What the drill or the rig is not there for, or not in the revision that is named.
pub(super) fn no_kit(
    checked: &Checked<'_>,
    no: &NoKit,
    sheet: &RunSheet,
    spot: &Spot<'_>,
) {
    let missing = |kind: &str, id: &String, known: Vec<String>| {
        // One that is listed and could not be read has been told as that.
        if !checked.known(kind).is_some_and(|listed| listed.has(id)) {
            checked.among(kind, &known, &spot.at(kind));
        }
    };
    let other = |field: &str, other: &OtherRevision| {
        let finding = Finding::at(Code::OtherRevision, spot.at(field).place());
        let kept =
            if other.kept.is_empty() { "none".to_owned() } else { other.kept.join(", ") };
        let finding = finding.with("given", other.given.clone()).with("kept", kept);
        checked.note(finding.with("have", other.have.clone()));
    };
    match no {
        NoKit::Drill => {
            let known = checked.course.drills.iter().map(|drill| drill.id.clone());
            missing("drill", &sheet.drill, known.collect());
        }
        NoKit::Rig => {
            missing("rig", &sheet.rig, checked.course.rigs.keys().cloned().collect());
        }
        NoKit::DrillRevision(found) => other("drill-revision", found),
        NoKit::RigRevision(found) => other("rig-revision", found),
        NoKit::Unwritable(fault) => {
            let finding = Finding::at(Code::RevisionBroken, spot.at("drill").place());
            checked.note(finding.with("found", fault.to_string()));
        }
    }
}

fn chain(checked: &Checked<'_>, sheet: &RunSheet, spot: &Spot<'_>) {
    let Some(id) = &sheet.chain else { return };
    let known: Vec<String> =
        checked.course.chains.iter().map(|chain| chain.id.clone()).collect();
    checked.among("chain", &known, &spot.at("chain"));
    if let Some(chain) = checked.course.chains.iter().find(|chain| chain.id == *id) {
        checked.among("drill of the chain", &chain.drills, &spot.at("drill"));
    }
}

/// Who holds a role: one name, or a list of them.
pub(super) fn holders<'c>(role: &Spot<'c>) -> Vec<Spot<'c>> {
    if role.text().is_some() { vec![role.clone()] } else { role.items() }
}

/// Everybody is known.
fn people(checked: &Checked<'_>, sheet: &RunSheet, spot: &Spot<'_>) {
    if checked.unread("people.yaml") {
        return;
    }
    let mut spots = vec![spot.at("candidate"), spot.at("evaluator").at("person")];
    spots.extend([spot.at("safety-officer"), spot.at("stop").at("by")]);
    spots.extend([spot.at("void").at("agreed-by"), spot.at("granted").at("by")]);
    spots.push(spot.at("remediation").at("by"));
    let crew = spot.at("crew");
    for role in crew.keys() {
        spots.extend(holders(&crew.at(role)));
    }
    let settled = spot.at("settled");
    let officers = settled.keys().into_iter();
    spots.extend(officers.map(|id| settled.at(id).at("second-officer")));
    let others = spot.at("acts-of-others");
    spots.extend(others.keys().into_iter().map(|act| others.at(act)));
    // Whoever is known, and a field in which nobody stands, needs no index of names, which is as long as
    // the list of people and made anew for every run.
    let people = &checked.course.people;
    spots.retain(|spot| spot.text().is_some_and(|name| !people.contains_key(name)));
    if spots.is_empty() {
        return;
    }
    let known = checked.known("anybody").unwrap_or_default();
    // Whoever marks a narrated run names its people, whom no list has.
    let narrated = checked.course.narrated_of(sheet);
    let told = narrated.map(Narrated::people).unwrap_or_default();
    for spot in spots {
        if spot.text().is_some_and(|id| told.contains(&id)) {
            continue;
        }
        checked.listed("person", &known, &spot);
    }
}
