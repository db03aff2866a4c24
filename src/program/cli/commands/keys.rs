//! The folder of the site that is never published: papers and their keys, what was drawn, the forms
//! that mark them, the seed, and results.
//!
//! It is apart from the officers' folder, so that whoever puts that on a web space takes no key along.
//! A file in it keeps all of it out of a store of versions, from which sites are often published.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::cli::terminal::Terminal;
use crate::workshop::{WorldFault, clear_each, is_empty, write_files};

/// Its name in the site.
const FOLDER: &str = "keys";

/// Where all of this stood until November 2026. What an earlier program left there is still read, or
/// every paper that was printed could be marked no more.
const BEFORE: &str = "staff";

/// Where the seed stands in the site.
pub(super) const SEED: &str = "keys/papers-seed.json";
pub(super) const SEED_BEFORE: &str = "staff/papers-seed.json";

/// The forms of the papers and of the numbered sheets that `compile` makes.
pub(super) const FORMS: &str = "keys/papers-forms.json";
pub(super) const DRAWN: &str = "keys/sheets-drawn.json";

/// What tells a store of versions to leave the folder alone, itself included.
pub(super) const IGNORE: &str = "keys/.gitignore";
pub(super) const ALL: &[u8] = b"*\n";

/// The folders whose forms are known, today's first.
pub(super) fn folders(site: &Path) -> [PathBuf; 2] {
    [FOLDER, BEFORE].map(|folder| site.join(folder))
}

/// The folders of results; the first is the one that is written to.
pub(super) fn results(site: &Path) -> Vec<PathBuf> {
    folders(site).map(|folder| folder.join("results")).to_vec()
}

/// The site, with the folder held out of a store of versions before anything is laid into it, and
/// without what runs left there that were killed.
pub(super) fn guarded(site: &Path) -> Result<&Path, WorldFault> {
    let name = IGNORE.rsplit('/').next().unwrap_or(IGNORE);
    let file = BTreeMap::from([(name.to_owned(), ALL.to_vec())]);
    let folder = site.join(FOLDER);
    write_files(&folder, &file)?;
    for own in ["papers", "sheets"] {
        clear_each(&folder.join(own))?;
    }
    Ok(site)
}

/// Says which folders of an earlier program still lie among the officers' pages. They are not moved: an
/// officer may have laid own files into them.
pub(super) fn tell_old(site: &Path, terminal: &Terminal) {
    for name in ["papers", "results", "sheets"] {
        let (old, new) = (site.join(BEFORE).join(name), site.join(FOLDER).join(name));
        if matches!(is_empty(&old), Ok(Some(_))) {
            let (old, new) = (old.display().to_string(), new.display().to_string());
            let blanks = [("old", old.as_str()), ("new", new.as_str())];
            terminal.talk(&terminal.words.say("cli.keys-before", &blanks));
        }
    }
}
