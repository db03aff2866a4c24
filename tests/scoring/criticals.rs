//! Rules 1 to 12: criticals, what contradicts them, skipping and order.

use drillwright::course::{
    CriticalMark, CueMark, How, Mark, Mode, OrderSeen, PairSeen, RunSheet, Settled, Whose,
};
use drillwright::scoring::{Decision, Kit, Outcome, Rule, Verdict, faults, score};

use super::fixture::{chain, clean, kit, q, yard};
use super::points::listed;
use super::sheets::in_mode;

/// What is changed on a sheet.
type Change = fn(&mut RunSheet);

fn changed(kit: &Kit, change: impl FnOnce(&mut RunSheet)) -> Verdict {
    let mut sheet = clean(kit);
    change(&mut sheet);
    score(kit, &sheet)
}

fn outcome(kit: &Kit, change: impl FnOnce(&mut RunSheet)) -> Outcome {
    changed(kit, change).outcome
}

fn mark(sheet: &mut RunSheet, id: &str, mark: Mark) {
    sheet.marks.insert(id.into(), mark);
}

fn happened(sheet: &mut RunSheet, id: &str, mark: CriticalMark) {
    sheet.criticals.insert(id.into(), mark);
    sheet.happened.insert(id.into(), "Seen at the second step.".into());
}

#[test]
fn rule_01_yes_and_prevented_fail_and_not_seen_asks() {
    let kit = kit(yard(), true);
    for (id, _) in clean(&kit).criticals {
        let own = id != "other";
        for (mark, wanted) in [
            (CriticalMark::Yes, Outcome::NotMet),
            (CriticalMark::Prevented, Outcome::NotMet),
            (CriticalMark::NotSeen, Outcome::Incomplete),
        ] {
            let found = outcome(&kit, |sheet| {
                sheet.criticals.insert(id.clone(), mark);
                if mark != CriticalMark::NotSeen {
                    sheet.happened.insert(id.clone(), "Seen.".into());
                }
            });
            assert_eq!(found, if own { wanted } else { Outcome::Met }, "{id} {mark:?}");
        }
        let silent = outcome(&kit, |sheet| {
            sheet.criticals.remove(&id);
        });
        assert_eq!(silent, if own { Outcome::Incomplete } else { Outcome::Met }, "{id}");
    }
}

#[test]
fn rule_02_the_written_condition_strikes_a_critical_out() {
    let without = kit(yard(), false);
    let verdict = score(&without, &clean(&without));
    assert_eq!(verdict.outcome, Outcome::Met, "{}", verdict.reason);
    assert_eq!(verdict.about("air").next().unwrap().decision, Decision::LeftOut);
    assert_eq!(verdict.about("e").next().unwrap().decision, Decision::LeftOut);
    // What the rig does not have cannot have happened: both entries stay, and fail.
    let mut sheet = clean(&without);
    happened(&mut sheet, "air", CriticalMark::Yes);
    let asked = faults(&without, &sheet);
    assert!(
        asked.iter().any(|fault| fault.key == "critical-cannot-happen" && fault.asks)
    );
    assert_eq!(score(&without, &sheet).outcome, Outcome::NotMet);
    // What the mode cannot show has no box for a no.
    let with = kit(yard(), true);
    let found = outcome(&with, |sheet| {
        in_mode(&with, sheet, Mode::PlainWater);
        sheet.criticals.insert("foam".into(), CriticalMark::No);
    });
    assert_eq!(found, Outcome::Incomplete);
}

#[test]
fn rule_03_and_04_every_sort_of_link_is_held_against_a_no() {
    let kit = kit(yard(), true);
    let cases: [(&str, &str, Change); 8] = [
        ("order skipped", "alpha", |sheet| {
            mark(sheet, "b", Mark::NotDone);
            sheet.measures.remove("set");
        }),
        ("order reversed", "alpha", |sheet| {
            sheet.order_seen = listed(&["a", "c", "b", "d", "e", "f", "k", "h"]);
        }),
        ("the second of several", "alpha", |sheet| {
            sheet.order_seen = listed(&["a", "e", "f", "d", "h", "b", "c", "k"]);
        }),
        ("answer", "foam", |sheet| mark(sheet, "k", Mark::NotDone)),
        ("holds, not done", "air", |sheet| mark(sheet, "e", Mark::NotDone)),
        ("holds, undone", "air", |sheet| sheet.undone.push("e".into())),
        ("limit above", "bar", |sheet| {
            sheet.measures.insert("press".into(), q("185 psi"));
        }),
        ("limit below", "bar", |sheet| {
            sheet.measures.insert("press".into(), q("115 psi"));
        }),
    ];
    for (name, critical, break_it) in cases {
        let verdict = changed(&kit, break_it);
        let line = verdict.about(critical).find(|line| line.rule == Rule::Critical);
        assert_eq!(line.unwrap().decision, Decision::Unseen, "{name}");
        let asked = matches!(verdict.outcome, Outcome::Incomplete | Outcome::NotMet);
        assert!(asked, "{name}: {}", verdict.reason);
        let after = outcome(&kit, |sheet| {
            break_it(sheet);
            happened(sheet, critical, CriticalMark::Yes);
        });
        assert_eq!(after, Outcome::NotMet, "{name}");
    }
    // The limit itself is still within, and a value that was reported breaks no such link.
    for (value, reported) in [("180 psi", false), ("120 psi", false), ("185 psi", true)] {
        let verdict = changed(&kit, |sheet| {
            sheet.measures.insert("press".into(), q(value));
            sheet.reported = if reported { vec!["press".into()] } else { Vec::new() };
        });
        let line = verdict.about("bar").find(|line| line.rule == Rule::Critical);
        assert_eq!(line.unwrap().decision, Decision::Kept, "{value}");
    }
}

#[test]
fn rule_06_what_happened_wants_a_sentence_and_a_sentence_wants_the_mark() {
    let kit = kit(chain(), true);
    let verdict = changed(&kit, |sheet| {
        sheet.criticals.insert("beta".into(), CriticalMark::Yes);
    });
    assert_eq!(verdict.outcome, Outcome::NotMet);
    assert!(verdict.reason.contains("cannot be signed"), "{}", verdict.reason);
    let told = changed(&kit, |sheet| happened(sheet, "beta", CriticalMark::Prevented));
    assert_eq!(told.outcome, Outcome::NotMet);
    assert!(told.reason.contains("Seen at the second step."), "{}", told.reason);
    for id in ["beta", "astride"] {
        let found = outcome(&kit, |sheet| {
            sheet.happened.insert(id.into(), "Stepped over it.".into());
        });
        assert_eq!(found, Outcome::Incomplete, "{id}");
    }
}

/// Rule 7 e: also a value that a gauge shows, where it is the candidate's to hold; what the machine
/// did shows whether or not anybody did something.
#[test]
fn rule_07_a_value_inside_its_band_of_a_step_that_was_not_done_is_asked_about() {
    for (whose, wanted) in [(Whose::Act, 1), (Whose::Machine, 0)] {
        let mut drill = yard();
        let press = drill.measures.iter_mut().find(|one| one.id == "press").unwrap();
        (press.how, press.whose) = (How::Shown, whose);
        let kit = kit(drill, true);
        let mut sheet = clean(&kit);
        mark(&mut sheet, "d", Mark::NotDone);
        let found = faults(&kit, &sheet);
        let asked = found.iter().filter(|fault| fault.key == "measured-not-done");
        assert_eq!(asked.count(), wanted, "{found:?}");
        if wanted == 1 {
            assert_eq!(score(&kit, &sheet).outcome, Outcome::Incomplete);
        }
    }
}

#[test]
fn rule_07_each_contradiction_is_asked_and_never_decides() {
    let kit = kit(yard(), true);
    let cases: [(&str, Change); 12] = [
        ("b", |sheet| mark(sheet, "b", Mark::NotSeen)),
        ("d, step", |sheet| {
            sheet.mode = Mode::PlainWater;
            sheet.criticals.remove("foam");
        }),
        ("e, order", |sheet| {
            sheet.order_seen = listed(&["a", "b", "c", "d", "e", "f", "h", "k"]);
            mark(sheet, "d", Mark::NotDone);
            sheet.measures.remove("press");
        }),
        ("e, measured", |sheet| mark(sheet, "d", Mark::NotDone)),
        ("f", |sheet| {
            sheet.cues.insert("lost".into(), CueMark::NotGiven);
        }),
        ("f, in silence", |sheet| sheet.cues.clear()),
        ("cue, not done in silence", |sheet| {
            sheet.cues.clear();
            mark(sheet, "k", Mark::NotDone);
        }),
        ("pair both ways", |sheet| {
            sheet.order_seen = OrderSeen::NotWatched;
            for pair in ["b > c", "c > b", "b > h", "f > h"] {
                sheet.pairs.insert(pair.into(), PairSeen::Seen);
            }
        }),
        ("pair against the order", |sheet| {
            sheet.pairs.insert("b > c".into(), PairSeen::Reversed);
        }),
        ("begun without a prompt", |sheet| {
            sheet.begun.insert("b".into(), true);
        }),
        ("left out in silence", |sheet| mark(sheet, "a", Mark::NotApplicable)),
        ("order leaves out what was done", |sheet| {
            sheet.order_seen = listed(&["a", "b", "c", "d", "e", "f", "k"]);
        }),
    ];
    for (name, contradict) in cases {
        let verdict = changed(&kit, contradict);
        assert_eq!(verdict.outcome, Outcome::Incomplete, "{name}: {}", verdict.reason);
    }
    // g: what cannot be otherwise.
    let mut drill = chain();
    drill.order[1].cannot = true;
    let kit = super::fixture::kit(drill, true);
    let cases: [fn(&mut RunSheet); 2] = [
        |sheet| mark(sheet, "b", Mark::NotDone),
        |sheet| sheet.order_seen = listed(&["a", "c", "b", "d", "e", "f", "g"]),
    ];
    for contradict in cases {
        assert_eq!(outcome(&kit, contradict), Outcome::Incomplete);
    }
}

#[test]
fn rule_08_a_no_that_stands_needs_a_reason_and_a_second_officer() {
    let kit = kit(yard(), true);
    let settled = |why: &str, officer: Option<&str>| {
        outcome(&kit, |sheet| {
            mark(sheet, "k", Mark::NotDone);
            let officer = officer.map(str::to_owned);
            sheet.settled.insert("foam".into(), Settled { why: why.into(), officer });
        })
    };
    assert_eq!(settled("The air was never on.", Some("hazel")), Outcome::Met);
    assert_eq!(settled("The air was never on.", None), Outcome::Incomplete);
    assert_eq!(settled(" ", Some("hazel")), Outcome::Incomplete);
    for nobody in ["ash", "cedar", " "] {
        assert_eq!(settled("The air was never on.", Some(nobody)), Outcome::Incomplete);
    }
}

#[test]
fn rule_09_skipping_never_beats_late_where_only_pairs_are_known() {
    // One step before three others, all of which were done before it.
    let mut drill = chain();
    drill.criticals.remove(0);
    drill.order.retain(|rule| rule.first == "a");
    for then in ["c", "d", "e"] {
        let rule = drill.order[0].clone();
        drill.order.push(drillwright::course::OrderRule { then: then.into(), ..rule });
    }
    drill.steps[0].weight = 1;
    let kit = kit(drill, true);
    let late = changed(&kit, |sheet| {
        sheet.order_seen = OrderSeen::NotWatched;
        for then in ["b", "c", "d", "e"] {
            sheet.pairs.insert(format!("a > {then}"), PairSeen::Reversed);
        }
    });
    let skipped = changed(&kit, |sheet| {
        sheet.order_seen = OrderSeen::NotWatched;
        mark(sheet, "a", Mark::NotDone);
    });
    assert_eq!((late.earned, skipped.earned), (10, 10));
    let silent = changed(&kit, |sheet| sheet.order_seen = OrderSeen::NotWatched);
    assert_eq!((silent.earned, silent.outcome), (10, Outcome::Met));
}

#[test]
fn rule_09_a_prompted_step_that_was_late_costs_no_more_than_a_missing_one() {
    let kit = kit(chain(), true);
    let late = changed(&kit, |sheet| {
        mark(sheet, "a", Mark::Prompted);
        sheet.order_seen = listed(&["b", "c", "d", "e", "f", "g", "a"]);
    });
    let missing = changed(&kit, |sheet| mark(sheet, "a", Mark::NotDone));
    assert!(late.earned >= missing.earned, "{} {}", late.earned, missing.earned);
}

#[test]
fn rule_10_late_costs_a_point_and_missing_the_whole_weight() {
    let kit = kit(chain(), true);
    let late = changed(&kit, |sheet| {
        sheet.order_seen = listed(&["b", "c", "a", "d", "e", "f", "g"]);
    });
    assert_eq!((late.earned, late.outcome), (12, Outcome::Met));
    let missing = changed(&kit, |sheet| mark(sheet, "a", Mark::NotDone));
    assert_eq!((missing.earned, missing.outcome), (10, Outcome::NotMet));
}

#[test]
fn rule_11_a_prompt_earns_nothing_and_asks_whether_the_next_had_begun() {
    let mut drill = chain();
    drill.steps[4].weight = 2;
    let kit = kit(drill, true);
    let prompted = |begun: Option<bool>, then: Mark| {
        changed(&kit, |sheet| {
            mark(sheet, "e", Mark::Prompted);
            mark(sheet, "f", then);
            if let Some(begun) = begun {
                sheet.begun.insert("e".into(), begun);
            }
        })
    };
    assert_eq!(prompted(None, Mark::Done).outcome, Outcome::Incomplete);
    let no = prompted(Some(false), Mark::Done);
    assert_eq!((no.earned, no.possible), (10, 12));
    assert_eq!(no.of_rule(Rule::Critical).next().unwrap().decision, Decision::Kept);
    assert_eq!(prompted(Some(true), Mark::Done).outcome, Outcome::Incomplete);
    // Begun, and ended by the prompt: the act had begun all the same.
    let ended = prompted(Some(true), Mark::NotDone);
    let line = ended.of_rule(Rule::Critical).next().unwrap();
    assert_eq!(line.decision, Decision::Unseen, "{}", line.sentence);
    // Nobody says whether it had: a second that is marked as not done may have been begun.
    let unsaid = |begun| {
        let verdict = prompted(begun, Mark::NotDone);
        verdict.of_rule(Rule::Critical).next().unwrap().decision
    };
    assert_eq!(unsaid(None), Decision::Unseen);
    assert_eq!(unsaid(Some(false)), Decision::Kept);
}

#[test]
fn rule_12_silence_about_the_order_is_not_watched_and_asks_for_the_pair_alone() {
    let kit = kit(chain(), true);
    let unwatched = |pair: Option<PairSeen>| {
        let verdict = changed(&kit, |sheet| {
            sheet.order_seen = OrderSeen::NotWatched;
            sheet.pairs.extend(pair.map(|pair| ("e > f".to_owned(), pair)));
        });
        verdict.about("alpha").next().unwrap().decision
    };
    assert_eq!(unwatched(None), Decision::Unseen);
    assert_eq!(unwatched(Some(PairSeen::Seen)), Decision::Kept);
    assert_eq!(unwatched(Some(PairSeen::Reversed)), Decision::Unseen);
    assert_eq!(unwatched(Some(PairSeen::NotSeen)), Decision::Unseen);
    // A pair may be named the other way round.
    let verdict = changed(&kit, |sheet| {
        sheet.order_seen = OrderSeen::NotWatched;
        sheet.pairs.insert("f > e".into(), PairSeen::Seen);
    });
    let line = verdict.about("alpha").next().unwrap();
    assert!(line.sentence.contains("done before it was due"), "{}", line.sentence);
}

#[test]
fn rule_12_as_printed_says_nothing_of_a_step_of_another_role() {
    let mut drill = yard();
    drill.steps.rotate_right(1);
    drill.criticals[0].links =
        serde_json::from_value(serde_json::json!([{"order": "n", "then": ["c"]}]))
            .unwrap();
    let kit = kit(drill, true);
    assert_eq!(outcome(&kit, |_| ()), Outcome::Met);
    assert_eq!(
        outcome(&kit, |sheet| {
            sheet.marks.remove("n");
        }),
        Outcome::Incomplete
    );
    // In a list it was seen, and stands where it was done.
    let found = outcome(&kit, |sheet| {
        sheet.marks.remove("n");
        sheet.order_seen = listed(&["n", "a", "b", "c", "d", "e", "f", "h", "k"]);
    });
    assert_eq!(found, Outcome::Met);
}
