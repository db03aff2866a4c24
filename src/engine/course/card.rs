//! What a rig card works out: which formula gives each line, and what it is fed with.

use std::collections::BTreeMap;

use super::marking::Feed;
use super::spelled::Bind;
use crate::wire::Book;
use crate::{record, words};

record! {
    /// All that the trade has rig cards work out.
    Cards {
        /// Cautions of a rig card.
        cautions: Vec<String> = may "cautions" as refers("caution"), eg "[run-out]";
        /// Columns and sentences in their order.
        lines: Vec<CardLine> = need "lines";
    }
}

words! {
    /// What a line of a card is worked out for.
    CardFor {
        /// A column of the table of outlets.
        "outlet" Outlet,
        /// A column of each foam line's table, with a row for each preset.
        "preset" Preset,
        /// A sentence for each preset, with what its formula says of the result.
        "row" Row,
        /// A sentence below that table.
        "line" Line,
        /// A figure of each preset that a drawing of the card shows.
        "drawing" Drawing,
        /// A column of the table of eductors.
        "eductor" Eductor,
        /// A sentence below that table for each eductor, with what its formula says of the result.
        "layout" Layout,
    }
}

record! {
    /// A column or a sentence.
    CardLine {
        /// Short name.
        id: String = need "card" as own("card line"), eg "concentrate";
        /// Where it stands.
        each: CardFor = need "for", eg "preset";
        /// Head of the column, or the sentence; names of answers and givens are blanks.
        label: String = need "label", eg "Concentrate";
        /// The sentence in few words, for the card on paper.
        short: Option<String> = may "short", eg "flush {water}, {time} at least";
        /// Without this value there is a dash and no formula is asked.
        needs: Option<Bind> = may "needs", eg "rig.outlet.coefficient";
        /// Head of the column, or the sentence, then.
        instead: Option<String> = may "else", eg "Not known";
        /// The sentence stands only on a rig that has this figure.
        // A column has a dash where a row lacks its figure; a sentence without one has
        // nothing to say and is left out.
        only: Option<Bind> = may "only-with", eg "rig.water";
        /// Figures without which single answers are not known, though the formula takes nothing for
        /// them: what a gauge shows hangs on what no pump reaches.
        rests: BTreeMap<String, Bind> = may "rests", eg "{foam-level: rig.foam-dead}";
        /// The sentence where one of those is missing.
        unknown: Option<String> = may "unknown", eg "What the gauge shows then is not known.";
        /// The formula, its answer, and what it is fed with.
        feed: Feed = flat;
    }
}

/// Values that a card feeds besides the figures of the rig and the constants.
pub const CARD_NAMES: &[&str] = &["percent", "plain-flow"];

/// Help of what a rig card works out.
pub(super) const BOOKS: &[Book] = &[Cards::BOOK, CardFor::BOOK, CardLine::BOOK];
