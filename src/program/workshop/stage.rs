//! A hidden folder beside the place where files go, in which they are written whole before they are
//! renamed.
//!
//! Its name has the number of the process, which keeps two runs at the same moment out of each
//! other's way, and a file beside it is locked for as long as the run lives. What can be locked
//! belongs to nobody any more: a run that was killed left it, and the next one in that folder takes
//! it away, because keys and seeds may stand in it.

use std::fs::File;
use std::path::{Path, PathBuf};

use super::disk::{Disk, Stands};
use super::fault::{Trouble, WorldFault};

/// How the names of stages begin.
const NAME: &str = ".drillwright-";

/// A stage of this process.
#[derive(Debug)]
pub(super) struct Stage {
    path: PathBuf,
    lock: (PathBuf, File),
}

impl Stage {
    /// Makes one in a folder, and takes away what runs that were killed left there.
    pub(super) fn open(disk: &Disk, dir: &Path) -> Result<Self, WorldFault> {
        clear_left(disk, dir)?;
        let name = format!("{NAME}{}", std::process::id());
        let (path, beside) = (dir.join(&name), dir.join(format!("{name}.lock")));
        let file = disk.lock(&beside)?;
        disk.make_folder(&path)?;
        Ok(Self { path, lock: (beside, file) })
    }

    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Takes it away. What cannot be taken away now is by the next run.
    pub(super) fn close(self, disk: &Disk) {
        let (beside, file) = self.lock;
        // The folder first: as long as the lock stands, nobody else looks into it.
        drop(disk.remove_tree(&self.path).and_then(|()| disk.remove_file(&beside)));
        drop(file);
    }
}

/// Takes away what runs that were killed left in a folder.
pub(super) fn clear_left(disk: &Disk, dir: &Path) -> Result<(), WorldFault> {
    for number in Disk::numbered(dir, NAME)? {
        let name = format!("{NAME}{number}");
        let (stage, beside) = (dir.join(&name), dir.join(format!("{name}.lock")));
        let held = match disk.lock(&beside) {
            Ok(held) => held,
            // Its run is at work.
            Err(fault) if fault.trouble == Trouble::Busy => continue,
            Err(fault) => return Err(fault),
        };
        if Disk::stands(&stage)? == Stands::Folder {
            disk.remove_tree(&stage)?;
        }
        disk.remove_file(&beside)?;
        drop(held);
    }
    Ok(())
}

/// The same in each folder of a folder, where runs have one of their own each.
pub fn clear_each(dir: &Path) -> Result<(), WorldFault> {
    for folder in Disk::folders(dir)? {
        clear_left(&Disk::default(), &folder)?;
    }
    Ok(())
}
