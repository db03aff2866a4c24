//! A scratch folder inside the working folder of a site: for a program that reads and writes files of
//! its own. It goes with the working folder, whatever is left in it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::disk::{Disk, Stands};
use super::fault::{Trouble, WorldFault};
use super::list::{folders_of, is_page_name};
use super::site::Site;

/// Its name in the stage, where no page has it: theirs hold the names of their folders.
const SCRATCH: &str = "scratch";

impl Site {
    /// Lays files into the scratch folder, by names with forward slashes, and says where it is.
    pub fn scratch(
        &self,
        files: &BTreeMap<String, Vec<u8>>,
    ) -> Result<PathBuf, WorldFault> {
        let root = std::path::absolute(self.stage().join(SCRATCH))
            .map_err(|fault| WorldFault::reading(&self.stage(), &fault))?;
        self.disk.make_folders(&root)?;
        for (name, bytes) in files {
            let at = root.join(name);
            if !is_page_name(name) {
                return Err(WorldFault::new(at, Trouble::BadName));
            }
            for folder in folders_of(name) {
                self.disk.make_folders(&root.join(folder))?;
            }
            self.disk.write_new(&at, bytes)?;
        }
        Ok(root)
    }
}

/// The first of these that is a file, with links followed: programs are often linked to.
pub fn first_file(places: &[PathBuf]) -> Option<&Path> {
    let file =
        |at: &&PathBuf| matches!(Disk::stands(&Disk::real(at)), Ok(Stands::File { .. }));
    places.iter().find(file).map(PathBuf::as_path)
}
