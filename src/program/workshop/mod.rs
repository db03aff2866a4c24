//! Content folder in, site folder out: the one room that touches the disk.
//!
//! [`read_folder`] hands the texts and pictures of a module to the pure rooms. A [`Site`]
//! takes finished pages and brings them into the site's folder:
//!
//! 1. lock, and read the list of what we wrote last time ([`LIST`]);
//! 2. stage each page that changed in a working folder inside the site (a full disk ends
//!    here, and the old site is whole);
//! 3. write down what we are about to do, rename the pages in, take out what only the old
//!    list had, write the new list, take the working folder away.
//!
//! Killed anywhere, the next run does it again. The renames are not one atomic switch: a
//! reader who follows a link in that moment may meet one page of the old and one of the new.
//!
//! A module's own folder is only added to ([`add_files`]): new files, and lists with more in them, all
//! of it or nothing.
//!
//! Never: decide what is in a file; overwrite or remove a file we did not write, or one that
//! was changed by hand since; write through a link; let a time of day into a file.

mod fault;
mod disk;
mod reading;
mod list;
mod stage;
mod site;
mod publish;
mod files;
mod adding;
mod scratch;
#[cfg(test)]
mod kill_tests;

pub use adding::{Additions, add_files, is_empty};
pub use fault::{Trouble, WorldFault};
pub use files::{find_files, read_file, replace_file, write_files};
pub use list::LIST;
pub use publish::SiteReport;
pub use reading::{Folder, keep_apart, read_folder};
pub use scratch::first_file;
pub use site::{Site, last_said, unchanged};
pub use stage::clear_each;
