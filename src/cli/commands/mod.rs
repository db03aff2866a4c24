//! One file per command.

mod layout;
pub(super) mod why;
pub(super) mod work;
