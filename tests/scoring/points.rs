//! Points, order, time, and what stands on a verdict beside its outcome.

use drillwright::course::{CriticalMark, Mark, OrderSeen, PairSeen, RunUse, TimeTaken};
use drillwright::scoring::{Decision, Kit, NoValue, Outcome, Rule, expectation, score};

use super::fixture::{chain, clean, data, kit, q, without_pass_mark, yard};

/// An order that was written down.
pub(super) fn listed(steps: &[&str]) -> OrderSeen {
    OrderSeen::Listed(steps.iter().map(|step| (*step).to_owned()).collect())
}

#[test]
fn a_clean_run_meets_the_standard() {
    let kit = kit(chain(), true);
    let verdict = score(&kit, &clean(&kit));
    assert_eq!(verdict.outcome_text, "Met this drill's standard on 2026-11-14");
    assert_eq!((verdict.earned, verdict.possible), (13, 13));
    assert_eq!(verdict.percent.as_deref(), Some("100.0\u{a0}%"));
    assert!(verdict.counts && verdict.uses_attempt);
    let rate = verdict.about("rate").next().unwrap();
    assert_eq!(rate.seen, "0.62\u{a0}gpm");
    // 0.5 % of 125 gpm is 0.625 gpm; 10 % below is 0.5625, 0.1 above is 0.725; the gauge
    // shows hundredths.
    assert_eq!(
        rate.expected,
        "0.57\u{a0}gpm to 0.72\u{a0}gpm (worked out: 0.625\u{a0}gpm)"
    );
    assert_eq!(rate.working.len(), 1);
}

#[test]
fn values_on_the_edge_are_inside_and_one_outside_takes_the_points_of_its_step() {
    let mut drill = chain();
    drill.measures[0].resolution = q("0.0005 gpm");
    let kit = kit(drill, true);
    let mut sheet = clean(&kit);
    for (value, inside) in [
        ("0.5625 gpm", true),
        ("0.562 gpm", false),
        ("0.725 gpm", true),
        ("0.7255 gpm", false),
    ] {
        sheet.measures.insert("rate".into(), q(value));
        let verdict = score(&kit, &sheet);
        assert_eq!(verdict.earned, if inside { 13 } else { 10 }, "{value}");
        let line = verdict.of_rule(Rule::Measure).next().unwrap();
        assert_eq!(line.points, if inside { 0 } else { -3 });
    }
}

#[test]
fn a_written_value_that_the_gauge_cannot_show_is_refused() {
    let kit = kit(chain(), true);
    let mut sheet = clean(&kit);
    sheet.measures.insert("rate".into(), q("0.625 gpm"));
    let verdict = score(&kit, &sheet);
    assert_eq!(verdict.outcome, Outcome::Refused);
    let line = verdict.lines.iter().find(|line| line.rule == Rule::Sheet).unwrap();
    assert_eq!(line.subject, "measures.rate");
    assert!(line.sentence.starts_with("No gauge here can show"), "{}", line.sentence);
}

#[test]
fn order_costs_a_point_for_each_step_out_of_place() {
    let kit = kit(chain(), true);
    let mut sheet = clean(&kit);
    sheet.order_seen = listed(&["g", "a", "b", "c", "d", "e", "f"]);
    let verdict = score(&kit, &sheet);
    assert_eq!((verdict.earned, verdict.possible), (12, 13));
    let figures = verdict.order.as_ref().unwrap();
    assert_eq!((figures.transitive, figures.longest), (6, 6));
    let line = verdict.about("g").find(|line| line.rule == Rule::Order).unwrap();
    assert_eq!(line.points, -1);
    assert!(line.sentence.starts_with("Done too early: Do g."), "{}", line.sentence);
    // A missing step costs its weight, and is not also out of order.
    sheet.marks.insert("g".into(), Mark::NotDone);
    sheet.order_seen = listed(&["a", "b", "c", "d", "e", "f"]);
    let verdict = score(&kit, &sheet);
    assert_eq!((verdict.earned, verdict.outcome), (12, Outcome::Met));
    assert!(!verdict.of_rule(Rule::Order).any(|line| line.points < 0));
}

#[test]
fn what_nobody_watched_is_open_and_what_is_known_of_pairs_costs() {
    let kit = kit(chain(), true);
    let mut sheet = clean(&kit);
    sheet.order_seen = OrderSeen::NotWatched;
    sheet.pairs.insert("e > f".into(), PairSeen::Seen);
    let verdict = score(&kit, &sheet);
    // Of a chain of seven all could be out of place but the two that were seen in order.
    assert_eq!((verdict.earned, verdict.possible), (8, 13));
    assert_eq!(verdict.lines.iter().map(|line| line.open).sum::<i64>(), 5);
    assert_eq!(verdict.outcome, Outcome::Incomplete, "{}", verdict.reason);
    for pair in ["a > b", "b > c", "c > d", "d > e"] {
        sheet.pairs.insert(pair.into(), PairSeen::Seen);
    }
    sheet.pairs.insert("f > g".into(), PairSeen::Reversed);
    let verdict = score(&kit, &sheet);
    // G came before f, and nobody knows how much earlier.
    assert_eq!(verdict.outcome, Outcome::Met, "{}", verdict.reason);
    let order: Vec<&str> = verdict
        .of_rule(Rule::Order)
        .filter(|line| line.points < 0)
        .map(|line| line.subject.as_str())
        .collect();
    assert_eq!(order, ["g"]);
}

#[test]
fn time_is_held_whole_and_inclusive() {
    let kit = kit(yard(), true);
    let mut sheet = clean(&kit);
    for (taken, held, outcome) in [
        ("60 s", "0 s", Outcome::Met),
        // The watch shows whole seconds: nobody can have read these off it.
        ("60.4 s", "0 s", Outcome::Refused),
        ("75 s", "14.6 s", Outcome::Refused),
        ("75 s", "15 s", Outcome::Met),
        ("76 s", "15 s", Outcome::NotMet),
        ("1 min", "0 s", Outcome::Met),
    ] {
        sheet.time = Some(TimeTaken { taken: q(taken), held: Some(q(held)) });
        assert_eq!(score(&kit, &sheet).outcome, outcome, "{taken} less {held}");
    }
    sheet.time = None;
    assert_eq!(score(&kit, &sheet).outcome, Outcome::Incomplete);
}

#[test]
fn steps_not_seen_are_open_and_leave_the_run_incomplete_only_where_they_decide() {
    let kit = kit(chain(), true);
    let mut sheet = clean(&kit);
    sheet.marks.insert("g".into(), Mark::NotSeen);
    let verdict = score(&kit, &sheet);
    assert_eq!(
        (verdict.outcome, verdict.earned, verdict.possible),
        (Outcome::Met, 12, 13)
    );
    assert_eq!(verdict.not_seen.len(), 1);
    sheet.marks.remove("b");
    sheet.marks.insert("c".into(), Mark::NotSeen);
    let verdict = score(&kit, &sheet);
    assert_eq!(verdict.outcome, Outcome::Incomplete);
    assert_eq!((verdict.not_seen.len(), verdict.percent), (3, None));
    // Given to the candidate they change nothing any more.
    for id in ["a", "d"] {
        sheet.marks.insert(id.into(), Mark::NotDone);
    }
    assert_eq!(score(&kit, &sheet).outcome, Outcome::NotMet);
}

#[test]
fn practice_counts_for_nobody_and_no_pass_mark_gives_no_result() {
    let kit_ = kit(chain(), true);
    let mut sheet = clean(&kit_);
    sheet.use_ = RunUse::Practice;
    let verdict = score(&kit_, &sheet);
    assert!(!verdict.counts && !verdict.uses_attempt);
    let line = verdict.about("use").next().unwrap();
    assert!(line.sentence.contains("neither for nor against anyone"));
    let undecided = Kit::new(without_pass_mark(data(chain(), true))).unwrap();
    let mut sheet = clean(&undecided);
    assert_eq!(score(&undecided, &sheet).outcome, Outcome::Incomplete);
    sheet.criticals.insert("alpha".into(), CriticalMark::Yes);
    assert_eq!(score(&undecided, &sheet).outcome, Outcome::NotMet);
}

#[test]
fn a_percent_just_below_the_pass_mark_does_not_meet_it() {
    let mut drill = chain();
    for step in &mut drill.steps {
        step.weight = 1;
    }
    drill.measures.clear();
    drill.order.clear();
    let mut data = data(drill, true);
    data.standard.pass_mark.as_mut().unwrap().value = q("71.5 %");
    let kit = Kit::new(data).unwrap();
    let mut sheet = clean(&kit);
    sheet.marks.insert("a".into(), Mark::NotDone);
    sheet.marks.insert("b".into(), Mark::NotDone);
    let verdict = score(&kit, &sheet);
    // 5 of 7 is 71.43 percent.
    assert_eq!(verdict.percent.as_deref(), Some("71.4\u{a0}%"));
    assert_eq!(verdict.outcome, Outcome::NotMet);
}

#[test]
fn revisions_tell_drill_and_rig_apart() {
    let plain = kit(yard(), true);
    let other_rig = kit(yard(), false);
    assert_eq!(plain.drill_revision(), other_rig.drill_revision());
    assert_ne!(plain.rig_revision(), other_rig.rig_revision());
    let mut changed = data(yard(), true);
    changed.standard.drill.steps[0].weight = 1;
    assert_ne!(Kit::new(changed).unwrap().drill_revision(), plain.drill_revision());
    let mut changed = data(yard(), true);
    changed.standard.reach.formulas[0].work[0].text = "result = foam / water as %".into();
    assert_ne!(Kit::new(changed).unwrap().drill_revision(), plain.drill_revision());
    // A kit survives being written down.
    let text = serde_json::to_string(plain.data()).unwrap();
    let again = Kit::new(serde_json::from_str(&text).unwrap()).unwrap();
    assert_eq!(again.drill_revision(), plain.drill_revision());
    assert_eq!(score(&again, &clean(&plain)), score(&plain, &clean(&plain)));
}

#[test]
fn expectations_for_a_blank_sheet() {
    let kit = kit(yard(), true);
    let measure = &kit.drill().measures[0];
    let none = expectation(&kit, measure, "one", &std::collections::BTreeMap::new());
    assert_eq!(none, Err(NoValue::Reading("ordered".into())));
    let readings = clean(&kit).readings;
    let expected = expectation(&kit, measure, "one", &readings).unwrap();
    assert_eq!(expected.band, "0.5\u{a0}% to 0.6\u{a0}%");
}

#[test]
fn a_value_of_a_step_without_points_left_is_told_and_costs_nothing_more() {
    let kit = kit(chain(), true);
    let mut sheet = clean(&kit);
    sheet.marks.insert("e".into(), Mark::Prompted);
    sheet.begun.insert("e".into(), false);
    sheet.measures.insert("rate".into(), q("0.5 gpm"));
    let verdict = score(&kit, &sheet);
    assert_eq!((verdict.earned, verdict.possible), (10, 13));
    assert_eq!(verdict.about("rate").next().unwrap().decision, Decision::Noted);
}
