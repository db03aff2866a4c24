//! One run of one candidate, seen by several evaluators (rule 34).

use serde::Serialize;

use super::say::short;
use super::verdict::{Line, Outcome, Rule, Verdict};
use crate::course::RunSheet;
use crate::words::Words;

/// The one result of a run that several evaluators saw.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Joint {
    /// Run id.
    pub run: String,
    /// Drill id.
    pub drill: String,
    /// Its title.
    pub drill_title: String,
    /// Candidate's id.
    pub candidate: String,
    /// Role.
    pub role: String,
    /// Theirs where they agree; incomplete where they differ.
    pub outcome: Outcome,
    /// The same in words.
    pub outcome_text: String,
    /// In what they differ, one sentence each.
    pub differences: Vec<String>,
}

/// The result of sheets of one run, drill, candidate and role by several evaluators; nothing
/// for fewer than two. They agree in the outcome and in every critical, or the training officer
/// decides in writing.
pub fn jointly(sheets: &[(&RunSheet, &Verdict)], words: &Words) -> Option<Joint> {
    let ((first, one), rest) =
        sheets.split_first().filter(|(_, rest)| !rest.is_empty())?;
    let mut differences = Vec::new();
    for (sheet, verdict) in rest {
        let who = [first.evaluator.person.as_str(), sheet.evaluator.person.as_str()];
        let blanks = |what: &str, a: &str, b: &str| {
            let all =
                [("what", what), ("one", who[0]), ("a", a), ("other", who[1]), ("b", b)];
            words.say("scoring.joint.differ", &all)
        };
        if one.outcome != verdict.outcome {
            let what = words.get("scoring.rule.result");
            differences.push(blanks(&what, &one.outcome_text, &verdict.outcome_text));
        }
        for (label, a, b) in declared(first, sheet) {
            // words: scoring.joint.of.{rig|outlet|mode|use|date|attempt}
            let label = words.get(&format!("scoring.joint.of.{label}"));
            differences.push(blanks(&label, &a, &b));
        }
        for [label, a, b] in acts(one, verdict) {
            differences.push(blanks(short(label), a, b));
        }
    }
    // Each beside each: who of three evaluators stood at the nozzle may be told by the third alone.
    for (watches, _) in sheets {
        let others = sheets.iter().filter(|(works, _)| {
            works.evaluator.person != watches.evaluator.person && at_work(works, watches)
        });
        differences.extend(others.map(|(works, _)| {
            let who = watches.evaluator.person.as_str();
            let blanks = [("who", who), ("other", &works.evaluator.person)];
            words.say("scoring.joint.at-work", &blanks)
        }));
    }
    let agree = differences.is_empty();
    Some(Joint {
        run: one.run.clone(),
        drill: one.drill.clone(),
        drill_title: one.drill_title.clone(),
        candidate: one.candidate.clone(),
        role: one.role.clone(),
        outcome: if agree { one.outcome } else { Outcome::Incomplete },
        outcome_text: if agree {
            one.outcome_text.clone()
        } else {
            words.say("scoring.joint.differs", &[])
        },
        differences,
    })
}

/// Whether two sheets are of one run of one candidate, whoever watched it.
pub fn one_candidate(one: &RunSheet, other: &RunSheet) -> bool {
    let of = |sheet: &RunSheet| {
        let RunSheet { id, drill, candidate, role, .. } = sheet;
        [id, drill, candidate, role].map(String::clone)
    };
    of(one) == of(other)
}

/// What both sheets say of the run itself, where they do not say the same: then they are not of
/// one run. Each as the name of a label and the two
/// texts.
fn declared(one: &RunSheet, other: &RunSheet) -> Vec<(&'static str, String, String)> {
    let day = |sheet: &RunSheet| super::outcome::date(sheet);
    let outlets = |sheet: &RunSheet| {
        let all = std::iter::once(&sheet.outlet).chain(&sheet.further);
        all.cloned().collect::<Vec<_>>().join(", ")
    };
    let all = [
        ("rig", one.rig.clone(), other.rig.clone()),
        ("outlet", outlets(one), outlets(other)),
        ("mode", one.mode.key(), other.mode.key()),
        ("use", one.use_.key(), other.use_.key()),
        ("date", day(one), day(other)),
        ("attempt", one.attempt.to_string(), other.attempt.to_string()),
    ];
    all.into_iter().filter(|(_, one, other)| one != other).collect()
}

/// Whether a sheet has somebody at work in its run: an evaluator of another sheet has no post there,
/// but to speak what is written, which his own sheet says too (rule 26).
fn at_work(sheet: &RunSheet, watches: &RunSheet) -> bool {
    let who = &watches.evaluator.person;
    let spoke =
        |role: &String| watches.crew.get(role).is_some_and(|held| held.0.contains(who));
    let mut crew = sheet.crew.iter();
    crew.any(|(role, held)| held.0.contains(who) && !spoke(role))
        || sheet.candidate == *who
        || sheet.safety_officer == *who
}

/// The criticals and unsafe acts in which two verdicts differ: what it is, and what each has.
fn acts<'v>(one: &'v Verdict, other: &'v Verdict) -> Vec<[&'v str; 3]> {
    let decides = |rule: Rule| matches!(rule, Rule::Critical | Rule::UnsafeAct);
    let own = one.lines.iter().filter(|line| decides(line.rule));
    let differ = own.filter_map(|line| {
        let there = seen(other, line).unwrap_or_default();
        (there != line.seen).then_some([line.label.as_str(), &line.seen, there])
    });
    // What only the other one has seen at all.
    let more = other.lines.iter().filter(|line| line.rule == Rule::UnsafeAct);
    let more = more.filter(|line| seen(one, line).is_none());
    let more = more.map(|line| [line.label.as_str(), "", line.seen.as_str()]);
    differ.chain(more).collect()
}

/// What a verdict has of the thing that a line of another one is about.
fn seen<'v>(verdict: &'v Verdict, line: &Line) -> Option<&'v str> {
    let mut lines = verdict.lines.iter();
    let same = lines.find(|one| one.rule == line.rule && one.subject == line.subject);
    same.map(|same| same.seen.as_str())
}
