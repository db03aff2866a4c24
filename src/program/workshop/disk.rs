//! Every operation on the disk, one function each. Nothing else in the program does any.

#![expect(
    clippy::disallowed_methods,
    reason = "this is the one file that touches the disk"
)]

use std::ffi::{OsStr, OsString};
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Component, Path, PathBuf};
use std::time::SystemTime;

use same_file::Handle;
use walkdir::WalkDir;

use super::fault::{Trouble, WorldFault};

type Done = Result<(), WorldFault>;

/// What is found at a path; links are never followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stands {
    Nothing,
    File { length: u64 },
    Folder,
    Link,
    Other,
}

/// The disk. In tests it can be made to die or to be full at a given operation.
#[derive(Debug, Default)]
pub(super) struct Disk {
    #[cfg(test)]
    pub(super) fuse: super::kill_tests::Fuse,
}

impl Disk {
    /// Called before each operation that changes something; `half` is done first when the
    /// fuse blows here, as a killed or full machine leaves half of a file behind.
    #[cfg(test)]
    fn step(&self, half: impl FnOnce()) -> io::Result<()> {
        self.fuse.step(half)
    }

    #[cfg(not(test))]
    #[expect(clippy::unused_self, clippy::unnecessary_wraps, reason = "as in tests")]
    fn step(&self, _half: impl FnOnce()) -> io::Result<()> {
        Ok(())
    }

    pub(super) fn stands(path: &Path) -> Result<Stands, WorldFault> {
        match fs::symlink_metadata(path) {
            Ok(found) if found.is_symlink() => Ok(Stands::Link),
            Ok(found) if found.is_dir() => Ok(Stands::Folder),
            Ok(found) if found.is_file() => Ok(Stands::File { length: found.len() }),
            Ok(_) => Ok(Stands::Other),
            Err(fault) if fault.kind() == io::ErrorKind::NotFound => Ok(Stands::Nothing),
            Err(fault) => Err(WorldFault::reading(path, &fault)),
        }
    }

    /// What stands at a name inside a folder. A link on the way there is a fault.
    pub(super) fn stands_in(root: &Path, name: &str) -> Result<Stands, WorldFault> {
        let mut path = root.to_owned();
        let mut parts = name.split('/').peekable();
        while let Some(part) = parts.next() {
            path.push(part);
            let stands = Self::stands(&path)?;
            match stands {
                // Through a link a file outside of the folder would be written or
                // removed.
                Stands::Link => return Err(WorldFault::new(path, Trouble::Link)),
                Stands::Nothing => return Ok(stands),
                Stands::Folder if parts.peek().is_some() => {}
                _ if parts.peek().is_some() => {
                    return Err(WorldFault::new(path, Trouble::WrongSort));
                }
                _ => return Ok(stands),
            }
        }
        Ok(Stands::Folder)
    }

    /// The bytes of a file, or nothing when there are more than `limit`. A link is followed.
    pub(super) fn read(path: &Path, limit: u64) -> Result<Option<Vec<u8>>, WorldFault> {
        // A pipe would be waited for, for ever; a device has no end or asks somebody.
        let stands =
            fs::metadata(path).map_err(|fault| WorldFault::reading(path, &fault))?;
        if !stands.is_file() {
            let trouble =
                if stands.is_dir() { Trouble::WrongSort } else { Trouble::NoFile };
            return Err(WorldFault::new(path, trouble));
        }
        let read = || -> io::Result<Vec<u8>> {
            let mut bytes = Vec::new();
            // One byte more tells that it is too large, whatever its length was when it
            // was looked at.
            File::open(path)?.take(limit.saturating_add(1)).read_to_end(&mut bytes)?;
            Ok(bytes)
        };
        let bytes = read().map_err(|fault| WorldFault::reading(path, &fault))?;
        Ok(u64::try_from(bytes.len())
            .is_ok_and(|length| length <= limit)
            .then_some(bytes))
    }

    /// Writes a new file and sees it safe on the disk; the file must not be there yet.
    pub(super) fn write_new(&self, path: &Path, bytes: &[u8]) -> Done {
        let write = |bytes: &[u8]| -> io::Result<()> {
            let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
            file.write_all(bytes)?;
            // On the disk before it is renamed, or a loss of power leaves an empty file
            // under a good name.
            file.sync_all()
        };
        let half = || drop(write(bytes.get(..bytes.len() >> 1).unwrap_or_default()));
        self.step(half)
            .and_then(|()| write(bytes))
            .map_err(|fault| WorldFault::writing(path, &fault))
    }

    pub(super) fn rename(&self, from: &Path, to: &Path) -> Done {
        self.step(|| ())
            .and_then(|()| fs::rename(from, to))
            .map_err(|fault| WorldFault::writing(to, &fault))
    }

    pub(super) fn remove_file(&self, path: &Path) -> Done {
        self.step(|| ())
            .and_then(|()| fs::remove_file(path))
            .map_err(|fault| WorldFault::writing(path, &fault))
    }

    /// Takes an empty folder away; one that is not empty, or not there, stays as it is.
    pub(super) fn remove_folder_if_empty(&self, path: &Path) -> Done {
        let removed = self.step(|| ()).and_then(|()| fs::remove_dir(path));
        match removed {
            Err(fault)
                if !matches!(
                    fault.kind(),
                    io::ErrorKind::DirectoryNotEmpty | io::ErrorKind::NotFound
                ) =>
            {
                Err(WorldFault::writing(path, &fault))
            }
            _ => Ok(()),
        }
    }

    /// Takes our own working folder away with all it holds. Links inside are not followed.
    pub(super) fn remove_tree(&self, path: &Path) -> Done {
        match self.step(|| ()).and_then(|()| fs::remove_dir_all(path)) {
            Err(fault) if fault.kind() != io::ErrorKind::NotFound => {
                Err(WorldFault::writing(path, &fault))
            }
            _ => Ok(()),
        }
    }

    pub(super) fn make_folder(&self, path: &Path) -> Done {
        self.step(|| ())
            .and_then(|()| fs::create_dir(path))
            .map_err(|fault| WorldFault::writing(path, &fault))
    }

    pub(super) fn make_folders(&self, path: &Path) -> Done {
        self.step(|| ())
            .and_then(|()| fs::create_dir_all(path))
            .map_err(|fault| WorldFault::writing(path, &fault))
    }

    /// Sees the names in a folder safe on the disk, where the system can do that.
    pub(super) fn settle(path: &Path) {
        // Some systems cannot open a folder; then the renames are as safe as they ever are.
        drop(File::open(path).and_then(|folder| folder.sync_all()));
    }

    /// Takes the lock file at a path, or says that another run has it.
    ///
    /// The holder removes the file at its end. Whoever opened it before that gets a lock on
    /// a file that is gone, and so looks whether the one that stands there is the one it holds.
    pub(super) fn lock(&self, path: &Path) -> Result<File, WorldFault> {
        let take = || -> io::Result<Option<File>> {
            let mut options = OpenOptions::new();
            let options = options.read(true).write(true).create(true).truncate(false);
            let file = options.open(path)?;
            match file.try_lock() {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => return Ok(None),
                Err(TryLockError::Error(fault)) => return Err(fault),
            }
            // The file under that name may be another by now: a run that ends removes it
            // between our opening and our lock. Nothing is read of it: Windows lets nobody read
            // what is locked, not even the holder by another way.
            let mine = Handle::from_file(file.try_clone()?)?;
            let same = Handle::from_path(path).is_ok_and(|there| there == mine);
            Ok(same.then_some(file))
        };
        self.step(|| ())
            .and_then(|()| take())
            .map_err(|fault| WorldFault::writing(path, &fault))?
            .ok_or_else(|| WorldFault::new(path, Trouble::Busy))
    }

    /// When a file was last written, where the system keeps that.
    pub(super) fn written(path: &Path) -> Option<SystemTime> {
        fs::metadata(path).and_then(|found| found.modified()).ok()
    }

    /// The numbers behind a beginning in the names of a folder, each once, in order.
    pub(super) fn numbered(dir: &Path, beginning: &str) -> Result<Vec<u32>, WorldFault> {
        let mut found = Vec::new();
        for name in names(dir)? {
            let name = name.to_string_lossy();
            let number = name.strip_prefix(beginning);
            let number = number.map(|rest| rest.strip_suffix(".lock").unwrap_or(rest));
            found.extend(number.and_then(|number| number.parse::<u32>().ok()));
        }
        found.sort_unstable();
        found.dedup();
        Ok(found)
    }

    /// The folders of a folder, by name in order; none where there is no such folder. Links are not
    /// followed.
    pub(super) fn folders(dir: &Path) -> Result<Vec<PathBuf>, WorldFault> {
        if Self::stands(dir)? != Stands::Folder {
            return Ok(Vec::new());
        }
        let mut found = Vec::new();
        for name in names(dir)? {
            let path = dir.join(name);
            if Self::stands(&path)? == Stands::Folder {
                found.push(path);
            }
        }
        found.sort_unstable();
        Ok(found)
    }

    /// The path with every link in it resolved and every `..` settled, as far as it exists; where
    /// it does not, as it would be once the folders are made.
    pub(super) fn real(path: &Path) -> PathBuf {
        let absolute = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        // The system gives up after as many links, and then nothing can be written there.
        settled(&absolute, 40)
    }

    /// The first name in a folder that an author put there. What is hidden, such as the folder of a
    /// version control, is in nobody's way.
    pub(super) fn first_in(root: &Path) -> Result<Option<String>, WorldFault> {
        let all = names(root)?.into_iter().filter(|name| wanted(name));
        Ok(all.map(|name| name.to_string_lossy().into_owned()).min())
    }

    /// Every file and link below a folder, by name in order: name relative to the folder
    /// with forward slashes, path, and what it is. Hidden files and editors' copies are left
    /// out, at most `limit` are listed.
    pub(super) fn walk(
        root: &Path,
        limit: usize,
    ) -> Result<Vec<(String, PathBuf, Stands)>, WorldFault> {
        let mut found = Vec::new();
        let walk = WalkDir::new(root).sort_by_file_name().into_iter();
        for entry in
            walk.filter_entry(|entry| entry.depth() == 0 || wanted(entry.file_name()))
        {
            let entry = entry.map_err(|fault| {
                let path = fault.path().unwrap_or(root).to_owned();
                WorldFault::reading(&path, &fault.into())
            })?;
            let stands = match entry.file_type() {
                sort if sort.is_dir() => continue,
                sort if sort.is_symlink() => Stands::Link,
                sort if sort.is_file() => Stands::File { length: 0 },
                _ => Stands::Other,
            };
            if found.len() == limit {
                return Err(WorldFault::new(root, Trouble::TooManyFiles));
            }
            let inner = entry.path().strip_prefix(root).unwrap_or_else(|_| entry.path());
            let parts: Vec<_> =
                inner.iter().map(|part| part.to_string_lossy().into_owned()).collect();
            found.push((parts.join("/"), entry.path().to_owned(), stands));
        }
        Ok(found)
    }
}

/// Whether a name is the author's own, not one that a system or an editor leaves behind.
fn wanted(name: &OsStr) -> bool {
    let name = name.to_string_lossy();
    // What editors and systems leave behind beside an author's files.
    let left = name.starts_with(['.', '#']) || name.ends_with('~') || name == "Thumbs.db";
    !left
}

/// The names in a folder, in whatever order the system has them.
fn names(dir: &Path) -> Result<Vec<OsString>, WorldFault> {
    let reading = |fault: io::Error| WorldFault::reading(dir, &fault);
    let entries = fs::read_dir(dir).map_err(reading)?;
    entries.map(|entry| Ok(entry.map_err(reading)?.file_name())).collect()
}

/// Part by part, because `..` behind a link leads out of where the link leads, and behind a folder
/// that is not there yet out of that folder. `links` are followed at most.
fn settled(path: &Path, links: u32) -> PathBuf {
    let mut real = PathBuf::new();
    for part in path.components() {
        match part {
            Component::ParentDir => drop(real.pop()),
            Component::CurDir => {}
            Component::Prefix(_) | Component::RootDir => real.push(part),
            Component::Normal(name) => {
                let next = real.join(name);
                real = match (fs::canonicalize(&next), fs::read_link(&next)) {
                    (Ok(found), _) => found,
                    // A link to what is not there yet: it will be made where the link leads.
                    (Err(_), Ok(to)) if links > 0 => settled(&real.join(to), links - 1),
                    _ => next,
                };
            }
        }
    }
    real
}
