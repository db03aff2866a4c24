//! How a command ends.

use crate::words::Words;
use crate::workshop::WorldFault;

/// A command that did its work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum End {
    /// Nothing is left to fix.
    Done,
    /// The author has something to fix.
    ToFix,
}

impl End {
    pub(super) const fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            // Not 2: the work was done, and what came out of it
            // is for the author to mend.
            Self::ToFix => 1,
        }
    }
}

/// Why a command could not do its work.
#[derive(Debug)]
pub(super) enum Fault {
    /// A folder, a file or a disk.
    World(WorldFault),
    /// Anything else, as a sentence.
    Said(String),
}

impl Fault {
    /// It as a sentence.
    pub(super) fn say(&self, words: &Words) -> String {
        match self {
            Self::World(fault) => fault.say(words),
            Self::Said(said) => said.clone(),
        }
    }
}

impl From<WorldFault> for Fault {
    fn from(fault: WorldFault) -> Self {
        Self::World(fault)
    }
}
