//! What a run is done with: drills, steps and criticals name the modes they stand in.

use crate::words;

words! {
    /// What the run is done with.
    Mode {
        /// Nothing is started or turned; acts are named and pointed at.
        "walk-through" WalkThrough,
        /// Real parts are moved, nothing is discharged.
        "hands-on-dry" HandsOnDry,
        /// Plain water only.
        "plain-water" PlainWater,
        /// Fluorine-free training foam.
        "training-foam" TrainingFoam,
        /// The agent itself.
        "agent" Agent,
    }
}
