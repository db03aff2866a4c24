//! Foam concentrates as their labels describe them.

use serde::{Deserialize, Serialize};

use crate::quantity::Quantity;

/// Class of fire a concentrate is made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum FoamClass {
    /// Ordinary combustibles.
    A,
    /// Flammable liquids.
    B,
}

/// Percents the label allows for one fuel or use.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Allowed {
    /// Fuel or use, such as "hydrocarbon fuel" or "mop-up".
    pub fuel: String,
    /// Least percent.
    pub from: Quantity,
    /// Largest percent; equal to `from` where the label names one value.
    pub to: Quantity,
}

/// A size it is delivered in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Container {
    /// What it is called: pail, drum, tote.
    pub name: String,
    /// Volume of contents.
    pub holds: Quantity,
    /// Empty weight, when known.
    pub tare: Option<Quantity>,
}

/// One product.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Concentrate {
    /// Id.
    pub id: String,
    /// Name on the label (invented in an invented module).
    pub title: String,
    /// Class A or B.
    pub class: FoamClass,
    /// Allowed percents, by fuel or use.
    pub allowed: Vec<Allowed>,
    /// Density, such as "1.02 kg/L" or "8.5 lb/gal".
    pub density: Quantity,
    /// Sizes it comes in.
    pub containers: Vec<Container>,
    /// Without fluorinated surfactants.
    pub fluorine_free: bool,
    /// Made for training only.
    pub training: bool,
    /// What the label warns of, in a sentence.
    pub label_says: Option<String>,
}
