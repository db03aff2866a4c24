//! A drill walked through in a page: what happens stands in words, the acts to choose from are the
//! drill's own, and what would hurt somebody is told at once.
//!
//! ```text
//! course + drill ─► WalkKit: the drill, its rigs, and days drawn for each of them
//!
//! stored text, then event + chance ─(session)─► state ─(sheet)─► a run sheet in mode walk-through
//!        state ─(look, offer, stands)─► what can be chosen, what stands ─(show)─► view
//! ```
//!
//! Nothing is judged here: which act breaks a link, which value lies in its band and what came of it
//! all is asked of the rules by which runs are scored, on the run sheet of what was said so far. So a
//! walk can come to nothing that a walk-through cannot, and a drill needs no word more than it has.

mod kit;
mod days;
mod state;
mod event;
mod here;
mod sheet;
mod look;
mod cues;
mod stands;
mod offer;
mod chosen;
mod session;
mod show;

pub use days::Day;
pub use event::Event;
pub use kit::{Told, WalkKit, WalkRig, walks};
pub use offer::{Act, Offered};
pub use session::{Walks, opened};
