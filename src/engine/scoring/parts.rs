//! Two runs of one evaluation that show together what neither showed alone (rules 13 and 23).
//!
//! They add up only where the later one says so, and only as one evaluation: the same candidate, role
//! and try, on the same line and day, the same revisions of drill and rig, the same evaluator, each
//! met in part. Anything else
//! leaves both as they are: nothing is ever worse for having been declared.

use std::sync::Arc;

use super::earlier::Run;
use super::joint::{jointly, one_candidate};
use super::outcome::date;
use super::say;
use super::verdict::{Decision, Line, Outcome, Rule, Verdict};
use crate::course::{Mode, RunSheet, RunUse};
use crate::words::Words;

/// The verdict of a run that completes an earlier one: met where both together show all of it.
pub(super) fn completed(
    run: &Run<'_>,
    mut verdict: Verdict,
    earlier: &[(&Run<'_>, &Verdict)],
) -> Verdict {
    let Some(named) = &run.sheet.completes else { return verdict };
    let words = run.kit.words();
    let first = earlier.iter().find(|(before, _)| {
        completes(run.sheet, before.sheet) && one_evaluation(before.sheet, run.sheet)
    });
    let Some((before, part)) = first.filter(|(_, part)| {
        part.drill_revision == verdict.drill_revision
            && part.rig_revision == verdict.rig_revision
    }) else {
        verdict.lines.push(noted(words, "parts-other", &[("run", named)]).into());
        return verdict;
    };
    // What one evaluator shows in part counts for nothing where another one of that run differs
    // (rule 34).
    let watched = earlier.iter().map(|(one, verdict)| (one.sheet, *verdict));
    let watched: Vec<(&RunSheet, &Verdict)> =
        watched.filter(|(one, _)| one_candidate(one, before.sheet)).collect();
    let outcome = jointly(&watched, words).map_or(part.outcome, |joint| joint.outcome);
    if verdict.outcome != Outcome::MetInPart || outcome != Outcome::MetInPart {
        verdict.lines.push(noted(words, "parts-not-both", &[("run", named)]).into());
        return verdict;
    }
    let lacks = lacking((run.sheet, &verdict), (before.sheet, part));
    let lacks = lacks.or_else(|| lacking((before.sheet, part), (run.sheet, &verdict)));
    let lacks = lacks.or_else(|| {
        let whole = |run: &Run<'_>| {
            let mode = run.sheet.mode;
            matches!(mode, Mode::TrainingFoam | Mode::Agent)
                || run.kit.drill().met_in.contains(&mode)
        };
        (!whole(run) && !whole(before)).then(|| verdict.mode_text.clone())
    });
    if let Some(what) = lacks {
        let blanks = [("run", named.as_str()), ("what", say::short(&what))];
        verdict.lines.push(noted(words, "parts-lack", &blanks).into());
        return verdict;
    }
    met(run, verdict, before.sheet)
}

/// Whether a sheet says that it completes the run of another one.
pub(super) fn completes(sheet: &RunSheet, other: &RunSheet) -> bool {
    sheet.completes.as_ref() == Some(&other.id)
}

/// Whether two sheets are of one declared evaluation.
pub(super) fn one_evaluation(before: &RunSheet, run: &RunSheet) -> bool {
    let of = |sheet: &RunSheet| {
        let RunSheet { candidate, drill, role, attempt, outlet, further, .. } =
            sheet.clone();
        let who = sheet.evaluator.person.clone();
        (candidate, drill, role, attempt, (outlet, further), who, date(sheet))
    };
    let counts = |sheet: &RunSheet| sheet.use_ == RunUse::Evaluation;
    before.id != run.id && counts(before) && counts(run) && of(before) == of(run)
}

/// What one sheet could show in part only, and the other does not show either.
fn lacking(
    (part_sheet, part): (&RunSheet, &Verdict),
    (other_sheet, other): (&RunSheet, &Verdict),
) -> Option<String> {
    let open = part
        .each()
        .filter(|line| line.decision == Decision::InPart && line.rule != Rule::Result);
    // What was seen not to be as the manual has it is not shown by another value (rule 20).
    let against = |line: &&Line| part_sheet.as_manual.get(&line.subject) == Some(&false);
    if let Some(line) = open.clone().find(against) {
        return Some(line.label.clone());
    }
    let shown = |line: &Line| {
        let mut same = other
            .each()
            .filter(|one| one.rule == line.rule && one.subject == line.subject)
            .peekable();
        // A limit has a line only where it was broken or left open.
        if line.rule == Rule::Limit && same.peek().is_none() {
            return other_sheet.measures.contains_key(&line.subject);
        }
        same.peek().is_some()
            && same.all(|one| {
                let earned = line.rule == Rule::Step && one.decision == Decision::Costs;
                one.decision == Decision::Kept || earned
            })
    };
    open.filter(|line| !shown(line)).map(|line| line.label.clone()).next()
}

fn noted(words: &Words, key: &str, blanks: &[(&str, &str)]) -> Line {
    let label = words.get("scoring.rule.attempt");
    let line = say::line(words, Rule::Attempt, "completes", &label);
    // words: scoring.line.{parts-other|parts-not-both|parts-lack}
    line.means(words, Decision::Noted, key, blanks)
}

fn met(run: &Run<'_>, mut verdict: Verdict, before: &RunSheet) -> Verdict {
    let words = run.kit.words();
    let (on, first) = (date(run.sheet), date(before));
    let blanks =
        [("date", on.as_str()), ("run", before.id.as_str()), ("first", first.as_str())];
    verdict.outcome = Outcome::Met;
    verdict.outcome_text = words.say("scoring.outcome.met", &blanks);
    verdict.reason = words.say("scoring.result.met-together", &blanks);
    if let Some(line) = verdict.lines.first_mut().map(Arc::make_mut) {
        line.decision = Decision::Kept;
        line.decision_text = words.get("scoring.decision.kept");
        line.sentence.clone_from(&verdict.reason);
    }
    // What it could not show itself stands on its lines, and was shown before.
    verdict.not_shown = Vec::new();
    verdict.next = Vec::new();
    verdict.uses_attempt = verdict.counts;
    verdict
}
