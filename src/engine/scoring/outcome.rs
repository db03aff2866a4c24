//! From lines to an outcome, and what follows from it.
//!
//! In this order: a void run is void; a faulty sheet has no result; the candidate's own
//! unsafe act, missed critical or broken critical order fails; a stopped run is stopped; a
//! critical value or the watch outside its limit fails; what was not seen leaves the run
//! incomplete; then the points decide; then the mode.

use super::criticals::mode_text;
use super::kit::Kit;
use super::say;
use super::shares::{printed, tenths};
use super::verdict::{Decision, Line, Outcome, Rule};
use crate::course::RunSheet;
use crate::quantity::{Fraction, Moment};

/// An outcome with its first line.
#[derive(Debug, Clone)]
pub(super) struct Decided {
    pub(super) outcome: Outcome,
    pub(super) text: String,
    pub(super) line: Line,
    /// Whether a percent may be stated.
    pub(super) percent: bool,
}

/// The ISO date of a run; what a kit from elsewhere has in place of one, as it stands.
pub(super) fn date(sheet: &RunSheet) -> String {
    let moment = Moment::read(&sheet.performed_at);
    moment.map_or_else(|| sheet.performed_at.clone(), |moment| moment.day().to_string())
}

pub(super) fn decide(kit: &Kit, sheet: &RunSheet, lines: &[Line]) -> Decided {
    let words = kit.words();
    let earned: i64 = lines.iter().map(|line| line.points).sum();
    let possible: i64 = lines.iter().map(|line| line.of).sum();
    let (outcome, key, why) = outcome(kit, sheet, lines, (earned, possible));
    let seen_whole = !lines
        .iter()
        .any(|line| matches!(line.decision, Decision::Unseen | Decision::Refused));
    let concludes =
        matches!(outcome, Outcome::Met | Outcome::MetInPart | Outcome::NotMet);
    let percent = concludes && seen_whole && sheet.stop.is_none() && possible > 0;
    let share = tenths(earned, possible).filter(|_| percent).map(printed);
    let share = share.map_or_else(String::new, |share| format!("{share}\u{a0}%"));
    let pass = kit.standard().pass_mark.as_ref();
    let cut = pass.map(|pass| pass.value.printed()).unwrap_or_default();
    let (earned, possible) = (earned.to_string(), possible.to_string());
    let mode = mode_text(kit, sheet);
    let date = date(sheet);
    let blanks = [
        ("date", date.as_str()),
        ("why", why.as_str()),
        ("earned", earned.as_str()),
        ("possible", possible.as_str()),
        ("percent", share.as_str()),
        ("cut", cut.as_str()),
        ("mode", mode.as_str()),
    ];
    // words: scoring.outcome.{Outcome}
    let text = words.say(&format!("scoring.outcome.{}", outcome.key()), &blanks);
    let decision = match outcome {
        Outcome::Met => Decision::Kept,
        Outcome::MetInPart => Decision::InPart,
        Outcome::NotMet => Decision::Fails,
        Outcome::Incomplete => Decision::Unseen,
        Outcome::Stopped | Outcome::Void => Decision::Noted,
    };
    let mut line = say::line(words, Rule::Result, &kit.drill().id, &kit.drill().title)
        .saw(share.clone(), cut.clone())
        .means(words, decision, "result", &[]);
    // words: scoring.result.{outcome()}
    line.sentence = words.say(&format!("scoring.result.{key}"), &blanks);
    Decided { outcome, text, line, percent }
}

/// The outcome, the key of its sentence, and the sentence of the line that decides.
fn outcome(
    kit: &Kit,
    sheet: &RunSheet,
    lines: &[Line],
    (earned, possible): (i64, i64),
) -> (Outcome, &'static str, String) {
    let first = |wanted: Decision, rules: &[Rule]| {
        let mut found =
            lines.iter().filter(|l| l.decision == wanted && rules.contains(&l.rule));
        found.next().map(|line| line.sentence.clone())
    };
    let any = |wanted: Decision| {
        lines
            .iter()
            .find(|line| line.decision == wanted)
            .map(|line| line.sentence.clone())
    };
    if let Some(reason) = voided(sheet) {
        return (Outcome::Void, "void", reason.to_owned());
    }
    if let Some(why) = any(Decision::Refused) {
        return (Outcome::Incomplete, "refused", why);
    }
    let acts = [Rule::UnsafeAct, Rule::Critical, Rule::CriticalOrder];
    if let Some(why) = first(Decision::Fails, &acts) {
        return (Outcome::NotMet, "not-met", why);
    }
    if let Some(line) = lines.iter().find(|line| line.rule == Rule::Stop) {
        return (Outcome::Stopped, "stopped", line.sentence.clone());
    }
    if let Some(why) = any(Decision::Fails) {
        return (Outcome::NotMet, "not-met", why);
    }
    if let Some(why) = any(Decision::Unseen) {
        return (Outcome::Incomplete, "incomplete", why);
    }
    let Some(pass) = &kit.standard().pass_mark else {
        return (Outcome::Incomplete, "no-pass-mark", String::new());
    };
    if possible <= 0 {
        return (Outcome::Incomplete, "nothing-scored", String::new());
    }
    let share = Fraction::new(i128::from(earned) * 100, i128::from(possible));
    if share.is_none_or(|share| share < pass.value.number()) {
        return (Outcome::NotMet, "not-met-points", String::new());
    }
    match any(Decision::InPart) {
        Some(why) => (Outcome::MetInPart, "met-in-part", why),
        None => (Outcome::Met, "met", String::new()),
    }
}

/// The reason for which a run is void.
pub(super) fn voided(sheet: &RunSheet) -> Option<&str> {
    sheet.void.as_deref().map(str::trim).filter(|reason| !reason.is_empty())
}

/// What follows, in sentences.
pub(super) fn next(kit: &Kit, sheet: &RunSheet, outcome: Outcome) -> Vec<String> {
    let words = kit.words();
    let drill = kit.drill();
    let say = |key: &str, text: &str| {
        // words: scoring.next.{say(..)}
        words.say(&format!("scoring.next.{key}"), &[("text", text)])
    };
    let mut out = Vec::new();
    if sheet.stop.is_some() {
        out.push(say("safe-state", &drill.stop.safe_state.join(" ")));
    }
    if let Some(given) = &sheet.remediation {
        out.push(say("given", given));
    }
    match outcome {
        Outcome::NotMet => {
            out.push(say("remediation", &drill.attempts.remediation));
            out.push(say("retest", &drill.attempts.retest));
            out.push(say("appeal", &drill.attempts.appeal));
        }
        Outcome::MetInPart => out.push(say("part", "")),
        Outcome::Incomplete => out.push(say("again", "")),
        Outcome::Stopped => out.push(say("stopped", "")),
        Outcome::Void => out.push(say("void", "")),
        Outcome::Met => {}
    }
    out
}
