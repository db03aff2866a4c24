//! What can happen in a live sheet.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::clock::At;
use crate::course::{CriticalMark, Mark};

/// What a page hands in with every event.
#[derive(Debug, Clone, Default, Deserialize)]
pub struct Heard {
    /// What is stored, by key.
    #[serde(default)]
    pub stored: BTreeMap<String, String>,
    /// Bytes of chance.
    #[serde(default)]
    pub chance: Vec<u8>,
    /// The page's clocks.
    #[serde(default)]
    pub at: At,
    /// Whether the browser keeps what it is given.
    #[serde(default)]
    pub refused: bool,
    /// Whether the page that was loaded carries another revision than the open run.
    #[serde(default)]
    pub newer: bool,
    /// What happened.
    pub event: Event,
}

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
    /// A step was done out of order, or was not after all.
    OutOfOrder {
        /// The step.
        step: String,
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
    /// The file of a finished run, from the newest.
    File {
        /// Its place.
        at: usize,
    },
    /// A finished run is deleted from this browser.
    Forget {
        /// Its place.
        at: usize,
    },
    /// The filled sheet shall be printed.
    Print,
    /// What there is of the open run, as a file.
    Rescue,
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
