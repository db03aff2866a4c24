//! Why nobody can say what a value should be.

/// Why there is no expected value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoValue {
    /// A reading of the day is not written down.
    Reading(String),
    /// The rig's card has no such figure.
    Figure(String),
    /// Nobody held the rig's card against plate and manual, so what it says gives no band.
    Unchecked,
    /// The formula has no answer for these values; its own sentence.
    Formula(String),
    /// The value or its tolerance does not measure what the unit measures.
    Unit,
}

impl NoValue {
    /// Whether it is card or formula that know no band, and not the sheet that is silent.
    pub(super) const fn is_bandless(&self) -> bool {
        matches!(self, Self::Figure(_) | Self::Formula(_) | Self::Unchecked)
    }

    /// A name that nobody gives: a figure of the rig, or a reading of the day.
    pub(super) fn of(name: String) -> Self {
        match name.strip_prefix("rig.") {
            Some(figure) => Self::Figure(figure.to_owned()),
            None => Self::Reading(name),
        }
    }
}
