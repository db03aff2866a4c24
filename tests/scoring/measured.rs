//! Rules 13 to 24: cues, values, limits and modes.

use drillwright::course::{CueMark, FoamClass, ForRigs, Link, Mark, Mode, RunSheet};
use drillwright::scoring::{Decision, Kit, Outcome, Rule, Verdict, faults, score};

use super::fixture::{chain, clean, data, kit, q, yard};
use super::sheets::in_mode;

fn changed(kit: &Kit, change: impl FnOnce(&mut RunSheet)) -> Verdict {
    let mut sheet = clean(kit);
    change(&mut sheet);
    score(kit, &sheet)
}

fn with(kit: &Kit, id: &str, value: &str) -> Verdict {
    changed(kit, |sheet| {
        sheet.measures.insert(id.into(), q(value));
    })
}

/// Whether a common limit was seen to be broken.
fn breaks(verdict: &Verdict, limit: &str) -> bool {
    let mut lines = verdict.of_rule(Rule::Limit);
    let broken =
        lines.any(|line| line.subject == limit && line.decision == Decision::Fails);
    assert!(!broken || verdict.outcome == Outcome::NotMet, "{}", verdict.reason);
    broken
}

#[test]
fn rule_13_a_cue_that_was_not_given_leaves_the_run_in_part() {
    let kit = kit(yard(), true);
    let verdict = changed(&kit, |sheet| {
        sheet.cues.insert("lost".into(), CueMark::NotGiven);
        sheet.marks.remove("k");
    });
    assert_eq!(verdict.outcome, Outcome::MetInPart, "{}", verdict.reason);
    assert!(!verdict.uses_attempt);
    // Given and unanswered, whatever follows.
    let verdict = changed(&kit, |sheet| {
        sheet.marks.insert("k".into(), Mark::NotDone);
    });
    assert_eq!(verdict.outcome, Outcome::Incomplete);
    let line = verdict.about("foam").next().unwrap();
    assert!(line.sentence.contains("Foam lost"), "{}", line.sentence);
}

#[test]
fn rule_14_more_than_a_tenth_left_out_by_hand_is_incomplete() {
    let kit = kit(yard(), true);
    let left_out = |ids: &[&str]| {
        changed(&kit, |sheet| {
            for id in ids {
                sheet.marks.insert((*id).into(), Mark::NotApplicable);
                sheet.left_out.insert((*id).into(), "The yard is heated.".into());
            }
        })
    };
    // One of fourteen points, then two.
    let one = left_out(&["c"]);
    assert_eq!((one.outcome, one.possible), (Outcome::Met, 13), "{}", one.reason);
    assert!(one.about("c").any(|line| line.sentence.contains("heated")));
    assert_eq!(left_out(&["c", "f"]).outcome, Outcome::Incomplete);
}

#[test]
fn rule_15_what_the_machine_did_costs_and_breaks_nothing() {
    let plain = kit(yard(), true);
    let lean = changed(&plain, |sheet| {
        sheet.readings.insert("foam".into(), q("0.9 gal"));
        sheet.reported = vec!["made".into()];
    });
    assert_eq!((lean.outcome, lean.earned), (Outcome::Met, lean.possible));
    let made = lean.about("made").next().unwrap();
    assert_eq!(made.decision, Decision::Noted, "{made:?}");
    let mut drill = yard();
    let press = drill.measures.iter_mut().find(|one| one.id == "press").unwrap();
    press.whose = drillwright::course::Whose::Machine;
    // Where a critical asks for the report, it is the report that is missing.
    let asked = with(&kit(drill.clone(), true), "press", "185 psi");
    assert_eq!(asked.outcome, Outcome::Incomplete, "{}", asked.reason);
    for link in drill.criticals.iter_mut().flat_map(|critical| &mut critical.links) {
        if let Link::Limit { unreported, .. } = link {
            *unreported = false;
        }
    }
    let kit = kit(drill, true);
    let verdict = with(&kit, "press", "185 psi");
    assert_eq!(verdict.outcome, Outcome::Met, "{}", verdict.reason);
}

#[test]
fn rule_16_what_no_instrument_shows_is_refused_and_decides_nothing() {
    let kit = kit(yard(), true);
    for (id, value) in [
        ("set", "-0.1 %"),
        ("set", "11 %"),
        ("set", "0.55 %"),
        ("set", "5 psi"),
        ("press", "605 psi"),
        ("press", "151 psi"),
        ("told", "-1 min"),
    ] {
        let verdict = with(&kit, id, value);
        assert_eq!(verdict.outcome, Outcome::Refused, "{id} {value}: {}", verdict.reason);
    }
    // A value in another unit of the same sort is held against the step as it is.
    assert_eq!(with(&kit, "told", "300 s").outcome, Outcome::Met);
    let plain = super::fixture::kit(chain(), true);
    assert_eq!(with(&plain, "rate", "-0.62 gpm").outcome, Outcome::Refused);
}

#[test]
fn rule_16_a_missing_value_is_incomplete_only_where_something_decides_by_it() {
    let plain = kit(chain(), true);
    let verdict = changed(&plain, |sheet| sheet.measures.clear());
    assert_eq!((verdict.earned, verdict.outcome), (10, Outcome::NotMet));
    let kit = kit(yard(), true);
    for id in ["set", "press", "told", "in"] {
        let verdict = changed(&kit, |sheet| {
            sheet.measures.remove(id);
        });
        assert_eq!(verdict.outcome, Outcome::Incomplete, "{id}: {}", verdict.reason);
    }
    // The readings that a limit is held against.
    for id in ["ordered", "end"] {
        let verdict = changed(&kit, |sheet| {
            sheet.readings.remove(id);
        });
        assert_eq!(verdict.outcome, Outcome::Incomplete, "{id}: {}", verdict.reason);
    }
    // 0.5 % of the most that can flow here is less than the unit gives; 1 % is not.
    let without_flow = |percent: &str| {
        changed(&kit, |sheet| {
            sheet.readings.insert("ordered".into(), q(percent));
            sheet.measures.insert("set".into(), q(percent));
            sheet.readings.remove("flow");
        })
    };
    assert_eq!(without_flow("0.5 %").outcome, Outcome::Met);
    assert_eq!(without_flow("1 %").outcome, Outcome::Incomplete);
}

#[test]
fn rule_16_silence_never_mends_a_limit_that_was_broken() {
    let kit = kit(yard(), true);
    for (id, value) in [("set", "5 %"), ("told", "60 min"), ("press", "400 psi")] {
        assert_eq!(with(&kit, id, value).outcome, Outcome::NotMet, "{id}");
        let silent = changed(&kit, |sheet| {
            sheet.measures.remove(id);
        });
        assert_eq!(silent.outcome, Outcome::Incomplete, "{id}: {}", silent.reason);
    }
}

#[test]
fn rule_17_readings_are_held_against_the_card() {
    let mut data = data(yard(), true);
    let outlet = &mut data.rig.outlets[0];
    (outlet.least_flow, outlet.most_flow) = (Some(q("60 gpm")), Some(q("150 gpm")));
    data.rig.proportioner.as_mut().unwrap().least_flow = Some(q("30 gpm"));
    let kit = Kit::new(data).unwrap();
    let flow = |flow: &str| {
        changed(&kit, |sheet| {
            sheet.readings.insert("flow".into(), q(flow));
        })
        .outcome
    };
    assert_eq!(flow("60 gpm"), Outcome::Met);
    assert_eq!(flow("150 gpm"), Outcome::Met);
    for beyond in ["55 gpm", "155 gpm", "25 gpm"] {
        assert_eq!(flow(beyond), Outcome::Incomplete, "{beyond}");
    }
    // Out of what the reading itself can be: refused.
    assert_eq!(flow("10 gpm"), Outcome::Refused);
    // An order that had to be refused.
    let verdict = changed(&kit, |sheet| {
        sheet.readings.insert("ordered".into(), q("6 %"));
        sheet.measures.insert("set".into(), q("1 %"));
        sheet.mode = Mode::PlainWater;
        in_mode(&kit, sheet, Mode::PlainWater);
        sheet.measures.remove("set");
        sheet.marks.insert("b".into(), Mark::NotSeen);
    });
    assert_eq!(verdict.outcome, Outcome::Incomplete);
    assert!(verdict.of_rule(Rule::Limit).any(|line| line.subject == "ordered"));
}

#[test]
fn rule_18a_pump_pressure_against_the_weakest_hose() {
    let mut drill = yard();
    drill.criticals.retain(|one| one.id != "bar");
    let kit = kit(drill, true);
    // Nine tenths of 300 psi.
    assert!(!breaks(&with(&kit, "press", "270 psi"), "hose-test"));
    assert!(breaks(&with(&kit, "press", "275 psi"), "hose-test"));
    // In a walk-through a number that was said is heard (rule 24), and a gauge shows none.
    let walked = |kit: &Kit| {
        changed(kit, |sheet| {
            in_mode(kit, sheet, Mode::WalkThrough);
            sheet.measures.insert("press".into(), q("400 psi"));
        })
    };
    assert!(breaks(&walked(&kit), "hose-test"));
    let mut drill = kit.drill().clone();
    drill.measures[2].how = drillwright::course::How::Shown;
    let shown = walked(&super::fixture::kit(drill, true));
    assert_eq!(shown.outcome, Outcome::WalkedThrough, "{}", shown.reason);
    // A reading of the same meaning speaks beside a measured value.
    let mut drill = kit.drill().clone();
    drill.readings[4].is = drill.measures[2].is;
    let kit = super::fixture::kit(drill, true);
    let verdict = changed(&kit, |sheet| {
        sheet.readings.insert("line".into(), q("400 psi"));
        sheet.measures.insert("press".into(), q("150 psi"));
    });
    assert!(breaks(&verdict, "hose-test"));
}

#[test]
fn rule_18b_percent_of_label_unit_and_capacity() {
    let plain = kit(yard(), true);
    assert!(breaks(&with(&plain, "set", "1.1 %"), "unit"));
    // 5 gpm of concentrate: 1 % of 500 gpm, and not of 505.
    let at = |flow: &str| {
        changed(&plain, |sheet| {
            for (id, value) in [("ordered", "1 %"), ("flow", flow)] {
                sheet.readings.insert(id.into(), q(value));
            }
            sheet.measures.insert("set".into(), q("1 %"));
        })
    };
    assert!(!breaks(&at("500 gpm"), "unit"));
    assert!(breaks(&at("505 gpm"), "unit"));
    // Of class B any percent but the label's.
    let mut data = data(yard(), true);
    data.standard.drill.rigs = Some(ForRigs {
        class: Some(FoamClass::B),
        kinds: Vec::new(),
        rigs: Vec::new(),
        without: false,
    });
    let mut range =
        data.rig.proportioner.as_mut().unwrap().classes.remove(&FoamClass::A).unwrap();
    (range.from, range.to, range.step) = (q("3 %"), q("6 %"), q("3 %"));
    data.rig.proportioner.as_mut().unwrap().classes.insert(FoamClass::B, range);
    data.rig.proportioner.as_mut().unwrap().rating.flow = q("100 gpm");
    let kit = Kit::new(data).unwrap();
    for (percent, wrong) in [("3 %", false), ("4 %", true), ("6 %", false), ("1 %", true)]
    {
        let verdict = changed(&kit, |sheet| {
            sheet.readings.insert("ordered".into(), q("3 %"));
            sheet.measures.insert("set".into(), q(percent));
        });
        assert_eq!(breaks(&verdict, "unit"), wrong, "{percent}");
    }
}

#[test]
fn rule_18c_a_decimal_slip_once_foam_was_on() {
    let kit = kit(yard(), true);
    for (percent, slip) in
        [("0.9 %", false), ("1 %", true), ("0.3 %", false), ("0 %", true)]
    {
        assert_eq!(breaks(&with(&kit, "set", percent), "slip"), slip, "{percent}");
    }
    let verdict = changed(&kit, |sheet| {
        in_mode(&kit, sheet, Mode::PlainWater);
        sheet.measures.insert("set".into(), q("1 %"));
    });
    assert!(!breaks(&verdict, "slip"));
}

#[test]
fn rule_18d_more_minutes_than_there_were() {
    let kit = kit(yard(), true);
    // Of twenty minutes one more; of three a fifth.
    for (end, told, wrong) in [
        ("20 min", "21 min", false),
        ("20 min", "22 min", true),
        ("3 min", "3 min", false),
        ("3 min", "4 min", true),
        ("3 min", "1 min", false),
    ] {
        let verdict = changed(&kit, |sheet| {
            sheet.readings.insert("end".into(), q(end));
            sheet.measures.insert("told".into(), q(told));
        });
        assert_eq!(breaks(&verdict, "minutes"), wrong, "{told} of {end}");
    }
}

#[test]
fn rule_18e_intake_below_the_floor_and_not_reported() {
    let kit = kit(yard(), true);
    assert!(!breaks(&with(&kit, "in", "20 psi"), "intake"));
    assert!(breaks(&with(&kit, "in", "15 psi"), "intake"));
    let verdict = changed(&kit, |sheet| {
        sheet.measures.insert("in".into(), q("15 psi"));
        sheet.reported = vec!["in".into()];
    });
    assert!(!breaks(&verdict, "intake"));
}

#[test]
fn rule_20_what_card_or_formula_do_not_know_decides_nothing() {
    let mut data = data(chain(), true);
    data.standard.drill.measures[0].expect = drillwright::course::Expect::Bound(
        drillwright::course::Bind::Rig("outlet.coefficient".into()),
    );
    let kit = Kit::new(data).unwrap();
    let mut sheet = super::sheets::without_values(&kit);
    sheet.measures.insert("rate".into(), q("0.62 gpm"));
    let verdict = score(&kit, &sheet);
    assert_eq!(verdict.outcome, Outcome::MetInPart, "{}", verdict.reason);
    assert_eq!(verdict.earned, verdict.possible);
}

#[test]
fn rule_21_a_wrong_outcome_is_not_met_also_in_a_run_that_is_refused() {
    let kit = kit(yard(), true);
    let wrong = with(&kit, "set", "0.8 %");
    assert_eq!(wrong.outcome, Outcome::NotMet);
    assert!(wrong.reason.contains("Critical value outside"), "{}", wrong.reason);
    let refused = changed(&kit, |sheet| {
        sheet.measures.insert("set".into(), q("0.8 %"));
        sheet.attempt = 99;
    });
    assert_eq!(refused.outcome, Outcome::NotMet);
}

#[test]
fn rules_22_and_23_a_mode_shows_what_it_can() {
    let kit = kit(yard(), true);
    let mode = |mode| changed(&kit, |sheet| in_mode(&kit, sheet, mode));
    let part = mode(Mode::PlainWater);
    assert_eq!(part.outcome, Outcome::MetInPart, "{}", part.reason);
    assert!(part.not_shown.iter().any(|said| said.contains("Failed by foam")));
    assert!(!part.uses_attempt);
    let walked = mode(Mode::WalkThrough);
    assert_eq!(walked.outcome, Outcome::WalkedThrough, "{}", walked.reason);
    assert!(!walked.uses_attempt);
    assert_eq!(mode(Mode::Agent).outcome, Outcome::Met);
    // Where the drill says that it can be met, it is.
    let mut drill = chain();
    drill.met_in = vec![Mode::PlainWater];
    let kit_ = super::fixture::kit(drill, true);
    let verdict = changed(&kit_, |sheet| in_mode(&kit_, sheet, Mode::PlainWater));
    assert_eq!(verdict.outcome, Outcome::Met);
    // And a mode that is not the drill's is refused.
    let sheet = changed(&kit_, |sheet| sheet.mode = Mode::HandsOnDry);
    assert_eq!(sheet.outcome, Outcome::Refused);
}

#[test]
fn rule_24_an_act_seen_is_seen_in_every_mode() {
    let kit = kit(yard(), true);
    for mode in [Mode::WalkThrough, Mode::PlainWater, Mode::Agent] {
        let verdict = changed(&kit, |sheet| {
            in_mode(&kit, sheet, mode);
            sheet.unsafe_acts = vec!["astride".into()];
        });
        assert_eq!(verdict.outcome, Outcome::NotMet);
        let mut sheet = clean(&kit);
        in_mode(&kit, &mut sheet, mode);
        sheet.criticals.insert("foam".into(), drillwright::course::CriticalMark::Yes);
        sheet.happened.insert("foam".into(), "Seen.".into());
        assert_eq!(faults(&kit, &sheet), []);
        assert_eq!(score(&kit, &sheet).outcome, Outcome::NotMet);
    }
}
