//! What sheets that were handed in together say against each other: two of one evaluator, two names
//! for one post, one run under two names, one person in two runs at one time.

use super::parts::completes;
use super::say;
use super::verdict::{Decision, Line, Rule};
use crate::course::{RunSheet, RunUse};
use crate::fingerprint::revision;
use crate::quantity::Moment;
use crate::words::Words;

/// Everything that the other sheets say against one.
pub(super) fn against_each_other(
    sheet: &RunSheet,
    all: &[&RunSheet],
    words: &Words,
) -> Vec<Line> {
    let label = words.get("scoring.rule.sheet");
    let line = |field: &str| say::line(words, Rule::Sheet, field, &label);
    let mut found = Vec::new();
    if twice(sheet, all) {
        let blanks = [("who", sheet.evaluator.person.as_str())];
        found.push(line("run").means(words, Decision::Refused, "two-sheets", &blanks));
    }
    if let Some(other) = two_candidates(sheet, all) {
        let blanks = [("who", other.candidate.as_str())];
        let line = line("candidate");
        found.push(line.means(words, Decision::Refused, "two-candidates", &blanks));
    }
    if let Some(other) = two_names(sheet, all) {
        let blanks = [("run", other.id.as_str())];
        found.push(line("run").means(words, Decision::Unseen, "two-names", &blanks));
    }
    if let Some(other) = two_places(sheet, all, |sheet| &sheet.candidate) {
        let blanks = [("run", other.id.as_str()), ("who", sheet.candidate.as_str())];
        let line = line("candidate");
        found.push(line.means(words, Decision::Noted, "two-places", &blanks));
    }
    if let Some(other) = two_places(sheet, all, |sheet| &sheet.evaluator.person) {
        let blanks =
            [("run", other.id.as_str()), ("who", sheet.evaluator.person.as_str())];
        let line = line("evaluator");
        found.push(line.means(words, Decision::Noted, "two-watched", &blanks));
    }
    found
}

/// The same evaluator handed in two sheets of one run that say something else: nobody knows
/// which of them holds, so neither counts (rule 34).
fn twice(sheet: &RunSheet, all: &[&RunSheet]) -> bool {
    // It says nothing against itself, and most runs have nobody else's sheet to be hashed for.
    let others = all.iter().filter(|other| !std::ptr::eq(**other, sheet));
    let mut of_run = others.filter(|other| other.known_by() == sheet.known_by());
    of_run.any(|other| revision(*other).ok() != revision(sheet).ok())
}

/// Two sheets of one run name two candidates for one post of one drill: one person, one post, per
/// run (rule 26), so one of the names belongs to another run, and neither counts.
fn two_candidates<'s>(sheet: &RunSheet, all: &[&'s RunSheet]) -> Option<&'s RunSheet> {
    let other = |other: &&&RunSheet| {
        other.candidate != sheet.candidate
            && other.id == sheet.id
            && other.drill == sheet.drill
            && other.role == sheet.role
    };
    all.iter().find(other).copied()
}

/// One candidate does one drill once at one minute. A second sheet of that minute under another name
/// is of the same run, as another evaluator saw it, or has a wrong day or a wrong candidate: what one
/// of them saw would be lost if the two stood for two runs (rule 34). So it is asked.
fn two_names<'s>(sheet: &RunSheet, all: &[&'s RunSheet]) -> Option<&'s RunSheet> {
    let who = |sheet: &RunSheet| {
        let RunSheet { candidate, drill, role, .. } = sheet;
        let at = Moment::read(&sheet.performed_at)?;
        let named = [candidate, drill, role].map(String::clone);
        (sheet.use_ == RunUse::Evaluation).then_some((named, at))
    };
    let own = who(sheet)?;
    // Two parts of one evaluation name each other, and may stand under one time (rule 23). A name of
    // any other run takes nothing out of the question.
    let parts = |other: &RunSheet| completes(sheet, other) || completes(other, sheet);
    let other = |other: &&&RunSheet| {
        other.id != sheet.id && !parts(other) && who(other).as_ref() == Some(&own)
    };
    all.iter().find(other).copied()
}

/// Nobody is in two runs at one minute, neither as candidate nor as evaluator (rule 26): one of the two
/// sheets has a wrong time or a wrong person. It is told and decides nothing, because a batch that
/// somebody types in with one time for the whole evening is the usual case. The roles of a crew, the
/// drills of a chain and two parts of one evaluation are one run; what the same candidate did in the
/// same drill is asked about as one run under two names.
fn two_places<'s>(
    sheet: &RunSheet,
    all: &[&'s RunSheet],
    who: fn(&RunSheet) -> &String,
) -> Option<&'s RunSheet> {
    let counts =
        |sheet: &RunSheet| sheet.use_ == RunUse::Evaluation && sheet.completes.is_none();
    let at = |sheet: &RunSheet| Moment::read(&sheet.performed_at);
    let named = Some(who(sheet)).filter(|who| !who.trim().is_empty() && counts(sheet));
    let (who_is, when) = named.zip(at(sheet))?;
    let one_drill = |other: &RunSheet| {
        other.candidate == sheet.candidate
            && other.drill == sheet.drill
            && other.role == sheet.role
    };
    let other = |other: &&&RunSheet| {
        other.id != sheet.id
            && counts(other)
            && who(other) == who_is
            && at(other) == Some(when)
            && !one_drill(other)
    };
    all.iter().find(other).copied()
}
