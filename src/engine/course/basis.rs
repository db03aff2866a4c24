//! Which formula a rig's own percent basis asks for: one table for every card, question, sheet,
//! chart and lesson, so that none of them can choose for itself.

use super::rig::Rig;
use super::unit::{Meter, PercentBasis};
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
        /// Formula where the percent is of the water and the flows are of the nozzles, which is solution; left out, the one of the metered water.
        at_nozzle: Option<String> = may "at-nozzle" as refers("formula"), eg "endurance-at-nozzle";
        /// The same as at-nozzle, of a line that had none when the letters of drills were frozen: it is in no revision.
        of_nozzles: Option<String> = may "of-nozzles" as refers("formula"), prose, eg "totals-over-stages-at-nozzle";
    }
}

/// Help of the table.
pub(super) const BOOKS: &[Book] = &[Asked::BOOK];

/// What a rig's percent is a share of, and what its flows are read as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reckoning {
    /// Percent and flows are of the finished solution.
    Solution,
    /// Percent and flows are of the metered water.
    Water,
    /// The percent is of the water, and flows are read where solution runs.
    AtNozzle,
    /// Nobody has looked it up.
    NotKnown,
}

impl Rig {
    /// How its percent and flows are reckoned. The rule of minutes left takes the metered flow where
    /// the meter stands before the injection, else the nozzle's. Where nobody knows the meter the
    /// flow is taken for water: that empties both tanks sooner, and errs to the safe side.
    pub fn basis(&self) -> Option<Reckoning> {
        let unit = self.proportioner.as_ref()?;
        Some(match (unit.basis, unit.meter) {
            (PercentBasis::Solution, _) => Reckoning::Solution,
            (PercentBasis::Water, Meter::Absent | Meter::AfterInjection) => {
                Reckoning::AtNozzle
            }
            (PercentBasis::Water, Meter::BeforeInjection | Meter::NotKnown) => {
                Reckoning::Water
            }
            (PercentBasis::NotKnown, _) => Reckoning::NotKnown,
        })
    }
}

impl Reckoning {
    /// What the percent is a percent of, as files say it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Solution => PercentBasis::Solution.word(),
            Self::Water | Self::AtNozzle => PercentBasis::Water.word(),
            Self::NotKnown => PercentBasis::NotKnown.word(),
        }
    }
}

/// A question without a rig names a basis alone: its flows are those that the basis speaks of.
impl From<PercentBasis> for Reckoning {
    fn from(basis: PercentBasis) -> Self {
        match basis {
            PercentBasis::Solution => Self::Solution,
            PercentBasis::Water => Self::Water,
            PercentBasis::NotKnown => Self::NotKnown,
        }
    }
}

impl Asked {
    /// The formula of percents of the water with flows of the nozzles, where it has one of its own.
    pub fn nozzle(&self) -> Option<&str> {
        self.at_nozzle.as_deref().or(self.of_nozzles.as_deref())
    }

    /// Whether a formula is for one basis alone, and for which.
    pub fn only(&self, formula: &str) -> Option<PercentBasis> {
        let nozzle = self.nozzle() == Some(formula);
        // A formula that serves both bases is held to neither.
        match (self.solution == formula, self.water == formula || nozzle) {
            (true, false) => Some(PercentBasis::Solution),
            (false, true) => Some(PercentBasis::Water),
            _ => None,
        }
    }

    /// The formula of a reckoning; none where nobody knows the basis.
    pub fn formula(&self, basis: Reckoning) -> Option<&str> {
        match basis {
            Reckoning::Solution => Some(&self.solution),
            Reckoning::Water => Some(&self.water),
            Reckoning::AtNozzle => Some(self.nozzle().unwrap_or(&self.water)),
            Reckoning::NotKnown => None,
        }
    }

    /// Whether one of its formulas is that one.
    pub fn has(&self, formula: &str) -> bool {
        let nozzle = self.nozzle().is_some_and(|known| known == formula);
        nozzle || [&self.solution, &self.water].into_iter().any(|known| known == formula)
    }

    /// Whether a formula is one of its own, but not the one of that reckoning.
    pub fn is_of_another(&self, formula: &str, basis: Reckoning) -> bool {
        self.has(formula) && self.formula(basis).is_some_and(|own| own != formula)
    }
}

/// The formula that a name stands for on a rig: itself, unless it is in the table. What nobody
/// can choose stays the name, which no library knows, so that nothing is worked by guess.
pub fn formula_for<'a>(
    table: &'a [Asked],
    name: &'a str,
    basis: Option<Reckoning>,
) -> &'a str {
    let asked = table.iter().find(|asked| asked.id == name);
    asked.zip(basis).and_then(|(asked, basis)| asked.formula(basis)).unwrap_or(name)
}
