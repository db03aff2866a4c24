//! Practice in a page and at the terminal: one entrance for both, and the plan of a practice
//! session as a state machine.
//!
//! ```text
//! page kit ─(open)─► Engine ─(call: request in JSON)─► answer in JSON
//!
//! stored strings + event + chance ─(session)─► view + strings to store
//! ```
//!
//! A page script draws the views, hands in clock and chance, and keeps the strings. This room
//! draws nothing and stores nothing itself; it asks neither clock nor chance. The kit carries
//! all that a page can reach and nothing of a person or a graded paper.

mod kit;
mod ask;
mod entrance;

pub use ask::{OfVariant, Open, Score, Work, Written};
pub use entrance::Engine;
pub use kit::{FORMAT, Opened, PageKit, PracticeKit};
