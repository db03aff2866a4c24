//! What a given stands for beyond its dimension: two volumes are both gallons, and taking the one
//! for the other changes the answer.

use crate::wire::Book;
use crate::words;

words! {
    /// What a figure stands for where its dimension alone does not tell.
    Means {
        /// A flow of finished solution.
        "solution-flow" SolutionFlow,
        /// A flow of water alone.
        "water-flow" WaterFlow,
        /// A flow of concentrate.
        "concentrate-flow" ConcentrateFlow,
        /// What runs through a line and its nozzle, water or solution.
        "line-flow" LineFlow,
        /// Air at atmospheric pressure, as compressors are rated.
        "free-air" FreeAir,
        /// Pressure above that of the air around, as every gauge of a rig shows it.
        "gauge-pressure" GaugePressure,
        /// Pressure above vacuum.
        "absolute-pressure" AbsolutePressure,
        /// What a pressure falls or rises by on its way.
        "pressure-loss" PressureLoss,
        /// What the pump can still draw.
        "usable-volume" UsableVolume,
        /// What the plate says.
        "nominal-volume" NominalVolume,
        /// What no pump reaches.
        "dead-volume" DeadVolume,
        /// What a tank's gauge shows, with what no pump reaches.
        "gauge-volume" GaugeVolume,
        /// What a counter has counted.
        "counted-volume" CountedVolume,
        /// The room inside hose and piping.
        "hose-volume" HoseVolume,
        /// The application rate that a product is listed for, by fuel and nozzle.
        "listed-rate" ListedRate,
        /// Time of application that a product is listed for on a fuel.
        "listed-time" ListedTime,
    }
}

pub(super) const MEANS: &[Book] = &[Means::BOOK];

impl Means {
    /// Whether a figure of that meaning may be taken for this one. A rig tells the flow of a line as
    /// its nozzle is rated; whether that is solution or metered water is the rig's own basis, so
    /// that only a formula which the basis chose (`by_basis`) takes it for water alone.
    pub fn takes(self, figure: Self, by_basis: bool) -> bool {
        match (self, figure) {
            (Self::SolutionFlow, Self::LineFlow)
            | (Self::LineFlow, Self::SolutionFlow | Self::WaterFlow) => true,
            (Self::WaterFlow, Self::LineFlow) => by_basis,
            (wanted, figure) => wanted == figure,
        }
    }

    /// As it is said in a sentence.
    pub fn said(self) -> String {
        self.word().replace('-', " ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_takes_itself_and_few_others() {
        for (_, wanted) in Means::ALL {
            for (_, figure) in Means::ALL {
                let line = matches!(
                    (wanted, figure),
                    (Means::SolutionFlow, Means::LineFlow)
                        | (Means::LineFlow, Means::SolutionFlow | Means::WaterFlow)
                );
                let told = wanted.takes(*figure, false);
                assert_eq!(told, wanted == figure || line, "{wanted:?} {figure:?}");
            }
        }
        assert!(Means::WaterFlow.takes(Means::LineFlow, true));
        assert!(!Means::WaterFlow.takes(Means::SolutionFlow, true));
        assert!(!Means::SolutionFlow.takes(Means::WaterFlow, true));
    }
}
