//! The words as a flat list, and what is wrong with them by themselves.

use std::collections::BTreeMap;

/// Keys whose sentence may say nothing: what to write instead is not always known, and the
/// line with the result of a run has its sentence from elsewhere.
const MAY_BE_EMPTY: [&str; 2] = [".write", "scoring.line.result"];

/// Sentences by key, keys joined by dots.
pub(crate) type Sheet = BTreeMap<String, String>;

/// What is wrong with the sentences of a sheet by themselves.
pub(crate) fn broken(sheet: &Sheet) -> Vec<String> {
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

/// The blanks of a sentence: `{name}`. Doubled braces, `{{name}}`, print one pair around it.
pub(crate) fn blanks(sentence: &str) -> Result<Vec<String>, String> {
    let mut found = Vec::new();
    let mut rest = sentence;
    while let Some((before, after)) = rest.split_once('{') {
        if before.contains('}') {
            return Err("closes a blank that is not open".to_owned());
        }
        let (doubled, after) = match after.strip_prefix('{') {
            Some(after) => (true, after),
            None => (false, after),
        };
        let Some((name, tail)) = after.split_once('}') else {
            return Err(format!("opens a blank and does not close it: {{{after}"));
        };
        let letter = |c: char| c.is_ascii_lowercase() || c == '-';
        if name.is_empty() || !name.chars().all(letter) {
            return Err(format!("has a blank with a name of other signs: {{{name}}}"));
        }
        found.push(name.to_owned());
        rest = match (doubled, tail.strip_prefix('}')) {
            (true, Some(tail)) => tail,
            (true, None) => return Err(format!("doubles only one brace: {{{{{name}}}")),
            (false, _) => tail,
        };
    }
    if rest.contains('}') {
        return Err("closes a blank that is not open".to_owned());
    }
    Ok(found)
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
