//! A run among the earlier ones of the same candidate (rules 29 to 31).
//!
//! Only what was handed in together is known here. Where nothing earlier was, a later attempt
//! says so and is taken at its word; where something was, its number must follow from it.

use super::kit::Kit;
use super::say;
use super::score::scored;
use super::verdict::{Decision, Line, Outcome, Rule, Verdict};
use crate::course::{RunSheet, RunUse};
use crate::quantity::Moment;

/// A run that was scored before.
#[derive(Clone, Copy)]
struct Before<'b> {
    sheet: &'b RunSheet,
    outcome: Outcome,
    used: bool,
}

/// Scores runs that were handed in together, each after those that came before it. The
/// verdicts stand in the order of the runs.
pub fn score_all(runs: &[(&Kit, &RunSheet)]) -> Vec<Verdict> {
    let when = |sheet: &RunSheet| (Moment::read(&sheet.performed_at), sheet.attempt);
    let mut by_day: Vec<usize> = (0..runs.len()).collect();
    by_day.sort_by_key(|at| runs.get(*at).map(|(_, sheet)| when(sheet)));
    let mut out: Vec<(usize, Verdict)> = Vec::new();
    for at in by_day {
        let Some((kit, sheet)) = runs.get(at) else { continue };
        let before: Vec<Before<'_>> = out
            .iter()
            .filter_map(|(at, verdict)| {
                let (_, sheet) = runs.get(*at)?;
                let (outcome, used) = (verdict.outcome, verdict.uses_attempt);
                Some(Before { sheet, outcome, used })
            })
            .filter(|before| same(before.sheet, sheet))
            .collect();
        let verdict = scored(kit, sheet, among(kit, sheet, &before));
        out.push((at, verdict));
    }
    out.sort_by_key(|(at, _)| *at);
    out.into_iter().map(|(_, verdict)| verdict).collect()
}

/// Whether an earlier run counts for a later one: the same person in the same role of the same
/// drill, in an evaluation of another name. A second evaluator of one run is no second try.
fn same(before: &RunSheet, sheet: &RunSheet) -> bool {
    let counts = |sheet: &RunSheet| sheet.use_ == RunUse::Evaluation;
    let who = |sheet: &RunSheet| {
        (sheet.candidate.clone(), sheet.drill.clone(), sheet.role.clone())
    };
    counts(before) && counts(sheet) && before.id != sheet.id && who(before) == who(sheet)
}

/// What the earlier runs say against this one.
fn among(kit: &Kit, sheet: &RunSheet, before: &[Before<'_>]) -> Vec<Line> {
    let words = kit.words();
    let label = words.get("scoring.rule.attempt");
    let line = |decision, key: &str, blanks: &[(&str, &str)]| {
        say::line(words, Rule::Attempt, key, &label)
            .saw(sheet.attempt.to_string(), "")
            .means(words, decision, key, blanks)
    };
    if sheet.use_ != RunUse::Evaluation {
        return Vec::new();
    }
    let since = before.iter().rposition(|run| run.outcome == Outcome::Met);
    let since = since.map_or(0, |at| at + 1);
    let open: Vec<&Before<'_>> = before.iter().skip(since).collect();
    let used: Vec<&&Before<'_>> = open.iter().filter(|run| run.used).collect();
    let mut found = Vec::new();
    if before.is_empty() {
        if sheet.attempt > 1 {
            found.push(line(Decision::Noted, "attempts-not-shown", &[]));
        }
        return found;
    }
    let next = (used.len() + 1).to_string();
    if sheet.attempt.to_string() != next {
        found.push(line(Decision::Refused, "attempt-gap", &[("next", &next)]));
    }
    if granted(sheet) {
        return found;
    }
    if let Some(last) = used.last() {
        let day = |sheet: &RunSheet| Moment::read(&sheet.performed_at).map(Moment::day);
        if day(last.sheet) == day(sheet) {
            found.push(line(Decision::Refused, "retest-same-day", &[]));
        }
        let told = |text: &Option<String>| {
            text.as_ref().is_some_and(|text| !text.trim().is_empty())
        };
        if !told(&last.sheet.remediation) && !told(&sheet.remediation) {
            found.push(line(Decision::Refused, "retest-no-remediation", &[]));
        }
    }
    let again =
        used.iter().any(|run| run.sheet.evaluator.person == sheet.evaluator.person);
    if used.len() >= 2 && again {
        let who = sheet.evaluator.person.as_str();
        found.push(line(Decision::Refused, "third-same-evaluator", &[("who", who)]));
    }
    // Rule 31: the fault then lies with the evaluation.
    let open = open.iter().rev().take_while(|run| run.outcome == Outcome::Incomplete);
    if open.count() >= 3 {
        found.push(line(Decision::Noted, "evaluation-not-working", &[]));
    }
    found
}

/// Whether a named officer granted what a rule would refuse; neither candidate nor evaluator.
pub(super) fn granted(sheet: &RunSheet) -> bool {
    sheet.granted.as_ref().is_some_and(|one| {
        !one.why.trim().is_empty()
            && !one.by.trim().is_empty()
            && one.by != sheet.candidate
            && one.by != sheet.evaluator.person
    })
}

/// Why a verdict is for reading and gives no standing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ForReading {
    /// The department did not issue the kit that the run brought along (rule 38).
    UnknownKit,
    /// The run names no revision, so nobody knows what its candidate was held to: today's drill
    /// and today's card may be others (rule 37).
    NotPinned,
}

/// A verdict that is for reading only.
pub fn for_reading(kit: &Kit, mut verdict: Verdict, why: ForReading) -> Verdict {
    let words = kit.words();
    let key = match why {
        ForReading::UnknownKit => "unknown-kit",
        ForReading::NotPinned => "not-pinned",
    };
    // words: scoring.{unknown-kit|not-pinned}.{outcome|reason}
    let say = |part: &str, text: &str| {
        words.say(&format!("scoring.{key}.{part}"), &[("text", text)])
    };
    verdict.outcome_text = say("outcome", &verdict.outcome_text);
    verdict.reason = say("reason", &verdict.reason);
    if let Some(first) = verdict.lines.first_mut() {
        first.sentence.clone_from(&verdict.reason);
    }
    verdict.for_reading = true;
    (verdict.counts, verdict.uses_attempt) = (false, false);
    verdict
}
