//! What makes a result trustworthy, over random sheets of the fixture's drills and of every
//! drill of the example district.
//!
//! An outcome is as high as it says more for the candidate: not met is lowest, met highest, and
//! all that says nothing (refused, incomplete, stopped, void) lies between. Where something is
//! taken off a sheet, nothing may rise above that middle; a run that was not met may become
//! incomplete by it, and only by the loss of what had shown the fault: the reading that a value
//! was held against, the value itself, the order, the mark "yes". What fails a run is seen, and
//! a sheet on which it is not seen any more asks for it.

use drillwright::course::{
    CriticalMark, Link, Mark, Mode, OrderSeen, PairSeen, RunSheet,
};
use drillwright::quiz::Chance;
use drillwright::scoring::{
    Decision, Kit, Outcome, Precedence, Rule, Standing, Verdict, faults, score, stands,
};

use super::fixture::{chain, clean, kit, yard};
use super::sheets::{deciding, honest, random};
use super::table;

const SHEETS: usize = 800;

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

/// Every kit with an honest sheet.
fn all() -> Vec<(Kit, RunSheet)> {
    let own = [kit(chain(), true), kit(yard(), true), kit(yard(), false)];
    let own = own.into_iter().map(|kit| {
        let sheet = clean(&kit);
        (kit, sheet)
    });
    let example = table::kits().into_iter().map(|(kit, outlet)| {
        let sheet = honest(&kit, "operator", outlet);
        (kit, sheet)
    });
    own.chain(example).collect()
}

fn on_all(purpose: &str, mut check: impl FnMut(&Kit, &RunSheet, &Verdict, &mut Chance)) {
    let kits = all();
    let mut chance = Chance::of(&["test", purpose]);
    for turn in 0..SHEETS {
        let (kit, clean) = &kits[turn % kits.len()];
        let sheet = random(kit, clean, &mut chance);
        let verdict = score(kit, &sheet);
        check(kit, &sheet, &verdict, &mut chance);
    }
}

fn passes(outcome: Outcome) -> bool {
    height(outcome) > 1
}

fn own<'k>(kit: &'k Kit, sheet: &RunSheet) -> Vec<&'k str> {
    let steps = kit.drill().steps.iter().filter(|step| step.role == sheet.role);
    steps.map(|step| step.id.as_str()).collect()
}

/// Without a step: not done, not in the order, without what was measured at it.
fn without(kit: &Kit, sheet: &RunSheet, id: &str) -> RunSheet {
    let mut other = sheet.clone();
    other.marks.insert(id.to_owned(), Mark::NotDone);
    if let OrderSeen::Listed(order) = &mut other.order_seen {
        order.retain(|step| step != id);
    }
    for measure in kit.drill().measures.iter().filter(|one| one.step == id) {
        other.measures.remove(&measure.id);
    }
    other.begun.remove(id);
    // What was never done was not done badly either.
    other.settled.remove(id);
    other.pairs.retain(|pair, _| pair.split(" > ").all(|step| step != id));
    other
}

#[test]
fn rule_09_skipping_never_beats_late_and_late_never_beats_in_order() {
    let (mut late_ones, mut skipped_ones) = (0, 0);
    on_all("skipping", |kit, sheet, verdict, _| {
        let rules = super::properties::rules(kit);
        let precedence = Precedence::of(&rules);
        let performed =
            |id: &str| matches!(sheet.marks.get(id), Some(Mark::Done | Mark::Prompted));
        for id in own(kit, sheet).into_iter().filter(|id| performed(id)) {
            let skipped = score(kit, &without(kit, sheet, id));
            skipped_ones += 1;
            assert!(
                skipped.earned <= verdict.earned || sheet.void.is_some(),
                "{} without {id}: {} of {}, before {}: {sheet:#?}",
                kit.drill().id,
                skipped.earned,
                skipped.possible,
                verdict.earned,
            );
            let OrderSeen::Listed(order) = &sheet.order_seen else { continue };
            // In order: before everything that comes after it, after all that comes before.
            let mut moved: Vec<String> = order.clone();
            moved.retain(|step| step != id);
            let last = moved.iter().rposition(|step| precedence.before(step, id));
            let first = moved.iter().position(|step| precedence.before(id, step));
            let at = last.map_or(0, |at| at + 1);
            if first.is_some_and(|first| first < at) {
                continue;
            }
            moved.insert(at, id.to_owned());
            let mut in_order = sheet.clone();
            in_order.order_seen = OrderSeen::Listed(moved);
            in_order.pairs.clear();
            let in_order = score(kit, &in_order);
            late_ones += 1;
            assert!(in_order.earned >= verdict.earned, "{id}: {sheet:#?}");
            let (high, low) = (height(in_order.outcome), height(verdict.outcome));
            assert!(high >= low.min(1), "{id}: {sheet:#?}");
        }
    });
    println!("{skipped_ones} steps skipped, {late_ones} put in order");
    assert!(skipped_ones > 2_000 && late_ones > 500);
}

#[test]
#[expect(clippy::too_many_lines, reason = "each thing that is taken away")]
fn nothing_rises_by_what_is_taken_away() {
    let mut taken = 0;
    on_all("taken-away", |kit, sheet, verdict, chance| {
        let mut less: Vec<(String, RunSheet, bool, bool)> = Vec::new();
        let then: Vec<String> =
            deciding(kit.drill()).into_iter().map(|(_, then)| then).collect();
        for id in own(kit, sheet) {
            if sheet.marks.contains_key(id) {
                // What came too early is itself what had to wait: without it there is no fault.
                // What was measured at a step has no value without it (rule 7 e).
                let measured = kit.drill().measures.iter().any(|one| one.step == id);
                let safety = !measured && !then.iter().any(|then| then == id);
                less.push((format!("step {id}"), without(kit, sheet, id), true, safety));
            }
        }
        for role in sheet.crew.keys() {
            let mut other = sheet.clone();
            other.crew.remove(role);
            less.push((format!("person {role}"), other, true, true));
        }
        for id in sheet.measures.keys() {
            let line = verdict.of_rule(Rule::Measure).find(|line| line.subject == *id);
            let inside = line.is_some_and(|line| line.decision == Decision::Kept);
            let mut other = sheet.clone();
            other.measures.remove(id);
            less.push((format!("value {id}"), other, inside, true));
        }
        for id in sheet.readings.keys() {
            let mut other = sheet.clone();
            other.readings.remove(id);
            less.push((format!("reading {id}"), other, false, true));
        }
        if sheet.order_seen != OrderSeen::NotWatched {
            let mut other = sheet.clone();
            other.order_seen = OrderSeen::NotWatched;
            less.push(("order".into(), other, true, true));
        }
        chance.shuffle(&mut less);
        for (name, other, counted, decides) in less.into_iter().take(6) {
            taken += 1;
            let after = score(kit, &other);
            let told = || {
                format!(
                    "{}: {name}: {} -> {}",
                    kit.drill().id,
                    verdict.reason,
                    after.reason
                )
            };
            if passes(after.outcome) && decides {
                assert!(
                    height(after.outcome) <= height(verdict.outcome)
                        || sets_right(verdict, sheet),
                    "{}\n{sheet:#?}",
                    told()
                );
            }
            if counted && sheet.void.is_none() {
                assert!(after.earned <= verdict.earned, "{}\n{sheet:#?}", told());
            }
        }
    });
    println!("{taken} things taken away");
    assert!(taken > 3_000);
}

/// Whether the sheet contradicts itself, so that one entry less may be what mends it.
fn sets_right(verdict: &Verdict, sheet: &RunSheet) -> bool {
    // What was left out by hand is no evidence, and one step less left out is no loss of any.
    let by_hand = |step: &drillwright::scoring::Line| step.subject == "left-out";
    let asked = verdict.lines.iter().any(|line| {
        line.decision == Decision::Unseen && (line.rule == Rule::Sheet || by_hand(line))
    });
    let undone = sheet.undone.iter().any(|step| sheet.marks.contains_key(step));
    verdict.outcome == Outcome::Incomplete && (asked || undone)
}

#[test]
fn silence_never_mends_a_run() {
    let mut silent = 0;
    on_all("silence", |kit, sheet, verdict, chance| {
        let mut less: Vec<(String, RunSheet)> = Vec::new();
        let mut take = |name: &str, change: &dyn Fn(&mut RunSheet)| {
            let mut other = sheet.clone();
            change(&mut other);
            less.push((name.to_owned(), other));
        };
        for id in sheet.marks.keys() {
            take(id, &|sheet| {
                sheet.marks.remove(id);
            });
        }
        for id in sheet.criticals.keys() {
            take(id, &|sheet| {
                sheet.criticals.remove(id);
            });
        }
        for id in sheet.cues.keys() {
            take(id, &|sheet| {
                sheet.cues.remove(id);
            });
        }
        for id in sheet.measures.keys() {
            take(id, &|sheet| {
                sheet.measures.remove(id);
            });
        }
        for id in sheet.readings.keys() {
            take(id, &|sheet| {
                sheet.readings.remove(id);
            });
        }
        take("order", &|sheet| sheet.order_seen = OrderSeen::NotWatched);
        take("pairs", &|sheet| sheet.pairs.clear());
        take("begun", &|sheet| sheet.begun.clear());
        take("time", &|sheet| sheet.time = None);
        chance.shuffle(&mut less);
        for (name, other) in less.into_iter().take(8) {
            silent += 1;
            let after = score(kit, &other).outcome;
            let before = verdict.outcome;
            // Not met stays so, or is asked for; nothing becomes met.
            assert!(
                before != Outcome::NotMet || !passes(after),
                "{} {name}: {} -> {after:?}\n{sheet:#?}",
                kit.drill().id,
                verdict.reason
            );
            assert!(
                after != Outcome::Met
                    || before == Outcome::Met
                    || sets_right(verdict, sheet),
                "{} {name}: {} -> {after:?}\n{sheet:#?}",
                kit.drill().id,
                verdict.reason
            );
        }
    });
    println!("{silent} silences");
    assert!(silent > 4_000);
}

/// Links of the candidate's own standing criticals that a sheet breaks by the plain wording
/// of the rules, worked out here once more.
fn broken(kit: &Kit, sheet: &RunSheet) -> Vec<String> {
    let drill = kit.drill();
    let step = |id: &str| drill.steps.iter().find(|step| step.id == id).unwrap();
    let shown = |id: &str| {
        let step = step(id);
        let cue =
            step.cue.as_ref().map(|id| drill.cues.iter().find(|c| c.id == *id).unwrap());
        let given = step.cue.as_ref().is_none_or(|cue| {
            sheet.cues.get(cue) == Some(&drillwright::course::CueMark::Given)
        });
        let cue = cue.is_none_or(|cue| {
            stands(kit, sheet.mode, cue.condition()) == Standing::Stands
        });
        given && cue && stands(kit, sheet.mode, step.condition()) == Standing::Stands
    };
    let done =
        |id: &str| matches!(sheet.marks.get(id), Some(Mark::Done | Mark::Prompted));
    let missing = |id: &str| {
        matches!(sheet.marks.get(id), Some(Mark::NotDone | Mark::NotApplicable))
    };
    let reversed = |first: &str, then: &str| match &sheet.order_seen {
        OrderSeen::Listed(order) => {
            let place = |id: &str| order.iter().position(|step| step == id);
            place(first).zip(place(then)).is_some_and(|(first, then)| first > then)
        }
        OrderSeen::NotWatched => {
            sheet.pairs.get(&format!("{first} > {then}")) == Some(&PairSeen::Reversed)
        }
        OrderSeen::AsPrinted => false,
    };
    let mut found = Vec::new();
    for critical in drill.criticals.iter().filter(|critical| critical.role == sheet.role)
    {
        if stands(kit, sheet.mode, critical.condition()) != Standing::Stands {
            continue;
        }
        for link in &critical.links {
            let wrong = match link {
                Link::Order { first, then } => then.iter().any(|then| {
                    shown(first)
                        && shown(then)
                        && done(then)
                        && (missing(first) || done(first) && reversed(first, then))
                }),
                Link::Answer { step, .. } => shown(step) && missing(step),
                Link::Hold { step } => {
                    shown(step) && (missing(step) || sheet.undone.contains(step))
                }
                Link::Limit { .. } | Link::Free { .. } => false,
            };
            let settled = sheet.settled.get(&critical.id);
            if wrong && settled.is_none_or(|settled| settled.officer.is_none()) {
                found.push(critical.id.clone());
            }
        }
    }
    found
}

#[test]
fn no_sheet_that_breaks_a_link_passes() {
    let (mut count, mut none) = (0, 0);
    on_all("links", |kit, sheet, verdict, _| {
        let broken = broken(kit, sheet);
        if broken.is_empty() {
            none += 1;
            return;
        }
        count += 1;
        assert!(
            !passes(verdict.outcome),
            "{} breaks {broken:?}: {}\n{sheet:#?}",
            kit.drill().id,
            verdict.reason
        );
    });
    println!("{count} sheets break a link, {none} do not");
    assert!(count > 100 && none > 100);
}

#[test]
fn what_was_seen_is_never_met_and_a_walk_through_is_never_met() {
    let (mut seen, mut walked) = (0, 0);
    on_all("seen", |kit, sheet, verdict, _| {
        let mut marks = kit.drill().criticals.iter().filter(|one| one.role == sheet.role);
        let yes = marks.any(|one| {
            let mark = sheet.criticals.get(&one.id);
            matches!(mark, Some(CriticalMark::Yes | CriticalMark::Prevented))
        });
        let limit =
            verdict.of_rule(Rule::Limit).any(|line| line.decision == Decision::Fails);
        let excused = sheet.void.as_ref().is_some_and(|void| void.produced_acts);
        if (yes || limit || !sheet.unsafe_acts.is_empty()) && !excused {
            seen += 1;
            assert_eq!(verdict.outcome, Outcome::NotMet, "{sheet:#?}");
        }
        if sheet.mode == Mode::WalkThrough {
            walked += 1;
            assert!(!matches!(verdict.outcome, Outcome::Met | Outcome::MetInPart));
        }
    });
    println!("{seen} sheets with something seen, {walked} walk-throughs");
    assert!(seen > 100 && walked > 100);
}

#[test]
fn every_outcome_comes_about_and_no_random_sheet_is_refused() {
    let mut outcomes = std::collections::BTreeMap::new();
    let mut clean = 0;
    on_all("outcomes", |kit, sheet, verdict, _| {
        *outcomes.entry(verdict.outcome).or_insert(0) += 1;
        let found = faults(kit, sheet);
        clean += usize::from(found.is_empty());
        let refused: Vec<_> = found.iter().filter(|fault| !fault.asks).collect();
        assert!(refused.is_empty(), "{refused:#?}");
        assert!(!deciding(kit.drill()).is_empty());
    });
    println!("{outcomes:?}, {clean} without a fault");
    assert!(outcomes.len() == 7 && clean > 150, "{outcomes:?} {clean}");
}
