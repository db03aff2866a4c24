//! What is drawn for a numbered sheet of a drill, and what is worked out ahead for the day.
//!
//! A drill says what is drawn and from what; which of it this rig can follow, and which it must
//! refuse, is asked of the rules by which runs are scored, so that no sheet holds an order that
//! its own verdict would call a fault.

use std::collections::BTreeMap;

use super::draw::Draw;
use super::mode::Mode;
use super::spelled::Bind;
use crate::quantity::Quantity;
use crate::wire::Book;
use crate::{record, words};

words! {
    /// Outlets of a rig from which one is drawn.
    DrawnOutlet {
        /// Those that foam reaches.
        "foam" Foam,
        /// Those of them that carry compressed air.
        "air" Air,
    }
}

record! {
    /// What is drawn for each numbered sheet of the drill: no two of them get the same numbers.
    DrawnPlan {
        /// The outlet is drawn too, from these of the rig; left out, it is not drawn.
        outlet: Option<DrawnOutlet> = may "outlet", eg "foam";
        // Where nothing flows the panel reads nothing; in other
        // modes what is read there counts.
        /// Modes in which the drawn readings stand in for those of the panel; left out, all of the drill.
        modes: Vec<Mode> = may "modes", eg "[hands-on-dry]";
        /// Readings by name, each with what it is drawn from. What this rig could not follow is never drawn.
        readings: Vec<(String, Draw)> = may "readings",
            eg "{percent-ordered: {from: 0.1 %, to: 1 %, step: 0.1 %}}";
        /// A second order, which this rig must refuse.
        refused: Option<RefusedOrder> = may "refused";
        /// Conditions between drawn values, in the formula language.
        conditions: Vec<String> = may "where", eg "[foam-a * 100 < water-a]";
        /// Values worked out ahead for what only the day decides.
        tables: Vec<DayTable> = may "tables";
    }
}

record! {
    /// An order that cannot be followed, so that the candidate has one to refuse.
    // Whoever only ever got orders that can be followed never showed how to refuse one.
    RefusedOrder {
        /// Label on the sheet.
        label: String = need "label", prose, eg "Percent to be refused";
        /// What it is drawn from. What this rig could follow is never drawn.
        order: Draw = need "order", eg "{from: 1.1 %, to: 6 %, step: 0.1 %}";
    }
}

record! {
    /// A small table of a measured value: across the flows of the line, down some levels.
    DayTable {
        /// What it shows, as it is printed.
        label: String = need "label", prose, eg "Minutes by the foam gauge";
        /// The measured value.
        measure: String = need "measure" as refers("measure"), eg "minutes-told";
        /// Which answer of its formula; left out, the one of the measured value.
        answer: Option<String> = may "answer" as NAME, eg "foam-time";
        /// Readings that are the flow of the line; least, rated and most of the card are the columns.
        across: Vec<String> = need "across" as refers("reading"), eg "[flow-read]";
        /// Levels that are the rows; left out, there is one row.
        down: Option<Levels> = may "down";
        /// What the other readings are taken to be.
        with: BTreeMap<String, Bind> = may "with", eg "{plain-flow: 0 gpm}";
    }
}

record! {
    /// Levels of a tank, as shares of what can be used.
    Levels {
        /// The reading.
        reading: String = need "reading" as refers("reading"), eg "foam-left";
        /// The figure that is the whole.
        of: Bind = need "of", eg "rig.foam";
        /// The shares, one for each row.
        shares: Vec<Quantity> = need "shares" as PERCENT, eg "[100 %, 50 %, 25 %]";
    }
}

/// Help of what is drawn for sheets.
pub(super) const BOOKS: &[Book] = &[
    DrawnPlan::BOOK,
    DrawnOutlet::BOOK,
    RefusedOrder::BOOK,
    DayTable::BOOK,
    Levels::BOOK,
];
