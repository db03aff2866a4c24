//! What lies over the step that is watched. It is no part of the run and is stored nowhere: the
//! page hands it back with each tap, as it does with the run that is open.

use super::asked::run_kits;
use super::kit::Live;
use super::log::{Event, Key};
use super::now::waiting;
use super::sheet::sheet;
use super::state::{Phase, State};
use crate::course::{CriticalMark, Mark};
use crate::scoring::{prompts, questions};

/// What is looked at.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) enum Look {
    /// What comes next: the step, the question, the declarations.
    #[default]
    Now,
    /// All of it on one long page.
    Sheet,
    /// The list of criticals and unsafe acts.
    Criticals,
    /// The cautions in full.
    Caution,
    /// A number with its keypad, by its field.
    Number(String),
    /// A contradiction.
    Question,
    /// Whether what must wait had begun when this step was prompted.
    Begun(String),
    /// When a step was done that was first marked otherwise.
    Place(String),
    /// What was seen of a critical that happened.
    Seen(String),
    /// All that is declared, to be changed.
    Change,
    /// The same, after a start that was refused.
    Gaps,
    /// Everybody, to choose the candidate from.
    Who,
    /// Whether all runs shall really go from this browser.
    Erase,
    /// Whether a run shall go that was not handed over.
    Forget(String),
}

/// Looks without a name of something in them, as a page hands them back.
const PLAIN: [(&str, Look); 8] = [
    ("sheet", Look::Sheet),
    ("criticals", Look::Criticals),
    ("caution", Look::Caution),
    ("question", Look::Question),
    ("change", Look::Change),
    ("gaps", Look::Gaps),
    ("who", Look::Who),
    ("erase", Look::Erase),
];

impl Look {
    /// What a page hands back; what is unknown looks at what comes next.
    pub(super) fn read(text: &str) -> Self {
        if let Some((_, look)) = PLAIN.iter().find(|(name, _)| *name == text) {
            return look.clone();
        }
        let Some((kind, name)) = text.split_once(':') else { return Self::Now };
        let name = name.to_owned();
        match kind {
            "number" => Self::Number(name),
            "begun" => Self::Begun(name),
            "place" => Self::Place(name),
            "seen" => Self::Seen(name),
            "forget" => Self::Forget(name),
            _ => Self::Now,
        }
    }

    /// As it is handed to the page.
    pub(super) fn text(&self) -> String {
        if let Some((name, _)) = PLAIN.iter().find(|(_, look)| look == self) {
            return (*name).to_owned();
        }
        match self {
            Self::Number(name) => format!("number:{name}"),
            Self::Begun(name) => format!("begun:{name}"),
            Self::Place(name) => format!("place:{name}"),
            Self::Seen(name) => format!("seen:{name}"),
            Self::Forget(name) => format!("forget:{name}"),
            _ => String::new(),
        }
    }
}

/// Open contradictions by drill and critical.
fn open(live: &Live, state: &State) -> Vec<(String, String)> {
    let all = run_kits(live, state).flat_map(|kit| {
        let found = questions(kit, &sheet(live, state, kit)).into_iter();
        let open = found.filter(|question| !question.settled);
        open.map(|question| (kit.drill().id.clone(), question.critical))
    });
    all.collect()
}

/// What is looked at after an event: what it asks for, or what comes next. What is asked as it
/// arises lies over the step; on the long page it waits for the end.
pub(super) fn after(
    live: &Live,
    (before, now): (&State, &State),
    event: &Event,
    look: &Look,
) -> Look {
    match event {
        Event::Show | Event::Tick | Event::Print | Event::Rescue | Event::File { .. } => {
            return look.clone();
        }
        Event::Open { what } => return Look::read(what),
        // A mark is looked for where all of them stand.
        Event::Look { .. } => return Look::Sheet,
        // A start that was refused leads to what is missing.
        Event::Begin if now.phase == Phase::Declare => return Look::Gaps,
        Event::Discard => return Look::Sheet,
        _ => {}
    }
    // What lay over the last phase has nothing to say in the next.
    if before.phase != now.phase {
        return Look::Now;
    }
    match (look, event) {
        (Look::Sheet, _) => Look::Sheet,
        (Look::Change | Look::Gaps, _) if now.phase == Phase::Declare => look.clone(),
        (Look::Number(_), Event::Press { field, key: Key::On }) => next(live, now, field),
        (
            Look::Number(_),
            Event::Press { .. } | Event::Reported { .. } | Event::Write { .. },
        )
        | (Look::Seen(_), Event::Write { .. })
        | (
            Look::Criticals,
            Event::Critical { .. } | Event::Unsafe { .. } | Event::Write { .. },
        ) => look.clone(),
        (Look::Question, Event::Write { .. }) if !open(live, now).is_empty() => {
            Look::Question
        }
        _ => arisen(live, (before, now), event),
    }
}

/// What an event asks for by itself.
fn arisen(live: &Live, (before, now): (&State, &State), event: &Event) -> Look {
    if !matches!(now.phase, Phase::Run | Phase::Review) {
        return Look::Now;
    }
    match event {
        Event::Critical { critical, mark } => {
            let happened = matches!(mark, CriticalMark::Yes | CriticalMark::Prevented);
            // Without a sentence it cannot be signed (rule 6).
            if happened && now != before {
                return Look::Seen(critical.clone());
            }
        }
        Event::Mark { step, .. } | Event::Placed { step, .. } => {
            let part = now.part();
            if part.is_some_and(|part| part.unplaced.contains(step)) {
                return Look::Place(step.clone());
            }
            let mark = part.and_then(|part| part.marks.get(step));
            let kit = now.kit(live).filter(|_| mark == Some(&Mark::Prompted));
            let told = part.is_some_and(|part| part.begun.contains_key(step));
            let asks = kit.is_some_and(|kit| {
                prompts(kit, &sheet(live, now, kit)).contains_key(step)
            });
            if asks && !told {
                return Look::Begun(step.clone());
            }
        }
        _ => {}
    }
    // At the end the questions come by themselves.
    if now.phase == Phase::Run && now != before {
        let known = open(live, before);
        if open(live, now).iter().any(|one| !known.contains(one)) {
            return Look::Question;
        }
    }
    Look::Now
}

/// After a number that was read while steps are watched the step is looked at again; after the
/// last step the next number that was not read.
fn next(live: &Live, state: &State, field: &str) -> Look {
    let Some(kit) = state.kit(live).filter(|_| waiting(live, state).is_empty()) else {
        return Look::Now;
    };
    let mut after = super::asked::numbers(kit, state).into_iter();
    after.find(|(known, _, _)| known == field);
    let unread = after.find(|(known, _, _)| state.text(known).is_empty());
    unread.map_or(Look::Now, |(field, _, _)| Look::Number(field))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_hands_back_what_it_was_given() {
        let mut all: Vec<Look> = PLAIN.iter().map(|(_, look)| look.clone()).collect();
        let named = [Look::Number, Look::Begun, Look::Place, Look::Seen, Look::Forget];
        all.extend(named.map(|named| named("a/b.c".to_owned())));
        all.push(Look::Now);
        for look in all {
            assert_eq!(Look::read(&look.text()), look);
        }
        assert_eq!(Look::read("nothing:x"), Look::Now);
    }
}
