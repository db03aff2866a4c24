//! Narrated runs: marked for practice, held against their keys, and never a run.

use std::collections::BTreeSet;

use drillwright::authoring::{RunReader, read};
use drillwright::course::{Course, CriticalMark, Mark, RunSheet};
use drillwright::findings::{Code, Sources};
use drillwright::publish::{PageKind, Shared, page, plan};
use drillwright::scoring::{Kit, alone, beside_key, entries, keyed};
use drillwright::wire::{Form, json};
use drillwright::{scoring, stock};

const SEED: &str = "ladder onion gravel pencil otter velvet";

fn kit(course: &Course, sheet: &RunSheet) -> Kit {
    let (drill, rig) = (course.drill(&sheet.drill).unwrap(), &course.rigs[&sheet.rig]);
    Kit::of(course, drill, rig, &stock::words()).unwrap()
}

/// The key as an evaluator of the department handed it in.
fn marked(course: &Course, id: &str) -> RunSheet {
    let mut sheet = course.narrated(id).unwrap().key.clone();
    let kit = kit(course, &sheet);
    sheet.evaluator.person = "rowan".to_owned();
    sheet.drill_revision = Some(scoring::short_revision(kit.drill_revision()).to_owned());
    sheet.rig_revision = Some(scoring::short_revision(kit.rig_revision()).to_owned());
    sheet.rules = Some(scoring::RULES);
    sheet
}

fn beside(course: &Course, id: &str, sheet: &RunSheet) -> scoring::BesideKey {
    let narrated = course.narrated(id).unwrap();
    let kit = kit(course, sheet);
    let verdict = alone(&scoring::Run::of(&kit, sheet)).unwrap();
    beside_key(narrated, (&kit, &stock::words()), (sheet, &verdict)).unwrap()
}

#[test]
fn the_example_has_one_met_one_with_a_broken_link_and_one_stopped() {
    let course = crate::pages::example();
    let all: Vec<(String, String)> = course
        .narrated
        .iter()
        .map(|one| {
            let verdict = keyed(&kit(&course, &one.key), one).unwrap();
            assert_eq!(verdict.outcome.key(), one.announces.key());
            (one.id.clone(), verdict.outcome.key().to_owned())
        })
        .collect();
    let outcomes: Vec<&str> = all.iter().map(|(_, outcome)| outcome.as_str()).collect();
    assert_eq!(outcomes, ["met", "not-met", "stopped"]);
}

#[test]
fn a_sheet_marked_as_the_key_has_nothing_to_talk_about() {
    let course = crate::pages::example();
    for one in &course.narrated {
        let beside = beside(&course, &one.id, &marked(&course, &one.id));
        assert!(beside.marks.is_empty(), "{:?}", beside.marks);
        assert!(beside.joint.differences.is_empty(), "{:?}", beside.joint.differences);
    }
}

/// Each mark turned for itself is told, with every reason that the key gives for it.
#[test]
fn every_mark_that_is_not_the_keys_is_told_with_its_reason() {
    let course = crate::pages::example();
    for one in &course.narrated {
        let right = marked(&course, &one.id);
        let all = entries(&kit(&course, &right), &right, &stock::words());
        assert!(all.len() >= 20, "{}: {}", one.id, all.len());
        for entry in &all {
            let mut sheet = right.clone();
            if let Some(mark) = sheet.marks.get_mut(&entry.name) {
                *mark = if *mark == Mark::Done { Mark::NotSeen } else { Mark::Done };
            } else if let Some(mark) = sheet.criticals.get_mut(&entry.name) {
                let no = *mark == CriticalMark::No;
                *mark = if no { CriticalMark::Yes } else { CriticalMark::No };
                sheet.happened.insert(entry.name.clone(), "It was seen.".to_owned());
            } else {
                sheet.readings.remove(&entry.name);
                sheet.measures.remove(&entry.name);
                sheet.cues.remove(&entry.name);
                if entry.name == "stop" {
                    sheet.stop = None;
                }
                if entry.name == "order-seen" {
                    sheet.order_seen = drillwright::course::OrderSeen::NotWatched;
                }
            }
            let beside = beside(&course, &one.id, &sheet);
            let told = beside.marks.iter().find(|told| told.contains(&entry.label));
            let told = told.unwrap_or_else(|| panic!("{}: {}", one.id, entry.label));
            let reasons: Vec<&str> =
                one.reasons(&entry.name).map(|(_, why)| why).collect();
            assert!(!reasons.is_empty(), "{}: {}", one.id, entry.name);
            assert!(reasons.iter().all(|why| told.contains(why)), "{told}");
        }
    }
}

/// The example with one file more.
fn with(file: &str, text: &str) -> (Course, Vec<Code>) {
    let content = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let (files, _) = drillwright::workshop::read_folder(&content).unwrap();
    let others: BTreeSet<String> = files.others.keys().cloned().collect();
    let mut texts: Sources = files.texts;
    texts.insert(file.to_owned(), text.to_owned());
    let (course, found) =
        read(&texts, &others, drillwright::authoring::Options::default());
    (course.unwrap(), found.into_iter().map(|one| one.code).collect())
}

fn written(sheet: &RunSheet) -> String {
    json(sheet, Form::Canonical).to_string()
}

#[test]
fn put_among_the_runs_it_is_told_and_counts_for_nobody() {
    let (plain, _) = with("README.md", "");
    let sheet = marked(&plain, "change-too-soon");
    let (course, found) = with("runs/mine.yaml", &written(&sheet));
    assert_eq!(found.iter().filter(|code| **code == Code::RunNarrated).count(), 1);
    assert!(course.runs == plain.runs, "it stands among the runs");
    // No page of a run, and no row, score or try anywhere else: every page is the same.
    let words = stock::words();
    let (before, after) = (
        Shared::new(&plain, &words, SEED).unwrap(),
        Shared::new(&course, &words, SEED).unwrap(),
    );
    let (old, new) = (plan(&plain), plan(&course));
    assert_eq!(old, new);
    let staff = old.iter().filter(|plan| {
        matches!(plan.kind, PageKind::StaffIndex | PageKind::Run(_) | PageKind::Coverage)
    });
    for plan in staff {
        assert_eq!(
            page(&before, plan).unwrap(),
            page(&after, plan).unwrap(),
            "{}",
            plan.path
        );
    }
}

/// A name hides nobody's act: a sheet of another candidate under the name of a narrated run is a run,
/// is told, and is scored.
#[test]
fn the_name_of_a_narrated_run_hides_no_run() {
    let (plain, _) = with("README.md", "");
    let mut sheet = marked(&plain, "change-too-soon");
    sheet.candidate = "moss".to_owned();
    let (course, found) = with("runs/mine.yaml", &written(&sheet));
    assert!(found.contains(&Code::DuplicateId), "{found:?}");
    assert_eq!(course.runs.len(), plain.runs.len() + 1);
    let words = stock::words();
    let mut reader = RunReader::new(&plain, &words, None);
    let (given, wrong) = reader.read(&written(&sheet), "mine.json");
    assert!(wrong.iter().any(|one| one.code == Code::DuplicateId));
    assert!(given.iter().any(|one| one.sheet.candidate == "moss"), "it is not shown");
}

/// People of the key are known to whoever marks it, and to nobody else.
#[test]
fn the_people_of_a_narrated_run_stand_on_its_sheets_alone() {
    let course = crate::pages::example();
    let words = stock::words();
    let sheet = marked(&course, "flush-met");
    let codes = |sheet: &RunSheet| {
        let mut reader = RunReader::new(&course, &words, None);
        let (_, wrong) = reader.read(&written(sheet), "mine.json");
        wrong.into_iter().map(|one| one.code).collect::<Vec<_>>()
    };
    assert_eq!(codes(&sheet), []);
    let mut other = sheet.clone();
    other.id = "tv-2026-099".to_owned();
    assert!(codes(&other).contains(&Code::UnknownId));
    // The evaluator is somebody of the department, also where the run never was.
    let mut other = sheet;
    other.evaluator.person = "key".to_owned();
    assert!(codes(&other).contains(&Code::UnknownId));
}

#[test]
fn narrations_and_keys_stand_in_the_officers_folder_alone() {
    let course = crate::pages::example();
    let words = stock::words();
    let shared = Shared::new(&course, &words, SEED).unwrap();
    let telling: Vec<&str> = course
        .narrated
        .iter()
        .flat_map(|one| &one.narration)
        .map(|one| &*one.says)
        .collect();
    for plan in plan(&course).iter().filter(|plan| plan.path.starts_with("crew/")) {
        let made = page(&shared, plan).unwrap();
        let named = |one: &drillwright::course::Narrated| made.contains(&one.key.id);
        assert!(!course.narrated.iter().any(named), "{}", plan.path);
        assert!(!telling.iter().any(|says| made.contains(says)), "{}", plan.path);
    }
    let made = |path: &str| {
        let plan = plan(&course).into_iter().find(|plan| plan.path == path).unwrap();
        page(&shared, &plan).unwrap()
    };
    let guide = made("staff/evaluator.html");
    for one in &course.narrated {
        assert!(guide.contains(&format!("narrated-{}.html", one.id)), "{}", one.id);
        let told = made(&format!("staff/narrated-{}.html", one.id));
        let sheet = made(&format!("staff/narrated-{}-sheet.html", one.id));
        let key = made(&format!("staff/narrated-{}-key.html", one.id));
        assert!(told.contains(&format!("narrated-{}-sheet.html", one.id)));
        assert!(sheet.contains(&format!("narrated-{}-key.html", one.id)));
        assert!(sheet.contains(&one.key.id) && sheet.contains(&one.key.candidate));
        let outcome = keyed(&kit(&course, &one.key), one).unwrap().outcome_text;
        let outcome = outcome.replace('\'', "&#39;");
        assert!(key.contains(&outcome), "{outcome}");
        // Who reads it aloud, or marks it, must not read the verdict there.
        assert!(!told.contains(&outcome) && !sheet.contains(&outcome));
    }
}
