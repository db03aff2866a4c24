//! Scoring held to its rules: by example, by random run sheets, and by published cases.

pub(crate) mod fixture;
mod properties;
mod flips;
mod rules;
mod example;
mod handed;
mod faulty;
