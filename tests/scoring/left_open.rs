//! What stays open on a sheet: a retest whose earlier try was not handed in (rules 29 and 30), what
//! physically cannot be (rule 7 g), and an act on a sheet whose head cannot be read (rule 24 and the
//! precedence).

use std::collections::BTreeMap;

use drillwright::authoring::RunReader;
use drillwright::course::{
    Course, Granted, Mark, Mode, OrderSeen, Remediation, RunSheet, Settled,
};
use drillwright::quantity::Day;
use drillwright::quiz::Chance;
use drillwright::scoring::{Kit, Outcome, Run, Verdict, score, score_all, written};
use drillwright::stock;
use serde_json::{Value, json};

use super::example::example;
use super::fixture::{chain, clean, kit, q};
use super::sheets::{honest, random};
use super::table;

fn lesson(what: &str, on: Option<&str>) -> Remediation {
    let by = Some("rowan".into());
    Remediation { what: what.into(), by, on: on.map(str::to_owned) }
}

fn retest(kit: &Kit, id: &str, at: &str, given: Option<Remediation>) -> RunSheet {
    let mut sheet = clean(kit);
    (sheet.id, sheet.attempt, sheet.remediation) = (id.into(), 2, given);
    (sheet.performed_at, sheet.entered_at) = (format!("{at} 10:00"), None);
    sheet
}

fn both_ways(kit: &Kit, sheet: &RunSheet) -> Verdict {
    let alone = score(kit, sheet);
    let given = score_all(&[Run::of(kit, sheet)]);
    assert_eq!(alone.outcome, given[0].outcome);
    alone
}

#[test]
fn rules_29_and_30_a_retest_handed_in_alone_shows_its_remediation_or_stays_open() {
    let kit = kit(chain(), true);
    let on = |given: Option<Remediation>| {
        both_ways(&kit, &retest(&kit, "r-2", "2026-11-21", given)).outcome
    };
    let once = |day: &str| on(Some(lesson("The lesson once more.", Some(day))));
    assert_eq!(on(None), Outcome::Incomplete);
    assert_eq!(on(Some(lesson("The lesson once more.", None))), Outcome::Incomplete);
    assert_eq!(on(Some(lesson(" ", Some("2026-11-16")))), Outcome::Incomplete);
    assert_eq!(once("2026-11-22"), Outcome::Incomplete, "a day after the run");
    assert_eq!(once("2026-11-16"), Outcome::Met);
    // An act is seen, and what comes after it is for the next try.
    let late = lesson("The lesson once more.", Some("2026-11-22"));
    let mut failed = retest(&kit, "r-2", "2026-11-21", Some(late));
    failed.unsafe_acts = vec!["astride".into()];
    failed.happened.insert("astride".into(), "Stood over the hose.".into());
    let verdict = both_ways(&kit, &failed);
    assert_eq!((verdict.outcome, verdict.uses_attempt), (Outcome::NotMet, true));
    // Points fail it all the same: the lesson after it is for the next try.
    failed.unsafe_acts.clear();
    failed.happened.clear();
    for (step, mark) in &mut failed.marks {
        if !["e", "f"].contains(&step.as_str()) {
            *mark = Mark::NotDone;
        }
    }
    failed.measures.clear();
    failed.settled.clear();
    let verdict = both_ways(&kit, &failed);
    assert_eq!(verdict.outcome, Outcome::NotMet, "{}", verdict.reason);
}

#[test]
fn rule_28_and_30_attempts_beyond_the_most_need_a_named_officer() {
    let kit = kit(chain(), true);
    // A retest shows what was learned before it.
    let changed = |kit: &Kit, change: &dyn Fn(&mut RunSheet)| {
        let mut sheet = clean(kit);
        sheet.remediation = Some(lesson("Again.", Some("2026-11-14")));
        change(&mut sheet);
        score(kit, &sheet)
    };
    let granted = |by: &str, why: &str| {
        changed(&kit, &|sheet| {
            sheet.attempt = 3;
            sheet.granted = Some(Granted { by: by.into(), why: why.into() });
        })
        .outcome
    };
    assert_eq!(changed(&kit, &|sheet| sheet.attempt = 2).outcome, Outcome::Met);
    let beyond = changed(&kit, &|sheet| sheet.attempt = 3);
    assert_eq!((beyond.outcome, beyond.uses_attempt), (Outcome::Refused, false));
    assert_eq!(changed(&kit, &|sheet| sheet.attempt = 0).outcome, Outcome::Refused);
    assert_eq!(granted("hazel", "Away for a year."), Outcome::Met);
    // Neither candidate nor evaluator, nor who held the nozzle ("birch").
    for (by, why) in
        [("ash", "x"), ("cedar", "x"), ("hazel", " "), (" ", "x"), ("birch", "x")]
    {
        assert_eq!(granted(by, why), Outcome::Refused, "{by}");
    }
}

#[test]
fn rule_29_what_used_no_attempt_leaves_the_number_as_it_is() {
    let kit = kit(chain(), true);
    let given = || Some(lesson("The lesson once more.", Some("2026-11-10")));
    // The second try was not seen to its end, and is run again as the second.
    let mut open = retest(&kit, "r-2", "2026-11-14", given());
    open.criticals.clear();
    let again = retest(&kit, "r-3", "2026-11-21", None);
    let verdicts = score_all(&[Run::of(&kit, &open), Run::of(&kit, &again)]);
    let outcomes: Vec<Outcome> = verdicts.iter().map(|one| one.outcome).collect();
    assert_eq!(outcomes, [Outcome::Incomplete, Outcome::Met], "{}", verdicts[1].reason);
    // Nothing of either sheet says what was learned before it.
    open.remediation = None;
    let verdicts = score_all(&[Run::of(&kit, &open), Run::of(&kit, &again)]);
    assert_eq!(verdicts[1].outcome, Outcome::Incomplete);
    let mut first = again;
    first.attempt = 1;
    let verdicts = score_all(&[Run::of(&kit, &open), Run::of(&kit, &first)]);
    assert_eq!(verdicts[1].outcome, Outcome::Refused, "a number that goes back");
}

#[test]
fn rule_29_a_first_try_has_no_lesson_before_it() {
    let kit = kit(chain(), true);
    let mut sheet = retest(&kit, "r-1", "2026-11-21", None);
    sheet.attempt = 1;
    assert_eq!(both_ways(&kit, &sheet).outcome, Outcome::Met);
    sheet.remediation = Some(lesson("The lesson once more.", Some("2026-11-16")));
    assert_eq!(both_ways(&kit, &sheet).outcome, Outcome::Incomplete);
    // On the day itself, or later, it is for the next.
    for day in ["2026-11-21", "2026-11-22"] {
        sheet.remediation = Some(lesson("The lesson once more.", Some(day)));
        assert_eq!(both_ways(&kit, &sheet).outcome, Outcome::Met);
    }
}

/// How much an outcome says for the candidate.
fn height(outcome: Outcome) -> u32 {
    match outcome {
        Outcome::NotMet => 0,
        Outcome::Refused | Outcome::Incomplete | Outcome::Stopped | Outcome::Void => 1,
        Outcome::WalkedThrough => 2,
        Outcome::MetInPart => 3,
        Outcome::Met => 4,
    }
}

/// Rule 8 gives its third answer to a link alone. Of two marks that cannot both be, one is wrong: a
/// sentence under the step says that its "not done" means badly done, which is the answer "the mark
/// was wrong" with its points kept lost. So it never comes out better than the mark "done" does.
#[test]
fn rule_07_g_a_sentence_is_never_better_than_the_mark_that_it_mends() {
    let mut chance = Chance::of(&["test", "badly done"]);
    let (mut settled, mut cleared) = (0, 0);
    let kits = table::kits();
    for turn in 0..600 {
        let (kit, outlet) = &kits[turn % kits.len()];
        let mut sheet = random(kit, &honest(kit, "operator", outlet), &mut chance);
        // A list that leaves the step out would contradict the mark "done".
        (sheet.order_seen, sheet.pairs) = (OrderSeen::AsPrinted, BTreeMap::new());
        let cannot: Vec<&str> = kit
            .drill()
            .order
            .iter()
            .filter(|rule| rule.cannot)
            .map(|rule| &*rule.first)
            .collect();
        for step in cannot {
            if !sheet.marks.contains_key(step) {
                continue;
            }
            sheet.marks.insert(step.to_owned(), Mark::NotDone);
            sheet.settled.remove(step);
            let open = score(kit, &sheet);
            let why = "It was done, and not as asked.".into();
            sheet.settled.insert(step.to_owned(), Settled { why, officer: None });
            let badly = score(kit, &sheet);
            let mut well = sheet.clone();
            well.marks.insert(step.to_owned(), Mark::Done);
            well.settled.remove(step);
            let well = score(kit, &well);
            let (low, high) = (height(badly.outcome), height(well.outcome));
            assert!(badly.earned <= well.earned, "{step}: {sheet:#?}");
            // What is open with the mark "done" is at least as open with the sentence.
            assert!(low <= high.max(1), "{step}: {} {}", badly.reason, well.reason);
            settled += 1;
            cleared += usize::from(open.outcome != badly.outcome);
        }
    }
    println!("{settled} sentences under a step, {cleared} of them changed the outcome");
    assert!(settled > 200 && cleared > 20, "{settled} {cleared}");
}

fn handed(course: &Course, value: &Value) -> (Vec<Verdict>, usize) {
    let words = stock::words();
    let mut reader = RunReader::new(course, &words, Day::read("2026-11-27"));
    let (given, found) = reader.read(&value.to_string(), "run.json");
    let runs: Vec<Run<'_>> =
        given.iter().map(drillwright::authoring::Given::run).collect();
    (score_all(&runs), found.len())
}

/// A field of a sheet, garbled and left out.
fn spoiled(value: &Value, field: &str) -> [Value; 2] {
    let mut garbled = value.clone();
    garbled[field] = json!(["what"]);
    let mut without = value.clone();
    without.as_object_mut().unwrap().remove(field);
    [garbled, without]
}

#[test]
fn rule_24_an_act_is_told_of_a_sheet_whose_head_cannot_be_read() {
    let course = example();
    let clean = course.runs.iter().find(|run| run.id == "tv-2026-001").unwrap();
    let mut act = clean.clone();
    act.unsafe_acts = vec![course.unsafe_acts[0].id.clone()];
    act.happened.insert(course.unsafe_acts[0].id.clone(), "Seen at the panel.".into());
    let (critical, mut crit) =
        (clean.criticals.keys().next().unwrap().clone(), clean.clone());
    crit.criticals.insert(critical.clone(), drillwright::course::CriticalMark::Yes);
    crit.happened.insert(critical, "Seen at the panel.".into());
    let json = |sheet: &RunSheet| written(sheet, None, &[]).unwrap();
    let head = [
        "use",
        "mode",
        "weather",
        "light",
        "performed-at",
        "candidate",
        "role",
        "evaluator",
    ];
    for field in head {
        for (sheet, wanted) in [(clean, 0), (&act, 1), (&crit, 1)] {
            for value in spoiled(&json(sheet), field) {
                let (verdicts, found) = handed(&course, &value);
                assert!(found > 0, "{field}");
                assert_eq!(verdicts.len(), wanted, "{field}: {value}");
                for verdict in &verdicts {
                    assert_eq!(
                        verdict.outcome,
                        Outcome::NotMet,
                        "{field}: {}",
                        verdict.reason
                    );
                    let text = serde_json::to_string(verdict).unwrap();
                    for stand_in in ["2000-01-01", "nobody", "walk-through"] {
                        assert!(!text.contains(stand_in), "{field} shows {stand_in}");
                    }
                }
            }
        }
    }
    // By which drill and rig it would be judged nobody can say, and an act is told all the same.
    for field in ["drill", "rig"] {
        for (sheet, wanted) in [(clean, 0), (&act, 1), (&crit, 1)] {
            for value in spoiled(&json(sheet), field) {
                let (verdicts, found) = handed(&course, &value);
                assert!(found > 0, "{field}");
                assert_eq!(verdicts.len(), wanted, "{field}: {value}");
                assert!(verdicts.iter().all(|one| one.outcome == Outcome::NotMet));
            }
        }
    }
}

#[test]
fn a_limit_is_told_beside_what_cannot_be_read_where_the_mode_can() {
    let course = example();
    let startup = course.runs.iter().find(|run| {
        run.measures.contains_key("line-pressure") && run.mode == Mode::TrainingFoam
    });
    let mut sheet = startup.unwrap().clone();
    sheet
        .criticals
        .values_mut()
        .for_each(|mark| *mark = drillwright::course::CriticalMark::No);
    sheet.unsafe_acts.clear();
    sheet.happened.clear();
    sheet.measures.insert("line-pressure".into(), q("400 psi"));
    let json = written(&sheet, None, &[]).unwrap();
    for value in spoiled(&json, "performed-at") {
        let (verdicts, _) = handed(&course, &value);
        assert_eq!(verdicts[0].outcome, Outcome::NotMet, "{}", verdicts[0].reason);
    }
    // In which mode it was measured nobody knows; in each that shows a pressure it is too much.
    for value in spoiled(&json, "mode") {
        assert_eq!(handed(&course, &value).0[0].outcome, Outcome::NotMet);
    }
    // What one mode shows and another does not is no limit that can be judged.
    let mut slip = json.clone();
    slip["measures"]["line-pressure"] = "145 psi".into();
    slip["readings"]["percent-ordered"] = "1 %".into();
    slip["measures"]["percent-set"] = "0.5 %".into();
    for value in spoiled(&slip, "mode") {
        let told = handed(&course, &value).0;
        assert!(told.iter().all(|one| one.outcome != Outcome::NotMet), "{told:?}");
    }
    // What cannot be read elsewhere on the sheet takes nothing away from what can.
    let mut value = json;
    value["readings"] = json!({ "flow-read": "wet" });
    assert_eq!(handed(&course, &value).0[0].outcome, Outcome::NotMet);
}

#[test]
fn rule_34_one_run_under_two_names_is_asked_about() {
    let kit = kit(chain(), true);
    let mut one = retest(&kit, "r-1", "2026-11-21", None);
    one.attempt = 1;
    let mut other = one.clone();
    other.id = "s-1".into();
    other.evaluator.person = "rowan".into();
    let outcomes = |sheets: [&RunSheet; 2]| {
        let runs = sheets.map(|sheet| Run::of(&kit, sheet));
        score_all(&runs).into_iter().map(|one| one.outcome).collect::<Vec<_>>()
    };
    // Whatever stands first: the one that saw nothing is open, the act of the other is seen.
    assert_eq!(outcomes([&one, &other])[0], Outcome::Incomplete);
    other.unsafe_acts = vec!["astride".into()];
    other.happened.insert("astride".into(), "Stood over the hose.".into());
    assert_eq!(outcomes([&one, &other]), [Outcome::Incomplete, Outcome::NotMet]);
    assert_eq!(outcomes([&other, &one]), [Outcome::NotMet, Outcome::Incomplete]);
    // Another minute, another candidate or practice is another run.
    let mut later = one.clone();
    later.id = "s-2".into();
    later.performed_at = "2026-11-21 10:01".into();
    assert_ne!(outcomes([&one, &later])[0], Outcome::Incomplete);
    let mut practice = one.clone();
    practice.id = "s-3".into();
    practice.use_ = drillwright::course::RunUse::Practice;
    assert_eq!(outcomes([&one, &practice])[0], Outcome::Met);
}
