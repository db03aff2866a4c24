//! The engine: what the terminal runs and what a page runs, compiled to WebAssembly.
//! No disk, no clock, no chance, no YAML, no HTML. The rooms stand in reading order; each may
//! use only those above it.

// First, because every other room may have a sentence to say.
pub mod words;
pub mod findings;
pub mod fingerprint;
pub mod quantity;
pub mod wire;
pub mod formulas;
pub mod course;
pub mod quiz;
pub mod scoring;
pub mod page;
pub mod practice;
