//! Files into a module's folder: new ones, and lists that have more in them. All of it or nothing.
//!
//! A folder that is not there yet is made beside its place and renamed into it in one step. In one
//! that is there each file is staged first; then the new ones are renamed in, and the lists last,
//! because what no list names is in nobody's way. A fault on the way takes back what was done.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::disk::{Disk, Stands};
use super::fault::{Trouble, WorldFault};
use super::list::is_page_name;
use super::stage::Stage;

/// What goes into a folder.
#[derive(Debug, Default)]
pub struct Additions {
    /// Files that are not there yet, by name with forward slashes.
    pub new: BTreeMap<String, Vec<u8>>,
    /// Files that are there: as they were read, and as they will be.
    pub changed: BTreeMap<String, (Vec<u8>, Vec<u8>)>,
}

/// Whether nothing is in a folder that an author put there; one that is not there is empty too.
pub fn is_empty(dir: &Path) -> Result<Option<String>, WorldFault> {
    match Disk::stands(dir)? {
        Stands::Nothing => Ok(None),
        Stands::Folder => Disk::first_in(dir),
        Stands::Link => Err(WorldFault::new(dir, Trouble::Link)),
        _ => Err(WorldFault::new(dir, Trouble::WrongSort)),
    }
}

/// Writes them, or nothing.
pub fn add_files(dir: &Path, files: &Additions) -> Result<(), WorldFault> {
    add_files_on(&Disk::default(), dir, files)
}

pub(super) fn add_files_on(
    disk: &Disk,
    dir: &Path,
    files: &Additions,
) -> Result<(), WorldFault> {
    let names = files.new.keys().chain(files.changed.keys());
    if let Some(name) = names.into_iter().find(|name| !is_page_name(name)) {
        return Err(WorldFault::new(dir.join(name), Trouble::BadName));
    }
    match Disk::stands(dir)? {
        Stands::Nothing if files.changed.is_empty() => whole(disk, dir, files),
        Stands::Folder => beside(disk, dir, files),
        Stands::Link => Err(WorldFault::new(dir, Trouble::Link)),
        Stands::Nothing => Err(WorldFault::new(dir, Trouble::NotThere)),
        _ => Err(WorldFault::new(dir, Trouble::WrongSort)),
    }
}

/// A folder that is not there yet.
fn whole(disk: &Disk, dir: &Path, files: &Additions) -> Result<(), WorldFault> {
    let above = dir.parent().filter(|above| *above != Path::new(""));
    let above = above.unwrap_or(Path::new("."));
    if Disk::stands(above)? == Stands::Nothing {
        disk.make_folders(above)?;
    }
    let staged = Stage::open(disk, above)?;
    let stage = staged.path();
    let write = || -> Result<(), WorldFault> {
        for (name, bytes) in &files.new {
            let at = stage.join(name);
            if let Some(folder) = at.parent() {
                disk.make_folders(folder)?;
            }
            disk.write_new(&at, bytes)?;
        }
        // Over nothing: a folder that somebody made in the meantime is not ours.
        if Disk::stands(dir)? != Stands::Nothing {
            return Err(WorldFault::new(
                dir,
                Trouble::NotOurs(vec![dir.display().to_string()]),
            ));
        }
        disk.rename(stage, dir)
    };
    let done = write();
    staged.close(disk);
    Disk::settle(above);
    done
}

/// A folder that is there.
fn beside(disk: &Disk, dir: &Path, files: &Additions) -> Result<(), WorldFault> {
    let mut new = Vec::new();
    let mut not_ours = Vec::new();
    for (name, bytes) in &files.new {
        match Disk::stands_in(dir, name)? {
            Stands::Nothing => new.push((name, bytes)),
            // Left by a run that was killed: the same command does the rest.
            Stands::File { .. }
                if Disk::read(&dir.join(name), u64::MAX)?.as_ref() == Some(bytes) => {}
            _ => not_ours.push(name.clone()),
        }
    }
    for (name, (before, _)) in &files.changed {
        let is = Disk::stands_in(dir, name)?;
        let file = matches!(is, Stands::File { .. });
        if !file || !unchanged(dir, name, before)? {
            not_ours.push(name.clone());
        }
    }
    if !not_ours.is_empty() {
        return Err(WorldFault::new(dir, Trouble::NotOurs(not_ours)));
    }
    let stage = Stage::open(disk, dir)?;
    let mut done = Done::default();
    let ended = bring_in(disk, dir, stage.path(), (&new, &files.changed), &mut done);
    if ended.is_err() {
        done.take_back(disk, dir);
    }
    stage.close(disk);
    Disk::settle(dir);
    ended
}

/// Whether a file is as it was read; an editor may have saved it in the meantime.
fn unchanged(dir: &Path, name: &str, before: &[u8]) -> Result<bool, WorldFault> {
    Ok(Disk::read(&dir.join(name), u64::MAX)?.as_deref() == Some(before))
}

/// What was done, to be taken back.
#[derive(Debug, Default)]
struct Done {
    folders: Vec<PathBuf>,
    new: Vec<String>,
    changed: Vec<(String, PathBuf)>,
}

impl Done {
    fn take_back(&self, disk: &Disk, dir: &Path) {
        // What cannot be taken back is whole; the fault that matters is told.
        for (name, old) in &self.changed {
            drop(disk.rename(old, &dir.join(name)));
        }
        for name in &self.new {
            drop(disk.remove_file(&dir.join(name)));
        }
        for folder in self.folders.iter().rev() {
            drop(disk.remove_folder_if_empty(folder));
        }
    }
}

type Changed = BTreeMap<String, (Vec<u8>, Vec<u8>)>;

fn bring_in(
    disk: &Disk,
    dir: &Path,
    stage: &Path,
    (new, changed): (&[(&String, &Vec<u8>)], &Changed),
    done: &mut Done,
) -> Result<(), WorldFault> {
    for (at, (_, bytes)) in new.iter().enumerate() {
        disk.write_new(&stage.join(format!("new-{at}")), bytes)?;
    }
    for (at, (before, after)) in changed.values().enumerate() {
        disk.write_new(&stage.join(format!("before-{at}")), before)?;
        disk.write_new(&stage.join(format!("after-{at}")), after)?;
    }
    for (at, (name, _)) in new.iter().enumerate() {
        folders(disk, dir, name, done)?;
        if Disk::stands_in(dir, name)? != Stands::Nothing {
            return Err(WorldFault::new(dir, Trouble::NotOurs(vec![(*name).clone()])));
        }
        disk.rename(&stage.join(format!("new-{at}")), &dir.join(name))?;
        done.new.push((*name).clone());
    }
    for (at, (name, (before, _))) in changed.iter().enumerate() {
        if !unchanged(dir, name, before)? {
            return Err(WorldFault::new(dir, Trouble::NotOurs(vec![name.clone()])));
        }
        disk.rename(&stage.join(format!("after-{at}")), &dir.join(name))?;
        done.changed.push((name.clone(), stage.join(format!("before-{at}"))));
    }
    Ok(())
}

/// Makes the folders on the way to a file.
fn folders(
    disk: &Disk,
    dir: &Path,
    name: &str,
    done: &mut Done,
) -> Result<(), WorldFault> {
    let mut path = dir.to_owned();
    let mut parts = name.split('/').peekable();
    while let Some(part) = parts.next() {
        path.push(part);
        if parts.peek().is_some() && Disk::stands(&path)? == Stands::Nothing {
            disk.make_folder(&path)?;
            done.folders.push(path.clone());
        }
    }
    Ok(())
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "a test makes its own folder")]
mod tests {
    use super::*;
    use crate::workshop::kill_tests::Fuse;
    use std::fs;
    use std::sync::atomic::AtomicUsize;

    fn additions() -> Additions {
        let bytes = |text: &str| text.as_bytes().to_vec();
        Additions {
            new: BTreeMap::from([
                ("rigs/a.yaml".to_owned(), bytes("a")),
                ("schema/x/y.json".to_owned(), bytes("y")),
            ]),
            changed: BTreeMap::from([
                ("module.yaml".to_owned(), (bytes("old"), bytes("new"))),
                ("people.yaml".to_owned(), (bytes("[]"), bytes("- one"))),
            ]),
        }
    }

    fn begun() -> tempfile::TempDir {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join("module.yaml"), "old").unwrap();
        fs::write(dir.path().join("people.yaml"), "[]").unwrap();
        dir
    }

    fn texts(dir: &Path) -> Vec<(String, String)> {
        let all = Disk::walk(dir, 100).unwrap().into_iter();
        all.map(|(name, path, _)| (name, fs::read_to_string(path).unwrap())).collect()
    }

    #[test]
    fn all_of_it_or_nothing_whatever_operation_fails() {
        let whole = begun();
        add_files(whole.path(), &additions()).unwrap();
        let whole = texts(whole.path());
        assert_eq!(whole.len(), 4);
        let before = texts(begun().path());
        let mut failed = 0;
        for at in 0..100 {
            let dir = begun();
            let disk = Disk { fuse: Fuse::Once(AtomicUsize::new(at)) };
            match add_files_on(&disk, dir.path(), &additions()) {
                Ok(()) => assert_eq!(texts(dir.path()), whole),
                Err(_) => {
                    failed += 1;
                    assert_eq!(texts(dir.path()), before, "operation {at}");
                }
            }
        }
        assert!(failed > 10, "{failed}");
    }

    #[test]
    fn a_new_folder_is_there_whole_or_not_at_all() {
        let files = Additions { changed: BTreeMap::new(), ..additions() };
        let mut failed = 0;
        for at in 0..40 {
            for fuse in
                [Fuse::Once(AtomicUsize::new(at)), Fuse::Killed(AtomicUsize::new(at))]
            {
                let above = tempfile::tempdir().unwrap();
                let dir = above.path().join("new");
                match add_files_on(&Disk { fuse }, &dir, &files) {
                    Ok(()) => assert_eq!(texts(&dir).len(), 2),
                    Err(_) => {
                        failed += 1;
                        assert!(!dir.exists(), "operation {at}");
                    }
                }
            }
        }
        assert!(failed > 8, "{failed}");
    }

    #[test]
    fn killed_midway_every_file_is_whole_and_the_same_command_does_the_rest() {
        let whole = begun();
        add_files(whole.path(), &additions()).unwrap();
        let whole = texts(whole.path());
        for at in 0..40 {
            let dir = begun();
            let disk = Disk { fuse: Fuse::Killed(AtomicUsize::new(at)) };
            drop(add_files_on(&disk, dir.path(), &additions()));
            for (name, text) in texts(dir.path()) {
                let known = [
                    additions().new.get(&name).cloned(),
                    additions().changed.get(&name).map(|(_, new)| new.clone()),
                    additions().changed.get(&name).map(|(old, _)| old.clone()),
                ];
                assert!(known.contains(&Some(text.into_bytes())), "{name} after {at}");
            }
            let mut rest = additions();
            for (name, (before, _)) in &mut rest.changed {
                *before = fs::read(dir.path().join(name)).unwrap();
            }
            add_files(dir.path(), &rest).unwrap();
            assert_eq!(texts(dir.path()), whole, "after {at}");
        }
    }

    #[test]
    fn what_is_there_stays() {
        let dir = begun();
        fs::create_dir(dir.path().join("rigs")).unwrap();
        fs::write(dir.path().join("rigs/a.yaml"), "theirs").unwrap();
        let fault = add_files(dir.path(), &additions()).unwrap_err();
        assert_eq!(fault.trouble, Trouble::NotOurs(vec!["rigs/a.yaml".to_owned()]));
        fs::remove_file(dir.path().join("rigs/a.yaml")).unwrap();
        fs::write(dir.path().join("module.yaml"), "saved since").unwrap();
        let fault = add_files(dir.path(), &additions()).unwrap_err();
        assert_eq!(fault.trouble, Trouble::NotOurs(vec!["module.yaml".to_owned()]));
        let out = Additions {
            new: BTreeMap::from([("../out".to_owned(), Vec::new())]),
            ..Additions::default()
        };
        assert_eq!(add_files(dir.path(), &out).unwrap_err().trouble, Trouble::BadName);
        assert_eq!(texts(dir.path()).len(), 2);
    }
}
