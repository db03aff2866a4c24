//! The log of a run: every tap, in order, and what was taken back.

use serde::{Deserialize, Serialize};

use super::super::decode::from_text;
use super::clock::At;
use super::event::Event;
use super::kit::Live;
use super::state::State;

/// One entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// When.
    pub at: At,
    /// What.
    pub event: Event,
}

/// A run as it is stored: a string that only this room reads.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Log {
    /// Revision of the kit that the run began with.
    #[serde(default)]
    pub kit: String,
    /// The entries.
    #[serde(default)]
    pub entries: Vec<Entry>,
}

impl Log {
    /// Reads what was stored; what cannot be read counts as nothing.
    pub fn read(stored: Option<&String>) -> Option<Self> {
        from_text(stored?)
    }

    /// Adds an entry. Typing goes on in the entry in which it began.
    pub fn add(&mut self, at: &At, event: &Event) {
        if let (Event::Write { field, .. }, Some(last)) = (event, self.entries.last_mut())
            && let Event::Write { field: before, .. } = &last.event
            && before == field
        {
            last.at = at.clone();
            last.event = event.clone();
            return;
        }
        self.entries.push(Entry { at: at.clone(), event: event.clone() });
    }

    /// Whether each entry still holds: an `undo` takes back the last one before it that does.
    pub fn holds(&self) -> Vec<bool> {
        let mut holds: Vec<bool> = Vec::with_capacity(self.entries.len());
        for entry in &self.entries {
            if entry.event == Event::Undo
                && let Some(last) = holds.iter_mut().rfind(|held| **held)
            {
                *last = false;
            }
            holds.push(entry.event != Event::Undo);
        }
        holds
    }

    /// Which entry the next `undo` takes back.
    pub fn last(&self) -> Option<&Entry> {
        let at = self.holds().iter().rposition(|held| *held)?;
        self.entries.get(at)
    }

    /// The state after all entries.
    pub fn replay(&self, live: &Live) -> State {
        let mut state = State::new(live);
        for (entry, holds) in self.entries.iter().zip(self.holds()) {
            state.span.on_to(&entry.at);
            if holds {
                state.apply(live, entry);
            }
        }
        state
    }
}
