//! The trade library against figures worked out elsewhere.
//!
//! `trade-checks.yaml` holds the cases with the source of each; `mapping.yaml` says which of
//! our formulas answers which case; none may be left out. `by-hand-checks.yaml` holds cases that
//! we worked by hand from what a formula means. `outside` holds what general libraries make of
//! the same questions. `assessment-list.json` names the cases of scoring and papers, which
//! `assessment-checks.json` holds or leaves out for a reason.

mod read;
mod kinds;
pub(crate) mod names;
mod by_hand;
mod cases;
mod mutants;
mod assessed;
mod random;
mod sheets;
mod boards;
mod figures;
mod samples;
mod physics;
mod systems;
mod metric;
mod sense;
mod typed;
mod absurd;
mod extremes;
mod outside;
