//! Points: steps, the measured values that decide them, and order between them.

use std::collections::BTreeMap;

use super::criticals::mode_text;
use super::kit::Kit;
use super::order::Precedence;
use super::say;
use super::stands::{Standing, stands};
use super::verdict::{Decision, Line, Rule};
use crate::course::{Mark, RunSheet, Step};

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
    let mark = sheet.marks.get(&step.id).copied();
    // words: scoring.mark.{Mark|none}
    let seen = words.say(&format!("scoring.mark.{}", say::mark(mark)), &[]);
    let weight = i64::from(step.weight);
    let performed = matches!(mark, Some(Mark::Done | Mark::Prompted));
    let (decision, key, points, of) =
        match (stands(kit, sheet.mode, step.condition()), mark) {
            (Standing::NotOnRig, _) => (Decision::LeftOut, "step-not-here", 0, 0),
            (Standing::NotInMode, _) => (Decision::NotShown, "step-not-in-mode", 0, 0),
            _ if weight == 0 => (Decision::Noted, "step-not-scored", 0, 0),
            (_, Some(Mark::NotApplicable)) => {
                (Decision::LeftOut, "step-not-applicable", 0, 0)
            }
            _ if sheet.stop.is_some() && !performed => {
                (Decision::LeftOut, "step-after-stop", 0, 0)
            }
            (_, Some(Mark::Done)) => (Decision::Kept, "step-done", weight, weight),
            (_, Some(Mark::Prompted)) => (Decision::Costs, "step-prompted", 0, weight),
            (_, Some(Mark::NotDone)) => (Decision::Costs, "step-not-done", 0, weight),
            (_, Some(Mark::NotSeen)) => (Decision::Unseen, "step-not-seen", 0, 0),
            (_, None) => (Decision::Unseen, "step-no-mark", 0, 0),
        };
    let mode = mode_text(kit, sheet);
    let needs = step.condition().needs.unwrap_or_default();
    say::line(words, Rule::Step, &step.id, &step.action)
        .saw(seen, step.sees.clone())
        .worth(points, of)
        .means(words, decision, key, &[("mode", &mode), ("needs", needs)])
}

/// Order between steps: one point off for each step out of place, never more than the step
/// has left.
pub(super) fn order(kit: &Kit, sheet: &RunSheet, left: &mut Left) -> Vec<Line> {
    let precedence = Precedence::of(&kit.drill().order);
    match done_in_order(kit, sheet) {
        Some(done) => from_order((kit, sheet), &precedence, &done, left),
        None => from_marks(kit, sheet, &precedence, left),
    }
}

/// The candidate's steps in the order in which they were done, if it was written down.
pub(super) fn done_in_order(kit: &Kit, sheet: &RunSheet) -> Option<Vec<String>> {
    let seen = sheet.order_seen.as_ref()?;
    let counts = |id: &&String| {
        let done = matches!(sheet.marks.get(*id), Some(Mark::Done | Mark::Prompted));
        done && own_steps(kit, sheet).any(|step| {
            step.id == **id
                && stands(kit, sheet.mode, step.condition()) == Standing::Stands
        })
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
    precedence: &Precedence,
    done: &[String],
    left: &mut Left,
) -> Vec<Line> {
    let words = kit.words();
    let has = |step: &str| left.get(step).copied().unwrap_or(0);
    let out = precedence.out_of_place(done, |step| u64::from(has(step) > 0));
    let listed = sheet.order_seen.as_deref().unwrap_or_default().join(", ");
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
        let because = kit.drill().order.iter().filter(|rule| {
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

fn from_marks(
    kit: &Kit,
    sheet: &RunSheet,
    precedence: &Precedence,
    left: &mut Left,
) -> Vec<Line> {
    let words = kit.words();
    let marked: Vec<&Step> = own_steps(kit, sheet)
        .filter(|step| sheet.out_of_order.contains(&step.id))
        .collect();
    if marked.is_empty() {
        let line =
            say::line(words, Rule::Order, "order", &words.get("scoring.order-whole"))
                .saw(words.get("scoring.order-none"), words.get("scoring.order-wanted"))
                .means(words, Decision::Kept, "order-nothing", &[]);
        return vec![line];
    }
    let mut lines = Vec::new();
    for step in marked {
        let id = step.id.as_str();
        if !precedence.concerns(id) {
            let line = say::line(words, Rule::Order, id, &step.action)
                .saw(words.get("scoring.order-marked"), words.get("scoring.order-wanted"))
                .means(words, Decision::Noted, "order-no-rule", &[]);
            lines.push(line);
            continue;
        }
        let rules = kit.drill().order.iter().filter(|r| r.first == id || r.then == id);
        let because = rules.map(|rule| rule.because.clone()).min().unwrap_or_default();
        lines.push(one_point_off(
            kit,
            id,
            "order-marked",
            &[("because", &because)],
            left,
        ));
    }
    lines
}

fn action<'k>(kit: &'k Kit, id: &str) -> &'k str {
    let step = kit.drill().steps.iter().find(|step| step.id == id);
    step.map_or("", |step| say::short(&step.action))
}

fn one_point_off(
    kit: &Kit,
    id: &str,
    key: &str,
    blanks: &[(&str, &str)],
    left: &mut Left,
) -> Line {
    let words = kit.words();
    let has = left.entry(id.to_owned()).or_insert(0);
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
