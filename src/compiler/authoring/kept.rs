//! Earlier revisions as they are kept in `revisions/`, or carried by a run.
//!
//! Their hash is made of the canonical form, in which what is absent stands for nothing. So
//! what an older program kept has the hash that stands on the paper, however many fields a
//! drill may have by now.

use serde_json::Value;

use super::flat::ends;
use crate::course::{Kept, Rig, Standard, Withdrawn};
use crate::findings::{Code, Finding, Place, Sources};
use crate::fingerprint::NotCanonical;
use crate::scoring::KitData;
use crate::wire::{Node, Shape, Wire, from_node, node, revision};
use crate::words::Words;

/// Everything kept in a module's folder.
pub(super) fn kept(sources: &Sources, found: &mut Vec<Finding>) -> Kept {
    let mut out = Kept::default();
    let files = sources.iter().filter(|(file, _)| file.starts_with("revisions/"));
    let mut withdrawing = Vec::new();
    for (file, text) in files.filter(|(file, _)| ends(file, "json")) {
        let before = out.withdrawn.clone();
        if let Err(reason) = one(text, &mut out) {
            found.push(broken(head(file, text), reason));
        }
        let new = out.withdrawn.keys().filter(|hash| !before.contains_key(*hash));
        withdrawing.extend(new.map(|hash| (hash.clone(), head(file, text))));
    }
    // A slip in a hash would withdraw nothing, and nobody would hear of it.
    for (hash, place) in withdrawing {
        if !out.drills.contains_key(&hash) && !out.rigs.contains_key(&hash) {
            found.push(broken(place, "no-such-revision"));
        }
    }
    out
}

/// The beginning of a file, where all of it is wrong.
fn head(file: &str, text: &str) -> Place {
    // Enough to know the file by: what is wrong is wrong with all of it, and a line of JSON
    // can be the whole file.
    let end = text.lines().next().map_or(0, str::len).min(40);
    Place { file: file.to_owned(), start: 0, end: text.floor_char_boundary(end) }
}

/// One file of kept revisions; else why it cannot be used, in a sentence.
pub fn kept_file(text: &str, words: &Words) -> Result<Kept, String> {
    let mut out = Kept::default();
    match one(text, &mut out) {
        Ok(()) => Ok(out),
        // words: kept.{not-json|no-hash|no-standard|no-rig|no-kit|other-form|other-hash|no-such-revision}
        Err(reason) => Err(words.get(&format!("kept.{reason}"))),
    }
}

/// A revision that cannot be used, for the reason under `kept` in the words file.
pub(super) fn broken(place: Place, reason: &str) -> Finding {
    let reason = format!("⟨kept.{reason}⟩");
    Finding::at(Code::RevisionBroken, place).with("found", reason)
}

/// One kept file; else why it cannot be used.
fn one(text: &str, out: &mut Kept) -> Result<(), &'static str> {
    let value: Value = serde_json::from_str(text).map_err(|_fault| "not-json")?;
    let hash = |field: &str| value.get(field).and_then(Value::as_str);
    if value.get("withdrawn-from").is_some() {
        return withdrawn(&value, out);
    }
    match (hash("drill-revision"), hash("rig-revision")) {
        (Some(hash), None) => {
            let standard = value.get("standard").ok_or("no-standard")?;
            let standard: Standard = thing(&node(standard))?;
            out.drills.insert(proven(standard.revision(), hash)?, standard);
        }
        (None, Some(hash)) => {
            let rig: Rig = thing(&node(value.get("rig").ok_or("no-rig")?))?;
            out.rigs.insert(proven(revision(&rig), hash)?, rig);
        }
        _ => return Err("no-hash"),
    }
    Ok(())
}

/// That a revision was taken back. The earliest day counts, whoever wrote another one later.
fn withdrawn(value: &Value, out: &mut Kept) -> Result<(), &'static str> {
    let told: Withdrawn = thing(&node(value))?;
    let hash = match (&told.drill_revision, &told.rig_revision) {
        (Some(hash), None) | (None, Some(hash)) => hash.clone(),
        _ => return Err("no-hash"),
    };
    // SHA-256 as text. A beginning would do to find a revision, but what is withdrawn for
    // safety must not fit two.
    let whole = hash.len() == 64 && hash.bytes().all(|byte| byte.is_ascii_hexdigit());
    if !whole {
        return Err("no-hash");
    }
    match out.withdrawn.get(&hash) {
        Some(known) if known.from <= told.from => {}
        _ => drop(out.withdrawn.insert(hash, told)),
    }
    Ok(())
}

/// What a run carries: a kit's data.
pub(super) fn carried(kit: &Node) -> Result<Kept, &'static str> {
    let Shape::Map(fields) = &kit.shape else { return Err("no-kit") };
    if !fields.iter().any(|(key, _)| key.text == "rig") {
        return Err("no-rig");
    }
    let KitData { standard, rig, .. } = thing(kit)?;
    let hash = |hash: Result<String, NotCanonical>| hash.map_err(|_fault| "not-json");
    let mut out = Kept::default();
    out.drills.insert(hash(standard.revision())?, standard);
    out.rigs.insert(hash(revision(&rig))?, rig);
    Ok(out)
}

/// What this program or an earlier one wrote. A field that it does not know was written by a
/// later one, which may rule what this one does not: nothing of it is used.
fn thing<T: Wire>(node: &Node) -> Result<T, &'static str> {
    from_node(node).map_err(|_found| "other-form")
}

fn proven(
    worked: Result<String, NotCanonical>,
    hash: &str,
) -> Result<String, &'static str> {
    match worked {
        Ok(worked) if worked == hash => Ok(worked),
        Ok(_) => Err("other-hash"),
        Err(_) => Err("not-json"),
    }
}
