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
#[path = "stock/check/template.rs"]
mod template;

use folder::{Faults, fault, texts};

fn main() -> Result<(), Faults> {
    for watched in ["../../content/trade", "../../themes", "../engine", "."] {
        println!("cargo::rerun-if-changed={watched}");
    }
    let words = fs::read_to_string("../../themes/plain/words.yaml");
    let sheet = read::read(&words.map_err(|why| fault(&why))?).map_err(Faults)?;
    let mut sources = texts("../engine", "src/engine", "rs")?;
    sources.extend(texts(".", "src/compiler", "rs")?);
    let mut faults = check::faults(&sheet, &sources, &[]);
    faults.extend(template::unnamed(&sheet, &texts("../../themes", "themes", "html")?));
    if !faults.is_empty() {
        return Err(Faults(faults));
    }
    let out =
        std::env::var_os("OUT_DIR").ok_or_else(|| fault(&"no folder to write to"))?;
    let mut list = String::from("&[\n");
    // A map walks its keys in order, and in that order the list is searched.
    for (key, sentence) in &sheet {
        list.push_str(&format!("(B({key:?}), B({sentence:?})),\n"));
    }
    list.push(']');
    fs::write(Path::new(&out).join("words.rs"), list).map_err(|why| fault(&why))?;
    // The program's build script holds its own sources against the same keys and blanks.
    let flat = sheet.iter().map(|(key, sentence)| {
        let blanks = check::sheet::blanks(sentence).unwrap_or_default();
        let blanks: Vec<String> = blanks.iter().map(|b| format!("{{{b}}}")).collect();
        format!("{key}\t{}\n", blanks.concat())
    });
    let flat: String = flat.collect();
    let beside = Path::new(&out).join("words.txt");
    println!("cargo::metadata=list={}", beside.display());
    fs::write(beside, flat).map_err(|why| fault(&why))
}
