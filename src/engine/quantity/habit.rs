//! How a department writes its figures: in which units, and what a comma in a number means.

use serde::{Deserialize, Serialize};

/// The units that figures are shown in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum System {
    /// US customary units; a gallon is 231 cubic inches.
    Us,
    /// Metric units, pressures in kilopascals.
    Si,
    /// Metric units, pressures in bar.
    SiBar,
}

impl System {
    /// Whether it is one of the two metric ones, which differ in their pressures alone.
    pub const fn is_metric(self) -> bool {
        matches!(self, Self::Si | Self::SiBar)
    }

    /// Whether what holds in one system only, or in both where it names none, holds in this one.
    /// In which unit a metric module writes its pressures changes nothing about it.
    pub const fn has(self, only: Option<Self>) -> bool {
        match only {
            Some(only) => only.is_metric() == self.is_metric(),
            None => true,
        }
    }
}

/// What a comma before three digits means where it could mean either: `1,234`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Comma {
    /// Nobody says: `1,234` is refused, because half of its readers would be wrong.
    #[default]
    Unfixed,
    /// `1,234` is one and a bit.
    Decimal,
    /// `1,234` is more than a thousand.
    Thousands,
}

impl Comma {
    /// Whether nobody says; such a field is left out of files.
    pub fn is_unfixed(&self) -> bool {
        *self == Self::Unfixed
    }
}
