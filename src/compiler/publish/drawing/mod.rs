//! Drawings: SVG made from what the module's files say, and from nothing else.
//!
//! A drawing is [`Drawing`]: the SVG, the sentence that says in words what it shows, and how it
//! is read. Every figure on it is printed by the rig's card or handed in; nothing is worked out
//! here. A part that the YAML does not name is not drawn.
//!
//! To add a drawing: a file here that fills a canvas, its words under `drawing` in the words
//! file, strokes in `themes/plain/drawing.css`, and a case in `tests/drawings.rs`, which holds
//! that no two texts overlap and that nothing leaves its frame.

pub(super) mod widths;
pub(super) mod canvas;
mod hose;
mod counter;
mod evolution;
mod tanks;
mod path;
mod minutes;
mod section;
mod volumes;
mod feed;
mod branch;
mod flow;

pub use canvas::Drawing;
pub use counter::{Counted, counter};
pub use evolution::evolution;
pub(super) use flow::flow_path;
pub use hose::{Hose, hose};
pub(super) use minutes::{minutes_bars, usual_preset};
pub(super) use section::section;
pub(super) use tanks::tanks;
pub use volumes::{Left, volumes};
