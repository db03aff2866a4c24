//! The compiler: an author's sources in, pages out. It reads no file, starts no thread, asks no
//! clock. Its rooms stand in reading order, after those of the engine.

pub use drillwright_engine::{
    course, findings, fingerprint, formulas, page, practice, quantity, quiz, scoring,
    wire, words,
};

pub mod stock;
pub mod theme;
pub mod authoring;
pub mod starting;
pub mod publish;
