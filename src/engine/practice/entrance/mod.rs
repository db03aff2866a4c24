//! The entrance: a request in JSON goes in, an answer in JSON comes out.
//!
//! A page, the terminal and the tests go through the same [`Door::call`], so that none of them
//! can have a rule of its own. There are three doors, because a page has one of them alone: a
//! recruit's phone does not fetch what scores runs, a live sheet not what draws questions, and a
//! walk neither what draws nor what watches. [`Engine`] is all of them, for whoever has them at hand.

mod door;
mod questions;
mod runs;
mod steps;

use serde_json::Value;

use crate::quantity::Comma;
use crate::words::Words;

pub use door::Door;
pub use questions::Questions;
pub use runs::Runs;
pub use steps::Steps;

/// An engine with the kit it was opened with.
#[derive(Debug)]
pub enum Engine {
    /// Opened with questions, or not yet.
    Questions(Box<Questions>),
    /// Opened with a drill or a live sheet.
    Runs(Box<Runs>),
    /// Opened with the walk of a drill.
    Steps(Box<Steps>),
}

impl Default for Engine {
    fn default() -> Self {
        Self::Questions(Box::default())
    }
}

impl Engine {
    /// Answers one request: see [`Door::call`].
    pub fn call(&mut self, request: &[u8]) -> Vec<u8> {
        Door::call(self, request)
    }
}

impl Door for Engine {
    fn words(&self) -> Option<&Words> {
        match self {
            Self::Questions(door) => door.words(),
            Self::Runs(door) => door.words(),
            Self::Steps(door) => door.words(),
        }
    }

    fn comma(&self) -> Comma {
        match self {
            Self::Questions(door) => door.comma(),
            Self::Runs(door) => door.comma(),
            Self::Steps(door) => door.comma(),
        }
    }

    fn answer(&mut self, name: &str, request: Value) -> Result<Value, String> {
        // Only an opening tells which of the two it is for; all
        // that follows goes to that one.
        if name == "open" {
            let run = request.pointer("/kit/run").is_some_and(|run| !run.is_null());
            // What an earlier kit held is forgotten with its door.
            *self = if request.get("walk").is_some() {
                Self::Steps(Box::default())
            } else if run || request.get("live").is_some() {
                Self::Runs(Box::default())
            } else {
                Self::default()
            };
        }
        match self {
            Self::Questions(door) => door.answer(name, request),
            Self::Runs(door) => door.answer(name, request),
            Self::Steps(door) => door.answer(name, request),
        }
    }
}
