//! The writer is killed, or finds the disk full, at each of its operations in turn; the next
//! run must give the clean result byte for byte.

#![expect(clippy::disallowed_methods, reason = "a test makes and reads its own folder")]

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use serde_json::{Value, json};

use super::disk::Disk;
use super::fault::{Trouble, WorldFault};
use super::files::write_files_on;
use super::publish::SiteReport;
use super::site::{Site, unchanged};
use super::{LIST, write_files};

/// Lets a number of operations pass, then fails.
#[derive(Debug, Default)]
pub(super) enum Fuse {
    #[default]
    None,
    /// This operation does half of its work; it and all later ones fail.
    Killed(AtomicUsize),
    /// The same, but only for operations that write bytes: those that tidy up still work.
    Full(AtomicUsize),
    /// This operation fails, and what is done after it works again.
    Once(AtomicUsize),
}

impl Fuse {
    pub(super) fn step(&self, half: impl FnOnce()) -> io::Result<()> {
        let (left, kind) = match self {
            Self::None => return Ok(()),
            Self::Killed(left) => (left, io::ErrorKind::Other),
            Self::Full(left) | Self::Once(left) => (left, io::ErrorKind::StorageFull),
        };
        let less = |left: usize| left.checked_sub(1);
        let before = left.fetch_update(Ordering::SeqCst, Ordering::SeqCst, less);
        if before.is_ok() {
            return Ok(());
        }
        half();
        if let Self::Once(left) = self {
            left.store(usize::MAX, Ordering::SeqCst);
        }
        Err(kind.into())
    }
}

type Tree = BTreeMap<String, Vec<u8>>;

fn tree(root: &Path) -> Tree {
    let mut found = Tree::new();
    for entry in walkdir::WalkDir::new(root) {
        let entry = entry.unwrap();
        let name = entry.path().strip_prefix(root).unwrap().to_str().unwrap().to_owned();
        if entry.file_type().is_dir() {
            found.insert(name + "/", Vec::new());
        } else {
            found.insert(name, fs::read(entry.path()).unwrap());
        }
    }
    found
}

const FIRST: &[(&str, &str)] = &[
    ("crew/index.html", "index one"),
    ("crew/drills/flush.html", "flush"),
    ("crew/drills/purge.html", "purge"),
    ("crew/old/a.html", "old a"),
    ("crew/old/b.html", "old b"),
    ("staff/index.html", "staff one"),
];

const SECOND: &[(&str, &str)] = &[
    ("crew/index.html", "index two"),
    ("crew/drills/flush.html", "flush"),
    ("crew/drills/refill.html", "refill"),
    ("crew/new/deep/c.html", "new c"),
    ("staff/index.html", "staff two"),
];

fn run(disk: Disk, out: &Path, pages: &[(&str, &str)]) -> Result<SiteReport, WorldFault> {
    let mut site = Site::open_on(disk, out)?;
    // Pages whose text the list knows are kept as they stand, as far as it may be trusted.
    site.trust(&Path::new(env!("CARGO_MANIFEST_DIR")).join("LICENSE"));
    for (path, text) in pages {
        let asked = vec![format!("text:{path}")];
        if !site.keep(path, |known| (known == asked).then(|| (*text).to_owned()))? {
            site.put_made(path, text.as_bytes(), (asked, (*text).to_owned()))?;
        }
    }
    site.publish("input", &json!({"pages": pages.len()}))
}

fn clean(out: &Path, pages: &[(&str, &str)]) -> SiteReport {
    run(Disk::default(), out, pages).unwrap()
}

/// A site of the first run with a user's own file, and a page of ours changed by hand that the
/// second run no longer has.
fn start(out: &Path) {
    clean(out, FIRST);
    fs::write(out.join("crew/old/notes.txt"), "mine").unwrap();
    fs::write(out.join("crew/old/b.html"), "changed by hand").unwrap();
}

/// Every file of a half-done site is whole: as one of the two runs or the user wrote it.
fn whole(out: &Path) {
    for (name, bytes) in tree(out) {
        if name.starts_with(".drillwright") || name == LIST || name.ends_with('/') {
            continue;
        }
        let text = String::from_utf8(bytes).unwrap();
        let ours = FIRST.iter().chain(SECOND).any(|page| *page == (&name, &text));
        let users = ["mine", "changed by hand"].contains(&text.as_str());
        assert!(ours || users, "{name} is half written: {text:?}");
    }
}

fn killed_everywhere(blown: impl Fn(AtomicUsize) -> Fuse) -> usize {
    let clean_dir = tempfile::tempdir().unwrap();
    start(clean_dir.path());
    let report = clean(clean_dir.path(), SECOND);
    assert_eq!(report.kept, ["crew/old/b.html"]);
    assert_eq!(report.removed, ["crew/drills/purge.html", "crew/old/a.html"]);
    let second = tree(clean_dir.path());
    let mut operation = 0;
    loop {
        let dir = tempfile::tempdir().unwrap();
        let out = dir.path();
        start(out);
        let first = tree(out);
        let fuse = blown(AtomicUsize::new(operation));
        let ended = run(Disk { fuse }, out, SECOND);
        whole(out);
        if !out.join(".drillwright/intent.json").exists() && ended.is_err() {
            let mut now = tree(out);
            now.retain(|name, _| !name.starts_with(".drillwright"));
            assert!(
                now == first || now == second,
                "after {operation}: neither old nor new"
            );
        }
        // A third module in between must not lose track of what the dead run had done.
        let other = tempfile::tempdir().unwrap();
        copy(out, other.path());
        clean(other.path(), FIRST);
        assert_eq!(fs::read(other.path().join("crew/old/notes.txt")).unwrap(), b"mine");
        assert!(!other.path().join("crew/new").exists(), "after {operation}");
        clean(out, SECOND);
        assert_eq!(tree(out), second, "killed at operation {operation}");
        if ended.is_ok() {
            return operation;
        }
        operation += 1;
    }
}

fn copy(from: &Path, to: &Path) {
    for (name, bytes) in tree(from) {
        // The third module's own page of that name cannot be written over a changed one.
        if name == "crew/old/b.html" {
            continue;
        }
        match name.strip_suffix('/') {
            Some(folder) => fs::create_dir_all(to.join(folder)).unwrap(),
            None => fs::write(to.join(name), bytes).unwrap(),
        }
    }
}

#[test]
fn killed_at_every_operation() {
    let operations = killed_everywhere(Fuse::Killed);
    assert!(operations > 20, "only {operations} operations were tried");
}

#[test]
fn disk_full_at_every_operation() {
    killed_everywhere(Fuse::Full);
}

#[test]
fn a_full_disk_leaves_the_old_site_and_no_working_folder() {
    let dir = tempfile::tempdir().unwrap();
    start(dir.path());
    let before = tree(dir.path());
    let site = Site::open(dir.path()).unwrap();
    for (path, text) in &SECOND[..3] {
        site.put(path, text.as_bytes()).unwrap();
    }
    drop(site);
    assert_eq!(tree(dir.path()), before);
}

#[test]
fn a_file_of_the_users_is_never_written_over() {
    let dir = tempfile::tempdir().unwrap();
    fs::create_dir(dir.path().join("crew")).unwrap();
    fs::write(dir.path().join("crew/index.html"), "mine").unwrap();
    let before = tree(dir.path());
    let fault = run(Disk::default(), dir.path(), FIRST).unwrap_err();
    assert_eq!(fault.trouble, Trouble::NotOurs(vec!["crew/index.html".into()]));
    assert_eq!(tree(dir.path()), before);
}

#[test]
fn without_a_list_nothing_is_removed() {
    for broken in [None, Some("<<<<<<< HEAD")] {
        let dir = tempfile::tempdir().unwrap();
        clean(dir.path(), FIRST);
        match broken {
            None => fs::remove_file(dir.path().join(LIST)).unwrap(),
            Some(text) => fs::write(dir.path().join(LIST), text).unwrap(),
        }
        let report = clean(dir.path(), &FIRST[..2]);
        assert!(
            report.list_lost && report.removed.is_empty() && report.written.is_empty()
        );
        assert!(dir.path().join("staff/index.html").exists());
    }
    let dir = tempfile::tempdir().unwrap();
    assert!(!clean(dir.path(), FIRST).list_lost);
}

#[test]
fn stale_folders_go_and_the_rest_is_not_touched() {
    let dir = tempfile::tempdir().unwrap();
    clean(dir.path(), FIRST);
    clean(dir.path(), SECOND);
    assert!(!dir.path().join("crew/old").exists());
    let fresh = tempfile::tempdir().unwrap();
    clean(fresh.path(), SECOND);
    assert_eq!(tree(dir.path()), tree(fresh.path()));
    let report = clean(dir.path(), SECOND);
    assert_eq!(report, SiteReport { pages: SECOND.len(), ..SiteReport::default() });
}

#[cfg(unix)]
#[test]
fn nothing_goes_through_a_link() {
    let dir = tempfile::tempdir().unwrap();
    let (out, elsewhere) = (dir.path().join("site"), dir.path().join("elsewhere"));
    fs::create_dir_all(&out).unwrap();
    fs::create_dir_all(&elsewhere).unwrap();
    std::os::unix::fs::symlink(&elsewhere, out.join("crew")).unwrap();
    let fault = run(Disk::default(), &out, FIRST).unwrap_err();
    assert_eq!(fault, WorldFault::new(out.join("crew"), Trouble::Link));
    std::os::unix::fs::symlink(&elsewhere, dir.path().join("linked")).unwrap();
    let fault = Site::open(&dir.path().join("linked")).unwrap_err();
    assert_eq!(fault.trouble, Trouble::Link);
    // A folder of ours that was replaced by a link: what lies behind it is not ours.
    fs::remove_file(out.join("crew")).unwrap();
    clean(&out, FIRST);
    fs::rename(out.join("crew/old"), elsewhere.join("old")).unwrap();
    std::os::unix::fs::symlink(elsewhere.join("old"), out.join("crew/old")).unwrap();
    let report = clean(&out, SECOND);
    assert_eq!(report.kept, ["crew/old/a.html", "crew/old/b.html"]);
    assert_eq!(tree(&elsewhere).len(), 4);
}

#[test]
fn one_run_at_a_time() {
    let dir = tempfile::tempdir().unwrap();
    let site = Site::open(dir.path()).unwrap();
    let fault = Site::open(dir.path()).unwrap_err();
    assert_eq!(fault, WorldFault::new(dir.path(), Trouble::Busy));
    drop(site);
    assert!(Site::open(dir.path()).is_ok());
}

#[test]
fn an_unchanged_site_says_what_it_said() {
    let dir = tempfile::tempdir().unwrap();
    let program = dir.path().join("program");
    fs::write(&program, "").unwrap();
    let old = fs::metadata(&program).unwrap().modified().unwrap();
    let age = |seconds| {
        let file = fs::File::options().write(true).open(&program).unwrap();
        file.set_modified(old - std::time::Duration::from_secs(seconds)).unwrap();
    };
    age(60);
    let out = dir.path().join("site");
    let ask =
        |input: &str| -> Option<Value> { unchanged(&out, input, &program).unwrap() };
    assert_eq!(ask("input"), None);
    clean(&out, FIRST);
    assert_eq!(ask("input"), Some(json!({"pages": FIRST.len()})));
    assert_eq!(ask("other input"), None);
    fs::write(out.join("staff/index.html"), "staff two").unwrap();
    assert_eq!(ask("input"), None);
    fs::write(out.join("staff/index.html"), "staff one").unwrap();
    assert!(ask("input").is_some());
    // A program built after the list was written may make other pages.
    let newer = fs::File::options().write(true).open(&program).unwrap();
    newer.set_modified(old + std::time::Duration::from_mins(1)).unwrap();
    assert_eq!(ask("input"), None);
}

#[test]
fn two_pages_of_one_name_are_a_fault() {
    let dir = tempfile::tempdir().unwrap();
    let site = Site::open(dir.path()).unwrap();
    site.put("a.html", b"1").unwrap();
    assert_eq!(site.put("a.html", b"2").unwrap_err().trouble, Trouble::BadName);
    assert_eq!(site.put("../a.html", b"2").unwrap_err().trouble, Trouble::BadName);
}

#[test]
fn sheets_are_written_whole_and_never_over_others() {
    let files = |text: &str| {
        BTreeMap::from([
            ("run-1.html".to_owned(), text.as_bytes().to_vec()),
            ("run-2.html".to_owned(), b"two".to_vec()),
        ])
    };
    let dir = tempfile::tempdir().unwrap();
    assert_eq!(write_files(dir.path(), &files("one")).unwrap().len(), 2);
    assert!(write_files(dir.path(), &files("one")).unwrap().is_empty());
    let before = tree(dir.path());
    let fault = write_files(dir.path(), &files("other")).unwrap_err();
    assert_eq!(fault.trouble, Trouble::NotOurs(vec!["run-1.html".into()]));
    assert_eq!(tree(dir.path()), before);
    for operation in 0.. {
        let dir = tempfile::tempdir().unwrap();
        let fuse = Fuse::Killed(AtomicUsize::new(operation));
        let ended = write_files_on(&Disk { fuse }, dir.path(), &files("one"));
        for (name, bytes) in tree(dir.path()) {
            if !name.starts_with('.') && !name.is_empty() && name != "/" {
                assert_eq!(files("one").get(&name), Some(&bytes));
            }
        }
        write_files(dir.path(), &files("one")).unwrap();
        assert_eq!(fs::read(dir.path().join("run-1.html")).unwrap(), b"one");
        // The tidying at the end may fail without a fault, so look at the folder.
        if ended.is_ok() && tree(dir.path()).len() == 3 {
            break;
        }
    }
}

#[test]
fn what_a_killed_run_left_goes_with_the_next_one_and_what_lives_stays() {
    let files = BTreeMap::from([("a.html".to_owned(), b"one".to_vec())]);
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name);
    // Of a run long gone, of an earlier program without a lock, and of one that is at work.
    for number in ["4100000001", "4100000002", "4100000003"] {
        fs::create_dir(at(&format!(".drillwright-{number}"))).unwrap();
        fs::write(at(&format!(".drillwright-{number}/forms.json")), "a seed").unwrap();
    }
    fs::write(at(".drillwright-4100000001.lock"), "").unwrap();
    let alive = Disk::default().lock(&at(".drillwright-4100000003.lock")).unwrap();
    // Not ours, whatever it looks like.
    fs::create_dir(at(".drillwright-notes")).unwrap();
    fs::write(at(".drillwright-7"), "a file").unwrap();
    write_files(dir.path(), &files).unwrap();
    let left: Vec<String> = tree(dir.path()).into_keys().collect();
    assert_eq!(
        left,
        [
            ".drillwright-4100000003.lock",
            ".drillwright-4100000003/",
            ".drillwright-4100000003/forms.json",
            ".drillwright-7",
            ".drillwright-notes/",
            "/",
            "a.html",
        ]
    );
    drop(alive);
    write_files(dir.path(), &files).unwrap();
    assert!(!at(".drillwright-4100000003").exists());
}
