//! What the world does to us: a missing folder, a full disk, somebody else's file.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

use crate::words::Words;

/// What stands in the way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// A folder or file that is needed is not there.
    NotThere,
    /// A file stands where a folder is needed, or the other way round.
    WrongSort,
    /// It is a pipe or a device, which may never end.
    NoFile,
    /// It is a link, and nothing is written or read through one.
    Link,
    /// It cannot be read, for the reason given.
    Unreadable(String),
    /// It cannot be written, for the reason given.
    Unwritable(String),
    /// The disk is full.
    Full,
    /// Files that we did not write, or that were changed since, stand where pages belong.
    NotOurs(Vec<String>),
    /// Another run is writing to the same folder.
    Busy,
    /// The folder holds far more files than a module ever has.
    TooManyFiles,
    /// The site would be written into the content, or the content is read from the site.
    SameFolder,
    /// Two pages want the same name, or a name that no page can have: a fault of ours.
    BadName,
}

/// A fault of the world: the path it is about and what stands in the way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorldFault {
    /// The file or folder.
    pub path: PathBuf,
    /// What stands in the way.
    pub trouble: Trouble,
}

impl WorldFault {
    /// A fault about a path.
    pub fn new(path: impl Into<PathBuf>, trouble: Trouble) -> Self {
        Self { path: path.into(), trouble }
    }

    pub(super) fn reading(path: &Path, fault: &io::Error) -> Self {
        let trouble = match fault.kind() {
            io::ErrorKind::NotFound => Trouble::NotThere,
            io::ErrorKind::NotADirectory | io::ErrorKind::IsADirectory => {
                Trouble::WrongSort
            }
            _ => Trouble::Unreadable(reason(fault)),
        };
        Self::new(path, trouble)
    }

    pub(super) fn writing(path: &Path, fault: &io::Error) -> Self {
        let trouble = match fault.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Trouble::Full,
            io::ErrorKind::NotADirectory | io::ErrorKind::IsADirectory => {
                Trouble::WrongSort
            }
            _ => Trouble::Unwritable(reason(fault)),
        };
        Self::new(path, trouble)
    }

    /// The fault and what to do about it, in the sentences of the words file.
    pub fn say(&self, words: &Words) -> String {
        let path = self.path.display().to_string();
        let path = path.as_str();
        let say = |key: &str, more: (&str, &str)| {
            // words: disk.{say(..)}
            words.say(&format!("disk.{key}"), &[("path", path), more])
        };
        match &self.trouble {
            Trouble::NotThere => say("not-there", ("", "")),
            Trouble::WrongSort => say("wrong-sort", ("", "")),
            Trouble::NoFile => say("no-file", ("", "")),
            Trouble::Link => say("link", ("", "")),
            Trouble::Unreadable(reason) => say("unreadable", ("reason", reason)),
            Trouble::Unwritable(reason) => say("unwritable", ("reason", reason)),
            Trouble::Full => say("full", ("", "")),
            Trouble::NotOurs(names) => say("not-ours", ("files", &some_of(names, words))),
            Trouble::Busy => say("busy", ("", "")),
            Trouble::TooManyFiles => say("too-many-files", ("", "")),
            Trouble::SameFolder => say("same-folder", ("", "")),
            Trouble::BadName => say("bad-name", ("", "")),
        }
    }
}

/// The first ten names, one a line, and how many more there are.
fn some_of(names: &[String], words: &Words) -> String {
    let mut lines: Vec<String> =
        // Ten names show what sort of files they are; a whole site of them would scroll the
        // advice away.
        names.iter().take(10).map(|name| format!("\n    {name}")).collect();
    if let Some(more) = names.len().checked_sub(10).filter(|more| *more > 0) {
        let more = words.say("disk.and-more", &[("count", &more.to_string())]);
        lines.push(format!("\n    {more}"));
    }
    lines.concat()
}

/// The system's own sentence without its number.
fn reason(fault: &io::Error) -> String {
    let text = fault.to_string();
    // The number says nothing to a training officer and differs between systems.
    match text.split_once(" (os error") {
        Some((plain, _)) => plain.to_owned(),
        None => text,
    }
}

impl fmt::Display for WorldFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {:?}", self.path.display(), self.trouble)
    }
}

impl std::error::Error for WorldFault {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_trouble_has_its_sentence() {
        let words = crate::stock::words();
        let names = (0..12).map(|n| format!("page-{n}.html")).collect();
        let all = [
            Trouble::NotThere,
            Trouble::WrongSort,
            Trouble::Link,
            Trouble::Unreadable("Permission denied".into()),
            Trouble::Unwritable("Permission denied".into()),
            Trouble::Full,
            Trouble::NotOurs(names),
            Trouble::Busy,
            Trouble::TooManyFiles,
            Trouble::SameFolder,
            Trouble::BadName,
        ];
        for trouble in all {
            let said = WorldFault::new("site/x", trouble.clone()).say(&words);
            assert!(said.contains("site/x"), "{said}");
            assert!(!said.contains(['⟨', '{']), "{said}");
            if let Trouble::NotOurs(_) = trouble {
                assert!(said.contains("page-9.html") && !said.contains("page-10"));
                assert!(said.contains("2 more"), "{said}");
            }
        }
    }
}
