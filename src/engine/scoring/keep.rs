//! A drill and its rigs as they are today, as files that `revisions/` keeps.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::json as object;

use super::kit::{short_revision, standard};
use super::kits::names;
use crate::course::{Course, Drill, Kept, Rig, Standard};
use crate::fingerprint::{NotCanonical, canonical_text};
use crate::wire::{Form, json, revision};

/// What is to be kept of a course and is not kept yet: the standard of every drill, the card of every
/// rig.
pub fn to_keep(course: &Course) -> Result<BTreeMap<String, String>, NotCanonical> {
    let kept = &course.kept;
    let drills = kept.drills.iter().map(|(hash, one)| name("drill", &one.drill.id, hash));
    let rigs = kept.rigs.iter().map(|(hash, rig)| name("rig", &rig.id, hash));
    let known: BTreeSet<String> = drills.chain(rigs).collect();
    let mut files = BTreeMap::new();
    for drill in &course.drills {
        let standard = standard(course, drill);
        let hash = standard.revision()?;
        let file = name("drill", &drill.id, &hash);
        if !known.contains(&file) {
            files.insert(file, drill_text(&standard, &hash)?);
        }
    }
    for rig in course.rigs.values() {
        let hash = revision(rig)?;
        let file = name("rig", &rig.id, &hash);
        if !known.contains(&file) {
            files.insert(file, rig_text(rig, &hash)?);
        }
    }
    Ok(files)
}

fn drill_text(standard: &Standard, hash: &str) -> Result<String, NotCanonical> {
    let standard = json(standard, Form::Whole);
    let kept = object!({ "drill-revision": hash, "standard": standard });
    Ok(format!("{}\n", canonical_text(&kept)?))
}

fn rig_text(rig: &Rig, hash: &str) -> Result<String, NotCanonical> {
    let kept = object!({ "rig": json(rig, Form::Whole), "rig-revision": hash });
    Ok(format!("{}\n", canonical_text(&kept)?))
}

/// What is kept of a drill: its standard, and the card of every rig of the course. File
/// names carry the first letters of the hash, so another revision is another file.
pub fn kept_files(
    course: &Course,
    drill: &Drill,
) -> Result<BTreeMap<String, String>, NotCanonical> {
    let mut files = BTreeMap::new();
    let standard = standard(course, drill);
    let hash = standard.revision()?;
    files.insert(name("drill", &drill.id, &hash), drill_text(&standard, &hash)?);
    for rig in course.rigs.values() {
        let hash = revision(rig)?;
        files.insert(name("rig", &rig.id, &hash), rig_text(rig, &hash)?);
    }
    Ok(files)
}

fn name(kind: &str, id: &str, hash: &str) -> String {
    format!("{kind}-{id}-{}.json", short_revision(hash))
}

/// Whether a file of that name is kept already. The same hash is the same revision, whatever else
/// its text tells: a card that was held against its rig once more is the same card, and what was
/// kept of it first stays as it is.
pub fn is_kept(kept: &Kept, file: &str) -> bool {
    let drills = kept.drills.iter().map(|(hash, one)| name("drill", &one.drill.id, hash));
    let rigs = kept.rigs.iter().map(|(hash, rig)| name("rig", &rig.id, hash));
    drills.chain(rigs).any(|known| known == file)
}

/// What withdraws a revision of a drill or a rig: the name and the text of its file, and the name
/// of the file that keeps the revision. `given` is the beginning of a hash; nothing where no
/// revision, or more than one, begins so.
pub fn withdrawal(
    course: &Course,
    given: &str,
    from: &str,
    why: &str,
) -> Result<Option<(String, String, String)>, NotCanonical> {
    let today = all_of(course)?;
    let kept = &course.kept;
    let drills = today.drills.iter().chain(&kept.drills);
    let drills = drills.map(|(hash, one)| ("drill", hash, &one.drill.id));
    let rigs = today.rigs.iter().chain(&kept.rigs);
    let rigs = rigs.map(|(hash, one)| ("rig", hash, &one.id));
    let mut found: Vec<_> =
        drills.chain(rigs).filter(|(_, hash, _)| names(given, hash)).collect();
    found.sort();
    found.dedup();
    let [(kind, hash, id)] = found.as_slice() else { return Ok(None) };
    let field = format!("{kind}-revision");
    let text =
        canonical_text(&object!({ field: hash, "why": why, "withdrawn-from": from }))?;
    let own = name(kind, id, hash);
    Ok(Some((format!("withdrawn-{own}"), format!("{text}\n"), own)))
}

/// All drills and rigs of a course as they are today.
pub fn all_of(course: &Course) -> Result<Kept, NotCanonical> {
    let mut out = Kept::default();
    for drill in &course.drills {
        let standard = standard(course, drill);
        out.drills.insert(standard.revision()?, standard);
    }
    for rig in course.rigs.values() {
        out.rigs.insert(revision(rig)?, rig.clone());
    }
    Ok(out)
}
