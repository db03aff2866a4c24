//! A site being written: locked, with changed pages staged in a working folder.

use std::collections::BTreeMap;
use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use serde_json::Value;

use super::disk::{Disk, Stands};
use super::fault::{Trouble, WorldFault};
use super::list::{Entry, LIST, Ours, SiteList, is_page_name};
use crate::fingerprint::hex_hash;

/// The working folder inside the site; there only during a run.
pub(super) const WORKING: &str = ".drillwright";

/// One page of this run.
#[derive(Debug, Clone)]
pub(super) struct Page {
    pub(super) entry: Entry,
    /// Its file in the working folder; nothing when the site already has these bytes.
    pub(super) staged: Option<PathBuf>,
    /// Whether a file of ours stands at its path now.
    pub(super) replaces: bool,
}

/// What has been put so far.
#[derive(Debug, Default)]
pub(super) struct Put {
    pub(super) pages: BTreeMap<String, Page>,
    /// Paths where a file stands that we did not write.
    pub(super) not_ours: Vec<String>,
}

/// A site's folder, locked for this run. Dropped before [`Site::publish`], it leaves the old
/// site as it was.
#[derive(Debug)]
pub struct Site {
    pub(super) disk: Disk,
    pub(super) out: PathBuf,
    pub(super) ours: Ours,
    /// The list as it stands in the site.
    pub(super) old_list: Option<Vec<u8>>,
    /// Files of the last run that may be kept as they stand, see [`Site::trust`].
    kept: BTreeMap<String, Entry>,
    /// No list, or a broken one, in a folder that has something in it.
    pub(super) list_lost: bool,
    pub(super) put: Mutex<Put>,
    /// From the moment the list of intent stands, the working folder is needed by the next run.
    pub(super) intent_stands: bool,
    lock: Option<File>,
}

impl Site {
    /// Opens a folder for writing a site into it; makes it if it is not there.
    ///
    /// Nothing of the site changes before [`Site::publish`].
    pub fn open(out: &Path) -> Result<Self, WorldFault> {
        Self::open_on(Disk::default(), out)
    }

    pub(super) fn open_on(disk: Disk, out: &Path) -> Result<Self, WorldFault> {
        // Looked at and not followed: through a link the site would be written wherever it
        // leads, and old files removed there.
        match Disk::stands(out)? {
            Stands::Nothing => disk.make_folders(out)?,
            Stands::Folder => {}
            Stands::Link => return Err(WorldFault::new(out, Trouble::Link)),
            _ => return Err(WorldFault::new(out, Trouble::WrongSort)),
        }
        let working = out.join(WORKING);
        match Disk::stands(&working)? {
            Stands::Folder => {}
            Stands::Nothing => disk.make_folder(&working)?,
            Stands::Link => return Err(WorldFault::new(working, Trouble::Link)),
            _ => return Err(WorldFault::new(working, Trouble::WrongSort)),
        }
        let lock =
            disk.lock(&working.join("lock")).map_err(|fault| match fault.trouble {
                // Named by the folder that the user gave; of the lock inside it he knows
                // nothing.
                Trouble::Busy => WorldFault::new(out, Trouble::Busy),
                _ => fault,
            })?;
        let mut site = Self {
            disk,
            out: out.to_owned(),
            ours: Ours::default(),
            old_list: None,
            kept: BTreeMap::new(),
            list_lost: false,
            put: Mutex::default(),
            intent_stands: false,
            lock: Some(lock),
        };
        // Locked before anything is read: what another run writes meanwhile is not mistaken for
        // ours.
        site.remember()?;
        // What a run that was killed had staged is nobody's page: it was never renamed, and
        // this run makes it anew.
        site.disk.remove_tree(&site.stage())?;
        site.disk.make_folder(&site.stage())?;
        Ok(site)
    }

    /// Reads what earlier runs wrote or were about to write.
    fn remember(&mut self) -> Result<(), WorldFault> {
        let intent = self.intent();
        if let Stands::File { .. } = Disk::stands(&intent)? {
            self.intent_stands = true;
            if let Some(bytes) = Disk::read(&intent, u64::MAX)? {
                self.ours.add_intent(&bytes);
            }
        }
        if let Stands::File { .. } = Disk::stands_in(&self.out, LIST)? {
            self.old_list = Disk::read(&self.out.join(LIST), u64::MAX)?;
        }
        match self.old_list.as_deref().and_then(SiteList::read) {
            Some(list) => self.ours.add_list(&list),
            // A first run that was killed has no list yet; its intent says what is ours.
            None if self.intent_stands => {}
            None => self.list_lost = !Disk::walk(&self.out, usize::MAX)?.is_empty(),
        }
        Ok(())
    }

    /// Lets [`Site::keep`] take for good what the last run says of its pages.
    ///
    /// Not after a run that was cut off, nor when `program`, the file of the running program,
    /// is another version or newer than the list: it might make other pages of the same parts.
    pub fn trust(&mut self, program: &Path) {
        // After a run that was cut off the list tells what was to be, not what is.
        let whole = !self.intent_stands && !self.list_lost;
        let list = self.old_list.as_deref().and_then(SiteList::read);
        if let Some(list) = list.filter(|list| whole && list.is_of_today())
            && let Some(built) = Disk::written(program)
            // The version alone does not tell: while somebody works on the program it
            // stays the same.
            && Some(built) < Disk::written(&self.out.join(LIST))
        {
            // Files without a key are copies and lists, which cost nothing to make again.
            let made = list.files.into_iter().filter(|entry| !entry.key.is_empty());
            self.kept = made.map(|entry| (entry.path.clone(), entry)).collect();
        }
    }

    /// Hands in a page of the last run as it stands, if `key` gives its key again from the
    /// parts it asked for and nobody has touched its file since.
    pub fn keep(
        &self,
        path: &str,
        key: impl FnOnce(&[String]) -> Option<String>,
    ) -> Result<bool, WorldFault> {
        // The cheap looks first: the hash of the file is read from disk and asked for last.
        let Some(entry) = self.kept.get(path) else { return Ok(false) };
        let stands = Disk::stands_in(&self.out, path)?;
        if key(&entry.asked).as_ref() != Some(&entry.key)
            || stands != (Stands::File { length: entry.bytes })
            // A key says what the page was made from, its hash that nobody has changed it
            // since.
            || hash_of(&self.out.join(path))? != entry.sha256
        {
            return Ok(false);
        }
        let page = Page { entry: entry.clone(), staged: None, replaces: true };
        self.enter(path, page)?;
        Ok(true)
    }

    fn enter(&self, path: &str, page: Page) -> Result<(), WorldFault> {
        if self.so_far().pages.insert(path.to_owned(), page).is_some() {
            return Err(WorldFault::new(self.out.join(path), Trouble::BadName));
        }
        Ok(())
    }

    pub(super) fn working(&self) -> PathBuf {
        self.out.join(WORKING)
    }

    pub(super) fn stage(&self) -> PathBuf {
        self.working().join("stage")
    }

    pub(super) fn intent(&self) -> PathBuf {
        self.working().join("intent.json")
    }

    pub(super) fn so_far(&self) -> MutexGuard<'_, Put> {
        // A worker that broke down leaves whole entries behind: each is put in at once.
        self.put.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// What has been handed in so far: names inside the site and SHA-256, by name in order.
    pub fn handed_in(&self) -> Vec<(String, String)> {
        let so_far = self.so_far();
        let pages = so_far.pages.values();
        pages.map(|page| (page.entry.path.clone(), page.entry.sha256.clone())).collect()
    }

    /// Hands in one finished page: its name inside the site, such as `crew/index.html`, and
    /// its bytes. May be called from several threads at once.
    pub fn put(&self, path: &str, bytes: &[u8]) -> Result<(), WorldFault> {
        self.put_made(path, bytes, (Vec::new(), String::new()))
    }

    /// The same for a page that can be kept: with the parts it asked for and its key.
    pub fn put_made(
        &self,
        path: &str,
        bytes: &[u8],
        (asked, key): (Vec<String>, String),
    ) -> Result<(), WorldFault> {
        let at = self.out.join(path);
        // Two pages of one name would overwrite each other in whatever order the workers
        // come.
        if !is_page_name(path) || self.so_far().pages.contains_key(path) {
            return Err(WorldFault::new(at, Trouble::BadName));
        }
        let sha256 = hex_hash(bytes);
        // On no machine is a length larger than this; a fault here would have no place to
        // be told.
        let length = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
        let entry = Entry { path: path.to_owned(), sha256, bytes: length, asked, key };
        let mut page = Page { entry, staged: None, replaces: false };
        let mut ours = true;
        let same = match Disk::stands_in(&self.out, path)? {
            Stands::Nothing => false,
            Stands::File { .. } => {
                let there = hash_of(&at)?;
                page.replaces = true;
                // A file with bytes that we wrote is ours; one that was changed by hand is its
                // author's, even under our name.
                ours = there == page.entry.sha256 || self.ours.wrote(path, &there);
                there == page.entry.sha256
            }
            _ => return Err(WorldFault::new(at, Trouble::WrongSort)),
        };
        if ours && !same {
            // The name in the stage is flat, and one page has one path.
            let staged = self.stage().join(path.replace('/', "+"));
            self.disk.write_new(&staged, bytes)?;
            page.staged = Some(staged);
        }
        if !ours {
            self.so_far().not_ours.push(path.to_owned());
        }
        self.enter(path, page)
    }

    /// Takes the working folder away; the lock is given back last.
    pub(super) fn close(&mut self) -> Result<(), WorldFault> {
        let Some(lock) = self.lock.take() else { return Ok(()) };
        // The stage before the intent: as long as the intent stands, the next run knows
        // that there is something to tidy.
        self.disk.remove_tree(&self.stage())?;
        if self.intent_stands {
            self.disk.remove_file(&self.intent())?;
            self.intent_stands = false;
        }
        // The lock goes last but its folder: until then no other run begins.
        self.disk.remove_file(&self.working().join("lock"))?;
        // Windows keeps the name of an open file until nobody has it open. A run that begins now
        // puts its own lock into the folder, which then stays.
        drop(lock);
        self.disk.remove_folder_if_empty(&self.working())
    }
}

impl Drop for Site {
    fn drop(&mut self) {
        if !self.intent_stands {
            // What cannot be tidied now is tidied by the next run.
            drop(self.close());
        }
    }
}

pub(super) fn hash_of(path: &Path) -> Result<String, WorldFault> {
    let bytes = Disk::read(path, u64::MAX)?;
    Ok(hex_hash(&bytes.unwrap_or_default()))
}

/// What the last run had to say, whatever has changed since; for what need not be worked out
/// again.
pub fn last_said(out: &Path) -> Option<Value> {
    let there = Disk::stands_in(out, LIST).ok()?;
    matches!(there, Stands::File { .. }).then_some(())?;
    let bytes = Disk::read(&out.join(LIST), u64::MAX).ok()??;
    SiteList::read(&bytes).map(|list| list.said)
}

/// What the last run had to say, if its inputs were the same and every file it wrote is still
/// as it was; then there is nothing to write.
///
/// `program` is the file of the running program. One newer than the list might make other
/// pages of the same input, so then nothing is taken for granted.
pub fn unchanged(
    out: &Path,
    input: &str,
    program: &Path,
) -> Result<Option<Value>, WorldFault> {
    let list_file = out.join(LIST);
    let stands = Disk::stands(out)? == Stands::Folder
        && matches!(Disk::stands(&list_file)?, Stands::File { .. })
        && Disk::stands(&out.join(WORKING))? == Stands::Nothing;
    // A program that was built since may make other pages of the same sources.
    if !stands || Disk::written(program) >= Disk::written(&list_file) {
        return Ok(None);
    }
    let bytes = Disk::read(&list_file, u64::MAX)?.unwrap_or_default();
    let Some(list) = SiteList::read(&bytes) else { return Ok(None) };
    if list.input != input || !list.is_of_today() {
        return Ok(None);
    }
    let whole = |entry: &Entry| {
        let length = Disk::stands_in(out, &entry.path);
        // The length first: a file of another length needs no hash.
        length == Ok(Stands::File { length: entry.bytes })
            && hash_of(&out.join(&entry.path)).as_ref() == Ok(&entry.sha256)
    };
    Ok(list.files.par_iter().all(whole).then_some(list.said))
}
