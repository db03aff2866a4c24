//! What a run is done with: drills, steps and criticals name the modes they stand in.

use crate::words;

words! {
    /// What the run is done with.
    // The later, the more is real. Where a drill has several, its drawn sheet takes the
    // last of them, so their order is part of what they mean.
    Mode {
        /// Nothing is started or turned; acts are named and pointed at.
        "walk-through" WalkThrough,
        /// Real parts are moved, nothing is discharged.
        // A mode of its own, because inspection, exercise and totals can be met without a
        // drop of water; a walk-through is never met.
        "hands-on-dry" HandsOnDry,
        /// Plain water only.
        "plain-water" PlainWater,
        /// Fluorine-free training foam.
        "training-foam" TrainingFoam,
        /// The agent itself.
        "agent" Agent,
    }
}
