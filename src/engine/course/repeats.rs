//! What repeats: a step, a reading or a value that every outlet of a run has for itself.
//!
//! A flush of two lines is two least times, two answers of a nozzle and one sum of water. The drill
//! says once what repeats; a run says on which outlets beside the first it was done.

use crate::wire::Book;
use crate::words;

words! {
    /// What a step, a reading or a value repeats for.
    Repeats {
        /// For each outlet that the drill is run on.
        "outlet" Outlet,
    }
}

/// Between the name of what repeats and the outlet that it was done on: `least-time@crosslay-3`. No
/// short name has it.
const AT: char = '@';

/// The name of what repeats, on an outlet.
pub fn at_outlet(id: &str, outlet: &str) -> String {
    format!("{id}{AT}{outlet}")
}

/// The outlet that a name of something that repeats says; nothing where it is of the run's first.
pub fn outlet_of(id: &str) -> Option<&str> {
    id.split_once(AT).map(|(_, outlet)| outlet)
}

/// Help of what repeats.
pub(super) const BOOKS: &[Book] = &[Repeats::BOOK];
