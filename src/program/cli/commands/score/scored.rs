//! A run that was scored.

use std::rc::Rc;

use crate::course::RunSheet;
use crate::scoring::{Kit, Verdict};

/// A run with its verdict and the kit that gave it.
pub(super) struct Scored {
    pub(super) sheet: RunSheet,
    pub(super) kit: Rc<Kit>,
    pub(super) verdict: Verdict,
    pub(super) carried: bool,
    /// Whether its head cannot be read whole; then there is no sheet to print of it.
    pub(super) unread: bool,
}
