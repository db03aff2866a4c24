//! Pages → PDF, by a browser that is installed; there is none in the program.
//!
//! A browser is a program of somebody else: it may be missing, old, hang, or break off. So it gets a
//! scratch folder and a time, and what it made is looked at before anybody sees it. Never: decide
//! what is on a page; write into a site; wait for ever.

mod find;
mod pdf;
mod run;

pub use find::{Asked, places};
pub use pdf::Pdf;
pub use run::{Browser, PrintFault};
