//! Sign-off sheets as pages: blank for a drill on a rig, one for a chain, with the names of who
//! is due, filled for a run.
//!
//! What stands on a sheet is laid out in the room `page`; here are only the pages it stands on
//! and the links to them.

pub(super) mod drawn;
pub(super) mod due;
pub(super) mod page;
pub(super) mod run;

pub use crate::page::sheet::ScoredRun;
pub use drawn::{SiteSheets, drawn_pages, site_drawn, site_sheets, site_sheets_of};
pub use page::fits;
pub use run::filled_page;

use super::kind::{PageKind, PagePlan, staff};
use crate::course::Course;

/// Blank sheets for crew and officers; those with names on them and filled ones for officers
/// alone.
pub(super) fn plans(course: &Course) -> Vec<PagePlan> {
    let mut out = page::plans(course);
    out.extend(due::plans(course));
    for id in run::ids(course) {
        out.push(staff(&run::name(id), PageKind::Run(id.to_owned())));
    }
    out
}
