//! Sign-off sheets as pages: blank for a drill on a rig, one for a chain, with the names of who
//! is due, filled for a run.
//!
//! What stands on a sheet is laid out in the room `page`; here are only the pages it stands on
//! and the links to them.

pub(super) mod due;
pub(super) mod page;
pub(super) mod run;

pub use crate::page::sheet::ScoredRun;
pub use page::fits;
pub use run::filled_page;
