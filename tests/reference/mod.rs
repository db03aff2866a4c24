//! The trade library against figures worked out elsewhere.
//!
//! `trade-checks.yaml` holds the cases with the source of each; `mapping.yaml` says which of
//! our formulas answers which case. A case that nothing answers must be named there with the
//! reason, so that none is skipped in silence.

mod read;
mod cases;
mod sheets;
mod boards;
mod samples;
