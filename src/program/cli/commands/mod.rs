//! One file per command.

mod beside;
mod binder;
mod fields;
mod home;
mod keys;
mod layout;
mod module;
mod report;
mod said;
mod seed;
mod touched;
pub(super) mod compare;
pub(super) mod compile;
pub(super) mod inspect;
pub(super) mod revise;
pub(super) mod mark;
pub(super) mod open;
pub(super) mod papers;
pub(super) mod preview;
pub(super) mod score;
pub(super) mod schema;
pub(super) mod sheets;
pub(super) mod shell;
pub(super) mod start;
pub(super) mod why;
pub(super) mod words;
pub(super) mod work;
