//! The cases.
