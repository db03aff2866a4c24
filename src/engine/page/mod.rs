//! Documents as nodes: each is laid out here once, whoever shows it.
//!
//! ```text
//! worked solution, question, verdict, sheet ─► nodes ─┬─► a page's script draws them
//!                                                     └─► the compiler writes them as HTML
//! ```
//!
//! A document gets its data and the words it is written with; it knows no page, no template and
//! no browser. What only a page or only paper has around a document (the frame, buttons, links)
//! is no part of it.
//!
//! To add a document: a file here, and its words in the sections that kits carry.

mod node;
mod wording;
pub mod aloud;
mod working;
pub mod question;
pub mod verdict;
pub mod sheet;

pub use node::Node;
pub use wording::Wording;
pub use working::{Working, refused, working};
