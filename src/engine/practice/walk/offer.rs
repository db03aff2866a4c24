//! Which acts stand to be chosen: few enough for a phone, one that leads on, and one that would break a
//! link whenever one is in reach.

use super::look::Look;
use super::state::Walk;
use crate::course::Step;

/// Most acts at once: more do not stand on one screen with the situation above them.
const MOST: usize = 5;

/// An act that can be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Act {
    /// A step of the drill.
    Step(String),
    /// To go on as before and leave a cue unanswered.
    Ignore(String),
}

/// The acts, in the order in which they stand.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Offered {
    /// The acts.
    pub acts: Vec<Act>,
}

/// The acts of this moment. They are drawn, and the same as long as nothing was done.
pub(super) fn offered(look: &Look<'_>, walk: &Walk) -> Offered {
    let (open, before) = (look.open(walk), look.broken(walk));
    let (mut harmful, mut rest) = (Vec::new(), Vec::new());
    for step in open {
        // What cannot be done at all breaks nothing.
        let possible = look.impossible(walk, step).is_none();
        if possible && !look.breaks(walk, step, &before).is_empty() {
            harmful.push(step);
        } else {
            rest.push(step);
        }
    }
    let mut chance = Look::chance(walk, &format!("acts {}", walk.done.len()));
    let mut acts = Vec::new();
    if let Some(next) = next(look, walk, &rest) {
        rest.retain(|step| step.id != next.id);
        acts.push(Act::Step(next.id.clone()));
    }
    if let Some(cue) = look.pressing(walk) {
        acts.push(Act::Ignore(cue.id.clone()));
    }
    chance.shuffle(&mut harmful);
    chance.shuffle(&mut rest);
    let room = |acts: &Vec<Act>| MOST.saturating_sub(acts.len());
    // One that hurts stands for all of them: two would tell that most acts are wrong.
    acts.extend(harmful.first().map(|step| Act::Step(step.id.clone())));
    let more = rest.into_iter().chain(harmful.into_iter().skip(1)).take(room(&acts));
    let more: Vec<Act> = more.map(|step| Act::Step(step.id.clone())).collect();
    acts.extend(more);
    chance.shuffle(&mut acts);
    Offered { acts }
}

/// The step that leads on: an answer to what was just heard before all else, then what is due, in the
/// order of the drill.
fn next<'s>(look: &Look<'_>, walk: &Walk, rest: &[&'s Step]) -> Option<&'s Step> {
    let due = |step: &&&Step| look.is_due(walk, step);
    let can = |step: &&&Step| look.impossible(walk, step).is_none();
    let answers = || rest.iter().filter(|step| step.cue.is_some());
    let found = answers().find(due).or_else(|| rest.iter().find(due));
    found.or_else(|| rest.iter().find(can)).copied()
}
