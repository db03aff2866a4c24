//! Drillwright turns a training officer's folder of YAML and Markdown into lessons,
//! quizzes with keys and sign-off sheets, and scores drill runs.
//!
//! ```text
//! content/ ─(workshop)─► sources ─► authoring ─► (course, findings)
//!                                       │
//!         ┌─────────────────────────────┼───────────────────────────┐
//!   quiz::draw(question, seed)   publish::plan, page(…)    scoring::score(kit, run sheet)
//! ```

// Every room has the same path from here, in whichever crate it stands.
pub use drillwright_compiler::{
    authoring, course, findings, fingerprint, formulas, page, practice, publish,
    quantity, quiz, scoring, starting, stock, theme, wire, words,
};

pub mod workshop;
pub mod printing;
pub mod preview;
pub mod cli;
