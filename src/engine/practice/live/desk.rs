//! All that a view is made from.

use super::finished::Head;
use super::kit::Live;
use super::last::Declared;
use super::log::{Event, Log};
use super::look::Look;
use super::state::{Phase, State};
use crate::practice::view::Node;

/// All that a view is made from.
pub(super) struct Desk<'d> {
    pub(super) live: &'d Live,
    pub(super) log: &'d Log,
    pub(super) state: &'d State,
    pub(super) event: &'d Event,
    /// What is looked at.
    pub(super) look: &'d Look,
    pub(super) finished: &'d [Head],
    /// The run that a second evaluator scores apart.
    pub(super) first: Option<&'d State>,
    /// What was declared for the last run of this browser.
    pub(super) last: Declared,
    /// Sentences above everything else.
    pub(super) notes: Vec<String>,
    /// Whether the browser keeps nothing.
    pub(super) refused: bool,
    /// The key of what is said of the kit that the run goes on with.
    pub(super) of_kit: Option<&'static str>,
}

impl Desk<'_> {
    pub(super) fn get(&self, key: &str) -> String {
        // words: live.{desk.get(..)|desk.say(..)|desk.note(..)|*}
        self.live.words().get(&format!("live.{key}"))
    }

    pub(super) fn say(&self, key: &str, blanks: &[(&str, &str)]) -> String {
        self.live.words().say(&format!("live.{key}"), blanks)
    }

    pub(super) fn note(&self, key: &str) -> Node {
        Node::text("p", self.get(key)).with("class", "note")
    }
}

/// What can be taken back: anything since the page of declarations, until the sheet is saved.
pub(super) fn can_undo(log: &Log, state: &State) -> bool {
    let last = log.last().map(|entry| &entry.event);
    // Before the start there is nothing to take back but words, and a saved sheet is out
    // of the house.
    let real = last.is_some_and(|event| !matches!(event, Event::Save | Event::Begin));
    real && matches!(state.phase, Phase::Run | Phase::Review)
}
