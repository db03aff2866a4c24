//! One run sheet scored: every line, then the outcome.

use std::sync::Arc;

use super::criticals::{criticals, mode_text, unsafe_acts};
use super::evidence::Evidence;
use super::fault::{Fault, faults};
use super::kit::{Kit, short_revision};
use super::limits::{LIMITS, common};
use super::measures::measures;
use super::order::order_statistics;
use super::outcome::{self, Decided};
use super::reread;
use super::say;
use super::shares::{printed, shares, tenths};
use super::steps::{
    Left, done_in_order, left_out_by_hand, left_out_decides, order, steps,
};
use super::verdict::{Decision, Line, Outcome, Rule, Verdict};
use super::watch::time;
use crate::course::{RunSheet, RunUse, StopCause, Void};
use crate::fingerprint::revision;
use crate::quantity::{Moment, Quantity};
use crate::words::Words;

/// Scores a run, with what is said to it beside its own sheet: by earlier runs, by its days.
pub(super) fn scored(kit: &Kit, sheet: &RunSheet, among: Vec<Line>) -> Verdict {
    let on_lines = kit.for_run(sheet);
    let kit = on_lines.as_ref();
    let evidence = Evidence { kit, sheet };
    let mut lines = if let Some(void) = &sheet.void {
        void_lines(evidence, void)
    } else {
        let mut lines = sheet_lines(kit, sheet);
        lines.extend(unsafe_acts(kit, sheet));
        lines.extend(criticals(kit, sheet));
        lines.extend(common(evidence));
        lines.extend(stop_line(kit, sheet));
        lines.extend(left_out_by_hand(kit, sheet));
        lines.extend(time(kit, sheet));
        let mut left = Left::new();
        lines.extend(steps(kit, sheet, &mut left));
        lines.extend(measures(kit, sheet, &mut left));
        lines.extend(order(kit, sheet, &mut left));
        lines.extend(left_out_decides(kit, sheet, &lines));
        lines.extend(reading_lines(kit, sheet));
        lines
    };
    lines.push(attempt_line(kit, sheet));
    lines.extend(among);
    lines.push(use_line(kit, sheet));
    let decided = outcome::decide(kit, sheet, &lines);
    lines.insert(0, decided.line.clone());
    verdict(kit, sheet, lines, decided)
}

fn verdict(
    kit: &Kit,
    sheet: &RunSheet,
    mut lines: Vec<Line>,
    decided: Decided,
) -> Verdict {
    let words = kit.words();
    let earned = lines.iter().map(|line| line.points).sum();
    let possible = lines.iter().map(|line| line.of).sum();
    let percent_tenths = decided.percent.then(|| tenths(earned, possible)).flatten();
    if percent_tenths.is_some() {
        share_out(&mut lines, possible);
    }
    let texts = |wanted: &[Decision]| -> Vec<String> {
        let of = lines.iter().filter(|line| wanted.contains(&line.decision));
        of.filter(|line| line.rule != Rule::Result)
            .map(|line| line.sentence.clone())
            .collect()
    };
    let drill = kit.drill();
    let revision_blanks = [
        ("number", &*drill.revision.to_string()),
        ("date", drill.revised_on.as_str()),
        ("hash", short_revision(kit.drill_revision())),
    ];
    let pass = kit.standard().pass_mark.as_ref();
    // What is refused is kept and never counted, whatever it was declared as (rule 30).
    let counts = sheet.use_ == RunUse::Evaluation && decided.outcome != Outcome::Refused;
    // Rule 31: met in part, incomplete and void use none.
    let used = matches!(decided.outcome, Outcome::Met | Outcome::NotMet);
    Verdict {
        run: sheet.id.clone(),
        sheet: revision(sheet).unwrap_or_default(),
        drill: drill.id.clone(),
        drill_title: drill.title.clone(),
        drill_revision_text: words.say("scoring.revision", &revision_blanks),
        drill_revision: kit.drill_revision().to_owned(),
        rig: kit.rig().id.clone(),
        rig_title: kit.rig().title.clone(),
        rig_revision: kit.rig_revision().to_owned(),
        rules: kit.standard().rules,
        candidate: sheet.candidate.clone(),
        role: sheet.role.clone(),
        on: outcome::date(sheet),
        outcome: decided.outcome,
        outcome_text: decided.text,
        reason: decided.line.sentence,
        // words: scoring.use.{RunUse}
        use_text: words.say(&format!("scoring.use.{}", sheet.use_.key()), &[]),
        mode_text: mode_text(kit, sheet),
        counts,
        for_reading: false,
        uses_attempt: counts && used,
        earned,
        possible,
        percent_tenths,
        percent: percent_tenths.map(|tenths| format!("{}\u{a0}%", printed(tenths))),
        cut: pass.map(|pass| pass.value.printed()),
        cut_source: pass.map(|pass| pass.source.clone()),
        not_seen: texts(&[Decision::Unseen, Decision::Open]),
        not_shown: texts(&[Decision::InPart, Decision::NotShown]),
        order: done_in_order(kit, sheet)
            .filter(|_| sheet.void.is_none())
            .map(|done| order_statistics(&drill.orders(), &done)),
        next: reread::follows(kit, outcome::next(kit, sheet, decided.outcome), &lines),
        lines: lines.into_iter().map(Arc::new).collect(),
    }
}

/// Gives each line its share of the percent.
fn share_out(lines: &mut [Line], possible: i64) {
    let points: Vec<i64> = lines.iter().map(|line| line.points).collect();
    let shares = shares(&points, possible).unwrap_or_default();
    for (line, share) in lines.iter_mut().zip(shares) {
        line.share_tenths = Some(share);
        if line.points != 0 || line.of != 0 {
            line.share = printed(share);
        }
    }
}

fn sheet_lines(kit: &Kit, sheet: &RunSheet) -> Vec<Line> {
    let found = faults(kit, sheet);
    found.iter().map(|fault| fault_line(kit.words(), fault)).collect()
}

/// A fault as a reason.
pub(super) fn fault_line(words: &Words, fault: &Fault) -> Line {
    let field = fault.field();
    let decision = if fault.asks { Decision::Unseen } else { Decision::Refused };
    let mut line = say::line(words, Rule::Sheet, &field, &field)
        .saw("", fault.write(words))
        .means(words, decision, "sheet", &[]);
    line.sentence = fault.says(words);
    line
}

/// A void run decides nothing, but acts that were seen stay on the sheet and decide, unless
/// evaluator and whoever agreed both state that its cause produced them (rule 33).
fn void_lines(evidence: Evidence<'_>, void: &Void) -> Vec<Line> {
    let Evidence { kit, sheet } = evidence;
    let words = kit.words();
    let agreed = void.agreed_by.as_deref().filter(|officer| {
        *officer != sheet.candidate && *officer != sheet.evaluator.person
    });
    let agreed = agreed.filter(|officer| !officer.trim().is_empty());
    let label = words.get("scoring.rule.void");
    // words: scoring.void-cause.{VoidCause}
    let cause = words.get(&format!("scoring.void-cause.{}", void.cause.key()));
    let officer = agreed.unwrap_or_default();
    let blanks = [("why", void.why.as_str()), ("cause", &cause), ("officer", officer)];
    let line = say::line(words, Rule::Void, "void", &label).saw(void.why.clone(), "");
    let mut lines = vec![match (agreed, &void.at) {
        (Some(_), Some(at)) if !on_its_day(sheet, at) => {
            line.means(words, Decision::Unseen, "void-other-day", &blanks)
        }
        (Some(_), Some(_)) => line.means(words, Decision::Noted, "void", &blanks),
        (Some(_), None) => line.means(words, Decision::Unseen, "void-untimed", &blanks),
        (None, _) => line.means(words, Decision::Unseen, "void-not-agreed", &blanks),
    }];
    // A run that had to be refused stays refused; what is only asked is asked of no void run.
    let refused = sheet_lines(kit, sheet).into_iter();
    lines.extend(refused.filter(|line| line.decision == Decision::Refused));
    let excused = void.produced_acts && agreed.is_some();
    let acts = unsafe_acts(kit, sheet).into_iter().chain(criticals(kit, sheet));
    let acts = acts.chain(common(evidence)).chain(stop_line(kit, sheet));
    for mut line in acts.chain(measures(kit, sheet, &mut Left::new())) {
        if line.decision == Decision::Fails && !excused {
            lines.push(line);
        } else if line.decision == Decision::Fails || line.rule == Rule::OfOthers {
            line.decision = Decision::Noted;
            line.decision_text = words.get("scoring.decision.noted");
            lines.push(line);
        }
    }
    lines
}

/// Whether a run was called void on the day on which it was performed, and not before it.
fn on_its_day(sheet: &RunSheet, at: &str) -> bool {
    let both = Moment::read(&sheet.performed_at).zip(Moment::read(at));
    both.is_none_or(|(begun, called)| called >= begun && called.day() == begun.day())
}

/// A stop of the candidate's own cause must name the act; then it is that act. Any other
/// cause stops the run and costs nobody anything (rule 32).
fn stop_line(kit: &Kit, sheet: &RunSheet) -> Option<Line> {
    let words = kit.words();
    let stop = sheet.stop.as_ref()?;
    // words: scoring.cause.{StopCause}
    let cause = words.say(&format!("scoring.cause.{}", stop.cause.key()), &[]);
    let act = stop.act.as_deref().and_then(|id| act(kit, &sheet.role, id));
    let named = act.as_deref().map(say::short).unwrap_or_default();
    let blanks = [
        ("by", stop.by.as_str()),
        ("why", say::short(&stop.why)),
        ("cause", &cause),
        ("act", named),
    ];
    let label = words.get("scoring.rule.stop");
    let line = say::line(words, Rule::Stop, "stop", &label).saw(stop.by.clone(), "");
    let (decision, key) = match (stop.cause, &act) {
        (StopCause::Candidate, Some(_)) => (Decision::Fails, "stop-act"),
        (StopCause::Candidate, None) => (Decision::Unseen, "stop-no-act"),
        // An act of the candidate beside another cause is a contradiction, and is not dropped.
        (_, Some(_)) => (Decision::Unseen, "stop-act-apart"),
        _ => (Decision::Noted, "stop"),
    };
    Some(line.means(words, decision, key, &blanks))
}

/// A critical, an unsafe act or a common limit by its name.
///
/// A critical of another role is no act of this candidate (rule 35).
fn act(kit: &Kit, role: &str, id: &str) -> Option<String> {
    let own = kit.drill().criticals.iter().filter(|one| one.role == role);
    let criticals = own.map(|one| (&one.id, &one.act));
    let acts = kit.standard().unsafe_acts.iter().map(|one| (&one.id, &one.act));
    let known = criticals.chain(acts).find(|(known, _)| *known == id);
    let limit = |key: &&&str| **key == id;
    known.map(|(_, act)| act.clone()).or_else(|| {
        // words: scoring.limit.{LIMITS}
        let key = LIMITS.iter().find(limit)?;
        Some(kit.words().get(&format!("scoring.limit.{key}")))
    })
}

fn reading_lines(kit: &Kit, sheet: &RunSheet) -> Vec<Line> {
    let words = kit.words();
    let known = kit.drill().readings.iter();
    known
        .map(|reading| {
            let (least, most) = (reading.least.printed(), reading.most.printed());
            let blanks = [("least", least.as_str()), ("most", most.as_str())];
            let range = words.say("scoring.band.between", &blanks);
            let seen = sheet
                .readings
                .get(&reading.id)
                .map_or_else(|| words.get("scoring.nothing-written"), Quantity::printed);
            say::line(words, Rule::Reading, &reading.id, &reading.label)
                .saw(seen, range)
                .means(words, Decision::Noted, "reading", &[])
        })
        .collect()
}

fn attempt_line(kit: &Kit, sheet: &RunSheet) -> Line {
    let words = kit.words();
    let most = kit.drill().attempts.most;
    let (attempt, most_text) = (sheet.attempt.to_string(), most.to_string());
    let key = if sheet.attempt > most { "attempt-beyond" } else { "attempt" };
    let blanks = [("attempt", attempt.as_str()), ("most", &most_text)];
    let label = words.get("scoring.rule.attempt");
    let line = say::line(words, Rule::Attempt, "attempt", &label);
    line.saw(attempt.clone(), most_text.clone()).means(
        words,
        Decision::Noted,
        key,
        &blanks,
    )
}

fn use_line(kit: &Kit, sheet: &RunSheet) -> Line {
    let words = kit.words();
    let key = sheet.use_.key();
    let mode = mode_text(kit, sheet);
    let label = words.get("scoring.rule.use");
    let seen = words.say(&format!("scoring.use.{key}"), &[]);
    say::line(words, Rule::Use, "use", &label).saw(seen, "").means(
        words,
        Decision::Noted,
        // words: scoring.line.use-{RunUse}
        &format!("use-{key}"),
        &[("mode", &mode)],
    )
}
