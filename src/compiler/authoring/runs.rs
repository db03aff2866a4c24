//! Run sheets that are given to `score`, apart from those of the module.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::checks::{self, Handed};
use super::flat::{Flat, flats};
use super::kept::{broken, carried};
use crate::course::{Course, Kept, RunFile, RunSheet};
use crate::findings::{self, Code, Finding, Place, Sources};
use crate::quantity::{Day, Moment};
use crate::scoring::{Kit, Kits, faults};
use crate::wire::{Desk, Item, read};
use crate::words::Words;

/// A run that can be scored.
#[derive(Debug, Clone)]
pub struct Given {
    /// What the evaluator saw.
    pub sheet: RunSheet,
    /// What it is scored by.
    pub kit: Rc<Kit>,
    /// Where it stands.
    pub place: Place,
    /// Whether the kit came with the run and nobody else knows it.
    pub carried: bool,
}

/// Reads files of run sheets, one after the other.
#[derive(Debug)]
pub struct RunReader<'c> {
    course: &'c Course,
    words: &'c Words,
    kits: Kits<'c>,
    /// ISO date; a run on a later day is a fault. None where nobody knows the date.
    today: Option<Day>,
    /// The file of every run so far, by what it is known by.
    seen: BTreeMap<[String; 4], String>,
}

impl<'c> RunReader<'c> {
    /// A reader for runs of a course.
    pub fn new(course: &'c Course, words: &'c Words, today: Option<Day>) -> Self {
        let seen = BTreeMap::new();
        Self { course, words, kits: Kits::new(course, words), today, seen }
    }

    /// The runs of a file, and what is wrong with those that are not among them.
    ///
    /// A file holds one run or a list of them; YAML, or JSON, which is YAML too, or a table
    /// with a row for each run. A fault of one run leaves the others as they are.
    pub fn read(&mut self, text: &str, file: &str) -> (Vec<Given>, Vec<Finding>) {
        let flats = match flats(file, text) {
            Ok(flats) => flats,
            Err(finding) => return (Vec::new(), vec![finding]),
        };
        let mut runs = Vec::new();
        let mut all = Vec::new();
        // All rows of a table stand in one text.
        let sources = Sources::from([(file.to_owned(), text.to_owned())]);
        for flat in &flats {
            let mut found = Vec::new();
            let given = self.one(flat, &sources, &mut found);
            // What scoring itself refuses or asks about never comes out as met, and an act that
            // was seen is told all the same.
            let decides = |given: &Given| !faults(&given.kit, &given.sheet).is_empty();
            if !findings::blocks(&found) || given.as_ref().is_some_and(decides) {
                runs.extend(given);
            }
            all.extend(found);
        }
        findings::sort(&mut all);
        // What stands once in the file and belongs to several runs is one fault.
        all.dedup();
        (runs, all)
    }

    fn one(
        &mut self,
        flat: &Flat,
        sources: &Sources,
        found: &mut Vec<Finding>,
    ) -> Option<Given> {
        let node = flat.node()?;
        let desk = Desk::default();
        desk.comma.set(self.course.module.comma);
        let sheet = run_sheet(desk.item(&flat.file, node));
        found.extend(desk.findings.into_inner());
        let mut sheet = sheet?;
        leave_to_others(&mut sheet, self.course);
        let file = flat.file.as_str();
        let place = |field: &str| flat.trees.place(file, &[field]);
        let mut brought = Kept::default();
        if let Some(kit) = node.child("kit") {
            match carried(kit) {
                Ok(kept) => brought = kept,
                Err(reason) => found.push(broken(place("kit"), reason)),
            }
            for field in ["drill-revision", "rig-revision"] {
                if node.child(field).is_none() {
                    let finding = Finding::at(Code::MissingField, place("kit"));
                    found.push(finding.with("field", field));
                }
            }
        }
        let key = sheet.known_by();
        // The same sheet given twice would count as two attempts.
        if let Some(other) = self.seen.get(&key) {
            let finding = Finding::at(Code::DuplicateId, place("run"));
            let finding = finding.with("kind", "runs").with("id", sheet.id.clone());
            found.push(finding.with("other", other.clone()));
        } else {
            self.seen.insert(key, file.to_owned());
        }
        if let Some(today) = self.today
            && Moment::read(&sheet.performed_at).is_some_and(|run| run.day() > today)
        {
            let finding = Finding::at(Code::FutureDate, place("performed-at"));
            let finding = finding.with("found", sheet.performed_at.clone());
            found.push(finding.with("today", today.to_string()));
        }
        let kit = self.kits.of(&sheet, &brought);
        let handed = Handed { flat, sheet: &sheet, kit: kit.as_deref() };
        checks::run_sheet(self.course, self.words, &handed, sources, found);
        let kit = kit.ok()?;
        let came = brought != Kept::default();
        // What the department has or keeps itself counts first: only a kit it does not
        // know makes a verdict for reading alone (rule 38).
        let carried = came && self.kits.of(&sheet, &Kept::default()).is_err();
        let place = place("run");
        Some(Given { sheet, kit, place, carried })
    }
}

/// The sheet in a run's file.
pub(super) fn run_sheet(item: Item<'_>) -> Option<RunSheet> {
    read(item).map(|file: RunFile| file.sheet)
}

/// The crew of a chain is named once; a drill without one of its roles leaves that to the
/// others.
pub(super) fn leave_to_others(sheet: &mut RunSheet, course: &Course) {
    let Some(id) = &sheet.chain else { return };
    let Some(drill) = course.drill(&sheet.drill) else { return };
    let chain = course.chains.iter().find(|chain| chain.id == *id);
    let others = chain.into_iter().flat_map(|chain| &chain.drills);
    let roles: Vec<&str> = others
        .filter_map(|id| course.drill(id))
        .flat_map(|drill| drill.roles.iter().map(|role| role.id.as_str()))
        .collect();
    let own = |role: &str| drill.roles.iter().any(|known| known.id == role);
    // A chain's sheet is filled in once for all its drills, and each drill has roles of
    // its own.
    sheet.crew.retain(|role, _| own(role) || !roles.contains(&role.as_str()));
}
