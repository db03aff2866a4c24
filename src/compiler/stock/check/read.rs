//! The words file from YAML. Only the compiler's build script and the tests include this file,
//! so that the program's needs no reader of YAML.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::check::Sheet;
use super::check::sheet::blanks;

/// Keys whose sentence may say nothing: what to write instead is not always known, and the
/// line with the result of a run has its sentence from elsewhere.
const MAY_BE_EMPTY: [&str; 2] = [".write", "scoring.line.result"];

/// One level of the words file: a sentence or a group of further keys.
#[derive(Deserialize)]
#[serde(untagged)]
enum Entry {
    Sentence(String),
    Group(BTreeMap<String, Self>),
}

/// Reads the words file, or says everything that is wrong with it.
///
/// A key that stands twice in one group is refused by the reader of YAML, at its line.
pub(crate) fn read(text: &str) -> Result<Sheet, Vec<String>> {
    let tree: BTreeMap<String, Entry> =
        serde_yaml::from_str(text).map_err(|fault| vec![fault.to_string()])?;
    let (mut sheet, mut faults) = (Sheet::new(), Vec::new());
    for (key, entry) in tree {
        flatten(&key, entry, &mut sheet, &mut faults);
    }
    faults.extend(broken(&sheet));
    if faults.is_empty() { Ok(sheet) } else { Err(faults) }
}

fn flatten(key: &str, entry: Entry, sheet: &mut Sheet, faults: &mut Vec<String>) {
    let last = key.rsplit('.').next().unwrap_or_default();
    let letter = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    // A point within a key would make one key of two spellings, and a blank at its end
    // would make a key that nobody can see is another.
    if last.is_empty() || !last.chars().all(letter) {
        faults.push(format!(
            "\"{last}\" in {key} is no key: small letters, digits, hyphens"
        ));
    }
    match entry {
        Entry::Sentence(sentence) => {
            if sheet.insert(key.to_owned(), sentence).is_some() {
                faults.push(format!("{key} stands twice"));
            }
        }
        Entry::Group(group) => {
            for (inner, entry) in group {
                if inner.contains('.') {
                    faults.push(format!("\"{inner}\" in {key} holds a point"));
                }
                flatten(&format!("{key}.{inner}"), entry, sheet, faults);
            }
        }
    }
}

/// What is wrong with the sentences of a sheet by themselves.
fn broken(sheet: &Sheet) -> Vec<String> {
    let mut faults = Vec::new();
    for (key, sentence) in sheet {
        let empty = sentence.trim().is_empty();
        if empty && !MAY_BE_EMPTY.iter().any(|end| key.ends_with(end)) {
            faults.push(format!("{key} says nothing"));
        }
        if let Err(why) = blanks(sentence) {
            faults.push(format!("{key} {why}"));
        }
    }
    faults.extend(labels(sheet));
    faults
}

/// Two keys of a page that a template could not tell apart: there a hyphen and a point are
/// both an underscore.
fn labels(sheet: &Sheet) -> Vec<String> {
    let mut seen: BTreeMap<String, &str> = BTreeMap::new();
    let mut faults = Vec::new();
    for key in sheet.keys().filter(|key| key.starts_with("page.")) {
        if let Some(other) = seen.insert(key.replace(['-', '.'], "_"), key) {
            faults.push(format!("{key} and {other} have one name in a template"));
        }
    }
    faults
}
