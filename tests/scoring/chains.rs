//! Drills of one chain against each other, and what a chain's shared name must not do.

use drillwright::authoring::{Given, RunReader};
use drillwright::course::{
    Course, CriticalMark, RunSheet, Stop, StopCause, Void, VoidCause,
};
use drillwright::quantity::Day;
use drillwright::scoring::{
    Decision, Kit, Outcome, Rule, Run, Verdict, score_all, written,
};
use drillwright::stock;
use serde_json::json;

use super::example::example;
use super::fixture::q;
use super::sheets::honest;

fn kits(course: &Course) -> Vec<Kit> {
    let words = stock::words();
    ["startup", "percent-change", "flush"]
        .map(|id| {
            let drill = course.drill(id).unwrap();
            Kit::of(course, drill, &course.rigs["engine-7"], &words).unwrap()
        })
        .into()
}

/// One evolution, as it should be.
fn evolution(kits: &[Kit]) -> Vec<RunSheet> {
    let part = |kit| {
        let mut sheet = honest(kit, "operator", "crosslay-1");
        sheet.chain = Some("whole-evolution".into());
        sheet
    };
    kits.iter().map(part).collect()
}

fn scored(kits: &[Kit], sheets: &[RunSheet]) -> Vec<Verdict> {
    let of = |sheet: &RunSheet| {
        kits.iter().position(|kit| kit.drill().id == sheet.drill).unwrap()
    };
    let run = |sheet| {
        let place = of(sheet);
        Run { place, ..Run::of(&kits[place], sheet) }
    };
    let runs: Vec<Run<'_>> = sheets.iter().map(run).collect();
    score_all(&runs)
}

fn outcomes(kits: &[Kit], sheets: &[RunSheet]) -> Vec<Outcome> {
    scored(kits, sheets).into_iter().map(|verdict| verdict.outcome).collect()
}

/// The flush found another percent in use than the change before it had set.
fn at_another_percent(sheets: &mut [RunSheet]) {
    let flush = sheets.last_mut().unwrap();
    flush.readings.insert("percent-set".into(), q("0.4 %"));
    flush.readings.insert("foam-used".into(), q("3.2 gal"));
}

#[test]
fn a_chain_that_sets_one_percent_and_flushes_at_another_is_asked_about() {
    use Outcome::{Incomplete, Met};
    let course = example();
    let kits = kits(&course);
    let mut sheets = evolution(&kits);
    assert_eq!(outcomes(&kits, &sheets), [Met, Met, Met]);
    at_another_percent(&mut sheets);
    // Whichever of the two is wrong, neither stands until somebody says so; the drill before them
    // has nothing to do with it.
    assert_eq!(outcomes(&kits, &sheets), [Met, Incomplete, Incomplete]);
    let told = scored(&kits, &sheets);
    for verdict in told.iter().skip(1) {
        let both = ["0.5\u{a0}%", "0.4\u{a0}%"].map(|one| verdict.reason.contains(one));
        assert_eq!(both, [true, true], "{}", verdict.reason);
    }
    // Without the change it is the startup that set it.
    sheets.remove(1);
    assert_eq!(outcomes(&kits, &sheets), [Incomplete, Incomplete]);
    // Two runs that are no chain have nothing to do with each other.
    for sheet in &mut sheets {
        sheet.chain = None;
    }
    assert_eq!(outcomes(&kits, &sheets), [Met, Met]);
}

#[test]
fn no_order_of_files_takes_a_contradiction_of_a_chain_away() {
    use Outcome::{Incomplete, Met};
    let course = example();
    let kits = kits(&course);
    let mut sheets = evolution(&kits);
    at_another_percent(&mut sheets);
    sheets.rotate_right(1);
    assert_eq!(outcomes(&kits, &sheets), [Incomplete, Met, Incomplete]);
    // The end of a chain is not before its beginning.
    let mut early = evolution(&kits);
    early[2].performed_at = "2026-11-14 08:00".into();
    assert_eq!(outcomes(&kits, &early), [Incomplete; 3]);
    early.reverse();
    assert_eq!(outcomes(&kits, &early), [Incomplete; 3]);
    // A line that never flowed is not flushed; one more beside that of the chain may be.
    let mut line = evolution(&kits);
    line[2].outlet = "crosslay-2".into();
    assert!(!outcomes(&kits, &line).contains(&Met));
    let mut act = evolution(&kits);
    act[2].outlet = "crosslay-2".into();
    act[0].unsafe_acts.push("gear-off".into());
    act[0].happened.insert("gear-off".into(), "No gloves at the panel.".into());
    assert_eq!(outcomes(&kits, &act)[0], Outcome::NotMet);
}

#[test]
fn what_was_broken_off_says_nothing_of_the_percent_after_it() {
    use Outcome::Met;
    let course = example();
    let kits = kits(&course);
    let mut sheets = evolution(&kits);
    at_another_percent(&mut sheets);
    sheets[1].void = Some(Void {
        cause: VoidCause::Weather,
        why: "The wind turned.".into(),
        at: Some("2026-11-14 10:31".into()),
        agreed_by: Some("hazel".into()),
        produced_acts: false,
    });
    assert_eq!(outcomes(&kits, &sheets), [Met, Outcome::Void, Met]);
}

#[test]
fn a_failed_flush_makes_no_retest_of_the_startup_in_its_chain() {
    use Outcome::{Met, NotMet};
    let course = example();
    let kits = kits(&course);
    let mut sheets = evolution(&kits);
    let flush = sheets.last_mut().unwrap();
    flush.criticals.insert("return-before-clear".into(), CriticalMark::Yes);
    flush.happened.insert("return-before-clear".into(), "Seen at the panel.".into());
    let mut next = sheets[0].clone();
    next.id = "run-2".into();
    next.performed_at = "2026-11-20 10:20".into();
    sheets.push(next);
    assert_eq!(outcomes(&kits, &sheets), [Met, Met, NotMet, Met]);
    // Of the flush itself it is one, and wants new numbers.
    let mut again = sheets[2].clone();
    again.id = "run-2".into();
    again.performed_at = "2026-11-20 10:20".into();
    again.attempt = 2;
    again.criticals.insert("return-before-clear".into(), CriticalMark::No);
    again.happened.clear();
    sheets.push(again);
    assert_eq!(outcomes(&kits, &sheets).last(), Some(&Outcome::Refused));
}

#[test]
fn an_act_beside_another_cause_of_a_stop_is_asked_about() {
    let course = example();
    let kits = kits(&course);
    let mut sheet = honest(&kits[2], "operator", "crosslay-1");
    let stop = |act: Option<&str>| Stop {
        by: "hazel".into(),
        why: "A hose came loose".into(),
        cause: StopCause::Crew,
        act: act.map(str::to_owned),
    };
    let asked = |sheet: &RunSheet| {
        let verdict = scored(&kits, std::slice::from_ref(sheet)).remove(0);
        let line = verdict.of_rule(Rule::Stop).next().unwrap().clone();
        (verdict.outcome, line.decision, line.sentence)
    };
    sheet.stop = Some(stop(None));
    assert_eq!(asked(&sheet).0, Outcome::Stopped);
    sheet.stop = Some(stop(Some("foam-off-with-air-on")));
    let (outcome, decision, says) = asked(&sheet);
    assert_eq!((outcome, decision), (Outcome::Incomplete, Decision::Unseen));
    assert!(says.contains("Shut the foam with the air on"), "{says}");
}

#[test]
fn a_list_of_no_drills_and_a_run_of_nobody_are_told() {
    let course = example();
    let words = stock::words();
    let read = |text: &str| {
        RunReader::new(&course, &words, Day::read("2026-11-25")).read(text, "run.yaml")
    };
    let head = "run: r\nrig: engine-7\nuse: evaluation\nmode: training-foam\n\
                performed-at: 2026-11-14 10:20\nunsafe-acts: [gear-off]\n";
    for rest in [
        "candidate: moss\nrole: operator\ndrills: []\n",
        "drill: startup\ncandidate: {}\n",
    ] {
        let (given, found) = read(&format!("{head}{rest}"));
        assert!(!found.is_empty(), "{rest}");
        // What was seen is told in spite of it, so far as the sheet says of whom.
        let act = given.iter().any(|one| one.sheet.unsafe_acts == ["gear-off"]);
        assert!(act || rest.contains("{}"), "{rest}: {found:?}");
    }
}

#[test]
fn a_mark_in_capitals_is_the_mark_that_paper_prints() {
    let course = example();
    let words = stock::words();
    let outcome = |mark: &str, critical: &str| {
        let kits = kits(&course);
        let sheet = honest(&kits[0], "operator", "crosslay-1");
        let mut value = written(&sheet, None, &[]).unwrap();
        value["marks"]["chock"] = mark.into();
        value["criticals"]["foam-to-tank"] = critical.into();
        value["happened"] = json!({ "foam-to-tank": "Seen at the panel." });
        if critical.eq_ignore_ascii_case("no") {
            value.as_object_mut().unwrap().remove("happened");
        }
        let text = value.to_string();
        let mut reader = RunReader::new(&course, &words, Day::read("2026-11-25"));
        let (given, _) = reader.read(&text, "run.json");
        let runs: Vec<Run<'_>> = given.iter().map(Given::run).collect();
        score_all(&runs).first().map(|verdict| verdict.outcome)
    };
    assert_eq!(outcome("done", "no"), outcome("Done", "NO"));
    for yes in ["YES", "Yes", "Prevented"] {
        assert_eq!(outcome("DONE", yes), Some(Outcome::NotMet), "{yes}");
    }
    // What is no mark in small letters either stays a fault with its place.
    assert_eq!(outcome("done", "JA"), Some(Outcome::Incomplete));
}
