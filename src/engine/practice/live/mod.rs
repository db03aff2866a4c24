//! A live run at the pump panel: stored log + event → view + what to store.
//!
//! ```text
//! log ─(replay)─► State ─(event)─► log with one entry more ─► State ─► View
//!                                                        └─(save)─► run sheet ─► verdict
//! ```
//!
//! The log is the run: every tap is one entry, and nothing is ever taken out of it. What is
//! taken back is an entry too. Taps are not times: only the named start and stop of a drill
//! with a time standard are timed, on the page's steady clock.

mod clock;
mod event;
mod file;
mod kit;
mod log;
mod sheet;
mod show;
mod state;
mod taken;
mod turn;

pub use clock::{At, Span};
pub use event::{Event, Heard, Key};
pub use file::file;
pub use kit::{Live, LiveKit};
pub use log::{Entry, Log};
pub use sheet::{OfDrills, Part as RunPart, sheets, untouched};
pub use state::{Part, Phase, State, Watch};
pub use turn::{LiveTurn, keys, turn};
