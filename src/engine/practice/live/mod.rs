//! A live run at the pump panel: what is stored, then tap by tap → view + what to store.
//!
//! ```text
//! stored log ─(replay)─► State ─(tap)─► log with one entry more, State ─► View
//!                                                        └─(save)─► run sheet ─► verdict
//! ```
//!
//! The log is the run: every tap is one entry, and nothing is ever taken out of it. What is
//! taken back is an entry too. Taps are not times: only the named start and stop of a drill
//! with a time standard are timed, on the page's steady clock.

mod asked;
mod clock;
mod desk;
mod file;
mod filled;
mod finished;
mod hand;
mod happens;
mod kit;
mod kits;
mod last;
mod log;
mod look;
mod next;
mod now;
mod panel;
mod replay;
mod seen;
mod several;
mod sheet;
mod show;
mod state;
mod taken;
mod told;

pub use asked::{OfDrills, untouched};
pub use clock::{At, Span};
pub use file::file;
pub use kit::{DueHead, Live, LiveKit};
pub use log::{Entry, Event, Key, Log};
pub use panel::Panel;
pub use replay::{Taps, differences};
pub use seen::{Part, Told, Watch};
pub use sheet::{Part as RunPart, sheets};
pub use state::{Phase, State};
