//! What a run sheet shows of a critical through its links (rules 3 and 4).

use super::evidence::{Came, Evidence};
use super::measures::{Beyond, beyond};
use super::stands::Standing;
use crate::course::{Critical, Link, Step};
use crate::words::Words;

/// What one link shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Shows {
    /// Nothing against the candidate.
    Whole,
    /// That the act happened: what stands against it, by a key of `scoring.link`, and the two
    /// things it names.
    Broken(&'static str, [String; 2]),
    /// Nothing, because nobody saw or wrote down what it rests on.
    Unseen(&'static str, [String; 2]),
    /// Nothing, because mode or missing cue could not show it.
    NotShown,
    /// Nothing, because the rig does not have it.
    NotHere,
}

impl Shows {
    /// Whether it speaks for the act.
    pub(super) const fn speaks_for(&self) -> bool {
        matches!(self, Self::Broken(..))
    }

    /// Whether it leaves the act open.
    pub(super) const fn is_open(&self) -> bool {
        matches!(self, Self::Unseen(..))
    }
}

/// What stands against the candidate, or is open, in words; nothing of what shows neither.
pub(super) fn told(words: &Words, shows: &Shows) -> Option<String> {
    let (Shows::Broken(key, [one, other]) | Shows::Unseen(key, [one, other])) = shows
    else {
        return None;
    };
    // words: scoring.link.{Shows::Broken(..)|Shows::Unseen(..)}
    Some(words.say(&format!("scoring.link.{key}"), &[("one", one), ("other", other)]))
}

/// What the links of a critical show, each for itself.
pub(super) fn links(evidence: Evidence<'_>, critical: &Critical) -> Vec<Shows> {
    critical.links.iter().flat_map(|link| one(evidence, link)).collect()
}

/// What one link shows.
pub(super) fn one(evidence: Evidence<'_>, link: &Link) -> Vec<Shows> {
    match link {
        Link::Order { first, then } => {
            // A name that leads nowhere is a finding of the module; here it says nothing
            // for or against a person.
            let Some(first) = evidence.step(first) else { return Vec::new() };
            let then = then.iter().filter_map(|id| evidence.step(id));
            then.map(|then| order(evidence, first, then)).collect()
        }
        Link::Answer { cue, step } => vec![answer(evidence, cue, step)],
        Link::Hold { step } => {
            evidence.step(step).map(|step| hold(evidence, step)).into_iter().collect()
        }
        Link::Limit { measure, unreported } => {
            vec![limit(evidence, measure, *unreported)]
        }
        // The act itself is asked about, and no step of the sheet speaks for or against it.
        Link::Free { .. } => vec![Shows::Whole],
    }
}

fn name(step: &Step) -> String {
    super::say::short(&step.action).to_owned()
}

fn standings(evidence: Evidence<'_>, steps: [&Step; 2]) -> Option<Shows> {
    let standings = steps.map(|step| evidence.standing(step));
    // What the rig does not have is asked first: no other mode and no other day would show
    // it, and nobody is to try again for it.
    if standings.contains(&Standing::NotOnRig) {
        Some(Shows::NotHere)
    } else if standings.contains(&Standing::NotInMode) {
        Some(Shows::NotShown)
    } else {
        None
    }
}

/// The second done while the first was not, or before it. A first step that was prompted is
/// asked about: had the second begun by then (rule 11)?
fn order(evidence: Evidence<'_>, first: &Step, then: &Step) -> Shows {
    let steps = || [name(first), name(then)];
    if let Some(out) = standings(evidence, [first, then]) {
        return out;
    }
    // Begun when the prompt came is begun, also where the prompt ended it (rule 11).
    let begun = evidence.prompted(&first.id)
        && evidence.sheet.begun.get(&first.id) == Some(&true);
    // What was undone before the end may have been undone before the second: nobody said so, and
    // it is asked about (rule 3, undone).
    let undone = evidence.sheet.undone.contains(&first.id);
    match (evidence.done(first), evidence.performed(then)) {
        // The arms stand in the order of what is known for certain: begun and undone were
        // said by a person, the marks only follow.
        _ if begun => Shows::Broken("begun", steps()),
        (Some(true), Some(true)) if undone => {
            Shows::Broken("undone", [name(first), String::new()])
        }
        // A second that is marked as not done may have been begun, and ended by the prompt for its
        // first: nobody but the evaluator knows (rule 11).
        (Some(true), Some(false)) => {
            prompt(evidence, first, name(then)).unwrap_or(Shows::Whole)
        }
        // The second was never done, so nothing can have come before its first, whatever is
        // known of that.
        (_, Some(false)) => Shows::Whole,
        (Some(false), Some(true)) => Shows::Broken("skipped", steps()),
        // Which of the two was not seen is named, because the evaluator is asked for that
        // one.
        (None, _) => Shows::Unseen("not-seen", [name(first), name(then)]),
        (_, None) => Shows::Unseen("not-seen", [name(then), name(first)]),
        (Some(true), Some(true)) => match evidence.came(&first.id, &then.id) {
            Came::Reversed => Shows::Broken("reversed", steps()),
            Came::NotSeen => Shows::Unseen("order-not-seen", steps()),
            Came::Unsaid => Shows::Unseen("order-unsaid", steps()),
            Came::InOrder => prompt(evidence, first, name(then)).unwrap_or(Shows::Whole),
        },
    }
}

/// What a prompt leaves open of a step that a critical rests on.
fn prompt(evidence: Evidence<'_>, step: &Step, other: String) -> Option<Shows> {
    if !evidence.prompted(&step.id) {
        return None;
    }
    match evidence.sheet.begun.get(&step.id) {
        Some(true) => Some(Shows::Broken("begun", [name(step), other])),
        Some(false) => None,
        None => Some(Shows::Unseen("begun-unsaid", [name(step), other])),
    }
}

/// A cue given and not answered is broken, whatever follows (rule 13).
fn answer(evidence: Evidence<'_>, cue: &str, step: &str) -> Shows {
    let Some(step) = evidence.step(step) else { return Shows::Whole };
    // Named by what is said on the ground: nobody who reads a verdict knows cues by their
    // names in a file.
    let says = evidence.kit.drill().cues.iter().find(|known| known.id == cue);
    let says = says.map(|cue| super::say::short(&cue.says).to_owned());
    let both = || [says.clone().unwrap_or_default(), name(step)];
    match evidence.cue_standing(cue) {
        Standing::NotOnRig => return Shows::NotHere,
        Standing::NotInMode => return Shows::NotShown,
        Standing::Stands => {}
    }
    if let Some(out) = standings(evidence, [step, step]) {
        return out;
    }
    if evidence.sheet.undone.contains(&step.id) {
        return Shows::Broken("undone", [name(step), String::new()]);
    }
    match evidence.done(step) {
        Some(false) => Shows::Broken("unanswered", both()),
        None => Shows::Unseen("not-seen", [name(step), String::new()]),
        Some(true) => {
            prompt(evidence, step, both().into_iter().next().unwrap_or_default())
                .unwrap_or(Shows::Whole)
        }
    }
}

fn hold(evidence: Evidence<'_>, step: &Step) -> Shows {
    let named = || [name(step), String::new()];
    if let Some(out) = standings(evidence, [step, step]) {
        return out;
    }
    if evidence.sheet.undone.contains(&step.id) {
        return Shows::Broken("undone", named());
    }
    match evidence.done(step) {
        Some(false) => Shows::Broken("not-done", named()),
        None => Shows::Unseen("not-seen", named()),
        Some(true) => prompt(evidence, step, String::new()).unwrap_or(Shows::Whole),
    }
}

fn limit(evidence: Evidence<'_>, id: &str, unreported: bool) -> Shows {
    let measure = evidence.kit.drill().measures.iter().find(|known| known.id == id);
    let Some(measure) = measure else { return Shows::Whole };
    let named = |text: String| [measure.label.clone(), text];
    match beyond(evidence, measure, unreported) {
        Beyond::Within => Shows::Whole,
        Beyond::Past(limit) => {
            let reported = unreported && evidence.sheet.reported.contains(&measure.id);
            if reported { Shows::Whole } else { Shows::Broken("beyond", named(limit)) }
        }
        Beyond::Unknown => Shows::Unseen("not-written", named(String::new())),
        Beyond::NotShown => Shows::NotShown,
        Beyond::NotHere => Shows::NotHere,
    }
}
