//! Sign-off sheets: blank for a drill on a rig, one for a chain, filled for a run.
//!
//! Everything here is a printed string; the template only lays it out. Expected values come
//! from `scoring`, so that a sheet and a verdict can never differ.

mod blank;
mod chain;
mod declared;
pub(super) mod due;
mod filled;
mod lines;
pub(super) mod page;
pub(super) mod run;
mod values;
mod view;

pub use blank::{blank, fits};
pub use chain::{ChainRow, ChainView, chain};
pub use filled::filled;
pub use run::{ScoredRun, filled_page};
pub use view::{
    CautionLine, Field, LocalLine, MeasureLine, Reason, RoleLine, Row, SheetView, Tick,
    VerdictView,
};
