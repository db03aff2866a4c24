//! Single files outside a site: a run sheet in, a few filled sheets out.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::disk::{Disk, Stands};
use super::fault::{Trouble, WorldFault};
use super::list::is_page_name;
use super::stage::Stage;

/// Files that are looked through at most: more than the papers of years, so a folder that has
/// more was named by mistake and would be walked through for minutes.
const MOST_FILES: usize = 100_000;

/// The bytes of one file that a person named, at most `limit` of them.
pub fn read_file(path: &Path, limit: u64) -> Result<Vec<u8>, WorldFault> {
    let too_large = || {
        let limit = format!("it is larger than {limit} bytes");
        WorldFault::new(path, Trouble::Unreadable(limit))
    };
    Disk::read(path, limit)?.ok_or_else(too_large)
}

/// Files of one ending below a folder, by name in order, with their bytes; none where there is no
/// such folder. Links are not followed.
pub fn find_files(
    dir: &Path,
    ending: &str,
    limit: u64,
) -> Result<Vec<(PathBuf, Vec<u8>)>, WorldFault> {
    match Disk::stands(dir)? {
        Stands::Nothing => return Ok(Vec::new()),
        Stands::Folder => {}
        Stands::Link => return Err(WorldFault::new(dir, Trouble::Link)),
        _ => return Err(WorldFault::new(dir, Trouble::WrongSort)),
    }
    let mut found = Vec::new();
    for (name, path, stands) in Disk::walk(dir, MOST_FILES)? {
        if matches!(stands, Stands::File { .. }) && name.ends_with(ending) {
            let bytes = read_file(&path, limit)?;
            found.push((path, bytes));
        }
    }
    Ok(found)
}

/// Writes files into a folder, whole or not at all, and never over a file that says something
/// else. Returns the names of the files that were not there before.
///
/// The folder is made if it is not there. All files are staged first, so a full disk leaves
/// nothing behind.
pub fn write_files(
    dir: &Path,
    files: &BTreeMap<String, Vec<u8>>,
) -> Result<Vec<String>, WorldFault> {
    write_files_on(&Disk::default(), dir, files)
}

pub(super) fn write_files_on(
    disk: &Disk,
    dir: &Path,
    files: &BTreeMap<String, Vec<u8>>,
) -> Result<Vec<String>, WorldFault> {
    match Disk::stands(dir)? {
        Stands::Nothing => disk.make_folders(dir)?,
        Stands::Folder => {}
        Stands::Link => return Err(WorldFault::new(dir, Trouble::Link)),
        _ => return Err(WorldFault::new(dir, Trouble::WrongSort)),
    }
    let mut new = Vec::new();
    let mut not_ours = Vec::new();
    for (name, bytes) in files {
        let at = dir.join(name);
        // A name with a slash could lead out of the folder.
        if !is_page_name(name) || name.contains('/') {
            return Err(WorldFault::new(at, Trouble::BadName));
        }
        match Disk::stands_in(dir, name)? {
            Stands::Nothing => new.push((name, bytes)),
            // The same bytes are there already: the same command twice does nothing the second
            // time.
            Stands::File { .. } if Disk::read(&at, u64::MAX)?.as_ref() == Some(bytes) => {
            }
            _ => not_ours.push(name.clone()),
        }
    }
    // Looked at all of them before the first is written: all of it or nothing.
    if !not_ours.is_empty() {
        return Err(WorldFault::new(dir, Trouble::NotOurs(not_ours)));
    }
    let stage = Stage::open(disk, dir)?;
    let done = bring_in(disk, dir, stage.path(), &new);
    stage.close(disk);
    done.map(|()| new.into_iter().map(|(name, _)| name.clone()).collect())
}

/// Puts a file in the place of one of ours, whole or not at all. The caller has read the one that
/// stands there and knows it.
pub fn replace_file(path: &Path, bytes: &[u8]) -> Result<(), WorldFault> {
    let disk = Disk::default();
    match Disk::stands(path)? {
        Stands::Nothing | Stands::File { .. } => {}
        Stands::Link => return Err(WorldFault::new(path, Trouble::Link)),
        _ => return Err(WorldFault::new(path, Trouble::WrongSort)),
    }
    let dir = path.parent().filter(|dir| *dir != Path::new("")).unwrap_or(Path::new("."));
    let stage = Stage::open(&disk, dir)?;
    let staged = stage.path().join("file");
    // Renamed into its place whole: whoever reads it meets the old file or the new one.
    let done = disk.write_new(&staged, bytes).and_then(|()| disk.rename(&staged, path));
    stage.close(&disk);
    Disk::settle(dir);
    done
}

fn bring_in(
    disk: &Disk,
    dir: &Path,
    stage: &Path,
    files: &[(&String, &Vec<u8>)],
) -> Result<(), WorldFault> {
    for (name, bytes) in files {
        disk.write_new(&stage.join(name), bytes)?;
    }
    for (name, _) in files {
        if Disk::stands_in(dir, name)? != Stands::Nothing {
            return Err(WorldFault::new(dir, Trouble::NotOurs(vec![(*name).clone()])));
        }
        disk.rename(&stage.join(name), &dir.join(name))?;
    }
    Disk::settle(dir);
    Ok(())
}
