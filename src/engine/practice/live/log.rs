//! What can happen in a live sheet, and the log of it: every tap, in order, and what was taken
//! back.

use serde::{Deserialize, Serialize};

use super::super::decode::from_text;
use super::super::events::events;
use super::clock::At;
use crate::course::{CriticalMark, CueMark, Mark, PairSeen};

events! {
    /// One event.
    Event {
        /// The page was opened, or must be drawn again.
        #[default]
        "show" Show,
        /// A second has passed.
        "tick" Tick,
        /// A field was filled in or chosen.
        "write" Write {
            /// The field.
            field: [String],
            /// All that stands in it.
            text: may [String],
        },
        /// A key of a number's keypad was pressed; kept as what the field then says.
        "press" Press {
            /// The field.
            field: [String],
            /// The key.
            key: [Key],
        },
        /// Everything is declared: the run begins.
        "begin" Begin,
        /// Another drill of the chain.
        "turn" Turn {
            /// Its id.
            drill: [String],
        },
        /// A step was marked.
        "mark" Mark {
            /// The step.
            step: [String],
            /// Its mark.
            mark: [Mark],
        },
        /// The steps were done in the order that is printed, or were not after all.
        "as-printed" AsPrinted,
        /// The steps were done in the order in which they were marked, or were not after all.
        "as-recorded" AsRecorded,
        /// Nobody watched the whole order after all.
        "not-watched" NotWatched,
        /// A step or cue came before what was watched.
        "first" First {
            /// Which.
            step: [String],
        },
        /// When a step was done that was first marked otherwise.
        "placed" Placed {
            /// The step.
            step: [String],
            /// Whether only after all that is marked so far.
            late: [bool],
        },
        /// Which of two steps came first, where the whole order was not watched.
        "pair" Pair {
            /// First and then.
            pair: [String],
            /// What was seen.
            seen: [PairSeen],
        },
        /// Whether what must wait for a step had begun when it was prompted.
        "begun" Begun {
            /// The step.
            step: [String],
            /// Whether it had.
            begun: [bool],
        },
        /// A step was undone before the end, or was not after all.
        "undone" Undone {
            /// The step.
            step: [String],
        },
        /// A cue was given, or was not.
        "cue" Cue {
            /// The cue.
            cue: [String],
            /// Whether it was.
            mark: [CueMark],
        },
        /// That a value left its band was reported, or was not after all.
        "reported" Reported {
            /// The measured value.
            measure: [String],
            /// Yes or no; pages of earlier releases said neither and turned it round.
            yes: may [Option<bool>],
        },
        /// A critical was marked.
        "critical" Critical {
            /// The critical.
            critical: [String],
            /// Its mark.
            mark: [CriticalMark],
        },
        /// An act of the common list was seen, or was not after all.
        "unsafe" Unsafe {
            /// The act.
            act: [String],
        },
        /// A step was put at the end of the confirmed order, or taken out of it.
        "order" Order {
            /// The step.
            step: [String],
        },
        /// The named start event.
        "start" Start,
        /// The named stop event.
        "finish" Finish,
        /// The watch is held for a delay that is not the candidate's.
        "hold" Hold {
            /// The delay.
            why: [String],
        },
        /// The delay is over.
        "release" Release,
        /// Somebody said the stop word.
        "stop" Stop,
        /// It was no stop.
        "no-stop" NoStop,
        /// The run is over, and the sheet is looked through.
        "end" End,
        /// Not over yet.
        "back" Back,
        /// All untouched steps get this mark.
        "rest" Rest {
            /// The mark.
            mark: [Mark],
        },
        /// All untouched criticals get this mark.
        "rest-criticals" RestCriticals {
            /// The mark.
            mark: [CriticalMark],
        },
        /// The last thing is taken back.
        "undo" Undo,
        /// The sheet is finished.
        "save" Save,
        /// The file of a finished run. It is named, not counted: another tab may finish one too.
        "file" File {
            /// Which.
            run: [String],
        },
        /// A finished run is deleted from this browser.
        "forget" Forget {
            /// Which.
            run: [String],
            /// Whether it goes although it was not handed over.
            sure: may [bool],
        },
        /// All finished runs shall be handed over as one file.
        "hand-all" HandAll,
        /// Their texts, as they were stored.
        "together" Together {
            /// From the oldest to the newest.
            texts: may [Vec<String>],
        },
        /// All that live sheets keep in this browser goes.
        "erase" Erase,
        /// Everything is declared as for the last run of this browser.
        "same" Same,
        /// The candidate, with the try that the roster has.
        "who" Who {
            /// The person.
            candidate: [String],
        },
        /// The filled sheet shall be printed.
        "print" Print,
        /// What there is of the open run, as a file.
        "rescue" Rescue,
        /// The page shows something else of the run, and nothing changes.
        "look" Look {
            /// The id of the element that gets the focus.
            at: [String],
        },
        /// The page shows something over the step, or on one long page.
        "open" Open {
            /// What.
            what: may [String],
        },
        /// The next candidate, with everything else as declared.
        "next" Next,
        /// The same run, by a second evaluator.
        "second" Second,
        /// The same run, for another role that gets a result.
        "role" Role,
        /// The open run is thrown away.
        "discard" Discard,
        /// It really is.
        "discard-all" DiscardAll,
    }
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
