//! From lines to an outcome, and what follows from it.
//!
//! In this order (the first that holds): an act, an unsafe act or a limit seen fails, also in
//! a run that is otherwise refused, void or incomplete; then refused, void, stopped; not met by
//! points, where it stays so with every open item given to the candidate; incomplete; walked
//! through; met in part; met. Only what could still change the result leaves a run incomplete.

use super::criticals::mode_text;
use super::kit::Kit;
use super::say;
use super::shares::{printed, tenths};
use super::verdict::{Decision, Line, Outcome, Rule};
use crate::course::{Mode, RunSheet};
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
    let (outcome, key, why) = outcome(kit, sheet, lines);
    // A percent of a sheet with a hole in it reads as a result, and would be remembered as
    // one.
    let seen_whole = !lines
        .iter()
        .any(|line| matches!(line.decision, Decision::Unseen | Decision::Refused));
    let concludes =
        matches!(outcome, Outcome::Met | Outcome::MetInPart | Outcome::NotMet);
    // Points are silent where somebody stopped the run, and where there was none (rule 32).
    let whole = sheet.stop.is_none() && sheet.void.is_none();
    let percent = concludes && seen_whole && whole && possible > 0;
    let share = tenths(earned, possible).filter(|_| percent).map(printed);
    let share = share.map_or_else(String::new, |share| format!("{share}\u{a0}%"));
    let pass = kit.standard().pass_mark.as_ref();
    let cut = pass.map(|pass| pass.value.printed()).unwrap_or_default();
    let open: i64 = lines.iter().map(|line| line.open).sum();
    let most = (earned + open).to_string();
    // Sums and the most that can still be reached are printed from the same lines that
    // decide, so that a reader can add them up.
    let (earned, possible) = (earned.to_string(), possible.to_string());
    let mode = mode_text(kit, sheet);
    let date = date(sheet);
    // What is said of criticals is said of this role alone (rule 36).
    let role = kit.drill().roles.iter().find(|role| role.id == sheet.role);
    let role = role.map_or(sheet.role.as_str(), |role| role.title.as_str());
    let blanks = [
        ("date", date.as_str()),
        ("why", why.as_str()),
        ("earned", earned.as_str()),
        ("most", most.as_str()),
        ("possible", possible.as_str()),
        ("percent", share.as_str()),
        ("cut", cut.as_str()),
        ("mode", mode.as_str()),
        ("role", role),
    ];
    // words: scoring.outcome.{Outcome}
    let text = words.say(&format!("scoring.outcome.{}", outcome.key()), &blanks);
    let decision = match outcome {
        Outcome::Met => Decision::Kept,
        Outcome::MetInPart => Decision::InPart,
        Outcome::NotMet => Decision::Fails,
        Outcome::Incomplete => Decision::Unseen,
        Outcome::Refused => Decision::Refused,
        // Neither for nor against anybody: what is only noted must never be counted as a
        // failed try.
        Outcome::WalkedThrough | Outcome::Stopped | Outcome::Void => Decision::Noted,
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
) -> (Outcome, &'static str, String) {
    let why = |holds: &dyn Fn(&Line) -> bool| {
        lines.iter().find(|line| holds(line)).map(|line| line.sentence.clone())
    };
    // An act seen is seen, whatever else is wrong with the run.
    if let Some(why) = why(&|line| line.decision == Decision::Fails && line.rule.is_act())
    {
        return (Outcome::NotMet, "not-met", why);
    }
    // Before void and stop: a run that should not have been begun has no cause to be judged
    // by.
    if let Some(why) = why(&|line| line.decision == Decision::Refused) {
        return (Outcome::Refused, "refused", why);
    }
    // Void before stopped: where both are written, the void one says that the drill itself
    // went wrong, and a stop would be put down to the candidate.
    if let Some(line) = lines.iter().find(|line| line.rule == Rule::Void) {
        let open = line.decision == Decision::Unseen;
        return if open {
            (Outcome::Incomplete, "incomplete", line.sentence.clone())
        } else {
            (Outcome::Void, "void", line.sentence.clone())
        };
    }
    if let Some(line) = lines.iter().find(|line| line.rule == Rule::Stop) {
        let open = line.decision == Decision::Unseen;
        return if open {
            (Outcome::Incomplete, "incomplete", line.sentence.clone())
        } else {
            (Outcome::Stopped, "stopped", line.sentence.clone())
        };
    }
    if let Some(why) = why(&|line| line.decision == Decision::Fails) {
        return (Outcome::NotMet, "not-met", why);
    }
    // Points before what is open: who cannot reach the mark any more is told so today, and
    // is not asked for an answer that changes nothing.
    points(kit, sheet, lines).unwrap_or_else(|| {
        let unseen = why(&|line| line.decision == Decision::Unseen);
        unseen.map_or_else(
            || shown(kit, sheet, lines),
            |why| (Outcome::Incomplete, "incomplete", why),
        )
    })
}

/// What the points decide: with all that is open given to the candidate, and with none of it.
fn points(
    kit: &Kit,
    sheet: &RunSheet,
    lines: &[Line],
) -> Option<(Outcome, &'static str, String)> {
    let sum = |of: fn(&Line) -> i64| lines.iter().map(of).sum::<i64>();
    let (earned, possible, open) =
        (sum(|line| line.points), sum(|line| line.of), sum(|line| line.open));
    // Nothing was started in a walk-through: it meets no standard, so no mark of the standard
    // fails it. What was said and pointed at is on its lines (rule 23, modes).
    if sheet.mode == Mode::WalkThrough {
        return None;
    }
    // A mark that nothing reaches asks for nothing, and is none.
    let pass = kit.standard().pass_mark.as_ref();
    let Some(pass) = pass.filter(|pass| pass.value.number().signum() > 0) else {
        return Some((Outcome::Incomplete, "no-pass-mark", String::new()));
    };
    if possible <= 0 {
        return Some((Outcome::Incomplete, "nothing-scored", String::new()));
    }
    let reaches = |points: i64| {
        // Compared as a fraction and not as the printed percent, which is rounded and would
        // put an edge in another place than the pass mark says.
        let share = Fraction::new(i128::from(points) * 100, i128::from(possible));
        share.is_some_and(|share| share >= pass.value.number())
    };
    if !reaches(earned + open) {
        let asked = lines.iter().any(|line| line.decision == Decision::Unseen);
        let key =
            if asked || open > 0 { "not-met-points-open" } else { "not-met-points" };
        return Some((Outcome::NotMet, key, String::new()));
    }
    // What decides and is open is told before points that are.
    if reaches(earned) || lines.iter().any(|line| line.decision == Decision::Unseen) {
        return None;
    }
    let why = lines.iter().find(|line| line.open > 0).map(|line| line.sentence.clone());
    Some((Outcome::Incomplete, "incomplete-points", why.unwrap_or_default()))
}

/// What a mode can show at best (rules 22 and 23).
fn shown(kit: &Kit, sheet: &RunSheet, lines: &[Line]) -> (Outcome, &'static str, String) {
    if sheet.mode == Mode::WalkThrough {
        return (Outcome::WalkedThrough, "walked-through", String::new());
    }
    let part = lines.iter().find(|line| line.decision == Decision::InPart);
    if let Some(line) = part {
        return (Outcome::MetInPart, "met-in-part", line.sentence.clone());
    }
    // Foam shows everything a drill can ask for; any other mode has to be named by the
    // drill, because silence of an author must not turn a dry run into a met standard.
    let foam = matches!(sheet.mode, Mode::TrainingFoam | Mode::Agent);
    if !foam && !kit.drill().met_in.contains(&sheet.mode) {
        let mode = mode_text(kit, sheet);
        let why = kit.words().say("scoring.part-of-mode", &[("mode", &mode)]);
        return (Outcome::MetInPart, "met-in-part", why);
    }
    (Outcome::Met, "met", String::new())
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
    // Told first: the crew stands at the pump, and what comes next there is not paper.
    if sheet.stop.is_some() {
        out.push(say("safe-state", &drill.stop.safe_state.join(" ")));
    }
    if let Some(given) = &sheet.remediation {
        out.push(say("given", &given.what));
    }
    match outcome {
        Outcome::NotMet => {
            // In the order in which they are done: learn, try again, and only then
            // complain.
            out.push(say("remediation", &drill.attempts.remediation));
            out.push(say("retest", &drill.attempts.retest));
            out.push(say("appeal", &drill.attempts.appeal));
        }
        Outcome::MetInPart => out.push(say("part", "")),
        Outcome::Incomplete => out.push(say("again", "")),
        Outcome::Refused => out.push(say("refused", "")),
        Outcome::WalkedThrough => out.push(say("walked-through", "")),
        Outcome::Stopped => out.push(say("stopped", "")),
        Outcome::Void => out.push(say("void", "")),
        Outcome::Met => {}
    }
    out
}
