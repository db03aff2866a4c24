//! One file per command.

mod layout;
mod module;
mod report;
pub(super) mod inspect;
pub(super) mod why;
pub(super) mod work;
