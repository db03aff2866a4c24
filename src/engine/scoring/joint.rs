//! One run of one candidate, seen by several evaluators (rule 34).

use serde::Serialize;

use super::verdict::{Outcome, Rule, Verdict};
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
        let decides = |rule: Rule| matches!(rule, Rule::Critical | Rule::UnsafeAct);
        for line in one.lines.iter().filter(|line| decides(line.rule)) {
            let other =
                verdict.about(&line.subject).find(|other| other.rule == line.rule);
            let seen = other.map_or("", |other| other.seen.as_str());
            if seen != line.seen {
                differences.push(blanks(&line.label, &line.seen, seen));
            }
        }
        for line in verdict.lines.iter().filter(|line| line.rule == Rule::UnsafeAct) {
            let known = one.about(&line.subject).any(|other| other.rule == line.rule);
            if !known {
                differences.push(blanks(&line.label, "", &line.seen));
            }
        }
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
