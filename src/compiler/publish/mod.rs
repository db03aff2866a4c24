//! The course → pages of printed strings → HTML.
//!
//! `plan` says which pages there are; `page` makes one of them, purely. A template gets
//! printed strings only: it never sees the model and never computes. The one page builder in
//! [`frame`] puts cautions, the fixed sentence and the marks of an invented or unchecked rig
//! on every kind of page.
//!
//! To add a page kind: a variant of [`PageKind`], a file with its view, a template, and a
//! line in [`plan`].

mod fault;
mod kind;
mod parts;
mod frame;
mod kits;
mod graded;
mod assets;
mod desk;
mod sees;
mod text;
mod markdown;
mod html;
mod base64;
mod pictures;
mod placed;
mod trail;
mod mark;
mod staff;
mod index;
mod coverage;
mod lesson;
mod leaf;
mod guide;
mod card;
mod known;
mod laminate;
mod chart;
pub mod drawing;
mod drill;
mod family;
mod rig;
mod find;
mod fields;
mod lists;
mod sources;
mod quiz;
mod practice;
mod walk;
mod papers;
mod offline;
mod send;
mod live;
pub mod sheet;
mod narrated;
mod key;
mod plan;
mod plate;
mod bound;
mod binder;

pub use assets::assets;
pub use binder::{Binder, Bound, papers_and_keys};
pub use bound::unlinked;
pub use desk::Made;
pub use fault::PublishFault;
pub use find::find;
pub use frame::Shared;
pub use html::html;
pub use kind::{PageKind, PagePlan};
pub use offline::offline;
pub use papers::{balance, batch_pages};
pub use pictures::pictures;
pub use plan::{made, page, plan};
pub use quiz::{PRACTICE_SHEETS, site_forms};
pub use send::lesson_set;
