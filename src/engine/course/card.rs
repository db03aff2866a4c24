//! What a rig card works out: which formula gives each line, and what it is fed with.

use super::marking::Feed;
use super::rig::PercentBasis;
use super::spelled::Bind;

/// All that the trade has rig cards work out.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Cards {
    /// Cautions of a rig card.
    pub cautions: Vec<String>,
    /// Columns and sentences in their order.
    pub lines: Vec<CardLine>,
}

/// What a line of a card is worked out for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CardFor {
    /// A column of the table of outlets.
    Outlet,
    /// A column of each foam line's table, with a row for each preset.
    Preset,
    /// A sentence below that table.
    Line,
}

/// A column or a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardLine {
    /// Id.
    pub id: String,
    /// Where it stands.
    pub each: CardFor,
    /// Only where a percent of the unit is a percent of this.
    pub basis: Option<PercentBasis>,
    /// Head of the column, or the sentence; names of answers and givens are blanks.
    pub label: String,
    /// Without this value there is a dash and no formula is asked.
    pub needs: Option<Bind>,
    /// Head of the column then.
    pub instead: Option<String>,
    /// The formula, its answer, and what it is fed with.
    pub feed: Feed,
    /// Whether what the result means is told below the table.
    pub verdict: bool,
}

/// Values that a card feeds besides the figures of the rig and the constants.
pub const CARD_NAMES: &[&str] = &["percent", "plain-flow"];
