//! The state of the rig before and after a drill, so that drills fit one after the other.

use crate::wire::Book;
use crate::{record, words};

words! {
    /// The pump.
    Pump {
        /// Not engaged.
        "off" Off,
        /// Engaged and running.
        "engaged" Engaged,
    }
}

words! {
    /// The hose line.
    Line {
        /// Nothing in it yet.
        "empty" Empty,
        /// Shut with pressure in it.
        "charged" Charged,
        /// Flowing.
        "flowing" Flowing,
        // Drained only when proven: a gauge at zero says nothing of
        // what stands behind a shut wye.
        /// Proven without pressure and drained.
        "drained" Drained,
    }
}

words! {
    /// Compressed air.
    Air {
        /// Off, or not fitted.
        "off" Off,
        /// On where the rig has a compressor.
        // One word for rigs with and without a compressor, because
        // one drill is printed for both.
        "on-if-fitted" OnIfFitted,
    }
}

words! {
    /// Foam injection.
    Foam {
        /// Injection is off.
        "off" Off,
        /// Injection is on.
        "on" On,
    }
}

words! {
    /// Totals of the panel.
    Totals {
        /// Set to zero or written down before the start.
        "fresh" Fresh,
        /// Counting.
        "running" Running,
        /// Written down.
        "recorded" Recorded,
    }
}

record! {
    /// State of the rig before or after a drill. What is left out may be any.
    DrillState {
        /// The pump.
        pump: Option<Pump> = may "pump", eg "engaged";
        /// The hose line.
        line: Option<Line> = may "line", eg "charged";
        /// Compressed air.
        air: Option<Air> = may "air", eg "\"off\"";
        /// Foam injection.
        foam: Option<Foam> = may "foam", eg "\"off\"";
        /// Totals of the panel.
        totals: Option<Totals> = may "totals", eg "recorded";
    }
}

/// Help of all that says how a rig stands.
pub(super) const BOOKS: &[Book] =
    &[DrillState::BOOK, Pump::BOOK, Line::BOOK, Air::BOOK, Foam::BOOK, Totals::BOOK];
