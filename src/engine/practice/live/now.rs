//! What is watched next: the cues and steps without a mark, in the order in which they come.

use super::asked::{asked_steps, cues, open_steps};
use super::kit::Live;
use super::state::State;
use crate::course::{Cue, Step};

/// One thing to watch.
#[derive(Debug, Clone, Copy)]
pub(super) enum Item<'k> {
    /// A cue to give.
    Cue(&'k Cue),
    /// A step to see.
    Step(&'k Step),
}

impl<'k> Item<'k> {
    /// Its id.
    pub(super) const fn id(&self) -> &'k str {
        match self {
            Self::Cue(cue) => cue.id.as_str(),
            Self::Step(step) => step.id.as_str(),
        }
    }

    /// What is seen or said.
    pub(super) const fn text(&self) -> &'k str {
        match self {
            Self::Cue(cue) => cue.says.as_str(),
            Self::Step(step) => step.action.as_str(),
        }
    }
}

/// All that has no mark yet. A cue comes before the first step that answers it; what somebody
/// said came first comes first.
pub(super) fn waiting<'l>(live: &'l Live, state: &State) -> Vec<Item<'l>> {
    let Some((kit, part)) = state.kit(live).zip(state.part()) else { return Vec::new() };
    let open: Vec<&str> =
        open_steps(live, state, &kit.drill().id).map(|step| step.id.as_str()).collect();
    let ungiven = cues(kit, state).filter(|cue| !part.cues.contains_key(&cue.id));
    let mut ungiven: Vec<&Cue> = ungiven.collect();
    let mut all = Vec::new();
    for step in asked_steps(Some(kit), state) {
        let answers = |cue: &&Cue| step.cue.as_ref() == Some(&cue.id);
        if let Some(at) = ungiven.iter().position(answers) {
            all.push(Item::Cue(ungiven.remove(at)));
        }
        if open.contains(&step.id.as_str()) && !part.marks.contains_key(&step.id) {
            all.push(Item::Step(step));
        }
    }
    // Cues that no step answers come last: nothing tells their place.
    all.extend(ungiven.into_iter().map(Item::Cue));
    // What somebody saw come first is at hand at once, wherever it is printed.
    let first = part.first.as_deref();
    if let Some(at) = all.iter().position(|item| Some(item.id()) == first) {
        let item = all.remove(at);
        all.insert(0, item);
    }
    all
}
