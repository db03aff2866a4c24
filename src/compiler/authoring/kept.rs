//! Earlier revisions as they are kept in `revisions/`, or carried by a run.
//!
//! The hash is taken over what is written in the file, so that a revision that was kept by an
//! older program is still known by the hash that stands on the paper.

use serde_json::{Map, Value};

use super::flat::ends;
use crate::course::{Kept, Rig, Standard};
use crate::findings::{Code, Finding, Place, Sources};
use crate::fingerprint::revision;
use crate::wire::{Node, Shape};

/// Everything kept in a module's folder.
pub(super) fn kept(sources: &Sources, found: &mut Vec<Finding>) -> Kept {
    let mut out = Kept::default();
    let files = sources.iter().filter(|(file, _)| file.starts_with("revisions/"));
    for (file, text) in files.filter(|(file, _)| ends(file, "json")) {
        if let Err(reason) = one(text, &mut out) {
            let end = text.lines().next().map_or(0, str::len).min(40);
            let end = text.floor_char_boundary(end);
            found.push(broken(Place { file: file.clone(), start: 0, end }, reason));
        }
    }
    out
}

/// One file of kept revisions; else why it cannot be used, in a sentence.
pub fn kept_file(text: &str) -> Result<Kept, String> {
    let mut out = Kept::default();
    match one(text, &mut out) {
        Ok(()) => Ok(out),
        // words: kept.{not-json|no-hash|no-standard|no-rig|no-kit|other-form|other-hash}
        Err(reason) => Err(crate::stock::words().say(&format!("kept.{reason}"), &[])),
    }
}

/// A revision that cannot be used, for the reason under `kept` in the words file.
pub(super) fn broken(place: Place, reason: &str) -> Finding {
    let reason = crate::stock::words().say(&format!("kept.{reason}"), &[]);
    Finding::at(Code::RevisionBroken, place).with("found", reason)
}

/// One kept file; else why it cannot be used.
fn one(text: &str, out: &mut Kept) -> Result<(), &'static str> {
    let value: Value = serde_json::from_str(text).map_err(|_fault| "not-json")?;
    let hash = |field: &str| value.get(field).and_then(Value::as_str);
    match (hash("drill-revision"), hash("rig-revision")) {
        (Some(hash), None) => {
            let standard = value.get("standard").ok_or("no-standard")?;
            let known = proven(standard, hash)?;
            out.drills.insert(known, drill(standard)?);
        }
        (None, Some(hash)) => {
            let rig = value.get("rig").ok_or("no-rig")?;
            let known = proven(rig, hash)?;
            out.rigs.insert(known, rig_card(rig)?);
        }
        _ => return Err("no-hash"),
    }
    Ok(())
}

/// What a run carries: a kit's data.
pub(super) fn carried(kit: &Node, text: &str) -> Result<Kept, &'static str> {
    let Value::Object(mut parts) = json(kit, text) else { return Err("no-kit") };
    let rig = parts.remove("rig").ok_or("no-rig")?;
    // Sentences are no part of what a candidate is held to; the program says its own.
    parts.remove("words");
    let standard = Value::Object(parts);
    let hash = |value: &Value| revision(value).map_err(|_fault| "not-json");
    let mut out = Kept::default();
    out.drills.insert(hash(&standard)?, drill(&standard)?);
    out.rigs.insert(hash(&rig)?, rig_card(&rig)?);
    Ok(out)
}

fn drill(value: &Value) -> Result<Standard, &'static str> {
    serde_json::from_value(value.clone()).map_err(|_fault| "other-form")
}

fn rig_card(value: &Value) -> Result<Rig, &'static str> {
    serde_json::from_value(value.clone()).map_err(|_fault| "other-form")
}

fn proven(value: &Value, hash: &str) -> Result<String, &'static str> {
    match revision(value) {
        Ok(worked) if worked == hash => Ok(worked),
        Ok(_) => Err("other-hash"),
        Err(_) => Err("not-json"),
    }
}

/// A part of a file as JSON. What stands in quotation marks is a text; what does not is read
/// as JSON reads it.
fn json(node: &Node, text: &str) -> Value {
    match &node.shape {
        Shape::Nothing => Value::Null,
        Shape::List(items) => items.iter().map(|item| json(item, text)).collect(),
        Shape::Map(fields) => {
            let field = |(key, value): &(crate::wire::Key, Node)| {
                (key.text.clone(), json(value, text))
            };
            Value::Object(fields.iter().map(field).collect::<Map<_, _>>())
        }
        Shape::Text(said) => {
            let written = text.get(node.start..node.end).unwrap_or_default();
            let plain = !written.starts_with(['"', '\'']);
            let read = plain.then(|| serde_json::from_str::<Value>(said).ok()).flatten();
            read.filter(|value| value.is_number() || value.is_boolean())
                .unwrap_or_else(|| Value::String(said.clone()))
        }
    }
}
