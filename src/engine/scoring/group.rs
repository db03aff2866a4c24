//! Results that stand beside those of the candidates: of a crew, and of a chain of drills.
//!
//! Neither touches a candidate's own result. Nobody fails for what a teammate did, and no
//! drill of a chain pays for another.

use std::collections::BTreeMap;

use serde::Serialize;

use super::joint::{Joint, jointly};
use super::kit::Kit;
use super::verdict::{Decision, Line, Outcome, Rule, Verdict};
use crate::course::{Chain, RunSheet};
use crate::words::Words;

/// One candidate's result within a crew's.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Member {
    /// Role id.
    pub role: String,
    /// Its title.
    pub role_title: String,
    /// Candidate's id; none where nobody was scored in this role.
    pub candidate: Option<String>,
    /// Outcome in words.
    pub outcome_text: String,
}

/// The result of a crew in one drill, apart from those of its members.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Crew {
    /// Run id.
    pub run: String,
    /// Drill id.
    pub drill: String,
    /// Its title.
    pub drill_title: String,
    /// Outcome: the gravest of its members'.
    pub outcome: Outcome,
    /// Outcome in words.
    pub outcome_text: String,
    /// Whose result decides.
    pub reason: String,
    /// Points of all members.
    pub earned: i64,
    /// Points that all of them could have had.
    pub possible: i64,
    /// Members in the order of the drill's roles.
    pub members: Vec<Member>,
}

/// How grave an outcome is for the crew: what was seen first, then what kept it from being
/// seen, as for a candidate.
const GRAVEST: &[Outcome] = &[
    Outcome::NotMet,
    Outcome::Refused,
    Outcome::Void,
    Outcome::Stopped,
    Outcome::Incomplete,
    Outcome::WalkedThrough,
    Outcome::MetInPart,
    Outcome::Met,
];

/// A sheet of a run with its verdict.
type Seen<'v> = (&'v RunSheet, &'v Verdict);

/// The result of a role: several evaluators of one candidate have one result, or none where they
/// differ (rule 34). Nothing where nobody was scored in it.
fn of_role<'v>(
    seen: &[Seen<'v>],
    id: &str,
    words: &Words,
) -> Option<(&'v Verdict, Option<Joint>)> {
    let of: Vec<Seen<'v>> =
        seen.iter().filter(|(sheet, _)| sheet.role == id).copied().collect();
    Some((of.first()?.1, jointly(&of, words)))
}

/// The result of the crew of one run of one drill; nothing for fewer than two candidates,
/// unless somebody of the crew was seen in an act that fails his role.
///
/// A scored role without a candidate leaves the crew's result incomplete. An act of another
/// role makes it not met even where that role had no candidate (rule 35).
pub fn crew(kit: &Kit, seen: &[(&RunSheet, &Verdict)]) -> Option<Crew> {
    let verdicts = || seen.iter().map(|(_, verdict)| *verdict);
    let first = verdicts().next()?;
    let mut lines = verdicts().flat_map(Verdict::each);
    let of_others = |line: &&Line| line.rule == Rule::OfOthers;
    let happened =
        lines.clone().find(|line| of_others(line) && line.decision != Decision::Open);
    let asked = lines.find(|line| of_others(line) && line.decision == Decision::Open);
    let others = verdicts().any(|verdict| verdict.role != first.role);
    if !others && happened.is_none() && asked.is_none() {
        return None;
    }
    let words = kit.words();
    let members = members(kit, seen);
    let each = || {
        let scored = kit.drill().roles.iter().filter(|role| role.scored);
        scored.filter_map(|role| of_role(seen, &role.id, words)).map(|(one, _)| one)
    };
    let grave = |outcome: &Outcome| GRAVEST.iter().position(|known| known == outcome);
    let (decides, outcome) =
        members.iter().min_by_key(|(_, outcome)| grave(outcome))?.clone();
    let blanks = [
        ("role", decides.role_title.as_str()),
        ("outcome", decides.outcome_text.as_str()),
        ("date", first.on.as_str()),
    ];
    let (outcome, reason) = match happened {
        Some(line) if outcome != Outcome::NotMet => {
            let blanks = [("text", line.sentence.as_str())];
            (Outcome::NotMet, words.say("scoring.crew.of-others", &blanks))
        }
        // What contradicts its marks is neither met nor not met (rule 7).
        None if grave(&outcome) > grave(&Outcome::Incomplete) && asked.is_some() => {
            let text = asked.map_or("", |line| line.sentence.as_str());
            let told = words.say("scoring.crew.of-others", &[("text", text)]);
            (Outcome::Incomplete, told)
        }
        _ => (outcome, words.say("scoring.crew.reason", &blanks)),
    };
    Some(Crew {
        run: first.run.clone(),
        drill: first.drill.clone(),
        drill_title: first.drill_title.clone(),
        outcome,
        // words: scoring.crew.{Outcome}
        outcome_text: words.say(&format!("scoring.crew.{}", outcome.key()), &blanks),
        reason,
        earned: each().map(|verdict| verdict.earned).sum(),
        possible: each().map(|verdict| verdict.possible).sum(),
        members: members.into_iter().map(|(member, _)| member).collect(),
    })
}

/// The scored roles of a drill, each with its result.
fn members(kit: &Kit, seen: &[Seen<'_>]) -> Vec<(Member, Outcome)> {
    let words = kit.words();
    let nobody = words.get("scoring.crew.nobody");
    let roles = kit.drill().roles.iter().filter(|role| role.scored);
    roles
        .map(|role| {
            let result = of_role(seen, &role.id, words);
            let (text, outcome) = match &result {
                Some((_, Some(joint))) => (joint.outcome_text.clone(), joint.outcome),
                Some((one, None)) => (one.outcome_text.clone(), one.outcome),
                None => (nobody.clone(), Outcome::Incomplete),
            };
            let member = Member {
                role: role.id.clone(),
                role_title: role.title.clone(),
                candidate: result.map(|(one, _)| one.candidate.clone()),
                outcome_text: text,
            };
            (member, outcome)
        })
        .collect()
}

/// One drill's result within a chain; there are several where several roles were scored.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Link {
    /// Drill id.
    pub drill: String,
    /// Its title.
    pub title: String,
    /// Role; none where the drill was not run.
    pub role: Option<String>,
    /// Candidate's id.
    pub candidate: Option<String>,
    /// Outcome; none where the drill was not run.
    pub outcome: Option<Outcome>,
    /// The same in words.
    pub outcome_text: String,
    /// The reason.
    pub reason: String,
}

/// Results per drill of a chain. A chain has no result of its own.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Results {
    /// Run id.
    pub run: String,
    /// Chain id.
    pub chain: String,
    /// Its title.
    pub title: String,
    /// In the order of the chain.
    pub drills: Vec<Link>,
}

/// The results of a chain. `titles` gives the titles of its drills.
pub fn results(
    chain: &Chain,
    run: &str,
    verdicts: &[&Verdict],
    titles: &BTreeMap<&str, &str>,
    words: &Words,
) -> Results {
    let mut drills = Vec::new();
    for id in &chain.drills {
        let title = titles.get(id.as_str()).map_or(id.as_str(), |title| title);
        let before = drills.len();
        for verdict in verdicts.iter().filter(|verdict| verdict.drill == *id) {
            drills.push(Link {
                drill: id.clone(),
                title: title.to_owned(),
                role: Some(verdict.role.clone()),
                candidate: Some(verdict.candidate.clone()),
                outcome: Some(verdict.outcome),
                outcome_text: verdict.outcome_text.clone(),
                reason: verdict.reason.clone(),
            });
        }
        if drills.len() == before {
            drills.push(Link {
                drill: id.clone(),
                title: title.to_owned(),
                role: None,
                candidate: None,
                outcome: None,
                outcome_text: words.get("scoring.chain.not-run"),
                reason: words.get("scoring.chain.no-sheet"),
            });
        }
    }
    let (run, chain, title) = (run.to_owned(), chain.id.clone(), chain.title.clone());
    Results { run, chain, title, drills }
}

/// Groups runs that share a run id and a drill, in the order in which they came.
pub fn by_run<'r, T>(
    runs: &'r [T],
    sheet: impl Fn(&'r T) -> &'r RunSheet,
) -> Vec<Vec<&'r T>> {
    let mut groups: Vec<Vec<&'r T>> = Vec::new();
    let mut known: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for run in runs {
        let key = (sheet(run).id.as_str(), sheet(run).drill.as_str());
        let at = *known.entry(key).or_insert(groups.len());
        match groups.get_mut(at) {
            Some(group) => group.push(run),
            None => groups.push(vec![run]),
        }
    }
    groups
}
