//! What an author wrote → the course, and every fault with its place.
//!
//! Reads no files: the workshop hands texts in. One tree for all of YAML, one collecting
//! decoder over the tables of `course`, cross-checks as small functions in `checks`.
//!
//! To add a field: a line in its thing's table; unknown rest is reported by the decoder.

mod unreadable;
mod bounded;
mod yaml;
mod tree;
mod spoken;
mod named;
mod by_rig;
mod equipment;
mod cells;
mod cited;
mod table;
mod flat;
mod laid;
mod kept;
mod answers;
mod explain;
mod meant;
mod misnamed;
mod decimals;
mod library;
mod pictures;
mod headings;
mod pace;
mod checks;
mod topics;
mod module;
mod runs;
mod unread;
mod proofs;

pub use answers::{MarkedSheet, mark_answers};
pub use decimals::torn;
pub use explain::missing;
pub(crate) use headings::{heading_id, headings, numbered};
pub use kept::kept_file;
pub use laid::as_laid_out;
pub use library::{library, library_in, short_sources};
pub use module::{Options, read};
pub(crate) use pace::{Counted, counted, of_lesson};
pub use pictures::pictures;
pub use proofs::{ProofTask, ProofWay, Proofs, Proven, ProvenQuestion, Tried};
pub use runs::{Given, RunReader};
pub use spoken::{habits, words};
pub use tree::Trees;
