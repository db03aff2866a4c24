//! All integration tests in one binary.

#![expect(
    clippy::disallowed_methods,
    reason = "tests read the project, make folders and start the program"
)]

#[cfg(test)]
mod house;
#[cfg(test)]
mod language;
#[cfg(test)]
mod readme;
#[cfg(test)]
mod reference;
#[cfg(test)]
mod assessment;
#[cfg(test)]
mod wire;
#[cfg(test)]
mod frozen;
#[cfg(test)]
mod scoring;
mod shell;
#[cfg(test)]
mod engine;
#[cfg(test)]
mod golden;
#[cfg(test)]
mod pages;
#[cfg(test)]
mod find;
#[cfg(test)]
mod cited;
#[cfg(test)]
mod narrated;
#[cfg(test)]
mod metric;
#[cfg(test)]
mod face;
#[cfg(test)]
mod plain;
#[cfg(test)]
mod desk;
#[cfg(test)]
mod properties;
#[cfg(test)]
mod parity;
#[cfg(test)]
mod practice;
#[cfg(test)]
mod preview;
#[cfg(test)]
mod documents;
#[cfg(test)]
mod live;
#[cfg(test)]
mod program;
#[cfg(test)]
mod compile;
#[cfg(test)]
mod constants;
#[cfg(test)]
mod bases;
#[cfg(test)]
mod binder;
#[cfg(test)]
mod two_foams;
#[cfg(test)]
mod tanks;
#[cfg(test)]
mod counters;
#[cfg(test)]
mod listing;
#[cfg(test)]
mod means;
#[cfg(test)]
mod mistakes;
#[cfg(test)]
mod nozzle;
#[cfg(test)]
mod open;
#[cfg(test)]
mod hostile;
#[cfg(test)]
mod fuzzed;
#[cfg(test)]
mod cards;
#[cfg(test)]
mod eductors;
#[cfg(test)]
mod levels;
mod fields;
#[cfg(test)]
mod habits;
#[cfg(test)]
mod start;
#[cfg(test)]
mod days;
#[cfg(test)]
mod transcripts;
#[cfg(test)]
mod papers;
#[cfg(test)]
mod unpublished;
#[cfg(test)]
mod answers;
#[cfg(test)]
mod aloud;
#[cfg(test)]
mod drawings;
#[cfg(test)]
mod keys;
#[cfg(test)]
mod sheets;
#[cfg(test)]
mod giveaways;
#[cfg(test)]
mod named;
#[cfg(test)]
mod pictures;
#[cfg(test)]
mod taught;
#[cfg(test)]
mod walk;
#[cfg(test)]
mod wrong;
