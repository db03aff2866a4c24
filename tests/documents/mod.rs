//! A document is the same nodes wherever it is shown: in a page's engine, on the site, on paper.
//!
//! The site's HTML is read by a reader of its own, so that a fault of the writer is seen too.

mod html;
mod questions;
mod sheets;

pub(crate) use html::{Element, drawn, read};
