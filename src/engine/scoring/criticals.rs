//! Lines that decide whatever the points: criticals, unsafe acts, critical order.

use super::kit::Kit;
use super::say;
use super::stands::{Standing, stands};
use super::verdict::{Decision, Line, Rule};
use crate::course::{Critical, CriticalMark, Mark, OrderRule, RunSheet, Step};

/// The mode of the run in words.
pub(super) fn mode_text(kit: &Kit, sheet: &RunSheet) -> String {
    // words: scoring.mode.{Mode}
    kit.words().say(&format!("scoring.mode.{}", sheet.mode.key()), &[])
}

/// The criticals of the candidate's role, in the order of the drill.
pub(super) fn criticals(kit: &Kit, sheet: &RunSheet) -> Vec<Line> {
    let own = kit.drill().criticals.iter().filter(|critical| critical.role == sheet.role);
    own.map(|critical| one(kit, sheet, critical)).collect()
}

fn one(kit: &Kit, sheet: &RunSheet, critical: &Critical) -> Line {
    let words = kit.words();
    let mark = sheet.criticals.get(&critical.id).copied();
    // words: scoring.critical-mark.{CriticalMark|none}
    let seen = words.say(&format!("scoring.critical-mark.{}", say::critical(mark)), &[]);
    let wanted = words.get("scoring.critical-mark.kept");
    let line =
        say::line(words, Rule::Critical, &critical.id, &critical.act).saw(seen, wanted);
    let standing = stands(kit, sheet.mode, critical.condition());
    let mode = mode_text(kit, sheet);
    let needs = critical.condition().needs.unwrap_or_default();
    let blanks =
        [("reason", critical.reason.as_str()), ("mode", &mode), ("needs", needs)];
    let (decision, key) = match (standing, mark) {
        (Standing::NotOnRig, _) => (Decision::LeftOut, "critical-not-here"),
        // What was seen happening counts in every mode.
        (_, Some(CriticalMark::Missed)) => (Decision::Fails, "critical-missed"),
        (_, Some(CriticalMark::Prompted)) => (Decision::Fails, "critical-prompted"),
        (Standing::NotInMode, _) => (Decision::InPart, "critical-not-shown"),
        (_, Some(CriticalMark::Kept)) => (Decision::Kept, "critical-kept"),
        (_, Some(CriticalMark::NotSeen)) => (Decision::Unseen, "critical-not-seen"),
        (_, None) => (Decision::Unseen, "critical-no-mark"),
        (_, Some(CriticalMark::NotApplicable)) => (Decision::Refused, "critical-applies"),
    };
    line.means(words, decision, key, &blanks)
}

/// Unsafe acts that were seen, in the order of the common list.
pub(super) fn unsafe_acts(kit: &Kit, sheet: &RunSheet) -> Vec<Line> {
    let words = kit.words();
    let seen = kit
        .standard()
        .unsafe_acts
        .iter()
        .filter(|act| sheet.unsafe_acts.contains(&act.id));
    seen.map(|act| {
        say::line(words, Rule::UnsafeAct, &act.id, &act.act)
            .saw(words.get("scoring.act-seen"), words.get("scoring.act-wanted"))
            .means(words, Decision::Fails, "unsafe-act", &[("reason", &act.reason)])
    })
    .collect()
}

/// Order rules that decide, for acts of the candidate's role.
pub(super) fn critical_order(kit: &Kit, sheet: &RunSheet) -> Vec<Line> {
    let step = |id: &str| kit.drill().steps.iter().find(|step| step.id == id);
    let mut rules: Vec<(&OrderRule, &Step, &Step)> = kit
        .drill()
        .order
        .iter()
        .filter(|rule| rule.critical)
        .filter_map(|rule| Some((rule, step(&rule.first)?, step(&rule.then)?)))
        .filter(|(_, _, then)| then.role == sheet.role)
        .collect();
    rules.sort_by_key(|(rule, ..)| (&rule.first, &rule.then));
    rules
        .into_iter()
        .map(|(rule, first, then)| order(kit, sheet, rule, [first, then]))
        .collect()
}

fn order(kit: &Kit, sheet: &RunSheet, rule: &OrderRule, steps: [&Step; 2]) -> Line {
    let words = kit.words();
    let [first, then] = steps;
    let subject = format!("{}>{}", rule.first, rule.then);
    let names =
        [("first", say::short(&first.action)), ("then", say::short(&then.action))];
    let label = words.say("scoring.order-label", &names);
    let mode = mode_text(kit, sheet);
    let standings = steps.map(|step| stands(kit, sheet.mode, step.condition()));
    let place = |id: &str| {
        sheet.order_seen.as_ref().and_then(|seen| seen.iter().position(|step| step == id))
    };
    let done = |step: &Step| match sheet.marks.get(&step.id) {
        Some(mark) => matches!(mark, Mark::Done | Mark::Prompted),
        // A step of another role has no mark on this candidate's sheet.
        None => step.role != sheet.role && place(&step.id).is_some(),
    };
    let marked =
        sheet.out_of_order.iter().any(|id| *id == rule.first || *id == rule.then);
    let both = steps.into_iter().all(done);
    let (decision, key, seen) = if standings.contains(&Standing::NotOnRig) {
        (Decision::LeftOut, "order-not-here", "none")
    } else if standings.contains(&Standing::NotInMode) {
        (Decision::InPart, "order-not-shown", "none")
    } else if !both {
        (Decision::Noted, "order-one-missing", "one-missing")
    } else {
        match (place(&rule.first), place(&rule.then)) {
            (Some(before), Some(after)) if before < after => {
                (Decision::Kept, "order-kept", "kept")
            }
            (Some(_), Some(_)) => (Decision::Fails, "order-broken", "broken"),
            _ if marked => (Decision::Unseen, "order-not-written", "marked"),
            _ if sheet.order_seen.is_some() => {
                (Decision::Unseen, "order-not-written", "not-listed")
            }
            _ => (Decision::Kept, "order-nothing-marked", "nothing-marked"),
        }
    };
    // words: scoring.order-seen.{none|one-missing|kept|broken|marked|not-listed|nothing-marked}
    let seen = words.say(&format!("scoring.order-seen.{seen}"), &[]);
    let blanks =
        [names[0], names[1], ("because", rule.because.as_str()), ("mode", mode.as_str())];
    say::line(words, Rule::CriticalOrder, &subject, &label)
        .saw(seen, label.clone())
        .means(words, decision, key, &blanks)
}
