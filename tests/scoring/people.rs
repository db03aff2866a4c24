//! Rules 26 to 39: people, attempts, stop and void, crews, words, revisions.

use drillwright::course::{
    CriticalMark, Holders, Mark, Mode, RunSheet, Stop, StopCause, Void, VoidCause,
};
use drillwright::scoring::{Crew, Kit, Outcome, Rule, Verdict, crew, score};

use super::fixture::{chain, clean, data, kit, q, yard};
use super::sheets::{blank_run, honest, in_mode};

/// What is changed on a sheet.
type Change = fn(&mut RunSheet);

/// The result of a crew of which each member has one evaluator.
fn of_crew(kit: &Kit, verdicts: &[&Verdict]) -> Option<Crew> {
    let of = |verdict: &&Verdict| blank_run(kit, &verdict.role);
    let sheets: Vec<RunSheet> = verdicts.iter().map(of).collect();
    let seen: Vec<(&RunSheet, &Verdict)> =
        sheets.iter().zip(verdicts.iter().copied()).collect();
    crew(kit, &seen)
}

fn changed(kit: &Kit, change: impl FnOnce(&mut RunSheet)) -> Verdict {
    let mut sheet = clean(kit);
    change(&mut sheet);
    score(kit, &sheet)
}

fn hold(sheet: &mut RunSheet, role: &str, people: &[&str]) {
    let people = people.iter().map(|one| (*one).to_owned()).collect();
    sheet.crew.insert(role.into(), Holders(people));
}

#[test]
fn rule_26_one_person_one_post() {
    let kit = kit(chain(), true);
    let cases: [(&str, Change); 8] = [
        ("evaluator at the nozzle", |sheet| hold(sheet, "nozzle", &["cedar", "oak"])),
        ("safety officer as officer", |sheet| hold(sheet, "officer", &["elm"])),
        ("candidate at the nozzle", |sheet| hold(sheet, "nozzle", &["ash", "oak"])),
        ("one person in two roles", |sheet| hold(sheet, "officer", &["birch"])),
        ("one person twice in one role", |sheet| hold(sheet, "nozzle", &["oak", "oak"])),
        ("evaluator is candidate", |sheet| sheet.evaluator.person = "ash".into()),
        ("safety officer is candidate", |sheet| sheet.safety_officer = "ash".into()),
        ("safety officer evaluates", |sheet| sheet.safety_officer = "cedar".into()),
    ];
    for (name, change) in cases {
        assert_eq!(changed(&kit, change).outcome, Outcome::Refused, "{name}");
    }
    // Written orders may be the evaluator's to speak.
    let spoken = changed(&kit, |sheet| hold(sheet, "officer", &["cedar"]));
    assert_eq!(spoken.outcome, Outcome::Met, "{}", spoken.reason);
    // Whose acts are they, where two stand at the panel?
    let shared = changed(&kit, |sheet| hold(sheet, "operator", &["fir"]));
    assert_eq!(shared.outcome, Outcome::Incomplete);
}

#[test]
fn rule_27_every_role_has_its_holders_and_air_has_two_at_the_nozzle() {
    let kit_ = kit(yard(), true);
    let empty = changed(&kit_, |sheet| drop(sheet.crew.remove("nozzle")));
    assert_eq!(empty.outcome, Outcome::Incomplete);
    let one = |kit: &Kit, mode| {
        changed(kit, |sheet| {
            in_mode(kit, sheet, mode);
            hold(sheet, "nozzle", &["birch"]);
        })
        .outcome
    };
    assert_eq!(one(&kit_, Mode::TrainingFoam), Outcome::Incomplete);
    assert_eq!(one(&kit_, Mode::PlainWater), Outcome::MetInPart);
    assert_eq!(one(&kit(yard(), false), Mode::TrainingFoam), Outcome::Met);
    // Where nothing flows the evaluator may watch over safety as well.
    let alone = changed(&kit_, |sheet| {
        in_mode(&kit_, sheet, Mode::WalkThrough);
        sheet.safety_officer = "cedar".into();
    });
    assert_eq!(alone.outcome, Outcome::WalkedThrough);
}

/// Who gave an order is named, the evaluator where he gave it; and so are the safety officer and the
/// word. What is missing keeps no act from being seen.
#[test]
fn rule_27_nothing_of_the_crew_is_taken_for_granted() {
    let kit = kit(yard(), true);
    let silences: [fn(&mut RunSheet); 4] = [
        |sheet| drop(sheet.crew.remove("officer")),
        |sheet| hold(sheet, "officer", &[]),
        |sheet| sheet.safety_officer.clear(),
        |sheet| sheet.stop_word = " ".into(),
    ];
    for (at, silence) in silences.into_iter().enumerate() {
        let verdict = changed(&kit, silence);
        assert_eq!(verdict.outcome, Outcome::Incomplete, "{at}: {}", verdict.reason);
        let seen = changed(&kit, |sheet| {
            silence(sheet);
            sheet.unsafe_acts.push("astride".into());
        });
        assert_eq!(seen.outcome, Outcome::NotMet, "{at}: {}", seen.reason);
    }
    let spoken = changed(&kit, |sheet| {
        let evaluator = sheet.evaluator.person.clone();
        hold(sheet, "officer", &[&evaluator]);
    });
    assert_eq!(spoken.outcome, Outcome::Met, "{}", spoken.reason);
    // A try that nobody wrote down counts for nothing, and an act in it is an act.
    let untold = changed(&kit, |sheet| sheet.attempt = 0);
    assert_eq!(untold.outcome, Outcome::Refused, "{}", untold.reason);
    let seen = changed(&kit, |sheet| {
        sheet.attempt = 0;
        sheet.unsafe_acts.push("astride".into());
    });
    assert_eq!(seen.outcome, Outcome::NotMet, "{}", seen.reason);
}

/// The marks of another role's steps speak for its critical where nobody answered it (rule 4).
#[test]
fn rule_35_what_the_steps_of_others_show_is_a_line() {
    let kit = kit(yard(), true);
    let lines = |mark: Option<CriticalMark>| {
        let verdict = changed(&kit, |sheet| {
            sheet.marks.insert("a".into(), Mark::NotDone);
            sheet.measures.remove("in");
            sheet.marks.insert("n".into(), Mark::Done);
            sheet.criticals.remove("other");
            sheet.criticals.extend(mark.map(|mark| ("other".to_owned(), mark)));
        });
        let told = verdict.of_rule(Rule::OfOthers).count();
        (verdict.outcome, told)
    };
    let (outcome, told) = lines(None);
    assert_eq!(told, 1, "not done, and what must wait for it done");
    assert_ne!(outcome, Outcome::NotMet, "it does not decide this result");
    // Answered "no" against the marks: that role may have no candidate who would be asked.
    let (outcome, told) = lines(Some(CriticalMark::No));
    assert_eq!(told, 1, "the contradiction is told on this sheet too");
    assert_ne!(outcome, Outcome::NotMet, "it does not decide this result");
    assert_eq!(lines(Some(CriticalMark::NotSeen)).1, 0, "nobody saw");
}

#[test]
fn rule_31_only_what_was_met_or_not_met_uses_an_attempt() {
    let kit = kit(yard(), true);
    let walked = changed(&kit, |sheet| in_mode(&kit, sheet, Mode::WalkThrough));
    let open = changed(&kit, |sheet| sheet.criticals.clear());
    assert_eq!((walked.uses_attempt, open.uses_attempt), (false, false));
    assert!(changed(&kit, |_| ()).uses_attempt);
    let act = changed(&kit, |sheet| sheet.unsafe_acts = vec!["astride".into()]);
    assert!(act.uses_attempt);
}

fn stop(sheet: &mut RunSheet, cause: StopCause, act: Option<&str>) {
    let (by, why, act) =
        ("elm".into(), "A hose came loose.".into(), act.map(str::to_owned));
    sheet.stop = Some(Stop { by, why, cause, act });
}

#[test]
fn rule_32_a_stop_for_the_candidate_names_the_act() {
    let kit = kit(yard(), true);
    let with = |cause, act: Option<&str>| changed(&kit, |sheet| stop(sheet, cause, act));
    let named = with(StopCause::Candidate, Some("alpha"));
    assert_eq!((named.outcome, named.uses_attempt), (Outcome::NotMet, true));
    for act in ["astride", "hose-test", "minutes", "intake", "unit", "slip"] {
        let stopped = with(StopCause::Candidate, Some(act));
        assert_eq!(stopped.outcome, Outcome::NotMet, "{act}");
    }
    assert_eq!(with(StopCause::Candidate, None).outcome, Outcome::Incomplete);
    // An act of another role is none of his, and a name that nobody knows is none.
    assert_eq!(with(StopCause::Candidate, Some("other")).outcome, Outcome::Incomplete);
    assert_eq!(with(StopCause::Candidate, Some("zz")).outcome, Outcome::Refused);
    for cause in [StopCause::Crew, StopCause::Equipment, StopCause::Outside] {
        let sound = with(cause, None);
        assert_eq!((sound.outcome, sound.uses_attempt), (Outcome::Stopped, false));
        assert_eq!(sound.percent, None);
        assert!(sound.next[0].contains("Air off. Foam off."));
    }
    let seen = changed(&kit, |sheet| {
        stop(sheet, StopCause::Outside, None);
        sheet.unsafe_acts = vec!["astride".into()];
    });
    assert_eq!(seen.outcome, Outcome::NotMet);
}

/// Called void by the wind.
#[expect(clippy::unnecessary_wraps, reason = "as a sheet has it")]
fn void(agreed_by: Option<&str>, produced_acts: bool) -> Option<Void> {
    let agreed_by = agreed_by.map(str::to_owned);
    let (why, at) = ("The wind turned.".to_owned(), Some("2026-11-14 10:31".to_owned()));
    Some(Void { cause: VoidCause::Weather, why, at, agreed_by, produced_acts })
}

#[test]
fn rule_33_a_void_run_keeps_what_was_seen_before_it() {
    let kit = kit(yard(), true);
    let called = |agreed: Option<&str>| changed(&kit, |s| s.void = void(agreed, false));
    let plain = called(Some("hazel"));
    assert_eq!((plain.outcome, plain.uses_attempt), (Outcome::Void, false));
    for nobody in [None, Some("ash"), Some("cedar"), Some(" ")] {
        assert_eq!(called(nobody).outcome, Outcome::Incomplete, "{nobody:?}");
    }
    let untimed = changed(&kit, |sheet| {
        sheet.void = void(Some("hazel"), false);
        sheet.void.as_mut().unwrap().at = None;
    });
    assert_eq!(untimed.outcome, Outcome::Incomplete, "{}", untimed.reason);
    // Nothing is void before it began (rule 7 h), and a void run can be refused.
    let early = changed(&kit, |sheet| {
        sheet.void = void(Some("hazel"), false);
        sheet.void.as_mut().unwrap().at = Some("2026-11-14 09:00".into());
    });
    assert_eq!(early.outcome, Outcome::Refused, "{}", early.reason);
    let refused = changed(&kit, |sheet| {
        sheet.void = void(Some("hazel"), false);
        sheet.evaluator.person = "ash".into();
    });
    assert_eq!(refused.outcome, Outcome::Refused);
    let acts: [(&str, Change); 5] = [
        ("unsafe act", |sheet| sheet.unsafe_acts = vec!["astride".into()]),
        ("critical", |sheet| {
            sheet.criticals.insert("alpha".into(), CriticalMark::Yes);
        }),
        ("limit", |sheet| {
            sheet.measures.insert("press".into(), q("400 psi"));
        }),
        ("outcome", |sheet| {
            sheet.measures.insert("set".into(), q("0.8 %"));
        }),
        ("stop", |sheet| stop(sheet, StopCause::Candidate, Some("alpha"))),
    ];
    for (name, act) in acts {
        let outcome = |agreed: Option<&str>, produced: bool| {
            changed(&kit, |sheet| {
                act(sheet);
                sheet.void = void(agreed, produced);
            })
            .outcome
        };
        assert_eq!(outcome(Some("hazel"), false), Outcome::NotMet, "{name}");
        assert_eq!(outcome(Some("hazel"), true), Outcome::Void, "{name}");
        assert_eq!(outcome(None, true), Outcome::NotMet, "{name}");
        assert_eq!(outcome(Some("cedar"), true), Outcome::NotMet, "{name}");
    }
}

#[test]
fn rule_35_an_act_fails_only_its_own_role_and_the_crew() {
    let kit = kit(yard(), true);
    let verdict = changed(&kit, |sheet| {
        sheet.criticals.insert("other".into(), CriticalMark::Yes);
        sheet.happened.insert("other".into(), "Opened early.".into());
    });
    assert_eq!(verdict.outcome, Outcome::Met, "{}", verdict.reason);
    let line = verdict.of_rule(Rule::OfOthers).next().unwrap();
    assert!(line.sentence.contains("does not decide this result"));
    let crew = of_crew(&kit, &[&verdict]).unwrap();
    assert_eq!(crew.outcome, Outcome::NotMet);
    assert!(crew.reason.contains("Failed by other"), "{}", crew.reason);
    // An unsafe act names who did it.
    for (who, wanted) in [("birch", Outcome::Met), ("ash", Outcome::NotMet)] {
        let verdict = changed(&kit, |sheet| {
            sheet.others_acts.insert("astride".into(), who.into());
        });
        assert_eq!(verdict.outcome, wanted, "{who}");
        let crew = of_crew(&kit, &[&verdict]);
        assert_eq!(crew.is_some(), who == "birch");
    }
    assert!(of_crew(&kit, &[&score(&kit, &clean(&kit))]).is_none());
    // A value that the operator held is no act of the nozzle's.
    let mut sheet = honest(&kit, "nozzle", "one");
    sheet.time.clone_from(&clean(&kit).time);
    assert_eq!(
        score(&kit, &sheet).outcome,
        Outcome::Met,
        "{}",
        score(&kit, &sheet).reason
    );
    sheet.measures.insert("press".into(), q("400 psi"));
    let nozzle = score(&kit, &sheet);
    assert_eq!(nozzle.outcome, Outcome::Met, "{}", nozzle.reason);
    assert!(nozzle.of_rule(Rule::OfOthers).any(|line| line.subject == "hose-test"));
}

#[test]
fn rule_35_what_was_seen_decides_a_crew_before_what_was_refused_or_void() {
    let kit = kit(yard(), true);
    let operator = score(&kit, &clean(&kit));
    let nozzle = |change: fn(&mut RunSheet)| {
        let mut sheet = honest(&kit, "nozzle", "one");
        sheet.time.clone_from(&clean(&kit).time);
        change(&mut sheet);
        score(&kit, &sheet)
    };
    let of = |verdict: &Verdict| of_crew(&kit, &[&operator, verdict]).unwrap().outcome;
    assert_eq!(of(&nozzle(|_| ())), Outcome::Met);
    assert_eq!(of(&nozzle(|s| s.unsafe_acts = vec!["astride".into()])), Outcome::NotMet);
    assert_eq!(of(&nozzle(|sheet| sheet.attempt = 99)), Outcome::Refused);
    assert_eq!(
        of(&nozzle(|sheet| sheet.void = void(Some("hazel"), false))),
        Outcome::Void
    );
    assert_eq!(of(&nozzle(|sheet| sheet.criticals.clear())), Outcome::Incomplete);
    let void_operator = changed(&kit, |sheet| sheet.void = void(Some("hazel"), false));
    let act = nozzle(|sheet| sheet.unsafe_acts = vec!["astride".into()]);
    assert_eq!(of_crew(&kit, &[&void_operator, &act]).unwrap().outcome, Outcome::NotMet);
}

#[test]
fn rule_36_no_verdict_says_that_every_critical_was_kept() {
    let kit = kit(yard(), true);
    let met = changed(&kit, |_| ());
    assert!(met.reason.contains("none of the criticals of the role Operator happened"));
    for verdict in [met, changed(&kit, |sheet| in_mode(&kit, sheet, Mode::PlainWater))] {
        let text = serde_json::to_string(&verdict).unwrap().to_lowercase();
        for never in ["every critical was kept", "certif", "kept\u{a0}"] {
            assert!(!text.contains(never), "{never}");
        }
    }
}

#[test]
fn rules_37_and_39_nobody_is_held_to_what_was_written_later() {
    let kit = kit(chain(), true);
    let on = |day: &str| {
        changed(&kit, |sheet| sheet.performed_at = format!("{day} 10:20")).outcome
    };
    assert_eq!(on("2026-11-01"), Outcome::Met);
    assert_eq!(on("2026-10-31"), Outcome::Refused);
    let entered = changed(&kit, |sheet| {
        sheet.entered_at = Some("2026-11-14 10:00".into());
    });
    assert_eq!(entered.outcome, Outcome::Refused);
    for rules in [0, 1, 3] {
        let older = changed(&kit, |sheet| sheet.rules = Some(rules));
        assert_eq!((older.outcome, older.uses_attempt), (Outcome::Refused, false));
    }
    let mut data = data(chain(), true);
    data.standard.rules = 1;
    let old = Kit::new(data).unwrap();
    assert_eq!(score(&old, &clean(&old)).outcome, Outcome::Refused);
}

/// Pails that are handed up need somebody above; a tank that is filled from the ground does not. A
/// sheet that is silent about it has left it open.
#[test]
fn rule_27_pails_are_handed_up_to_somebody() {
    let (course, words) = (super::example::example(), drillwright::stock::words());
    for (drill, rig) in [("refill", "engine-7"), ("refill-b", "tender-3")] {
        let drill = course.drill(drill).unwrap();
        let kit = Kit::of(&course, drill, &course.rigs[rig], &words).unwrap();
        let outlet = course.rigs[rig].outlets[0].id.clone();
        let clean = honest(&kit, "operator", &outlet);
        let outcome = |change: &dyn Fn(&mut RunSheet)| {
            let mut sheet = clean.clone();
            change(&mut sheet);
            score(&kit, &sheet).outcome
        };
        let whole = outcome(&|_| {});
        assert!(matches!(whole, Outcome::Met | Outcome::MetInPart), "{whole:?}");
        let alone = |sheet: &mut RunSheet| drop(sheet.crew.remove("above"));
        assert_eq!(outcome(&alone), Outcome::Incomplete);
        let silent = |sheet: &mut RunSheet| {
            alone(sheet);
            sheet.marks.remove("handed-up");
        };
        assert_eq!(outcome(&silent), Outcome::Incomplete);
        let ground = |sheet: &mut RunSheet| {
            alone(sheet);
            sheet.marks.insert("handed-up".into(), Mark::NotApplicable);
            sheet.left_out.insert("handed-up".into(), "Filled from the ground.".into());
        };
        assert_eq!(outcome(&ground), whole);
        // Neither the reader of the label nor the evaluator stands there too.
        for other in ["second-reader", "evaluator"] {
            let person = match other {
                "evaluator" => clean.evaluator.person.clone(),
                role => clean.crew[role].0[0].clone(),
            };
            let both = |sheet: &mut RunSheet| hold(sheet, "above", &[&person]);
            assert_eq!(outcome(&both), Outcome::Refused, "{other}");
        }
    }
}
