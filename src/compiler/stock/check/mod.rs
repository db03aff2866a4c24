//! What the build holds against the words file, before there is a program.
//!
//! The compiler's build script includes these files and ends the build with every fault it
//! finds; the room's tests include them too and show that each kind of fault is found. The
//! program itself carries none of this: it gets a sorted list of keys and sentences.

mod sheet;

#[cfg(test)]
mod tests;

pub(crate) use sheet::{Sheet, broken};
