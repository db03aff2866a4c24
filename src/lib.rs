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
// What follows is for the terminal only: it reads YAML, files or arguments.
pub mod stock;
pub mod authoring;
pub mod publish;
pub mod workshop;
pub mod cli;
