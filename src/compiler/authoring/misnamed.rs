//! Names of files that are not there: what was most likely meant.

use crate::findings::{Code, Finding, Place, Sources};
use crate::wire::Desk;
use crate::words::nearest;

/// The name of a thing in a list that names its file: told, and read as the name, so that nobody else
/// misses the thing.
pub(super) fn bare<'n>(name: &'n str, place: impl Fn() -> Place, desk: &Desk) -> &'n str {
    let bare = name.strip_suffix(".yaml").or_else(|| name.strip_suffix(".yml"));
    if let Some(bare) = bare {
        let finding = Finding::at(Code::BadId, place()).with("found", name);
        desk.note(finding.with("nearest", bare));
    }
    bare.unwrap_or(name)
}

/// A file that is not there, with the one that was most likely meant: in its own folder, or of the
/// same name in another.
pub(super) fn file(finding: Finding, name: &str, sources: &Sources) -> Finding {
    let (folder, last) = name.rsplit_once('/').unwrap_or(("", name));
    let in_folder =
        |file: &&String| file.rsplit_once('/').is_some_and(|(other, _)| other == folder);
    let near = nearest(name, sources.keys().filter(in_folder).map(String::as_str));
    let same = || {
        let mut files = sources.keys();
        files.find(|file| file.rsplit('/').next() == Some(last)).cloned()
    };
    let finding = finding.with("name", name);
    // A list of names has the name alone, and the folder by the list.
    let named = |file: String| match file.strip_suffix(".yaml") {
        Some(bare) => bare.rsplit('/').next().unwrap_or(bare).to_owned(),
        None => file,
    };
    match near.or_else(same) {
        Some(near) => finding.with("meant", named(near)),
        None => finding,
    }
}
