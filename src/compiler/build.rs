//! Reads the words of the theme while the program is built, so that a word that is missing or
//! broken ends the build, and nobody reads YAML at a start.

#![expect(
    clippy::disallowed_methods,
    reason = "a build script reads sources and writes where Cargo says"
)]

use std::fs;
use std::path::Path;

#[path = "stock/check/mod.rs"]
mod check;
#[path = "stock/check/folder.rs"]
mod folder;
#[path = "stock/check/read.rs"]
mod read;

use folder::{Faults, fault};

fn main() -> Result<(), Faults> {
    for watched in ["../../content/trade", "../../themes", "build.rs", "stock"] {
        println!("cargo::rerun-if-changed={watched}");
    }
    let words = fs::read_to_string("../../themes/plain/words.yaml");
    let sheet = read::read(&words.map_err(|why| fault(&why))?).map_err(Faults)?;
    let out =
        std::env::var_os("OUT_DIR").ok_or_else(|| fault(&"no folder to write to"))?;
    let mut list = String::from("&[\n");
    // A map walks its keys in order, and in that order the list is searched.
    for (key, sentence) in &sheet {
        list.push_str(&format!("(B({key:?}), B({sentence:?})),\n"));
    }
    list.push(']');
    fs::write(Path::new(&out).join("words.rs"), list).map_err(|why| fault(&why))
}
