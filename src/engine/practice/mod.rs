//! Practice in a page and at the terminal, and drills walked through: one entrance, and the plan of a practice
//! session as a state machine.
//!
//! ```text
//! page kit ─(open)─► Engine ─(call: request in JSON)─► answer in JSON
//!
//! stored strings, then event + clock + chance ─(session, live)─► view + strings to store
//! ```
//!
//! A page script draws the views, hands in clock and chance, and keeps the strings. This room
//! draws nothing and stores nothing itself; it asks neither clock nor chance. The kit carries
//! all that a page can reach and nothing of a person or a graded paper.

mod decode;
mod events;
mod kit;
mod view;
mod code;
mod history;
mod pad;
mod number;
mod standing;
mod plan;
mod table;
mod drawing;
mod question;
mod show;
mod session;
pub mod live;
pub mod walk;
mod again;
mod ask;
mod entrance;

pub use ask::{
    List, OfVariant, Open, OpenLive, OpenRun, OpenWalk, QuestionsKit, RunsKit, Score,
    Stored, Tap, Work, Written,
};
pub use code::{CodeFault, SessionCode};
pub use entrance::{Door, Engine, Questions, Runs, Steps};
pub use history::{History, Standing, Try};
pub use kit::{FORMAT, Opened, PageKit, PracticeKit};
pub use plan::plan;
pub use session::{Event, Practice, listed};
pub use view::{Node, Turn, View};
