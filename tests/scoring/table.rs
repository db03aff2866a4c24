//! The cases that must come out so, over the drills of the example district.

use drillwright::course::{
    Course, CriticalMark, Drill, Holders, Mark, Mode, OrderSeen, RunSheet, Stop,
    StopCause, Void, VoidCause,
};
use drillwright::quantity::{Fraction, Quantity};
use drillwright::scoring::{Kit, Outcome, Rule, Verdict, crew, faults, runs_on, score};
use drillwright::stock;

use super::example::example;
use super::fixture::q;
use super::sheets::{honest, in_mode};

/// The rig and the outlet on which a drill is run.
fn place(course: &Course, drill: &Drill) -> (String, &'static str) {
    let rig = course.rigs.values().find(|rig| runs_on(rig, drill)).unwrap();
    let outlet = if rig.id == "engine-7" { "crosslay-1" } else { "hand-line-1" };
    (rig.id.clone(), outlet)
}

/// Every drill of the district with its kit and its outlet.
pub(super) fn kits() -> Vec<(Kit, &'static str)> {
    let (course, words) = (example(), stock::words());
    let kit = |drill: &Drill| {
        let (rig, outlet) = place(&course, drill);
        (Kit::of(&course, drill, &course.rigs[&rig], &words).unwrap(), outlet)
    };
    course.drills.iter().map(kit).collect()
}

fn one(drill: &str) -> (Kit, RunSheet) {
    let (kit, outlet) =
        kits().into_iter().find(|(kit, _)| kit.drill().id == drill).unwrap();
    let sheet = honest(&kit, "operator", outlet);
    (kit, sheet)
}

fn changed(drill: &str, change: impl FnOnce(&mut RunSheet)) -> Verdict {
    let (kit, mut sheet) = one(drill);
    change(&mut sheet);
    score(&kit, &sheet)
}

fn outcome(drill: &str, change: impl FnOnce(&mut RunSheet)) -> Outcome {
    changed(drill, change).outcome
}

fn not_done(sheet: &mut RunSheet, steps: &[&str]) {
    for step in steps {
        sheet.marks.insert((*step).into(), Mark::NotDone);
    }
}

/// A sheet that the answer "yes" mends to not met, and that is incomplete with "no".
fn contradicted(drill: &str, critical: &str, change: fn(&mut RunSheet)) {
    let verdict = changed(drill, change);
    assert_eq!(verdict.outcome, Outcome::Incomplete, "{drill}: {}", verdict.reason);
    let asks =
        verdict.about(critical).any(|line| line.sentence.contains("Did this happen"));
    assert!(asks, "{drill} {critical}: {:#?}", verdict.lines);
    let after = outcome(drill, |sheet| {
        change(sheet);
        sheet.criticals.insert(critical.into(), CriticalMark::Yes);
        sheet.happened.insert(critical.into(), "Seen.".into());
    });
    assert_eq!(after, Outcome::NotMet, "{drill} {critical}");
}

#[test]
fn an_honest_run_of_every_drill_reaches_a_result_in_every_mode() {
    let mut count = 0;
    for (kit, outlet) in kits() {
        let scored = kit.drill().roles.iter().filter(|role| role.scored);
        for role in scored {
            for mode in kit.drill().modes.clone() {
                let mut sheet = honest(&kit, &role.id, outlet);
                in_mode(&kit, &mut sheet, mode);
                assert_eq!(faults(&kit, &sheet), [], "{} {mode:?}", kit.drill().id);
                let verdict = score(&kit, &sheet);
                let foam = matches!(mode, Mode::TrainingFoam | Mode::Agent);
                let wanted: &[Outcome] = match mode {
                    Mode::WalkThrough => &[Outcome::WalkedThrough],
                    _ if foam || kit.drill().met_in.contains(&mode) => &[Outcome::Met],
                    _ => &[Outcome::MetInPart],
                };
                let found = verdict.outcome;
                assert!(
                    wanted.contains(&found),
                    "{} {mode:?}: {}",
                    kit.drill().id,
                    verdict.reason
                );
                assert_eq!(
                    verdict.earned,
                    verdict.possible,
                    "{} {mode:?}",
                    kit.drill().id
                );
                count += 1;
            }
        }
    }
    assert!(count >= 45, "{count}");
}

#[test]
fn air_on_and_foam_never_confirmed() {
    contradicted("startup", "air-before-foam", |sheet| {
        not_done(sheet, &["foam-confirmed"]);
    });
}

#[test]
fn chocks_not_done_and_the_panel_worked() {
    contradicted("startup", "brake-and-chocks", |sheet| not_done(sheet, &["chock"]));
}

#[test]
fn purge_with_the_coupling_first() {
    let (kit, mut sheet) = one("purge");
    let mut order: Vec<String> =
        kit.drill().steps.iter().map(|step| step.id.clone()).collect();
    let at = order.iter().position(|id| id == "coupling").unwrap();
    let coupling = order.remove(at);
    order.insert(0, coupling);
    sheet.order_seen = OrderSeen::Listed(order);
    let verdict = score(&kit, &sheet);
    assert_eq!(verdict.outcome, Outcome::Incomplete, "{}", verdict.reason);
    let asks = |line: &&drillwright::scoring::Line| {
        line.rule == Rule::Critical && line.sentence.contains("Did this happen")
    };
    let critical = verdict.each().find(asks).unwrap().subject.clone();
    sheet.criticals.insert(critical.clone(), CriticalMark::Yes);
    sheet.happened.insert(critical, "Before anything else.".into());
    assert_eq!(score(&kit, &sheet).outcome, Outcome::NotMet);
}

#[test]
fn values_beyond_a_limit_are_not_met() {
    for (drill, measure, value) in [
        ("startup", "line-pressure", "400 psi"),
        ("percent-change", "pressure-held", "400 psi"),
        ("supply-change", "line-pressure", "400 psi"),
        ("startup", "percent-set", "5 %"),
        ("percent-change", "percent-set", "5 %"),
        ("startup", "minutes-told", "60 min"),
        ("percent-change", "minutes-told", "60 min"),
        ("supply-change", "minutes-told", "600 min"),
        ("startup-b", "line-pressure", "400 psi"),
        ("startup-b", "percent-set", "6 %"),
        ("startup-b", "minutes-told", "60 min"),
    ] {
        let verdict = changed(drill, |sheet| {
            sheet.measures.insert(measure.into(), q(value));
        });
        assert_eq!(verdict.outcome, Outcome::NotMet, "{drill}: {}", verdict.reason);
        assert!(verdict.uses_attempt);
    }
}

#[test]
fn a_wrong_sum_in_totals_is_not_met() {
    for drill in ["totals", "totals-b"] {
        let (kit, mut sheet) = one(drill);
        let right = sheet.measures["percent-worked"];
        for hundredths in [2_i128, -2] {
            let off = Fraction::new(hundredths, 100).unwrap();
            let wrong = Quantity::new(right.number().add(off).unwrap(), right.unit());
            sheet.measures.insert("percent-worked".into(), wrong);
            let verdict = score(&kit, &sheet);
            assert_eq!(verdict.outcome, Outcome::NotMet, "{}", verdict.reason);
        }
    }
}

#[test]
fn foam_lost_and_not_answered() {
    // The cue speaks for it; the answer to "did this happen" is a yes.
    for drill in ["startup", "percent-change"] {
        let critical =
            if drill == "startup" { "air-before-foam" } else { "air-without-foam" };
        let unanswered = |mark| {
            outcome(drill, |sheet| {
                not_done(sheet, &["lost-air-off", "lost-reset"]);
                sheet.criticals.insert(critical.into(), mark);
                if mark == CriticalMark::Yes {
                    sheet.happened.insert(critical.into(), "Air stayed on.".into());
                }
            })
        };
        assert_eq!(unanswered(CriticalMark::Yes), Outcome::NotMet, "{drill}");
        assert_eq!(unanswered(CriticalMark::No), Outcome::Incomplete, "{drill}");
    }
}

#[test]
fn any_drill_as_a_walk_through_is_walked_through() {
    let kits = kits();
    assert_eq!(kits.len(), 13);
    for (kit, outlet) in kits {
        let mut sheet = honest(&kit, "operator", outlet);
        in_mode(&kit, &mut sheet, Mode::WalkThrough);
        let verdict = score(&kit, &sheet);
        assert_eq!(verdict.outcome, Outcome::WalkedThrough, "{}", kit.drill().id);
        assert!(!verdict.uses_attempt && verdict.percent.is_none());
        // With every step marked as if it had been done, too.
        for step in &kit.drill().steps {
            sheet.marks.insert(step.id.clone(), Mark::Done);
        }
        for critical in &kit.drill().criticals {
            sheet.criticals.insert(critical.id.clone(), CriticalMark::No);
        }
        let found = score(&kit, &sheet).outcome;
        let walked = matches!(found, Outcome::WalkedThrough | Outcome::Incomplete);
        assert!(walked, "{}: {found:?}", kit.drill().id);
    }
}

#[test]
fn refill_without_a_second_reader() {
    for drill in ["refill", "refill-b", "totals", "totals-b"] {
        let alone = outcome(drill, |sheet| drop(sheet.crew.remove("second-reader")));
        assert_eq!(alone, Outcome::Incomplete, "{drill}");
        let evaluator = outcome(drill, |sheet| {
            sheet.crew.insert("second-reader".into(), Holders(vec!["cedar".into()]));
        });
        assert_eq!(evaluator, Outcome::Refused, "{drill}");
    }
}

#[test]
fn two_posts_are_refused() {
    let evaluator = outcome("startup", |sheet| {
        sheet.crew.insert("nozzle".into(), Holders(vec!["birch".into(), "cedar".into()]));
    });
    let safety = outcome("startup", |sheet| {
        sheet.crew.insert("officer".into(), Holders(vec!["elm".into()]));
    });
    assert_eq!((evaluator, safety), (Outcome::Refused, Outcome::Refused));
}

#[test]
fn attempt_99_and_a_run_before_the_revision_are_refused_and_not_counted() {
    for (kit, outlet) in kits() {
        let sheet = honest(&kit, "operator", outlet);
        let mut often = sheet.clone();
        often.attempt = 99;
        let mut early = sheet;
        early.performed_at = "2026-01-02 10:20".into();
        for sheet in [often, early] {
            let verdict = score(&kit, &sheet);
            assert_eq!(verdict.outcome, Outcome::Refused, "{}", kit.drill().id);
            assert!(!verdict.uses_attempt);
        }
    }
}

#[test]
fn a_stop_for_the_candidate_with_and_without_an_act() {
    let stopped = |act: Option<&str>| {
        changed("startup", |sheet| {
            let (by, why) = ("elm".to_owned(), "The air was on.".to_owned());
            let act = act.map(str::to_owned);
            sheet.stop = Some(Stop { by, why, cause: StopCause::Candidate, act });
        })
    };
    let unnamed = stopped(None);
    assert_eq!((unnamed.outcome, unnamed.uses_attempt), (Outcome::Incomplete, false));
    let named = stopped(Some("air-before-foam"));
    assert_eq!((named.outcome, named.uses_attempt), (Outcome::NotMet, true));
}

#[expect(clippy::unnecessary_wraps, reason = "as a sheet has it")]
fn wind(agreed: Option<&str>, produced_acts: bool) -> Option<Void> {
    Some(Void {
        cause: VoidCause::Weather,
        why: "The wind turned onto the road.".into(),
        at: Some("2026-11-14 10:31".into()),
        agreed_by: agreed.map(str::to_owned),
        produced_acts,
    })
}

#[test]
fn void_by_the_wind_with_air_before_foam_earlier() {
    let with = |agreed, produced| {
        outcome("startup", |sheet| {
            sheet.criticals.insert("air-before-foam".into(), CriticalMark::Yes);
            sheet
                .happened
                .insert("air-before-foam".into(), "At the second start.".into());
            sheet.void = wind(agreed, produced);
        })
    };
    assert_eq!(with(Some("hazel"), false), Outcome::NotMet);
    assert_eq!(with(Some("hazel"), true), Outcome::Void);
    assert_eq!(with(None, true), Outcome::NotMet);
    let unsafe_act = outcome("startup", |sheet| {
        sheet.unsafe_acts = vec!["gear-off".into()];
        sheet.void = wind(Some("hazel"), false);
    });
    assert_eq!(unsafe_act, Outcome::NotMet);
}

#[test]
fn the_hydrant_crew_opens_early_and_the_operator_is_right() {
    let (kit, mut sheet) = one("supply-change");
    sheet.criticals.insert("hydrant-unasked".into(), CriticalMark::Yes);
    sheet.happened.insert("hydrant-unasked".into(), "Opened without the word.".into());
    let verdict = score(&kit, &sheet);
    assert_eq!(verdict.outcome, Outcome::Met, "{}", verdict.reason);
    assert!(
        verdict.of_rule(Rule::OfOthers).any(|line| line.subject == "hydrant-unasked")
    );
    assert_eq!(crew(&kit, &[(&sheet, &verdict)]).unwrap().outcome, Outcome::NotMet);
    // It is decisive for whoever is scored at the hydrant.
    let mut hydrant = honest(&kit, "hydrant", "crosslay-1");
    hydrant.criticals.insert("hydrant-unasked".into(), CriticalMark::Yes);
    hydrant.happened.clone_from(&sheet.happened);
    assert_eq!(score(&kit, &hydrant).outcome, Outcome::NotMet);
}

#[test]
fn the_order_field_is_missing() {
    for (kit, outlet) in kits() {
        let mut sheet = honest(&kit, "operator", outlet);
        sheet.order_seen = OrderSeen::default();
        let verdict = score(&kit, &sheet);
        assert_eq!(verdict.outcome, Outcome::Incomplete, "{}", kit.drill().id);
    }
}

#[test]
fn six_percent_that_can_be_followed_on_a_class_a_unit() {
    for drill in ["startup", "percent-change"] {
        let verdict = changed(drill, |sheet| {
            sheet.readings.insert("percent-ordered".into(), q("6 %"));
            // The answer is "yes", and nothing has been set yet.
            let step = if drill == "startup" { "foam-on" } else { "change" };
            sheet.measures.remove("percent-set");
            sheet.marks.insert(step.into(), Mark::NotSeen);
            sheet.measures.remove("minutes-told");
        });
        assert_eq!(verdict.outcome, Outcome::Incomplete, "{drill}: {}", verdict.reason);
        let refuse = |line: &drillwright::scoring::Line| {
            line.sentence.contains("had to be refused")
        };
        assert!(verdict.of_rule(Rule::Limit).any(refuse), "{drill}");
        // Set as ordered it is beyond the unit: that was seen.
        let set = outcome(drill, |sheet| {
            sheet.readings.insert("percent-ordered".into(), q("6 %"));
            sheet.measures.insert("percent-set".into(), q("6 %"));
        });
        assert_eq!(set, Outcome::NotMet);
    }
}

#[test]
fn an_own_critical_not_seen() {
    for (kit, outlet) in kits() {
        let sheet = honest(&kit, "operator", outlet);
        for id in sheet.criticals.keys() {
            let own =
                kit.drill().criticals.iter().any(|c| c.id == *id && c.role == "operator");
            let mut open = sheet.clone();
            open.criticals.insert(id.clone(), CriticalMark::NotSeen);
            let wanted = if own { Outcome::Incomplete } else { Outcome::Met };
            let best = score(&kit, &sheet).outcome;
            let wanted = if own { wanted } else { best };
            assert_eq!(score(&kit, &open).outcome, wanted, "{} {id}", kit.drill().id);
        }
    }
}
