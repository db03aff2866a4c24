//! The run sheets of the example district, scored end to end.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use drillwright::authoring::{Options, read};
use drillwright::course::{CitedBy, Course, Kept, RunSheet};
use drillwright::scoring::{Decision, Kit, Line, Outcome, Rule, Verdict, faults, score};
use drillwright::stock;
use drillwright::workshop::read_folder;

pub(super) fn example() -> Course {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let (folder, _) = read_folder(&content).unwrap();
    let others = folder.others.keys().cloned().collect();
    let (course, findings) = read(&folder.texts, &others, Options::default());
    let mut course = course.unwrap_or_else(|| panic!("{findings:#?}"));
    // As if nothing had been printed yet: what a test changes here is another revision.
    course.kept = Kept::default();
    for run in &mut course.runs {
        (run.drill_revision, run.rig_revision) = (None, None);
    }
    course
}

/// Run, drill and role: a crew shares a run, and so do the drills of a chain.
fn key(run: &RunSheet) -> String {
    format!("{} {} {}", run.id, run.drill, run.role)
}

fn verdicts(course: &Course) -> BTreeMap<String, Verdict> {
    let words = stock::words();
    let scored = course.runs.iter().map(|run| {
        let drill = course.drill(&run.drill).unwrap();
        let kit = Kit::of(course, drill, &course.rigs[&run.rig], &words).unwrap();
        assert_eq!(faults(&kit, run), [], "{}", run.id);
        (key(run), score(&kit, run))
    });
    scored.collect()
}

#[test]
fn the_first_runs_come_out_as_the_district_tells_them() {
    let course = example();
    let verdicts = verdicts(&course);
    for verdict in verdicts.values() {
        let text = serde_json::to_string(verdict).unwrap();
        assert!(!text.contains('⟨'), "{text}");
        let asked = |line: &&Line| {
            !matches!(line.decision, Decision::NotShown | Decision::LeftOut)
        };
        let mut measures = verdict.of_rule(Rule::Measure).filter(asked);
        let missing = measures.find(|line| line.seen.is_empty());
        assert!(missing.is_none(), "{missing:?}");
    }
    let outcome = |run: &str| verdicts[run].outcome;
    assert_eq!(outcome("tv-2026-001 flush operator"), Outcome::Met);
    // Every step done, one critical missed: the critical comes first.
    let second = &verdicts["tv-2026-002 startup operator"];
    assert_eq!((second.outcome, second.earned), (Outcome::NotMet, second.possible));
    assert!(second.reason.contains("This happened"), "{}", second.reason);
    // A flush ended on time alone.
    let third = &verdicts["tv-2026-003 flush operator"];
    assert_eq!(third.outcome, Outcome::NotMet);
    assert!(third.reason.contains("without the nozzle's word"), "{}", third.reason);
}

#[test]
fn two_evaluators_have_seen_every_drill_and_every_outcome_is_among_them() {
    let course = example();
    let outcomes: BTreeSet<Outcome> =
        verdicts(&course).values().map(|verdict| verdict.outcome).collect();
    // A refused sheet is no part of a module.
    assert_eq!(outcomes.len(), 7, "{outcomes:?}");
    for drill in &course.drills {
        let of = course.runs.iter().filter(|run| run.drill == drill.id);
        let judges: BTreeSet<&str> =
            of.map(|run| run.evaluator.person.as_str()).collect();
        // The drills of the tender are new, and few have been run so far.
        assert!(
            judges.len() >= 2 || drill.id.ends_with("-b"),
            "{}: {judges:?}",
            drill.id
        );
    }
    for person in course.people.values() {
        assert!(person.name.contains("(invented)"), "{}", person.name);
    }
    for run in &course.runs {
        let said = &run.evaluator.qualification;
        assert!(said.contains("(invented)"), "{}: {said}", run.id);
    }
}

#[test]
fn every_critical_tells_its_source_and_its_reason() {
    let course = example();
    let mut count = 0;
    for drill in &course.drills {
        assert!((1..=5).contains(&drill.criticals.len()), "{}", drill.id);
        for critical in &drill.criticals {
            count += 1;
            let by = CitedBy::Critical(drill.id.clone(), critical.id.clone());
            let known = course.cited.iter().any(|cited| cited.by == by);
            assert!(known, "{} {}: {}", drill.id, critical.id, critical.source);
            assert!(critical.reason.len() > 20 && critical.act.ends_with('.'));
        }
    }
    assert!(count >= 30, "{count}");
}
