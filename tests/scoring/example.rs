//! The run sheets of the example district, scored end to end.

use std::collections::BTreeMap;
use std::path::Path;

use drillwright::authoring::{Options, read};
use drillwright::course::Course;
use drillwright::scoring::{Kit, Outcome, Rule, Verdict, faults, score};
use drillwright::stock;
use drillwright::workshop::read_folder;

pub(super) fn example() -> Course {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let (folder, _) = read_folder(&content).unwrap();
    let others = folder.others.keys().cloned().collect();
    let (course, findings) = read(&folder.texts, &others, Options::default());
    course.unwrap_or_else(|| panic!("{findings:#?}"))
}

fn verdicts(course: &Course) -> BTreeMap<String, Verdict> {
    let words = stock::words();
    let scored = course.runs.iter().map(|run| {
        let drill = course.drill(&run.drill).unwrap();
        let kit = Kit::of(course, drill, &course.rigs[&run.rig], &words).unwrap();
        assert_eq!(faults(&kit, run), [], "{}", run.id);
        (run.id.clone(), score(&kit, run))
    });
    scored.collect()
}

#[test]
fn the_three_runs_come_out_as_the_district_tells_them() {
    let course = example();
    let verdicts = verdicts(&course);
    for verdict in verdicts.values() {
        let text = serde_json::to_string(verdict).unwrap();
        assert!(!text.contains('⟨'), "{text}");
        let missing = verdict.of_rule(Rule::Measure).find(|l| l.seen.is_empty());
        assert!(missing.is_none(), "{missing:?}");
    }
    let outcome = |run: &str| verdicts[run].outcome;
    assert_eq!(outcome("tv-2026-001"), Outcome::Met);
    // Every step done, one critical missed: the critical comes first.
    let second = &verdicts["tv-2026-002"];
    assert_eq!((second.outcome, second.earned), (Outcome::NotMet, second.possible));
    assert!(second.reason.contains("Critical missed"), "{}", second.reason);
    // A flush ended on time alone.
    let third = &verdicts["tv-2026-003"];
    assert_eq!(third.outcome, Outcome::NotMet);
    assert!(third.reason.contains("time alone"), "{}", third.reason);
}
