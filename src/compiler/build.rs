//! Reads the words of the theme and the trade library while the program is built, so that a word that is
//! missing or broken ends the build, and nobody reads YAML of ours at a start.

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

use drillwright_engine::{findings, wire};

use folder::{Faults, fault, texts};
use wire::{Node, Shape};

/// The reader of every file of a module, under the names that it has in the crate.
mod authoring {
    #[expect(dead_code, reason = "bounds of runs and chains are for other readers")]
    mod bounded;
    mod unreadable;
    mod yaml;

    pub(super) use yaml::read;
}

/// Writes a tree as `stock/read_before.rs` takes it up.
fn write(node: &Node, out: &mut Vec<u8>) -> Result<(), Faults> {
    number(node.start, out)?;
    number(node.end, out)?;
    match &node.shape {
        Shape::Text(said) => {
            out.push(b't');
            text(said, out)
        }
        Shape::Nothing => {
            out.push(b'n');
            Ok(())
        }
        Shape::List(items) => {
            out.push(b'l');
            number(items.len(), out)?;
            items.iter().try_for_each(|item| write(item, out))
        }
        Shape::Map(fields) => {
            out.push(b'm');
            number(fields.len(), out)?;
            fields.iter().try_for_each(|(key, value)| {
                number(key.start, out)?;
                number(key.end, out)?;
                text(&key.text, out)?;
                write(value, out)
            })
        }
    }
}

fn number(number: usize, out: &mut Vec<u8>) -> Result<(), Faults> {
    let number = u32::try_from(number).map_err(|why| fault(&why))?;
    out.extend(number.to_le_bytes());
    Ok(())
}

fn text(text: &str, out: &mut Vec<u8>) -> Result<(), Faults> {
    number(text.len(), out)?;
    out.extend(text.as_bytes());
    Ok(())
}

/// The trees of all sheets of the trade library.
fn trees() -> Result<Vec<u8>, Faults> {
    let mut out = Vec::new();
    for (name, said) in texts("../../content/trade", "trade", "yaml")? {
        let node = authoring::read(&name, &said)
            .map_err(|finding| fault(&format!("{name}: {finding:?}")))?;
        let mut tree = Vec::new();
        write(&node, &mut tree)?;
        text(name.strip_prefix("trade/").unwrap_or(&name), &mut out)?;
        number(tree.len(), &mut out)?;
        out.extend(tree);
    }
    Ok(out)
}

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
    fs::write(Path::new(&out).join("trees"), trees()?).map_err(|why| fault(&why))?;
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
