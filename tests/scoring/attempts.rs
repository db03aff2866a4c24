//! Rules 29 to 31 and 34 over runs that are handed in together, and runs that give no standing.

use drillwright::course::{
    Granted, Mode, Remediation, RunSheet, RunUse, Stop, StopCause, Void, VoidCause,
};
use drillwright::scoring::{
    ForReading, Kit, KitData, Outcome, Rule, Run, Verdict, score, score_all,
};

use super::fixture::{chain, clean, data, kit, yard};
use super::sheets::in_mode;

type Change = fn(&mut RunSheet);

fn days(wait: u32, most: u32) -> Kit {
    let mut drill = chain();
    (drill.attempts.wait, drill.attempts.most) = (wait, most);
    kit(drill, true)
}

fn try_of(kit: &Kit, id: &str, at: &str, attempt: u32) -> RunSheet {
    let mut sheet = clean(kit);
    (sheet.id, sheet.attempt) = (id.into(), attempt);
    sheet.performed_at = format!("{at} 10:00");
    sheet.entered_at = None;
    sheet
}

fn failed(kit: &Kit, id: &str, at: &str, attempt: u32) -> RunSheet {
    let mut sheet = try_of(kit, id, at, attempt);
    sheet.unsafe_acts = vec!["astride".into()];
    sheet.happened.insert("astride".into(), "Stood over the hose.".into());
    sheet
}

#[expect(clippy::unnecessary_wraps, reason = "as a sheet has it")]
fn lesson(on: &str) -> Option<Remediation> {
    let (what, by) = ("The lesson once more.".into(), Some("rowan".into()));
    Some(Remediation { what, by, on: Some(on.into()) })
}

fn all(kit: &Kit, sheets: &[&RunSheet]) -> Vec<Verdict> {
    let runs: Vec<Run<'_>> = sheets.iter().map(|sheet| Run::of(kit, sheet)).collect();
    score_all(&runs)
}

fn last(kit: &Kit, sheets: &[&RunSheet]) -> Verdict {
    all(kit, sheets).pop().unwrap()
}

/// A retest as it must be, then with one thing changed.
fn retest(kit: &Kit, change: Change) -> Verdict {
    let first = failed(kit, "r-1", "2026-11-14", 1);
    let mut second = try_of(kit, "r-2", "2026-11-21", 2);
    second.remediation = lesson("2026-11-16");
    change(&mut second);
    last(kit, &[&first, &second])
}

#[test]
fn rule_30_a_retest_waits_and_rests_on_dated_remediation() {
    let kit = days(7, 2);
    let right = retest(&kit, |_| ());
    assert_eq!(right.outcome, Outcome::Met, "{}", right.reason);
    let wrong: [(&str, Change); 11] = [
        ("same day", |sheet| sheet.performed_at = "2026-11-14 16:00".into()),
        ("inside the wait", |sheet| sheet.performed_at = "2026-11-20 10:00".into()),
        ("no remediation", |sheet| sheet.remediation = None),
        ("an empty one", |sheet| sheet.remediation = Some(Remediation::told(" "))),
        ("without a day", |sheet| sheet.remediation = Some(Remediation::told("Read."))),
        ("before the first try", |sheet| sheet.remediation = lesson("2026-11-13")),
        ("after the retest", |sheet| sheet.remediation = lesson("2026-11-22")),
        ("first attempt again", |sheet| sheet.attempt = 1),
        ("a gap", |sheet| sheet.attempt = 3),
        ("attempt 99", |sheet| sheet.attempt = 99),
        ("attempt 0", |sheet| sheet.attempt = 0),
    ];
    for (name, change) in wrong {
        let verdict = retest(&kit, change);
        assert_eq!(verdict.outcome, Outcome::Refused, "{name}: {}", verdict.reason);
        assert!(!verdict.uses_attempt, "{name}");
    }
    // The edges are inside, and the sheet of the failed run may say what was ordered.
    let edges: [Change; 3] = [
        |sheet| sheet.remediation = lesson("2026-11-14"),
        |sheet| sheet.remediation = lesson("2026-11-21"),
        |sheet| sheet.performed_at = "2026-12-24 10:00".into(),
    ];
    for change in edges {
        assert_eq!(retest(&kit, change).outcome, Outcome::Met);
    }
    let mut first = failed(&kit, "r-1", "2026-11-14", 1);
    first.remediation = lesson("2026-11-18");
    let second = try_of(&kit, "r-2", "2026-11-21", 2);
    assert_eq!(last(&kit, &[&first, &second]).outcome, Outcome::Met);
    // Without a wait of its own the drill still asks for another day.
    let kit = days(1, 2);
    let next_day: Change = |sheet| {
        sheet.performed_at = "2026-11-15 07:00".into();
        sheet.remediation = lesson("2026-11-14");
    };
    assert_eq!(retest(&kit, next_day).outcome, Outcome::Met);
}

fn grant(sheet: &mut RunSheet) {
    let (by, why) = ("hazel".into(), "Away for a year after an injury.".into());
    sheet.granted = Some(Granted { by, why });
}

/// A grant is for one try more than the most, and for the evaluator of the third. It makes no retest
/// of the same day, none inside the wait, none without remediation and none with the same number.
#[test]
fn rule_30_a_grant_is_no_retest_without_its_day_and_its_remediation() {
    let kit = days(7, 2);
    let refused: [Change; 4] = [
        |sheet| sheet.performed_at = "2026-11-14 16:00".into(),
        |sheet| sheet.performed_at = "2026-11-17 16:00".into(),
        |sheet| sheet.remediation = None,
        |sheet| sheet.attempt = 3,
    ];
    let first = failed(&kit, "r-1", "2026-11-14", 1);
    let granted = |change: Change| {
        let mut second = try_of(&kit, "r-2", "2026-11-21", 2);
        second.remediation = lesson("2026-11-18");
        grant(&mut second);
        change(&mut second);
        last(&kit, &[&first, &second])
    };
    for change in refused {
        let verdict = granted(change);
        assert_eq!(verdict.outcome, Outcome::Refused, "{}", verdict.reason);
    }
    assert_eq!(granted(|_| ()).outcome, Outcome::Met);
}

#[test]
fn rule_30_the_third_try_has_an_evaluator_of_neither_earlier_one() {
    let kit = days(1, 3);
    let third = |by: &str, seconds: &str| {
        let first = failed(&kit, "r-1", "2026-11-02", 1);
        let mut second = failed(&kit, "r-2", "2026-11-09", 2);
        second.remediation = lesson("2026-11-05");
        second.evaluator.person = seconds.into();
        let mut third = try_of(&kit, "r-3", "2026-11-16", 3);
        third.remediation = lesson("2026-11-12");
        third.evaluator.person = by.into();
        (first, second, third)
    };
    let outcome = |by: &str, seconds: &str| {
        let (first, second, third) = third(by, seconds);
        last(&kit, &[&first, &second, &third]).outcome
    };
    assert_eq!(outcome("hazel", "willow"), Outcome::Met);
    // Nor is it for whoever gave the lesson (rule 28).
    assert_eq!(outcome("rowan", "willow"), Outcome::Refused);
    assert_eq!(outcome("cedar", "willow"), Outcome::Refused);
    assert_eq!(outcome("willow", "willow"), Outcome::Refused);
    // Whoever watched an earlier try as its second evaluator is of an earlier one too.
    let (first, second, third) = third("hazel", "willow");
    let mut beside = second.clone();
    beside.evaluator.person = "hazel".into();
    let verdict = last(&kit, &[&first, &second, &beside, &third]);
    assert_eq!(verdict.outcome, Outcome::Refused, "{}", verdict.reason);
}

#[test]
fn rule_29_counts_tries_of_the_person_the_drill_and_the_kind_of_rig() {
    let kit_ = days(1, 2);
    let said = |verdict: &Verdict| {
        verdict.about("attempts-not-shown").any(|line| line.rule == Rule::Attempt)
    };
    let alone = try_of(&kit_, "r-2", "2026-11-21", 1);
    assert!(said(&last(&kit_, &[&alone])) && said(&score(&kit_, &alone)));
    let mut practice = alone.clone();
    practice.use_ = RunUse::Practice;
    assert!(!said(&score(&kit_, &practice)));
    // Another person, drill, role, use or kind of rig is no earlier try.
    let first = failed(&kit_, "r-1", "2026-11-14", 1);
    let others: [Change; 3] = [
        |sheet| sheet.candidate = "fir".into(),
        |sheet| sheet.role = "nozzle".into(),
        |sheet| sheet.use_ = RunUse::Practice,
    ];
    for change in others {
        let mut other = first.clone();
        change(&mut other);
        let verdict = last(&kit_, &[&other, &alone]);
        assert!(said(&verdict), "{}", verdict.reason);
        assert_eq!(verdict.outcome, Outcome::Met, "{}", verdict.reason);
    }
    let of_kind = |data: KitData| Kit::new(data).unwrap();
    let without = of_kind(data(chain(), false));
    let runs = [Run::of(&without, &first), Run::of(&kit_, &alone)];
    assert!(said(&score_all(&runs)[1]));
    // Another rig of the same kind is no way to begin anew, and neither is an order of files.
    let mut sister = data(chain(), true);
    sister.rig.id = "sister".into();
    let sister = of_kind(sister);
    let mut first = first;
    first.rig = "sister".into();
    let runs = [Run::of(&kit_, &alone), Run::of(&sister, &first)];
    let verdict = &score_all(&runs)[0];
    assert_eq!((said(verdict), verdict.outcome), (false, Outcome::Refused));
}

#[test]
fn rule_29_what_was_not_handed_in_is_taken_at_its_word_and_said() {
    let kit = days(1, 5);
    let second = failed(&kit, "r-2", "2026-11-14", 2);
    let mut third = try_of(&kit, "r-3", "2026-11-21", 3);
    third.remediation = lesson("2026-11-16");
    third.evaluator.person = "willow".into();
    let verdict = last(&kit, &[&second, &third]);
    assert_eq!(verdict.outcome, Outcome::Met, "{}", verdict.reason);
    assert!(verdict.about("attempts-not-shown").next().is_some());
    third.attempt = 2;
    assert_eq!(last(&kit, &[&second, &third]).outcome, Outcome::Refused);
    // After a standard was met counting begins anew.
    let mut met = second;
    met.remediation = lesson("2026-11-10");
    met.unsafe_acts.clear();
    met.happened.clear();
    third.attempt = 1;
    assert_eq!(last(&kit, &[&met, &third]).outcome, Outcome::Met);
    third.attempt = 3;
    assert_eq!(last(&kit, &[&met, &third]).outcome, Outcome::Refused);
}

#[test]
fn rule_34_two_evaluators_are_one_try_and_one_evaluator_has_one_sheet() {
    let kit = days(1, 2);
    let first = failed(&kit, "r-1", "2026-11-14", 1);
    let mut beside = first.clone();
    beside.evaluator.person = "willow".into();
    let mut second = try_of(&kit, "r-2", "2026-11-21", 2);
    second.remediation = lesson("2026-11-16");
    assert_eq!(last(&kit, &[&first, &beside, &second]).outcome, Outcome::Met);
    // Where they differ the evaluation is incomplete, and no attempt is used by it.
    beside.unsafe_acts.clear();
    beside.happened.clear();
    second.attempt = 1;
    let verdict = last(&kit, &[&first, &beside, &second]);
    assert_eq!(verdict.outcome, Outcome::Met, "{}", verdict.reason);
    // Two sheets of one evaluator that do not say the same: neither counts, whichever is first.
    let mut again = try_of(&kit, "r-1", "2026-11-14", 1);
    again.notes = Some("Another word.".into());
    let clean = try_of(&kit, "r-1", "2026-11-14", 1);
    for sheets in [[&again, &clean], [&clean, &again]] {
        let verdicts = all(&kit, &sheets);
        assert!(verdicts.iter().all(|one| one.outcome == Outcome::Refused));
        assert!(verdicts.iter().all(|one| !one.uses_attempt));
    }
    let twice = all(&kit, &[&clean, &clean.clone()]);
    assert!(twice.iter().all(|one| one.outcome == Outcome::Met));
}

/// A sheet for every outcome there is.
fn of_every_outcome(kit: &Kit) -> Vec<RunSheet> {
    let cases: [Change; 8] = [
        |_| (),
        |sheet| sheet.unsafe_acts = vec!["astride".into()],
        |sheet| sheet.marks.clear(),
        |sheet| sheet.attempt = 99,
        |sheet| {
            let (by, why) = ("elm".into(), "A hose came loose.".into());
            let (cause, act) = (StopCause::Outside, None);
            sheet.stop = Some(Stop { by, why, cause, act });
        },
        |sheet| {
            let (why, at) = ("Wind.".into(), Some("2026-11-14 10:31".into()));
            let (cause, agreed_by) = (VoidCause::Weather, Some("hazel".into()));
            sheet.void = Some(Void { cause, why, at, agreed_by, produced_acts: false });
        },
        |sheet| {
            sheet.criticals.insert("alpha".into(), serde_yes());
            sheet.happened.insert("alpha".into(), "Seen.".into());
        },
        |_| (),
    ];
    let changed = |change: &Change| {
        let mut sheet = clean(kit);
        change(&mut sheet);
        sheet
    };
    let mut all: Vec<RunSheet> = cases.iter().map(changed).collect();
    for mode in [Mode::WalkThrough, Mode::PlainWater] {
        let mut sheet = clean(kit);
        in_mode(kit, &mut sheet, mode);
        all.push(sheet);
    }
    all
}

fn serde_yes() -> drillwright::course::CriticalMark {
    drillwright::course::CriticalMark::Yes
}

#[test]
fn rules_37_to_39_what_is_for_reading_is_never_met_and_an_act_uses_its_try() {
    let kit = kit(yard(), true);
    let sheets = of_every_outcome(&kit);
    let mut outcomes: Vec<Outcome> =
        sheets.iter().map(|sheet| score(&kit, sheet).outcome).collect();
    outcomes.sort();
    outcomes.dedup();
    assert_eq!(outcomes, Outcome::ALL.to_vec(), "a sheet for every outcome");
    let whys = [ForReading::UnknownKit, ForReading::NotPinned, ForReading::OlderRules];
    for sheet in &sheets {
        for why in whys {
            let run = Run { reading: Some(why), ..Run::of(&kit, sheet) };
            let verdict = score_all(&[run]).pop().unwrap();
            let act = !sheet.unsafe_acts.is_empty()
                || sheet.criticals.values().any(|mark| *mark == serde_yes());
            let wanted = if act { Outcome::NotMet } else { Outcome::Refused };
            assert_eq!(verdict.outcome, wanted, "{why:?}: {}", verdict.reason);
            assert!(verdict.for_reading && !verdict.counts);
            // The department's own drill and its own candidate: the next try is no first one.
            let used = act && why == ForReading::NotPinned;
            assert_eq!(verdict.uses_attempt, used, "{why:?}");
            assert_eq!(verdict.percent, None);
            let json = serde_json::to_value(&verdict).unwrap();
            assert_ne!(json["outcome"], "met");
            for text in [&verdict.outcome_text, &verdict.reason] {
                assert!(!text.contains("Met this"), "{text}");
            }
            if why != ForReading::UnknownKit {
                assert_eq!((verdict.earned, verdict.possible), (0, 0));
                let points = |line: &drillwright::scoring::Line| line.points + line.of;
                assert!(verdict.lines.iter().all(|line| points(line) == 0));
            }
        }
        // Older rules are told from the sheet alone.
        let mut old = sheet.clone();
        old.rules = Some(1);
        let verdict = score(&kit, &old);
        assert!(verdict.for_reading && verdict.outcome != Outcome::Met);
    }
}

#[test]
fn a_run_for_reading_neither_counts_as_a_try_nor_wipes_one_out() {
    let kit = days(1, 2);
    let first = failed(&kit, "r-1", "2026-11-02", 1);
    let forged = try_of(&kit, "r-2", "2026-11-09", 1);
    let mut third = try_of(&kit, "r-3", "2026-11-16", 2);
    third.remediation = lesson("2026-11-05");
    let outcome = |attempt: u32| {
        let third = RunSheet { attempt, ..third.clone() };
        let reading = Some(ForReading::UnknownKit);
        let forged = Run { reading, ..Run::of(&kit, &forged) };
        let runs = [Run::of(&kit, &first), forged, Run::of(&kit, &third)];
        score_all(&runs)[2].outcome
    };
    assert_eq!(outcome(2), Outcome::Met);
    // Were the forged one met, this would be a first attempt.
    assert_eq!(outcome(1), Outcome::Refused);
}
