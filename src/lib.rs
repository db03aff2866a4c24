//! Drillwright turns a training officer's folder of YAML and Markdown into lessons,
//! quizzes with keys and sign-off sheets, and scores drill runs.
//!
//! The rooms stand in reading order; each may use only those above it:
//!
//! ```text
//! content/ ─(workshop)─► sources ─► authoring ─► (course, findings)
//!                                       │
//!         ┌─────────────────────────────┼───────────────────────────┐
//!   quiz::draw(question, seed)   publish::plan, page(…)    scoring::score(kit, run sheet)
//! ```

pub mod words;
pub mod findings;
pub mod fingerprint;
pub mod quantity;
pub mod formulas;
pub mod course;
pub mod quiz;
pub mod scoring;
pub mod practice;
// What follows is for the terminal only: it reads YAML, files or arguments.
#[cfg(feature = "host")]
pub mod stock;
#[cfg(feature = "host")]
pub mod authoring;
#[cfg(feature = "host")]
pub mod publish;
#[cfg(feature = "host")]
pub mod workshop;
#[cfg(feature = "host")]
pub mod cli;
