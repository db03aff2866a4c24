//! What the build holds against the words file, before there is a program.
//!
//! The build scripts of the compiler and of the program include these files and end the build
//! with every fault they find; the room's tests include them too and show that each kind of
//! fault is found. The program itself carries none of this: it gets a sorted list of keys and
//! sentences.

mod asked;
mod find;
mod list;
pub(crate) mod sheet;
mod source;
mod told;
mod tokens;

#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

pub(crate) use list::Sheet;

/// Texts by path, `src/engine/scoring/say.rs`.
pub(crate) type Texts = BTreeMap<String, String>;

/// Everything that is wrong between the words and the sources that ask for them. Sources of
/// `below` are looked through for what they name, and were held against the words themselves.
pub(crate) fn faults(sheet: &Sheet, sources: &Texts, below: &[&str]) -> Vec<String> {
    let groups: BTreeSet<&str> =
        sheet.keys().filter_map(|key| key.split('.').next()).collect();
    let (asks, mut faults) = asked::asked(sources, &groups);
    faults.extend(asked::compared(sheet, &asks));
    // Each crate's build tells its own faults: told twice they would be looked for twice.
    let of_below = |fault: &String| below.iter().any(|room| fault.starts_with(room));
    faults.retain(|fault| !of_below(fault));
    faults
}
