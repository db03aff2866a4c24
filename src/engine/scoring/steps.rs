//! Points: steps, the measured values that decide them, and order between them.

use std::collections::{BTreeMap, BTreeSet};

use super::criticals::mode_text;
use super::evidence::Evidence;
use super::kit::Kit;
use super::missing::{contested, order_refused, unanswered};
use super::order::Precedence;
use super::say;
use super::stands::{Standing, stands};
use super::unwatched::not_watched;
use super::verdict::{Decision, Line, Rule};
use crate::course::{Mark, Mode, OrderRule, OrderSeen, RunSheet, Step};
use crate::quantity::Fraction;

/// Points that each step still has; measured values and order take from it.
pub(super) type Left = BTreeMap<String, i64>;

/// Steps of the candidate's role, in the order of the drill.
pub(super) fn own_steps<'k>(
    kit: &'k Kit,
    sheet: &RunSheet,
) -> impl Iterator<Item = &'k Step> + use<'k> {
    let role = sheet.role.clone();
    kit.drill().steps.iter().filter(move |step| step.role == role)
}

pub(super) fn steps(kit: &Kit, sheet: &RunSheet, left: &mut Left) -> Vec<Line> {
    own_steps(kit, sheet)
        .map(|step| {
            let line = one(kit, sheet, step);
            left.insert(step.id.clone(), line.points);
            line
        })
        .collect()
}

fn one(kit: &Kit, sheet: &RunSheet, step: &Step) -> Line {
    let words = kit.words();
    let evidence = Evidence { kit, sheet };
    let mark = evidence.mark(&step.id);
    // words: scoring.mark.{Mark|none}
    let seen = words.say(&format!("scoring.mark.{}", say::mark(mark)), &[]);
    let weight = i64::from(step.weight);
    let performed = matches!(mark, Some(Mark::Done | Mark::Prompted));
    let standing = evidence.standing(step);
    let taken = sheet.took_away.contains(&step.id);
    let undone = sheet.undone.contains(&step.id);
    let missing = undone || evidence.performed(step) == Some(false);
    // The mode would show it, so it is the cue that was not given: that is the evaluator's
    // doing, and another sentence.
    let cue_missing = stands(kit, sheet.mode, step.condition()) == Standing::Stands;
    let (decision, key, points, of, open) = match (standing, mark) {
        // The arms go from what nobody can answer for to what the candidate did; a later
        // one is never asked where an earlier one holds.
        (Standing::NotOnRig, _) => (Decision::LeftOut, "step-not-here", 0, 0, 0),
        // Rule 13: what rests on a cue that was not given was not shown.
        (Standing::NotInMode, _) if cue_missing => {
            (Decision::InPart, "step-no-cue", 0, 0, 0)
        }
        (Standing::NotInMode, _) => (Decision::NotShown, "step-not-in-mode", 0, 0, 0),
        _ if weight == 0 && !step.produces => {
            (Decision::Noted, "step-not-scored", 0, 0, 0)
        }
        // After a stop the rest was taken from the candidate; what was done by then stays
        // his.
        _ if sheet.stop.is_some() && !performed && mark != Some(Mark::NotApplicable) => {
            (Decision::LeftOut, "step-after-stop", 0, 0, 0)
        }
        // Rule 17: an order that had to be refused leaves nothing to be produced.
        _ if step.produces && missing && order_refused(evidence) => {
            (Decision::Unseen, "step-produced-open", 0, weight, weight)
        }
        // Rule 13: a cue that was given and that nothing answers is broken, whoever wrote the drill.
        _ if missing && unanswered(evidence, step) => {
            let asked = !undone && contested(evidence, step);
            unanswered_cue(asked, weight)
        }
        // Rule 21: what the drill is for is not outweighed by points. Not done is seen to be missing;
        // what nobody saw, or left out by hand, is asked about.
        _ if step.produces && missing && !contested(evidence, step) => {
            (Decision::Fails, "step-not-produced", 0, weight, 0)
        }
        _ if step.produces && !taken && !performed && !evidence.badly(step) => {
            (Decision::Unseen, "step-produced-open", 0, weight, weight)
        }
        (_, Some(Mark::NotApplicable)) => {
            (Decision::LeftOut, "step-not-applicable", 0, 0, 0)
        }
        // What was undone before the end is no better than what was never done (rule 9).
        (_, Some(Mark::Done | Mark::Prompted)) if undone => {
            (Decision::Costs, "step-undone", 0, weight, 0)
        }
        (_, Some(Mark::Done)) => (Decision::Kept, "step-done", weight, weight, 0),
        (_, Some(Mark::Prompted)) => (Decision::Costs, "step-prompted", 0, weight, 0),
        (_, Some(Mark::NotDone)) => (Decision::Costs, "step-not-done", 0, weight, 0),
        // Rule 35: somebody else's act took it away.
        (_, Some(Mark::NotSeen)) if taken => {
            (Decision::Open, "step-taken-away", 0, weight, weight)
        }
        (_, Some(Mark::NotSeen)) => (Decision::Open, "step-not-seen", 0, weight, weight),
        (_, None) => (Decision::Open, "step-no-mark", 0, weight, weight),
    };
    let mode = mode_text(kit, sheet);
    let needs = step.condition().needs.unwrap_or_default();
    let why = sheet.left_out.get(&step.id).map(String::as_str).unwrap_or_default();
    let blanks = [("mode", mode.as_str()), ("needs", needs), ("why", why)];
    say::line(words, Rule::Step, &step.id, &step.action)
        .saw(seen, step.sees.clone())
        .worth(points, of)
        .open(open)
        .means(words, decision, key, &blanks)
}

/// A cue without an answer. A value that was written down for it speaks against its mark, and a
/// contradiction is asked about before anything is broken by it (rule 7 e).
const fn unanswered_cue(
    asked: bool,
    weight: i64,
) -> (Decision, &'static str, i64, i64, i64) {
    if asked {
        (Decision::Unseen, "step-cue-contested", 0, weight, weight)
    } else {
        (Decision::Fails, "step-cue-unanswered", 0, weight, 0)
    }
}

/// More than a tenth of the points left out by hand leaves the run incomplete (rule 14).
pub(super) fn left_out_by_hand(kit: &Kit, sheet: &RunSheet) -> Option<Line> {
    let words = kit.words();
    let evidence = Evidence { kit, sheet };
    let own = || {
        own_steps(kit, sheet).filter(|step| evidence.standing(step) == Standing::Stands)
    };
    // A reason without a mark leaves it out as well.
    let by_hand = |step: &&Step| match sheet.marks.get(&step.id) {
        Some(mark) => *mark == Mark::NotApplicable,
        None => sheet.left_out.contains_key(&step.id),
    };
    let weight = |steps: Vec<&Step>| steps.iter().map(|step| step.weight).sum::<u32>();
    let (left, all) = (weight(own().filter(by_hand).collect()), weight(own().collect()));
    // A tenth without dividing: with 15 points, 1 may be left out and 2 may not, and no
    // rounding has a say.
    (left * 10 > all).then(|| {
        let label = words.get("scoring.rule.left-out");
        let (left, all) = (left.to_string(), all.to_string());
        let blanks = [("left", left.as_str()), ("all", all.as_str())];
        say::line(words, Rule::Step, "left-out", &label).saw(left.clone(), "").means(
            words,
            Decision::Unseen,
            "left-out-much",
            &blanks,
        )
    })
}

/// Whether what was left out by hand decides: done late it would have cost a point each, and then the
/// points would not do (rule 9). It is asked about before it helps anybody over the mark.
pub(super) fn left_out_decides(
    kit: &Kit,
    sheet: &RunSheet,
    lines: &[Line],
) -> Option<Line> {
    // No mark of the standard is asked for there.
    if sheet.mode == Mode::WalkThrough {
        return None;
    }
    let words = kit.words();
    let pass = kit.standard().pass_mark.as_ref()?.value.number();
    let evidence = Evidence { kit, sheet };
    let left = own_steps(kit, sheet).filter(|step| {
        evidence.standing(step) == Standing::Stands
            && sheet.marks.get(&step.id) == Some(&Mark::NotApplicable)
    });
    let weights: Vec<i64> = left.map(|step| i64::from(step.weight)).collect();
    let (earned, possible) = lines.iter().fold((0, 0), |(earned, possible), line| {
        (earned + line.points, possible + line.of)
    });
    // As if each had been done late: the least that leaving a step out must cost, or nobody
    // would do it late again.
    let late: i64 = weights.iter().map(|weight| (weight - 1).max(0)).sum();
    let all: i64 = weights.iter().sum();
    let reaches = |points: i64, of: i64| {
        let share = Fraction::new(i128::from(points) * 100, i128::from(of));
        share.is_some_and(|share| share >= pass)
    };
    let decides = reaches(earned, possible) && !reaches(earned + late, possible + all);
    decides.then(|| {
        let label = words.get("scoring.rule.left-out");
        let line = say::line(words, Rule::Step, "left-out-decides", &label);
        line.saw(all.to_string(), "").means(
            words,
            Decision::Unseen,
            "left-out-decides",
            &[("left", &all.to_string())],
        )
    })
}

/// Order between steps: one point off for each step out of place, never more than the step
/// has left. A step that is missing has lost its whole weight already (rule 10).
pub(super) fn order(kit: &Kit, sheet: &RunSheet, left: &mut Left) -> Vec<Line> {
    let rules = kit.drill().orders();
    let precedence = Precedence::of(&rules);
    let mut lines = match done_in_order(kit, sheet) {
        Some(done) => from_order((kit, sheet), (&rules, &precedence), &done, left),
        None => not_watched(kit, sheet, &precedence, left),
    };
    lines.extend(free_steps(kit, sheet, &rules, left));
    lines
}

/// A first step without points of its own that was not done costs the second what being late
/// costs: skipping is never better than doing it late (rule 9).
fn free_steps(
    kit: &Kit,
    sheet: &RunSheet,
    rules: &[OrderRule],
    left: &mut Left,
) -> Vec<Line> {
    let evidence = Evidence { kit, sheet };
    let mut lines = Vec::new();
    // A step pays once, however many free steps were skipped before it, as with steps out
    // of place.
    let mut told = BTreeSet::new();
    for rule in rules {
        let steps = evidence.step(&rule.first).zip(evidence.step(&rule.then));
        let Some((first, then)) = steps else { continue };
        let stands =
            [first, then].iter().all(|step| evidence.standing(step) == Standing::Stands);
        let skipped = evidence.done(first) == Some(false)
            && evidence.done(then) == Some(true)
            && then.role == sheet.role;
        if stands && skipped && first.weight == 0 && told.insert(&then.id) {
            let blanks =
                [("others", say::short(&first.action)), ("because", &*rule.because)];
            lines.push(one_point_off(kit, &then.id, "order-too-early", &blanks, left));
        }
    }
    lines
}

/// The candidate's steps in the order in which they were done, if it was written down.
pub(super) fn done_in_order(kit: &Kit, sheet: &RunSheet) -> Option<Vec<String>> {
    let printed: Vec<String>;
    let seen = match &sheet.order_seen {
        OrderSeen::NotWatched => return None,
        OrderSeen::Listed(steps) => steps,
        OrderSeen::AsPrinted => {
            printed = kit.drill().steps.iter().map(|step| step.id.clone()).collect();
            &printed
        }
    };
    let evidence = Evidence { kit, sheet };
    let counts = |id: &&String| {
        // Only what was done has a place: what was skipped has lost its points by now, and
        // an order with holes would punish it a second time.
        let done = matches!(evidence.mark(id), Some(Mark::Done | Mark::Prompted));
        done && own_steps(kit, sheet)
            .any(|step| step.id == **id && evidence.standing(step) == Standing::Stands)
    };
    let mut done: Vec<String> = Vec::new();
    for id in seen.iter().filter(counts) {
        if !done.contains(id) {
            done.push(id.clone());
        }
    }
    Some(done)
}

fn from_order(
    (kit, sheet): (&Kit, &RunSheet),
    (rules, precedence): (&[OrderRule], &Precedence),
    done: &[String],
    left: &mut Left,
) -> Vec<Line> {
    let words = kit.words();
    let has = |step: &str| left.get(step).copied().unwrap_or(0);
    let out = precedence.out_of_place(done, |step| u64::from(has(step) > 0));
    let listed = match &sheet.order_seen {
        OrderSeen::Listed(steps) => steps.join(", "),
        _ => words.get("scoring.order-as-printed"),
    };
    let (count, longest) = (done.len().to_string(), (done.len() - out.len()).to_string());
    let mut lines = vec![
        say::line(words, Rule::Order, "order", &words.get("scoring.order-whole"))
            .saw(listed, words.get("scoring.order-wanted"))
            .means(
                words,
                if out.is_empty() { Decision::Kept } else { Decision::Noted },
                "order-whole",
                &[("count", &count), ("longest", &longest)],
            ),
    ];
    // In the order of the drill, so that nothing hangs on how unrelated steps were done.
    let listed = kit.drill().steps.iter().map(|step| &step.id);
    for id in listed.filter(|id| out.contains(id)) {
        let place = |step: &str| done.iter().position(|other| other == step);
        let wrong = |step: &str| {
            let (here, there) = (place(id), place(step));
            (precedence.before(step, id) && there > here)
                || (precedence.before(id, step) && here > there)
        };
        // A rule as written says why; without one the steps between were not done.
        let because = rules.iter().filter(|rule| {
            (rule.first == *id && wrong(&rule.then))
                || (rule.then == *id && wrong(&rule.first))
        });
        let because = because.map(|rule| rule.because.clone()).min();
        let mut others: Vec<&str> = done
            .iter()
            .filter(|other| !out.contains(other) && wrong(other))
            .map(|other| action(kit, other))
            .collect();
        others.sort_unstable();
        let others = others.join("; ");
        let early = done.iter().any(|step| {
            !out.contains(step) && precedence.before(step, id) && wrong(step)
        });
        let because = because.unwrap_or_else(|| words.get("scoring.order-chain"));
        let key = if early { "order-too-early" } else { "order-too-late" };
        lines.push(one_point_off(
            kit,
            id,
            key,
            &[("others", &others), ("because", &because)],
            left,
        ));
    }
    lines
}

fn action<'k>(kit: &'k Kit, id: &str) -> &'k str {
    let step = kit.drill().steps.iter().find(|step| step.id == id);
    step.map_or("", |step| say::short(&step.action))
}

pub(super) fn one_point_off(
    kit: &Kit,
    id: &str,
    key: &str,
    blanks: &[(&str, &str)],
    left: &mut Left,
) -> Line {
    let words = kit.words();
    let has = left.entry(id.to_owned()).or_insert(0);
    // Never below nothing: a step that was lost is lost, and debts would be paid by steps
    // that were done well.
    let off = (*has).clamp(0, 1);
    *has -= off;
    let step = kit.drill().steps.iter().find(|step| step.id == id);
    let decision = if off > 0 { Decision::Costs } else { Decision::Noted };
    let key = if off > 0 { key.to_owned() } else { format!("{key}-free") };
    let label = step.map_or("", |step| step.action.as_str());
    say::line(words, Rule::Order, id, label)
        .saw(words.get("scoring.order-marked"), words.get("scoring.order-wanted"))
        .worth(-off, 0)
        .means(words, decision, &key, blanks)
}
