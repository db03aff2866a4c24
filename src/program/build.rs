//! Holds what the terminal says against the words that the compiler's build script listed, so
//! that a key or a blank that is missing ends the build.

#![expect(
    clippy::disallowed_methods,
    reason = "a build script reads sources where Cargo says"
)]

use std::fs;

#[path = "../compiler/stock/check/mod.rs"]
mod check;
#[path = "../compiler/stock/check/folder.rs"]
mod folder;

use folder::{Faults, fault, texts};

fn main() -> Result<(), Faults> {
    for watched in ["src/engine", "src/compiler", "src/program"] {
        println!("cargo::rerun-if-changed={watched}");
    }
    let list = std::env::var("DEP_DRILLWRIGHT_WORDS_LIST").map_err(|why| fault(&why))?;
    let list = fs::read_to_string(list).map_err(|why| fault(&why))?;
    // A key, and of its sentence the blanks alone.
    let pair = |line: &str| {
        line.split_once('\t').map(|(key, blanks)| (key.to_owned(), blanks.to_owned()))
    };
    let sheet: check::Sheet = list.lines().filter_map(pair).collect();
    let mut sources = check::Texts::new();
    for part in ["src/engine", "src/compiler", "src/program"] {
        sources.extend(texts(part, part, "rs")?);
    }
    let faults = check::faults(&sheet, &sources, &["src/engine", "src/compiler"]);
    if faults.is_empty() { Ok(()) } else { Err(Faults(faults)) }
}
