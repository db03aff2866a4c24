//! What a run sheet leaves to be asked before its verdict (rules 7, 8, 11 and 12).
//!
//! A live sheet asks; scoring knows what there is to ask. The sentence of a question is the
//! sentence of the verdict's line, so that a page and a printed verdict never ask two things.

use std::collections::BTreeMap;

use super::criticals::criticals;
use super::evidence::{Came, Evidence};
use super::expected::Day;
use super::fault::{Fault, faults};
use super::kit::Kit;
use super::limits::LIMITS;
use super::links::{Shows, one};
use super::measures::standing;
use super::say;
use super::score::scored;
use super::stands::{Standing, stands};
use super::verdict::{Decision, Outcome, Rule};
use crate::course::{Critical, CriticalMark, Link, Measure, OrderSeen, RunSheet, Whose};

/// A critical that is marked no while the sheet speaks for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// The critical.
    pub critical: String,
    /// What is asked, or told where it is settled.
    pub text: String,
    /// Steps whose marks speak for it.
    pub steps: Vec<String>,
    /// Measured value that speaks for it.
    pub measure: Option<String>,
    /// Whether a reason and a second officer have settled it.
    pub settled: bool,
}

/// Every contradiction of that kind, in the order of the drill. A void run is asked nothing:
/// what was seen before stays as it was marked.
pub fn questions(kit: &Kit, sheet: &RunSheet) -> Vec<Question> {
    if sheet.void.is_some() {
        return Vec::new();
    }
    let evidence = Evidence { kit, sheet };
    let lines = criticals(kit, sheet);
    let question = |critical: &Critical| {
        let link = against(evidence, critical)?;
        let line = lines.iter().find(|line| line.subject == critical.id)?;
        let (steps, measure) = match link {
            // The first step, and those of the others that were done: one of these marks is wrong.
            Link::Order { first, then } => {
                let done = |id: &&String| {
                    let step = evidence.step(id);
                    step.is_some_and(|step| evidence.performed(step) == Some(true))
                };
                let done = then.iter().filter(done);
                ([first].into_iter().chain(done).cloned().collect(), None)
            }
            Link::Answer { step, .. } | Link::Hold { step } => (vec![step.clone()], None),
            Link::Limit { measure, .. } => (Vec::new(), Some(measure.clone())),
            Link::Free { .. } => (Vec::new(), None),
        };
        Some(Question {
            critical: critical.id.clone(),
            text: line.sentence.clone(),
            steps,
            measure,
            settled: line.decision == Decision::Kept,
        })
    };
    own(kit, sheet).filter_map(question).collect()
}

/// The link that speaks for a critical that is marked no.
fn against<'k>(evidence: Evidence<'_>, critical: &'k Critical) -> Option<&'k Link> {
    let mark = evidence.sheet.criticals.get(&critical.id);
    let mut links = critical.links.iter();
    let link = links.find(|link| one(evidence, link).iter().any(Shows::speaks_for));
    link.filter(|_| mark == Some(&CriticalMark::No))
}

/// What the sheet does not tell of criticals that are marked no, in the verdict's sentences:
/// which of two steps came first, what had begun when a step was prompted, a step nobody saw.
pub fn hanging(kit: &Kit, sheet: &RunSheet) -> Vec<String> {
    if sheet.void.is_some() {
        return Vec::new();
    }
    let evidence = Evidence { kit, sheet };
    let lines = criticals(kit, sheet);
    let open = |critical: &Critical| {
        let no = sheet.criticals.get(&critical.id) == Some(&CriticalMark::No);
        let line = lines.iter().find(|line| line.subject == critical.id)?;
        let open = no
            && line.decision == Decision::Unseen
            && against(evidence, critical).is_none();
        open.then(|| line.sentence.clone())
    };
    own(kit, sheet).filter_map(open).collect()
}

/// The candidate's criticals that can be shown on this rig in this mode.
fn own<'k>(kit: &'k Kit, sheet: &RunSheet) -> impl Iterator<Item = &'k Critical> {
    let stands = |critical: &&Critical| {
        critical.role == sheet.role
            && stands(kit, sheet.mode, critical.condition()) == Standing::Stands
    };
    kit.drill().criticals.iter().filter(stands)
}

/// Pairs of steps, first and then, of which somebody must say which came first: both were
/// done, a critical hangs on their order, and the order that was seen does not tell. Where
/// the critical is known to have happened nothing hangs on it any more.
///
/// Where all of these are told and the points of the other orders could still change the result,
/// those are asked for as well: an honest evaluator reaches a result (rule 12, and the
/// precedence).
pub fn pairs(kit: &Kit, sheet: &RunSheet) -> Vec<[String; 2]> {
    let evidence = Evidence { kit, sheet };
    let mut found = deciding_pairs(kit, sheet);
    let unsaid = |pair: &[String; 2]| {
        let [first, then] = pair;
        evidence.pair(first, then) == Came::Unsaid
    };
    if sheet.order_seen != OrderSeen::NotWatched || found.iter().any(unsaid) {
        return found;
    }
    let open = points_are_open(kit, sheet);
    for rule in &kit.drill().order {
        let steps = [&rule.first, &rule.then].map(|id| evidence.step(id));
        let [Some(first), Some(then)] = steps else { continue };
        let both = [first, then].iter().all(|step| {
            step.role == sheet.role
                && evidence.standing(step) == Standing::Stands
                && evidence.done(step) == Some(true)
        });
        let pair = [rule.first.clone(), rule.then.clone()];
        if both && (open || !unsaid(&pair)) && !found.contains(&pair) {
            found.push(pair);
        }
    }
    found
}

/// Whether nothing keeps a run from its result but points of an order that nobody watched.
fn points_are_open(kit: &Kit, sheet: &RunSheet) -> bool {
    let verdict = scored(kit, sheet, Vec::new());
    let mut lines = verdict.lines.iter();
    verdict.outcome == Outcome::Incomplete
        && lines.clone().any(|line| line.rule == Rule::Order && line.open > 0)
        && lines
            .all(|line| line.decision != Decision::Unseen || line.rule == Rule::Result)
}

fn deciding_pairs(kit: &Kit, sheet: &RunSheet) -> Vec<[String; 2]> {
    let evidence = Evidence { kit, sheet };
    let mut found = Vec::new();
    let open = |critical: &&Critical| {
        let mark = sheet.criticals.get(&critical.id);
        !matches!(mark, Some(CriticalMark::Yes | CriticalMark::Prevented))
    };
    for link in own(kit, sheet).filter(open).flat_map(|critical| &critical.links) {
        let Link::Order { first, then } = link else { continue };
        for then in then {
            let steps = [first, then].map(|id| evidence.step(id));
            let [Some(before), Some(after)] = steps else { continue };
            let both = [before, after].iter().all(|step| {
                evidence.standing(step) == Standing::Stands
                    && evidence.done(step) == Some(true)
            });
            let told = evidence.place(first).is_some() && evidence.place(then).is_some();
            let pair = [first.clone(), then.clone()];
            if both && !told && !found.contains(&pair) {
                found.push(pair);
            }
        }
    }
    found
}

/// Prompted steps of which somebody must say whether what must wait for them had begun by
/// then; with each what that is: the later steps, or the act itself where no step follows.
pub fn prompts(kit: &Kit, sheet: &RunSheet) -> BTreeMap<String, Vec<String>> {
    let evidence = Evidence { kit, sheet };
    let mut found: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for critical in own(kit, sheet) {
        for link in &critical.links {
            let (step, waits): (&String, Vec<&str>) = match link {
                Link::Order { first, then } => {
                    let steps = then.iter().filter_map(|id| evidence.step(id));
                    // One that was not done may have been begun, and ended by the prompt.
                    let marked = steps.filter(|step| evidence.done(step).is_some());
                    (first, marked.map(|step| step.action.as_str()).collect())
                }
                Link::Answer { step, .. } | Link::Hold { step } => {
                    (step, vec![critical.act.as_str()])
                }
                Link::Limit { .. } | Link::Free { .. } => continue,
            };
            if !evidence.prompted(step) || waits.is_empty() {
                continue;
            }
            let told = found.entry(step.clone()).or_default();
            for wait in waits.into_iter().map(say::short) {
                if !told.iter().any(|known| known == wait) {
                    told.push(wait.to_owned());
                }
            }
        }
    }
    found
}

/// Acts for which a candidate can be stopped, name and sentence: own criticals, unsafe acts of
/// every drill, limits of every drill (rule 32).
pub fn stop_acts(kit: &Kit, role: &str) -> Vec<(String, String)> {
    let own = kit.drill().criticals.iter().filter(|critical| critical.role == role);
    let own = own.map(|critical| (critical.id.clone(), critical.act.clone()));
    let common = kit.standard().unsafe_acts.iter();
    let common = common.map(|act| (act.id.clone(), act.act.clone()));
    let limits = LIMITS.iter().map(|key| {
        // words: scoring.limit.{LIMITS}
        ((*key).to_owned(), kit.words().get(&format!("scoring.limit.{key}")))
    });
    own.chain(common).chain(limits).collect()
}

/// What a sentence can settle beside the criticals: its name under `settled`, and the question.
/// A step that was performed and counts as not done, a value that disagrees with the others.
pub fn settleable(kit: &Kit, sheet: &RunSheet) -> Vec<(String, String)> {
    let found = faults(kit, sheet).into_iter();
    let one = |fault: Fault| {
        let name = match fault.key {
            "cannot-be-otherwise" => fault.blank("first").to_owned(),
            "readings-disagree" => fault.blank("name").to_owned(),
            _ => return None,
        };
        Some((name, fault.says(kit.words())))
    };
    found.filter_map(one).collect()
}

/// Measured values of the candidate that neither card nor formula give: the evaluator says whether
/// they were as the manual has them (rule 20).
pub fn by_the_manual<'k>(kit: &'k Kit, sheet: &RunSheet) -> Vec<&'k str> {
    let evidence = Evidence { kit, sheet };
    let day = Day::of(kit, kit.figures(&sheet.outlet), (&sheet.readings, None)).untold();
    let asked = |measure: &&Measure| {
        let step = evidence.step(&measure.step);
        let stands = step.is_some_and(|step| {
            step.role == sheet.role && standing(evidence, step) == Standing::Stands
        });
        let bandless = || day.expected(measure).is_err_and(|no| no.is_bandless());
        stands && measure.whose == Whose::Act && bandless()
    };
    kit.drill().measures.iter().filter(asked).map(|one| one.id.as_str()).collect()
}
