//! The log of a live sheet, tapped once more: its events must come to the marks that the file
//! has. What differs is named, and leaves the run open; both entries stay (rule 7).
//!
//! It proves no more than that: whoever forges a whole log forges its marks as well. A mark that
//! was mended in the file by hand, a log that was cut, and a log of another run are told.

use serde_json::Value;

use super::super::decode::from_text;
use super::clock::At;
use super::kit::Live;
use super::log::{Event, Log};
use super::sheet::sheets;
use super::state::Phase;
use crate::course::RunSheet;
use crate::fingerprint::hex_hash;
use crate::scoring::Fault;
use crate::wire::{Form, json};

/// Letters of the hash that a file has of its log: 64 bits never meet by chance.
const CODE: usize = 16;

/// What a file carries of its log.
#[derive(Debug, Clone, Copy, Default)]
pub struct Taps<'t> {
    /// Every event with its clocks, as it was stored.
    pub taps: Option<&'t str>,
    /// The code of all that.
    pub code: Option<&'t str>,
    /// How many lines of it are told to people; nothing where they are left out.
    pub lines: Option<usize>,
}

/// The code of a log.
pub(super) fn code(taps: &str) -> String {
    let hash = hex_hash(taps.as_bytes());
    hash.get(..CODE).unwrap_or_default().to_owned()
}

/// What the log of a run says against its file.
pub fn differences(live: &Live, sheet: &RunSheet, given: Taps<'_>) -> Vec<Fault> {
    let at = |key: &'static str| Fault::asks(&["log-code"], key);
    let taps = match (given.taps, given.code) {
        // What was tapped is told there, and nothing is left that could be held against the marks. A
        // sheet that somebody typed in has no such lines.
        (None, None) => {
            let told = given.lines.is_some_and(|lines| lines > 0);
            let alone = Fault::asks(&["log"], "log-alone");
            return told.then_some(alone).into_iter().collect();
        }
        // A code without its log: the log was lost or taken
        // out, and either is asked about.
        (None, Some(code)) => return vec![at("log-gone").with("code", code)],
        (Some(_), None) => return vec![Fault::asks(&["taps"], "log-no-code")],
        (Some(taps), Some(_)) => taps,
    };
    let mut found = Vec::new();
    let have = code(taps);
    if given.code.is_some_and(|given| given.trim() != have) {
        found.push(at("log-changed").with("have", have));
    }
    // After its code, so that a log which was cut is told as changed as well.
    let Some(log) = from_text::<Log>(taps) else {
        found.push(Fault::asks(&["taps"], "log-unreadable"));
        return found;
    };
    found.extend(out_of_time(&log));
    let state = log.replay(live);
    let told = super::told::told(live, &log, &state).len();
    if given.lines.is_some_and(|lines| lines != told) {
        let fault = Fault::asks(&["log"], "log-lines");
        found.push(fault.with("count", told.to_string()));
    }
    found.extend(after_the_end(&log));
    // A file is made of a saved sheet, so its log ends there.
    if state.phase != Phase::Done {
        found.push(at("log-not-saved"));
    }
    let parts = sheets(live, &state);
    match parts.iter().find(|part| part.sheet.drill == sheet.drill) {
        Some(part) => found.extend(differing(&part.sheet, sheet)),
        None => found.push(at("log-other").with("drill", &sheet.drill)),
    }
    found
}

/// Within one loading of a page its steady clock only grows.
fn out_of_time(log: &Log) -> Vec<Fault> {
    let mut last: Vec<&At> = Vec::new();
    let mut found = Vec::new();
    for entry in &log.entries {
        let at = &entry.at;
        // Each loading for itself: the steady clock begins anew with every one.
        match last.iter_mut().find(|known| known.boot == at.boot) {
            Some(known) => {
                if at.steady < known.steady {
                    let fault = Fault::asks(&["taps"], "log-time");
                    let fault = fault.with("at", at.second());
                    found.push(fault.with("before", known.second()));
                }
                *known = at;
            }
            None => last.push(at),
        }
    }
    found
}

/// Nothing is tapped on a sheet that is saved.
fn after_the_end(log: &Log) -> Option<Fault> {
    let saved = log.entries.iter().position(|entry| entry.event == Event::Save)?;
    let after = log.entries.get(saved + 1)?;
    Some(Fault::asks(&["taps"], "log-after").with("at", after.at.second()))
}

/// The fields in which two sheets differ, each with both of its values.
fn differing(log: &RunSheet, file: &RunSheet) -> Vec<Fault> {
    let (log, file) = (json(log, Form::Whole), json(file, Form::Whole));
    let mut found = Vec::new();
    walk(&mut Vec::new(), &log, &file, &mut found);
    found
}

fn walk(path: &mut Vec<String>, log: &Value, file: &Value, found: &mut Vec<Fault>) {
    if log == file {
        return;
    }
    // Both are walked as far as they are groups; what only one of them has stands against nothing.
    let nothing = serde_json::Map::new();
    let group = |value: &Value| match value {
        Value::Object(fields) => Some(fields.clone()),
        Value::Null if path.len() == 1 => Some(nothing.clone()),
        _ => None,
    };
    if let Some((a, b)) = group(log).zip(group(file)) {
        let mut names: Vec<&String> = a.keys().chain(b.keys()).collect();
        // In order, or a name that both have would be walked twice.
        names.sort();
        names.dedup();
        for name in names {
            path.push(name.clone());
            let of = |fields: &serde_json::Map<String, Value>| {
                fields.get(name).cloned().unwrap_or(Value::Null)
            };
            walk(path, &of(&a), &of(&b), found);
            path.pop();
        }
        return;
    }
    let parts: Vec<&str> = path.iter().map(String::as_str).collect();
    let fault = Fault::asks(&parts, "log-differs").with("name", path.join("."));
    found.push(fault.with("log", said(log)).with("sheet", said(file)));
}

/// A value in a few words.
fn said(value: &Value) -> String {
    match value {
        Value::Null => "\u{2013}".to_owned(),
        Value::String(text) => text.clone(),
        Value::Array(list) => list.iter().map(said).collect::<Vec<_>>().join(", "),
        other => other.to_string(),
    }
}
