//! Scoring held to its rules: by example, by random run sheets, and by published cases.

pub(crate) mod fixture;
pub(crate) mod sheets;
mod properties;
mod trust;
mod flips;
mod points;
mod criticals;
mod measured;
mod people;
mod attempts;
mod chains;
mod left_open;
mod unplaced;
mod pinned;
mod table;
mod adversary;
mod produced;
mod hostile;
mod authors;
mod card;
mod example;
mod handed;
mod faulty;
mod drawn;
mod form;
mod parts;
mod outlets;
