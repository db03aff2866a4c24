//! One file per thing an author writes: which fields its sheet has and what they become.

mod card;
mod caution;
mod example;
mod family;
mod feed;
mod formula;
mod lesson;
mod module;
mod question;
mod simple;

pub(super) use card::cards;
pub(super) use caution::{cautions, unsafe_acts};
pub(super) use family::families;
pub(super) use formula::{constants, formulas, overrides, sources, table};
pub(super) use module::{local, module, topics};
pub(super) use question::question_set;
pub(super) use simple::{objectives, terms};
