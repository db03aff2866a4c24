//! A drill and its rigs as they are today, as files that `revisions/` keeps.

use std::collections::BTreeMap;

use serde_json::json;

use super::kit::{short_revision, standard};
use crate::course::{Course, Drill, Kept};
use crate::fingerprint::{NotCanonical, canonical, revision};

/// What is kept of a drill: its standard, and the card of every rig of the course. File
/// names carry the first letters of the hash, so another revision is another file.
pub fn kept_files(
    course: &Course,
    drill: &Drill,
) -> Result<BTreeMap<String, String>, NotCanonical> {
    let mut files = BTreeMap::new();
    let standard = standard(course, drill);
    let hash = revision(&standard)?;
    let text = canonical(&json!({ "drill-revision": hash, "standard": standard }))?;
    files.insert(name("drill", &drill.id, &hash), format!("{text}\n"));
    for rig in course.rigs.values() {
        let hash = revision(rig)?;
        let text = canonical(&json!({ "rig": rig, "rig-revision": hash }))?;
        files.insert(name("rig", &rig.id, &hash), format!("{text}\n"));
    }
    Ok(files)
}

fn name(kind: &str, id: &str, hash: &str) -> String {
    format!("{kind}-{id}-{}.json", short_revision(hash))
}

/// All drills and rigs of a course as they are today.
pub fn all_of(course: &Course) -> Result<Kept, NotCanonical> {
    let mut out = Kept::default();
    for drill in &course.drills {
        let standard = standard(course, drill);
        out.drills.insert(revision(&standard)?, standard);
    }
    for rig in course.rigs.values() {
        out.rigs.insert(revision(rig)?, rig.clone());
    }
    Ok(out)
}
