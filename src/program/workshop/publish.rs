//! Bringing staged pages into the site.

use std::collections::BTreeSet;

use serde_json::Value;

use super::disk::{Disk, Stands};
use super::fault::{Trouble, WorldFault};
use super::list::{LIST, Ours, SiteList, folders_of};
use super::site::{Page, Put, Site, hash_of};

/// What a run did to the site. Names are inside the site, by name in order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SiteReport {
    /// Pages that the site now has from us.
    pub pages: usize,
    /// Pages that are new or changed.
    pub written: Vec<String>,
    /// Old pages of ours that were taken out.
    pub removed: Vec<String>,
    /// Old pages of ours that were changed by hand since, and therefore stay.
    pub kept: Vec<String>,
    /// Whether the list of our files was missing or broken in a folder that was not empty; then
    /// old pages may have stayed.
    pub list_lost: bool,
}

impl Site {
    /// Brings the pages in, takes old ones out and writes the list.
    ///
    /// `input` is the hash of everything the pages were made from, `said` what the run had to
    /// say; [`super::unchanged`] gives it back. A file that we did not write, or that was
    /// changed since, stops it before anything has changed.
    pub fn publish(
        mut self,
        input: &str,
        said: &Value,
    ) -> Result<SiteReport, WorldFault> {
        let Put { pages, mut not_ours } = std::mem::take(&mut *self.so_far());
        if !not_ours.is_empty() {
            not_ours.sort();
            return Err(WorldFault::new(&self.out, Trouble::NotOurs(not_ours)));
        }
        let mut report = SiteReport {
            pages: pages.len(),
            list_lost: self.list_lost,
            ..SiteReport::default()
        };
        let list = |folders| {
            let files = pages.values().map(|page| page.entry.clone()).collect();
            SiteList::new(input, said.clone(), folders, files).text()
        };
        let stale = self.ours.files.keys().any(|path| !pages.contains_key(path));
        let staged = pages.values().any(|page| page.staged.is_some());
        // Where nothing would change, nothing is touched, not even the list.
        if stale || staged || self.old_list != list(self.ours.folders.clone()) {
            // What we are about to write is said first: a run that is killed after this leaves
            // files that the next one knows for its own.
            let wanted = self.declare(pages.values())?;
            // New pages before old ones go, so that a link never leads nowhere for longer than
            // it must.
            report.written = self.bring_in(pages.values())?;
            self.take_out(&wanted, &mut report)?;
            let folders = self.folders_left();
            let list = list(folders)
                .ok_or_else(|| WorldFault::new(self.out.join(LIST), Trouble::BadName))?;
            self.write_list(&list)?;
        }
        self.close()?;
        Ok(report)
    }

    /// Writes the list of intent. Returns the paths and folders of the new site.
    fn declare<'a>(
        &mut self,
        pages: impl Iterator<Item = &'a Page>,
    ) -> Result<BTreeSet<String>, WorldFault> {
        let mut wanted = BTreeSet::new();
        for page in pages {
            let path = &page.entry.path;
            self.ours.add(path, &page.entry.sha256);
            for folder in folders_of(path) {
                if Disk::stands_in(&self.out, folder)? == Stands::Nothing {
                    self.ours.folders.insert(folder.to_owned());
                }
                wanted.insert(folder.to_owned());
            }
            wanted.insert(path.clone());
        }
        let draft = self.stage().join("intent");
        let text = serde_json::to_vec_pretty(&self.ours).unwrap_or_default();
        self.disk.write_new(&draft, &text)?;
        // A rename is whole or not at all; half a list of intent would name half of what
        // is ours.
        self.disk.rename(&draft, &self.intent())?;
        self.intent_stands = true;
        // Before the first page is brought in, or a loss of power could keep the pages
        // and lose the list.
        Disk::settle(&self.working());
        Ok(wanted)
    }

    fn bring_in<'a>(
        &self,
        pages: impl Iterator<Item = &'a Page>,
    ) -> Result<Vec<String>, WorldFault> {
        let mut written = Vec::new();
        for page in pages {
            let Some(staged) = &page.staged else { continue };
            let path = &page.entry.path;
            for folder in folders_of(path) {
                if Disk::stands_in(&self.out, folder)? == Stands::Nothing {
                    self.disk.make_folder(&self.out.join(folder))?;
                }
            }
            // Somebody may have put a file there while we worked.
            let stands = Disk::stands_in(&self.out, path)?;
            if stands != Stands::Nothing && !page.replaces {
                let names = vec![path.clone()];
                return Err(WorldFault::new(&self.out, Trouble::NotOurs(names)));
            }
            self.disk.rename(staged, &self.out.join(path))?;
            written.push(path.clone());
        }
        Ok(written)
    }

    /// Takes out what only earlier runs had, if it is still as they left it.
    fn take_out(
        &self,
        wanted: &BTreeSet<String>,
        report: &mut SiteReport,
    ) -> Result<(), WorldFault> {
        for path in self.ours.files.keys().filter(|path| !wanted.contains(*path)) {
            let at = self.out.join(path);
            match Disk::stands_in(&self.out, path) {
                Ok(Stands::Nothing) => {}
                Ok(Stands::File { .. }) if self.ours.wrote(path, &hash_of(&at)?) => {
                    self.disk.remove_file(&at)?;
                    report.removed.push(path.clone());
                }
                // Changed by hand, or behind a link or a folder that is not ours.
                _ => report.kept.push(path.clone()),
            }
        }
        let Ours { folders, .. } = &self.ours;
        // From the end, so that an inner folder goes before the one around it.
        for folder in folders.iter().rev().filter(|folder| !wanted.contains(*folder)) {
            if Disk::stands_in(&self.out, folder) == Ok(Stands::Folder) {
                self.disk.remove_folder_if_empty(&self.out.join(folder))?;
            }
        }
        Ok(())
    }

    /// The folders of ours that the site still has.
    fn folders_left(&self) -> BTreeSet<String> {
        let there =
            |folder: &&String| Disk::stands_in(&self.out, folder) == Ok(Stands::Folder);
        self.ours.folders.iter().filter(there).cloned().collect()
    }

    fn write_list(&self, text: &[u8]) -> Result<(), WorldFault> {
        let draft = self.stage().join("list");
        self.disk.write_new(&draft, text)?;
        // A link in the place of the list would have it written somewhere else.
        match Disk::stands_in(&self.out, LIST)? {
            Stands::Nothing | Stands::File { .. } => {}
            _ => return Err(WorldFault::new(self.out.join(LIST), Trouble::WrongSort)),
        }
        self.disk.rename(&draft, &self.out.join(LIST))?;
        Disk::settle(&self.out);
        Ok(())
    }
}
