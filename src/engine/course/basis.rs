//! Which formula a rig's own percent basis asks for: one table for every card, question, sheet,
//! chart and lesson, so that none of them can choose for itself.

use super::unit::PercentBasis;
use crate::record;
use crate::wire::Book;

record! {
    /// Something that is worked out of a percent, and the formula for each basis. Both formulas have givens and answers of the same names, so that what feeds one feeds the other.
    Asked {
        /// Short name, written where a formula is wanted: the rig then chooses.
        id: String = need "asked" as own("formula"), eg "rig-minutes-left";
        /// What it is.
        title: String = need "title", prose, eg "Minutes left";
        /// Formula where the percent and the flows are of the finished solution.
        solution: String = need "solution" as refers("formula"), eg "endurance";
        /// Formula where they are of the metered water.
        water: String = need "water" as refers("formula"), eg "endurance-metered";
    }
}

/// Help of the table.
pub(super) const BOOKS: &[Book] = &[Asked::BOOK];

impl Asked {
    /// The formula of a basis; none where nobody knows the basis.
    pub fn formula(&self, basis: PercentBasis) -> Option<&str> {
        match basis {
            PercentBasis::Solution => Some(&self.solution),
            PercentBasis::Water => Some(&self.water),
            PercentBasis::NotKnown => None,
        }
    }

    /// Whether a formula is for one basis alone, and for which.
    pub fn only(&self, formula: &str) -> Option<PercentBasis> {
        match (self.solution == formula, self.water == formula) {
            (true, false) => Some(PercentBasis::Solution),
            (false, true) => Some(PercentBasis::Water),
            _ => None,
        }
    }
}

/// The formula that a name stands for on a rig: itself, unless it is in the table. What nobody
/// can choose stays the name, which no library knows, so that nothing is worked by guess.
pub fn formula_for<'a>(
    table: &'a [Asked],
    name: &'a str,
    basis: Option<PercentBasis>,
) -> &'a str {
    let asked = table.iter().find(|asked| asked.id == name);
    asked.zip(basis).and_then(|(asked, basis)| asked.formula(basis)).unwrap_or(name)
}
