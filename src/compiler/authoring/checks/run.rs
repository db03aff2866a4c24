//! Run sheets against their drill, their rig and the people on them.

use std::collections::BTreeMap;

use super::run_marks::{marks, readings};
use super::{Checked, Spot};
use crate::authoring::flat::Flat;
use crate::course::RunSheet;
use crate::findings::{self, Code, Finding, Place};
use crate::scoring::{Fault, Kit, Kits, NoKit, OtherRevision, faults};
use crate::words::Words;

/// A run with the place where it is written and what it is scored by.
pub(in crate::authoring) struct Handed<'h> {
    pub(in crate::authoring) flat: &'h Flat,
    pub(in crate::authoring) sheet: &'h RunSheet,
    pub(in crate::authoring) kit: Result<&'h Kit, &'h Vec<NoKit>>,
}

/// Run sheets in the folder of the module.
pub(super) fn of_module(checked: &Checked<'_>) {
    if checked.runs.is_empty() {
        return;
    }
    let words = crate::stock::words();
    let kits = Kits::new(checked.course, &words);
    // A fault of a drill or a rig says nothing about those who ran it.
    let sound = !findings::blocks(&checked.found.borrow()) && !checked.broken;
    let mut seen: BTreeMap<[&str; 3], &str> = BTreeMap::new();
    for (flat, sheet) in checked.runs {
        let kit = kits.of(sheet, &checked.course.kept);
        let handed = Handed { flat, sheet, kit: kit.as_deref() };
        check(checked, &handed, if sound { Some(&words) } else { None });
        let key = [sheet.id.as_str(), &sheet.drill, &sheet.role];
        match seen.get(&key) {
            Some(other) => {
                let place = Spot::of(&flat.trees, flat.file.clone()).at("run").place();
                let finding = Finding::at(Code::DuplicateId, place);
                let finding = finding.with("kind", "runs").with("id", sheet.id.clone());
                checked.note(finding.with("other", (*other).to_owned()));
            }
            None => {
                seen.insert(key, &flat.file);
            }
        }
    }
    // What stands once in a file and belongs to several runs is one fault.
    let mut found = checked.found.borrow_mut();
    findings::sort(&mut found);
    found.dedup();
}

/// A run sheet that was handed in.
pub(super) fn given(checked: &Checked<'_>, handed: &Handed<'_>, words: Option<&Words>) {
    check(checked, handed, words);
}

fn check(checked: &Checked<'_>, handed: &Handed<'_>, words: Option<&Words>) {
    let before = checked.found.borrow().len();
    let sheet = handed.sheet;
    let spot = &Spot::of(&handed.flat.trees, handed.flat.file.clone());
    people(checked, sheet, spot);
    if let Some(entered) = &sheet.entered_at
        && *entered < sheet.performed_at
    {
        let finding =
            Finding::at(Code::EnteredBeforePerformed, spot.at("entered-at").place());
        let finding = finding.with("entered", entered.clone());
        checked.note(finding.with("performed", sheet.performed_at.clone()));
    }
    chain(checked, sheet, spot);
    let acts: Vec<String> =
        checked.course.unsafe_acts.iter().map(|act| act.id.clone()).collect();
    for act in spot.at("unsafe-acts").items() {
        checked.among("unsafe act", &acts, &act);
    }
    match handed.kit {
        Ok(kit) => {
            outlet(checked, kit, sheet, spot);
            marks(checked, (kit, sheet), spot);
            readings(checked, (kit, sheet), spot);
            if let Some(words) = words
                && checked.found.borrow().len() == before
            {
                contradictions(checked, (kit, sheet), spot, words);
            }
        }
        Err(lacks) => lacks.iter().for_each(|no| no_kit(checked, no, sheet, spot)),
    }
}

/// What the drill or the rig is not there for, or not in the revision that is named.
fn no_kit(checked: &Checked<'_>, no: &NoKit, sheet: &RunSheet, spot: &Spot<'_>) {
    let missing = |kind: &str, id: &String, known: Vec<String>| {
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

fn outlet(checked: &Checked<'_>, kit: &Kit, sheet: &RunSheet, spot: &Spot<'_>) {
    let rig = kit.rig();
    let outlets: Vec<String> =
        rig.outlets.iter().map(|outlet| outlet.id.clone()).collect();
    let written = checked.sheet("rigs", &sheet.rig).at("outlets");
    let unread = written.node().is_some() && written.items().len() != outlets.len();
    if !unread {
        checked.among("outlet", &outlets, &spot.at("outlet"));
    }
}

/// Where the sheet contradicts itself or its drill: what scoring would refuse it for.
fn contradictions(
    checked: &Checked<'_>,
    (kit, sheet): (&Kit, &RunSheet),
    spot: &Spot<'_>,
    words: &Words,
) {
    for fault in together(faults(kit, sheet)) {
        let place = place(&fault, spot);
        let name = fault.blanks.iter().find(|(blank, _)| *blank == "name");
        if let ("step-twice", Some((_, name))) = (fault.key, name) {
            let finding = Finding::at(Code::StepTwice, place);
            checked.note(finding.with("name", name.clone()));
            continue;
        }
        let finding = Finding::at(Code::RunContradicts, place);
        let finding = finding.with("says", fault.says(words));
        let mut write = fault.write(words);
        if write.is_empty() {
            write = words.get("finding.value-not-shown.write");
        }
        checked.note(finding.with("write", write));
    }
}

/// Steps that one list leaves out are one fault.
fn together(faults: Vec<Fault>) -> Vec<Fault> {
    let mut out: Vec<Fault> = Vec::new();
    for fault in faults {
        let name = |fault: &Fault| fault.blanks.first().map(|(_, name)| name.clone());
        let before = out
            .iter_mut()
            .find(|known| fault.key == "order-left-out" && known.key == fault.key);
        match before.and_then(|known| known.blanks.first_mut()) {
            Some((_, names)) => {
                *names = format!("{names}, {}", name(&fault).unwrap_or_default());
            }
            None => out.push(fault),
        }
    }
    out
}

/// The value that a fault is about; in a list its last entry of that name.
fn place(fault: &Fault, spot: &Spot<'_>) -> Place {
    let parts = fault.field.split('.');
    let spot = parts.fold(spot.clone(), |spot, part| spot.at(part));
    let name = fault.blanks.iter().find(|(blank, _)| *blank == "name");
    let named = name.and_then(|(_, name)| {
        let of = |item: &Spot<'_>| item.text() == Some(name.as_str());
        spot.items().into_iter().rfind(of)
    });
    named.unwrap_or(spot).place()
}

/// Everybody is known, and nobody holds two offices that watch each other.
fn people(checked: &Checked<'_>, sheet: &RunSheet, spot: &Spot<'_>) {
    let evaluator = spot.at("evaluator").at("person");
    let safety = spot.at("safety-officer");
    if !checked.unread("people.yaml") {
        let mut spots = vec![spot.at("candidate"), evaluator.clone(), safety.clone()];
        spots.push(spot.at("stop").at("by"));
        let crew = spot.at("crew");
        spots.extend(crew.keys().into_iter().map(|role| crew.at(role)));
        let known = checked.known("anybody").unwrap_or_default();
        for spot in spots {
            checked.listed("person", &known, &spot);
        }
    }
    if sheet.evaluator.person == sheet.candidate {
        let finding = Finding::at(Code::EvaluatorIsCandidate, evaluator.place());
        checked.note(finding.with("person", sheet.candidate.clone()));
    }
    let office = if sheet.safety_officer == sheet.candidate {
        "candidate"
    } else if sheet.safety_officer == sheet.evaluator.person {
        "evaluator"
    } else {
        return;
    };
    let finding = Finding::at(Code::SafetyOfficerBusy, safety.place());
    let finding = finding.with("person", sheet.safety_officer.clone());
    checked.note(finding.with("office", office));
}
