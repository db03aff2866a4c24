//! One file per thing an author writes: which fields its sheet has and what they become.

mod card;
mod feed;
mod lesson;
mod module;
mod question;

pub(super) use card::cards;
pub(super) use module::{local, module, topics};
pub(super) use question::question_set;
