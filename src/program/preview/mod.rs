//! The module while it is written: pages over loopback, made when a browser asks for them, and
//! brought anew when a file of the module is saved.
//!
//! ```text
//! a file is saved ─► watch ─┐
//! a browser asks  ─► door  ─┼─► Preview::show(edition) ─► a page under its strip
//! Ctrl-C          ─────────┘          │
//!                                     └► Saved: the caller reads the module, and shows it again
//! ```
//!
//! All three are events in one queue that one thread works off, so an edition is never changed
//! under a page that is being made.
//!
//! Never: bind another address than loopback; write a file; answer anybody who does not know the
//! address that was printed; decide what is on a page.

mod door;
mod page;
mod strip;
mod watch;
mod show;

pub use door::NoPort;
pub use show::{Event, Preview, Shown};
pub use strip::strip;
