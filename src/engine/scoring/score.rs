//! One run sheet scored: every line, then the outcome.

use super::criticals::{critical_order, criticals, mode_text, unsafe_acts};
use super::fault::faults;
use super::kit::{Kit, short_revision};
use super::measures::measures;
use super::order::order_statistics;
use super::outcome::{self, Decided, voided};
use super::say;
use super::shares::{printed, shares, tenths};
use super::steps::{Left, done_in_order, order, steps};
use super::verdict::{Decision, Line, Outcome, Rule, Verdict};
use super::watch::time;
use crate::course::{RunSheet, RunUse};
use crate::fingerprint::revision;
use crate::quantity::Quantity;

/// Scores a run. The sheet is not changed; the same kit and the same sheet give the same
/// verdict on every machine and every day.
pub fn score(kit: &Kit, sheet: &RunSheet) -> Verdict {
    let mut lines = if voided(sheet).is_some() {
        void_lines(kit, sheet)
    } else {
        let mut lines = sheet_lines(kit, sheet);
        lines.extend(unsafe_acts(kit, sheet));
        lines.extend(criticals(kit, sheet));
        lines.extend(critical_order(kit, sheet));
        lines.extend(stop_line(kit, sheet));
        lines.extend(time(kit, sheet));
        let mut left = Left::new();
        lines.extend(steps(kit, sheet, &mut left));
        lines.extend(measures(kit, sheet, &mut left));
        lines.extend(order(kit, sheet, &mut left));
        lines.extend(reading_lines(kit, sheet));
        lines
    };
    lines.push(attempt_line(kit, sheet));
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
    let counts = sheet.use_ == RunUse::Evaluation;
    let used =
        matches!(decided.outcome, Outcome::Met | Outcome::MetInPart | Outcome::NotMet);
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
        uses_attempt: counts && used,
        earned,
        possible,
        percent_tenths,
        percent: percent_tenths.map(|tenths| format!("{}\u{a0}%", printed(tenths))),
        cut: pass.map(|pass| pass.value.printed()),
        cut_source: pass.map(|pass| pass.source.clone()),
        not_seen: texts(&[Decision::Unseen]),
        not_shown: texts(&[Decision::InPart, Decision::NotShown]),
        order: done_in_order(kit, sheet)
            .filter(|_| voided(sheet).is_none())
            .map(|done| order_statistics(&drill.order, &done)),
        next: outcome::next(kit, sheet, decided.outcome),
        lines,
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
    let words = kit.words();
    let found = faults(kit, sheet);
    found
        .iter()
        .map(|fault| {
            let field = fault.field();
            let mut line = say::line(words, Rule::Sheet, &field, &field)
                .saw("", fault.write(words))
                .means(words, Decision::Refused, "sheet", &[]);
            line.sentence = fault.says(words);
            line
        })
        .collect()
}

fn void_lines(kit: &Kit, sheet: &RunSheet) -> Vec<Line> {
    let words = kit.words();
    let reason = sheet.void.clone().unwrap_or_default();
    let label = words.get("scoring.rule.void");
    let mut lines =
        vec![say::line(words, Rule::Void, "void", &label).saw(reason, "").means(
            words,
            Decision::Noted,
            "void",
            &[],
        )];
    // A void run decides nothing, but an unsafe act that was seen is kept.
    for mut line in unsafe_acts(kit, sheet) {
        line.decision = Decision::Noted;
        line.decision_text = words.get("scoring.decision.noted");
        lines.push(line);
    }
    lines
}

fn stop_line(kit: &Kit, sheet: &RunSheet) -> Option<Line> {
    let words = kit.words();
    let stop = sheet.stop.as_ref()?;
    // words: scoring.cause.{StopCause}
    let cause = words.say(&format!("scoring.cause.{}", stop.cause.key()), &[]);
    let blanks =
        [("by", stop.by.as_str()), ("why", say::short(&stop.why)), ("cause", &cause)];
    let label = words.get("scoring.rule.stop");
    let line = say::line(words, Rule::Stop, "stop", &label).saw(stop.by.clone(), "");
    Some(line.means(words, Decision::Noted, "stop", &blanks))
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
