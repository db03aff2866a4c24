//! The list of what we wrote, which stands in the site, and the list of what we are about to
//! do, which stands there only while we do it.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use serde_json::Value;

/// The name of the list in the site's folder.
pub const LIST: &str = "drillwright-files.json";

/// Raised when the list's fields change their meaning; a list of another format is broken.
const FORMAT: u32 = 1;

/// One file we wrote.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Entry {
    pub(super) path: String,
    pub(super) sha256: String,
    pub(super) bytes: u64,
    /// Parts of the module that the page asked for; nothing for a file that every run makes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) asked: Vec<String>,
    /// Hash over its kind, the program and those parts.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) key: String,
}

/// What a finished run left in the site. It carries no time and no name of a machine.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SiteList {
    format: u32,
    pub(super) tool: String,
    /// Hash of everything the run was made from.
    pub(super) input: String,
    /// What the run had to say: its findings and counts, as the caller wants them back.
    pub(super) said: Value,
    /// Folders we made, by name in order.
    pub(super) folders: BTreeSet<String>,
    /// By path in order.
    pub(super) files: Vec<Entry>,
}

impl SiteList {
    pub(super) fn new(
        input: &str,
        said: Value,
        folders: BTreeSet<String>,
        files: Vec<Entry>,
    ) -> Self {
        let tool = env!("CARGO_PKG_VERSION").to_owned();
        Self { format: FORMAT, tool, input: input.to_owned(), said, folders, files }
    }

    /// The list in a file's bytes; nothing if it is broken or names what is no page of ours.
    pub(super) fn read(bytes: &[u8]) -> Option<Self> {
        let list: Self = serde_json::from_slice(bytes).ok()?;
        let good = list.format == FORMAT
            // Files named here may be removed, so a name that leads anywhere else makes the
            // whole list void.
            && list.files.iter().all(|entry| is_page_name(&entry.path))
            && list.folders.iter().all(|folder| is_page_name(folder));
        good.then_some(list)
    }

    /// Whether this version of the program wrote it.
    pub(super) fn is_of_today(&self) -> bool {
        self.tool == env!("CARGO_PKG_VERSION")
    }

    /// One line per field, so that two versions can be compared by eye.
    pub(super) fn text(&self) -> Option<Vec<u8>> {
        let mut text = serde_json::to_vec_pretty(self).ok()?;
        text.push(b'\n');
        Some(text)
    }
}

/// What is ours: every hash a path had or is about to get, and the folders we made or are
/// about to make. As a file in the working folder it is the list of intent.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Ours {
    pub(super) files: BTreeMap<String, BTreeSet<String>>,
    pub(super) folders: BTreeSet<String>,
}

impl Ours {
    pub(super) fn add(&mut self, path: &str, sha256: &str) {
        self.files.entry(path.to_owned()).or_default().insert(sha256.to_owned());
    }

    pub(super) fn add_list(&mut self, list: &SiteList) {
        for entry in &list.files {
            self.add(&entry.path, &entry.sha256);
        }
        self.folders.extend(list.folders.iter().cloned());
    }

    pub(super) fn add_intent(&mut self, bytes: &[u8]) {
        // A list of intent is renamed into its place whole; a broken one was not ours.
        let Ok(intent) = serde_json::from_slice::<Self>(bytes) else { return };
        for (path, hashes) in intent.files {
            if is_page_name(&path) {
                self.files.entry(path).or_default().extend(hashes);
            }
        }
        self.folders.extend(intent.folders.into_iter().filter(|name| is_page_name(name)));
    }

    pub(super) fn wrote(&self, path: &str, sha256: &str) -> bool {
        self.files.get(path).is_some_and(|hashes| hashes.contains(sha256))
    }
}

/// The one hidden file that is ours: what it keeps out of a store of versions is not published
/// from there by mistake.
const IGNORED: &str = ".gitignore";

/// Whether a name can be a page's on every system, and stays inside the site: parts of
/// letters, digits, hyphens, underscores and points, none beginning with a point but that name.
pub(super) fn is_page_name(name: &str) -> bool {
    let good = |part: &str| {
        !part.is_empty()
            // Every file system holds a name of this length, with room for what a stage adds:
            // 255 bytes are the usual end, and an ending of the stage is below twenty.
            && part.len() <= 120
            // Hidden files are nobody's pages, and two points lead out of the folder.
            && (part == IGNORED || !part.starts_with('.'))
            // Windows drops a point at the end and would find another file.
            && !part.ends_with('.')
            && part.bytes().all(|b| b.is_ascii_alphanumeric() || b"-_.".contains(&b))
    };
    // A page of that name would be taken for the list by the next run.
    name != LIST && name.split('/').all(good)
}

/// The folders a page stands in, outermost first: `a/b/c.html` gives `a` and `a/b`.
pub(super) fn folders_of(path: &str) -> impl Iterator<Item = &str> {
    path.match_indices('/').filter_map(|(at, _)| path.get(..at))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_leave_the_site_are_no_page_names() {
        for good in ["crew/index.html", "a", "crew/drills/flush-2.html"] {
            assert!(is_page_name(good), "{good}");
        }
        let bad =
            ["", "/a", "a/", "a//b", "../a", "a/../b", ".git/x", "a\\b", "c:x", LIST];
        for bad in bad {
            assert!(!is_page_name(bad), "{bad}");
        }
    }

    #[test]
    fn a_list_with_a_path_outside_is_broken() {
        let entry = |path: &str| Entry {
            path: path.into(),
            sha256: "x".into(),
            bytes: 1,
            ..Entry::default()
        };
        let list = |path| {
            let said = Value::Null;
            SiteList::new("f", said, BTreeSet::new(), vec![entry(path)]).text().unwrap()
        };
        assert!(SiteList::read(&list("crew/a.html")).is_some());
        assert!(SiteList::read(&list("../a.html")).is_none());
        assert!(SiteList::read(b"<<<<<<< HEAD").is_none());
        assert_eq!(folders_of("a/b/c.html").collect::<Vec<_>>(), ["a", "a/b"]);
    }
}
