//! One file per thing an author writes: which fields its sheet has and what they become.

mod caution;
mod drill;
mod example;
mod family;
mod feed;
mod formula;
mod lesson;
mod marking;
mod module;
mod question;
mod roster;
mod run;
mod simple;

pub(super) use caution::{cautions, unsafe_acts};
pub(super) use drill::drill;
pub(super) use family::families;
pub(super) use formula::{constants, formulas, overrides, sources, table};
pub(super) use module::{local, module, topics};
pub(super) use question::question_set;
pub(super) use roster::roster;
pub(super) use run::run_sheet;
pub(super) use simple::{objectives, people, terms};
