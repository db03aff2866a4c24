//! A run among the earlier ones of the same candidate (rules 29 to 31).
//!
//! Only what was handed in together is known here. Where nothing earlier was, that is said and
//! the number of the attempt is taken at its word; where something was, it must follow from it. A
//! retest by its own word is one all the same: it shows its remediation, or stays open.

use std::collections::BTreeSet;
use std::rc::Rc;
use std::sync::Arc;

use super::chained::within_chain;
use super::fault::Fault;
use super::form::{form_not_here, used_before};
use super::joint::jointly;
use super::kit::Kit;
use super::near::Near;
use super::parts::{completed, completes};
use super::posts::apart;
use super::reading::{ForReading, for_reading};
use super::retest::{granted, on, remediation};
use super::say;
use super::score::{fault_line, scored};
use super::together::against_each_other;
use super::unplaced::open_acts;
use super::verdict::{Decision, Line, Outcome, Rule, Verdict};
use crate::course::{FoamClass, ProportionerKind, RunSheet, RunUse};
use crate::quantity::{Day, Moment};

/// A run that is to be scored.
#[derive(Debug, Clone, Copy)]
pub struct Run<'r> {
    /// What it is scored by.
    pub kit: &'r Kit,
    /// What the evaluator saw.
    pub sheet: &'r RunSheet,
    /// What speaks against it beside its own faults: days, kits, its log.
    pub apart: &'r [Fault],
    /// Why it would be for reading only.
    pub reading: Option<ForReading>,
    /// The sheet as its form has it, where the two contradict each other.
    pub drawn: Option<&'r RunSheet>,
    /// Whether it names a form, and no forms file is at hand in which that could stand.
    pub form_not_here: bool,
    /// Other revisions that it may have been made for, where it names none that is at hand.
    pub beside: &'r [Rc<Kit>],
    /// Which of the drills of its chain it is, from 0; 0 where it is of none.
    pub place: usize,
}

impl<'r> Run<'r> {
    /// A run by itself.
    pub const fn of(kit: &'r Kit, sheet: &'r RunSheet) -> Self {
        let (apart, drawn, beside, place) = (&[], None, &[], 0);
        let (reading, form_not_here) = (None, false);
        Self { kit, sheet, apart, reading, drawn, form_not_here, beside, place }
    }
}

/// Scores a run by itself. The sheet is not changed; the same kit and the same sheet give the
/// same verdict on every machine and every day.
pub fn score(kit: &Kit, sheet: &RunSheet) -> Verdict {
    let verdict = scored(kit, sheet, among(kit, sheet, &[]));
    if super::reading::older(kit, sheet) {
        return for_reading(&Run::of(kit, sheet), verdict, ForReading::OlderRules);
    }
    verdict
}

/// An evaluation that was scored before, with the sheets of all who watched it.
struct Before<'b> {
    sheets: Vec<&'b RunSheet>,
    outcome: Outcome,
    used: bool,
}

impl Before<'_> {
    fn day(&self) -> Option<Day> {
        self.sheets.first().and_then(|sheet| day(sheet))
    }
}

fn day(sheet: &RunSheet) -> Option<Day> {
    Moment::read(&sheet.performed_at).map(Moment::day)
}

/// Scores runs that were handed in together, each after those that came before it. The
/// verdicts stand in the order of the runs.
pub fn score_all(runs: &[Run<'_>]) -> Vec<Verdict> {
    // What completes a run comes after it, also under one time.
    let when = |sheet: &RunSheet| {
        (Moment::read(&sheet.performed_at), sheet.attempt, sheet.completes.is_some())
    };
    let mut by_day: Vec<(usize, &Run<'_>)> = runs.iter().enumerate().collect();
    by_day.sort_by_cached_key(|(_, run)| when(run.sheet));
    // Each run's turn, by its place.
    let mut turns: Vec<(usize, usize)> =
        by_day.iter().enumerate().map(|(turn, (at, _))| (*at, turn)).collect();
    turns.sort_unstable();
    let near = Near::of(runs);
    let mut out: Vec<(usize, Verdict)> = Vec::new();
    // Most lines of a run say what those of another say; a county's year keeps each of them once.
    let mut said: BTreeSet<Arc<Line>> = BTreeSet::new();
    for (at, run) in by_day {
        let beside = near.to(run);
        let all: Vec<Run<'_>> =
            beside.iter().filter_map(|at| runs.get(*at).copied()).collect();
        let turn = |at: &usize| turns.get(*at).map(|(_, turn)| *turn);
        let mut before: Vec<usize> = beside.iter().filter_map(turn).collect();
        before.sort_unstable();
        // Those whose turn is still to come are not there yet.
        let done = before.iter().filter_map(|turn| out.get(*turn));
        let done: Vec<(&Run<'_>, &Verdict)> =
            done.filter_map(|(at, verdict)| Some((runs.get(*at)?, verdict))).collect();
        let mut verdict = told(run, &all, &done);
        let older = super::reading::older(run.kit, run.sheet);
        let older = older.then_some(ForReading::OlderRules);
        if let Some(why) = run.reading.or(older) {
            verdict = for_reading(run, verdict, why);
        }
        for line in &mut verdict.lines {
            match said.get(&*line) {
                Some(known) => line.clone_from(known),
                None => drop(said.insert(Arc::clone(line))),
            }
        }
        out.push((at, verdict));
    }
    out.sort_by_key(|(at, _)| *at);
    out.into_iter().map(|(_, verdict)| verdict).collect()
}

/// The verdict of a run among all that can say anything against it, and those of them that came
/// before it.
fn told(run: &Run<'_>, all: &[Run<'_>], done: &[(&Run<'_>, &Verdict)]) -> Verdict {
    let before = done.iter().filter(|(earlier, _)| same(earlier, run));
    let before: Vec<(&RunSheet, &Verdict)> =
        before.map(|(earlier, verdict)| (earlier.sheet, *verdict)).collect();
    let sheets: Vec<&RunSheet> = all.iter().map(|run| run.sheet).collect();
    let mut lines: Vec<Line> =
        run.apart.iter().map(|fault| fault_line(run.kit.words(), fault)).collect();
    lines.extend(against_each_other(run.sheet, &sheets, run.kit.words()));
    lines.extend(apart(run.kit, run.sheet, &sheets));
    lines.extend(within_chain(run, all));
    lines.extend(open_acts(run, all));
    lines.extend(run.form_not_here.then(|| form_not_here(run.kit, run.sheet)));
    lines.extend(among(run.kit, run.sheet, &evaluations(&before, run.kit)));
    let earlier: Vec<&RunSheet> = done.iter().map(|(run, _)| run.sheet).collect();
    // Whoever met the standard and comes back when it is due has no retest.
    let tried = done.iter().filter(|(run, before)| match before.outcome {
        Outcome::NotMet => true,
        Outcome::Met => run.sheet.use_ == RunUse::Practice,
        _ => false,
    });
    // By sheet and not by name: the drills of a chain share one, and another drill's failed try
    // makes no retest of this one.
    let tried: Vec<&RunSheet> = tried.map(|(run, _)| run.sheet).collect();
    lines.extend(used_before(run.kit, run.sheet, (&earlier, &tried)));
    let drawn = run.drawn.map(|drawn| scored(run.kit, drawn, lines.clone()));
    let verdict = either(scored(run.kit, run.sheet, lines), drawn);
    completed(run, verdict, done)
}

/// The verdict of a run that contradicts its form: nobody fails by one of two figures, so it is
/// not met only where it is by both.
fn either(written: Verdict, drawn: Option<Verdict>) -> Verdict {
    match drawn {
        Some(drawn)
            if written.outcome == Outcome::NotMet && drawn.outcome != Outcome::NotMet =>
        {
            Verdict { sheet: written.sheet, ..drawn }
        }
        _ => written,
    }
}

/// Whether an earlier run counts for a later one: the same person in the same role of the same
/// drill on a rig of the same kind, in an evaluation of another name. A second evaluator of one
/// run is no second try.
pub(super) fn same<'r>(before: &Run<'r>, run: &Run<'r>) -> bool {
    let counts = |run: &Run<'_>| run.sheet.use_ == RunUse::Evaluation;
    let who = |run: &Run<'r>| {
        let RunSheet { candidate, drill, role, .. } = run.sheet;
        [candidate, drill, role].map(String::as_str)
    };
    counts(before)
        && counts(run)
        && before.sheet.id != run.sheet.id
        // At one minute it is one run under two names, which is asked about; a run that completes
        // another one may stand under its time, and follows it all the same.
        && (before.sheet.performed_at != run.sheet.performed_at
            || completes(run.sheet, before.sheet))
        && who(before) == who(run)
        && kind(before.kit) == kind(run.kit)
}

/// What makes two rigs of one kind: the way of proportioning, the classes of foam, whether there
/// is a compressor. Another pumper of the same kind is no way to begin anew.
fn kind(kit: &Kit) -> (Option<ProportionerKind>, Vec<FoamClass>, bool) {
    let rig = kit.rig();
    let unit = rig.proportioner.as_ref().map(|unit| unit.kind);
    (unit, rig.classes().map(|(class, _)| class).collect(), rig.compressor.is_some())
}

/// Sheets as evaluations: several evaluators of one run are one try, with one result (rule 34).
fn evaluations<'b>(sheets: &[(&'b RunSheet, &Verdict)], kit: &Kit) -> Vec<Before<'b>> {
    let mut ids: Vec<&str> = Vec::new();
    for (sheet, _) in sheets {
        if !ids.contains(&sheet.id.as_str()) {
            ids.push(&sheet.id);
        }
    }
    let one = |id: &str| {
        let of: Vec<(&RunSheet, &Verdict)> =
            sheets.iter().filter(|(sheet, _)| sheet.id == id).copied().collect();
        let (_, verdict) = of.first()?;
        let joint = jointly(&of, kit.words());
        let outcome = joint.map_or(verdict.outcome, |joint| joint.outcome);
        let uses = matches!(outcome, Outcome::Met | Outcome::NotMet);
        let used = uses && of.iter().any(|(_, verdict)| verdict.uses_attempt);
        Some(Before {
            sheets: of.iter().map(|(sheet, _)| *sheet).collect(),
            outcome,
            used,
        })
    };
    ids.into_iter().filter_map(one).collect()
}

/// What the earlier runs say against this one.
fn among(kit: &Kit, sheet: &RunSheet, before: &[Before<'_>]) -> Vec<Line> {
    if sheet.use_ != RunUse::Evaluation {
        return Vec::new();
    }
    let told = Told { kit, sheet };
    if before.is_empty() {
        let taught = told.taught(&[]).filter(|_| !granted(sheet));
        let not_shown = told.line(Decision::Noted, "attempts-not-shown", &[]);
        let found = [not_shown].into_iter().chain(told.unseen(&[])).chain(taught);
        return found.chain(told.before_the_first()).collect();
    }
    let since = before.iter().rposition(|run| run.outcome == Outcome::Met);
    let open = before.get(since.map_or(0, |at| at + 1)..).unwrap_or_default();
    let used: Vec<&Before<'_>> = open.iter().filter(|run| run.used).collect();
    let mut found = Vec::new();
    // What came before the first that was handed in is taken at its word, where no standard was
    // met since.
    let first = open.first().filter(|_| since.is_none());
    let first = first.and_then(|run| run.sheets.first());
    let not_shown = first.map_or(0, |sheet| sheet.attempt.saturating_sub(1));
    let tries = u32::try_from(used.len()).unwrap_or(u32::MAX);
    let next = tries.saturating_add(not_shown).saturating_add(1);
    if not_shown > 0 {
        found.push(told.line(Decision::Noted, "attempts-not-shown", &[]));
    }
    if sheet.attempt != next {
        let next = next.to_string();
        found.push(told.line(Decision::Refused, "attempt-gap", &[("next", &next)]));
    }
    // A grant gives one try more, and another evaluator of it. It makes no retest of the same day, and
    // none of one without remediation (rule 30).
    match used.last() {
        Some(last) => found.extend(told.after(last)),
        None => found.extend(told.unseen(open)),
    }
    if !granted(sheet) {
        found.extend(told.third(&used));
        found.extend(told.taught(&used));
    }
    // Rule 31: the fault then lies with the evaluation.
    let row = open.iter().rev().take_while(|run| run.outcome == Outcome::Incomplete);
    // Three in a row: one or two can be the weather or a missing person, and then it is not
    // the way of evaluating.
    if row.count() >= 3 {
        found.push(told.line(Decision::Noted, "evaluation-not-working", &[]));
    }
    found
}

/// A sheet whose attempt is judged.
#[derive(Clone, Copy)]
struct Told<'t> {
    kit: &'t Kit,
    sheet: &'t RunSheet,
}

impl Told<'_> {
    fn line(self, decision: Decision, key: &str, blanks: &[(&str, &str)]) -> Line {
        let words = self.kit.words();
        let label = words.get("scoring.rule.attempt");
        let line = say::line(words, Rule::Attempt, key, &label);
        let line = line.saw(self.sheet.attempt.to_string(), "");
        // words: scoring.line.{.line(_, ..)|*}
        line.means(words, decision, key, blanks)
    }

    /// A retest is not on the same day, not inside the local wait, and not without remediation
    /// of a day between (rule 30).
    fn after(self, last: &Before<'_>) -> Vec<Line> {
        let mut found = Vec::new();
        let refused = |key: &str, blanks: &[(&str, &str)]| {
            self.line(Decision::Refused, key, blanks)
        };
        let days = last.day().zip(day(self.sheet));
        let wait = self.kit.drill().attempts.wait.max(1);
        if let Some((before, now)) = days {
            let passed = now.number() - before.number();
            let (wait_text, before) = (wait.to_string(), before.to_string());
            let blanks = [("wait", wait_text.as_str()), ("before", &before)];
            if passed <= 0 {
                found.push(refused("retest-same-day", &[]));
            } else if passed < i64::from(wait) {
                found.push(refused("retest-in-wait", &blanks));
            }
        }
        let given = remediation(last.sheets.iter().copied().chain([self.sheet]));
        let between =
            |on: Day| days.is_some_and(|(before, now)| before <= on && on <= now);
        let mut known = given.iter().filter_map(|one| on(one)).peekable();
        if given.is_empty() {
            found.push(refused("retest-no-remediation", &[]));
        } else if known.peek().is_none() {
            found.push(refused("retest-remediation-undated", &[]));
        } else if !known.any(between) {
            found.push(refused("retest-remediation-outside", &[]));
        }
        found
    }

    /// A retest by its own word whose earlier try was not handed in (rules 29 and 30). What was
    /// learned between may stand on the sheet that is not here, so that nothing is refused for it;
    /// without a day up to this run nobody can tell that it was before it, and silence is never met.
    fn unseen(self, open: &[Before<'_>]) -> Option<Line> {
        // Nothing is asked, because a first try has none before it.
        if self.sheet.attempt < 2 {
            return None;
        }
        let sheets = open.iter().flat_map(|run| run.sheets.iter().copied());
        let given = remediation(sheets.chain([self.sheet]));
        let now = day(self.sheet);
        let before = |on: Day| now.is_some_and(|now| on <= now);
        let days: Vec<Day> = given.into_iter().filter_map(on).collect();
        if days.iter().any(|on| before(*on)) {
            return None;
        }
        // Each of the two has its own mend.
        Some(if days.is_empty() {
            self.line(Decision::Unseen, "retest-unshown", &[])
        } else {
            self.line(Decision::Unseen, "retest-unshown-later", &[])
        })
    }

    /// What was learned before a run was learned after another one: a first try that has it has
    /// another number, or says nothing of it (rule 29).
    fn before_the_first(self) -> Option<Line> {
        let now = day(self.sheet)?;
        let given = remediation([self.sheet].into_iter());
        let taught = given.into_iter().filter_map(on).find(|on| *on < now)?;
        let taught = taught.to_string();
        // Nobody is taught again before a first try: either the number or the lesson is wrong.
        (self.sheet.attempt < 2).then(|| {
            self.line(Decision::Unseen, "first-after-lesson", &[("on", &taught)])
        })
    }

    /// The third try is evaluated by nobody who evaluated one of the earlier two.
    fn third(self, used: &[&Before<'_>]) -> Option<Line> {
        let who = self.sheet.evaluator.person.as_str();
        let mut sheets = used.iter().flat_map(|run| &run.sheets);
        let again = sheets.any(|sheet| sheet.evaluator.person == who);
        // From two earlier attempts on: the second may well have the same
        // evaluator, because a small department has no third person on every shift.
        // An earlier one that was not handed in was made all the same: the number says so.
        let third = (used.len() >= 2 || self.sheet.attempt >= 3) && again;
        third.then(|| {
            self.line(Decision::Refused, "third-same-evaluator", &[("who", who)])
        })
    }

    /// Nor by whoever gave the remedial lesson (rule 28).
    fn taught(self, used: &[&Before<'_>]) -> Option<Line> {
        let who = self.sheet.evaluator.person.as_str();
        let before = used.iter().flat_map(|run| run.sheets.iter().copied());
        let mut given = before.chain([self.sheet]).filter_map(|sheet| {
            sheet.remediation.as_ref().and_then(|given| given.by.as_deref())
        });
        // The sheet's own count and not that of the runs at hand: an attempt whose sheet is
        // not among them was made all the same.
        let third = self.sheet.attempt >= 3 && given.any(|by| by == who);
        third.then(|| self.line(Decision::Refused, "third-gave-lesson", &[("who", who)]))
    }
}
