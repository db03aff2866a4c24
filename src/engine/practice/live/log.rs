//! What can happen in a live sheet, and the log of it: every tap, in order, and what was taken
//! back.

use serde::{Deserialize, Serialize};

use super::super::decode::from_text;
use super::clock::At;
use crate::course::{CriticalMark, CueMark, Mark, PairSeen};

/// One event.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case")]
pub enum Event {
    /// The page was opened, or must be drawn again.
    #[default]
    Show,
    /// A second has passed.
    Tick,
    /// A field was filled in or chosen.
    Write {
        /// The field.
        field: String,
        /// All that stands in it.
        #[serde(default)]
        text: String,
    },
    /// A key of a number's keypad was pressed; kept as what the field then says.
    Press {
        /// The field.
        field: String,
        /// The key.
        key: Key,
    },
    /// Everything is declared: the run begins.
    Begin,
    /// Another drill of the chain.
    Turn {
        /// Its id.
        drill: String,
    },
    /// A step was marked.
    Mark {
        /// The step.
        step: String,
        /// Its mark.
        mark: Mark,
    },
    /// The steps were done in the order that is printed, or were not after all.
    AsPrinted,
    /// The steps were done in the order in which they were marked, or were not after all.
    AsRecorded,
    /// Nobody watched the whole order after all.
    NotWatched,
    /// A step or cue came before what was watched.
    First {
        /// Which.
        step: String,
    },
    /// When a step was done that was first marked otherwise.
    Placed {
        /// The step.
        step: String,
        /// Whether only after all that is marked so far.
        late: bool,
    },
    /// Which of two steps came first, where the whole order was not watched.
    Pair {
        /// First and then.
        pair: String,
        /// What was seen.
        seen: PairSeen,
    },
    /// Whether what must wait for a step had begun when it was prompted.
    Begun {
        /// The step.
        step: String,
        /// Whether it had.
        begun: bool,
    },
    /// A step was undone before the end, or was not after all.
    Undone {
        /// The step.
        step: String,
    },
    /// A cue was given, or was not.
    Cue {
        /// The cue.
        cue: String,
        /// Whether it was.
        mark: CueMark,
    },
    /// That a value left its band was reported, or was not after all.
    Reported {
        /// The measured value.
        measure: String,
        /// Yes or no; pages of earlier releases said neither and turned it round.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        yes: Option<bool>,
    },
    /// A critical was marked.
    Critical {
        /// The critical.
        critical: String,
        /// Its mark.
        mark: CriticalMark,
    },
    /// An act of the common list was seen, or was not after all.
    Unsafe {
        /// The act.
        act: String,
    },
    /// A step was put at the end of the confirmed order, or taken out of it.
    Order {
        /// The step.
        step: String,
    },
    /// The named start event.
    Start,
    /// The named stop event.
    Finish,
    /// The watch is held for a delay that is not the candidate's.
    Hold {
        /// The delay.
        why: String,
    },
    /// The delay is over.
    Release,
    /// Somebody said the stop word.
    Stop,
    /// It was no stop.
    NoStop,
    /// The run is over, and the sheet is looked through.
    End,
    /// Not over yet.
    Back,
    /// All untouched steps get this mark.
    Rest {
        /// The mark.
        mark: Mark,
    },
    /// All untouched criticals get this mark.
    RestCriticals {
        /// The mark.
        mark: CriticalMark,
    },
    /// The last thing is taken back.
    Undo,
    /// The sheet is finished.
    Save,
    /// The file of a finished run. It is named, not counted: another tab may finish one too.
    File {
        /// Which.
        run: String,
    },
    /// A finished run is deleted from this browser.
    Forget {
        /// Which.
        run: String,
        /// Whether it goes although it was not handed over.
        #[serde(default)]
        sure: bool,
    },
    /// All finished runs shall be handed over as one file.
    HandAll,
    /// Their texts, as they were stored.
    Together {
        /// From the oldest to the newest.
        #[serde(default)]
        texts: Vec<String>,
    },
    /// All that live sheets keep in this browser goes.
    Erase,
    /// Everything is declared as for the last run of this browser.
    Same,
    /// The candidate, with the try that the roster has.
    Who {
        /// The person.
        candidate: String,
    },
    /// The filled sheet shall be printed.
    Print,
    /// What there is of the open run, as a file.
    Rescue,
    /// The page shows something else of the run, and nothing changes.
    Look {
        /// The id of the element that gets the focus.
        at: String,
    },
    /// The page shows something over the step, or on one long page.
    Open {
        /// What.
        #[serde(default)]
        what: String,
    },
    /// The next candidate, with everything else as declared.
    Next,
    /// The same run, by a second evaluator.
    Second,
    /// The same run, for another role that gets a result.
    Role,
    /// The open run is thrown away.
    Discard,
    /// It really is.
    DiscardAll,
}

/// A key of a keypad.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Key {
    /// A digit or the point.
    Digit(char),
    /// Less than zero, or not after all.
    Sign,
    /// The number is in this unit.
    Unit(String),
    /// The last digit goes.
    Back,
    /// On to the next number.
    On,
}

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
    /// Which run it is, by chance: a tap that was meant for another one does nothing.
    #[serde(default)]
    pub id: String,
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

    /// Adds an entry. Typing goes on in the entry in which it began: then the entry is another
    /// one in the same place, and `true` comes back.
    pub fn add(&mut self, entry: Entry) -> bool {
        // Else every letter would be an entry, and undo would take back one letter at a
        // time.
        if let (Event::Write { field, .. }, Some(last)) =
            (&entry.event, self.entries.last_mut())
            && let Event::Write { field: before, .. } = &last.event
            && before == field
        {
            *last = entry;
            return true;
        }
        self.entries.push(entry);
        false
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
            // It takes back no other undo, so that two of them go two entries back.
            holds.push(entry.event != Event::Undo);
        }
        holds
    }

    /// Which entry the next `undo` takes back.
    pub fn last(&self) -> Option<&Entry> {
        let at = self.holds().iter().rposition(|held| *held)?;
        self.entries.get(at)
    }
}
