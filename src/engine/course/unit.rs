//! The proportioner of a rig: how concentrate gets into the water, how much, and of what its
//! percent is a share.

use std::collections::BTreeMap;

use super::concentrate::FoamClass;
use crate::quantity::Quantity;
use crate::wire::Book;
use crate::{record, words};

words! {
    /// How concentrate gets into the water.
    ProportionerKind {
        /// A pump injects concentrate into the discharge side, by a flow meter.
        "direct-injection" DirectInjection,
        /// Water is led around the pump through an eductor; every outlet foams.
        "around-the-pump" AroundThePump,
        /// Concentrate pressure is kept equal to water pressure.
        "balanced-pressure" BalancedPressure,
        /// An eductor in the hose line.
        "in-line-eductor" InLineEductor,
    }
}

words! {
    /// What the set percent is a percent of.
    PercentBasis {
        /// Of the finished solution (S).
        "solution" Solution,
        /// Of the metered water (W).
        "water" Water,
        /// Nobody has looked it up; then nothing that rests on it is worked out.
        "not known" NotKnown,
    }
}

words! {
    /// Where the flow meter stands. One before the point of injection sees water alone, one behind it solution.
    Meter {
        /// Before the point of injection.
        "before-injection" BeforeInjection,
        /// Behind it.
        "after-injection" AfterInjection,
        /// There is none.
        "none" Absent,
        /// Nobody has looked it up.
        "not known" NotKnown,
    }
}

words! {
    /// Which lines a flow meter counts.
    MeterCounts {
        /// All foam lines together.
        "all-lines" AllLines,
        /// Each outlet has its own.
        "each-outlet" EachOutlet,
        /// Nobody has looked it up.
        "not known" NotKnown,
    }
}

record! {
    /// Least and most flow between which the unit holds one percent. Outside them nothing is known.
    Capacity {
        /// The percent.
        percent: Quantity = need "percent" as PERCENT, eg "1 %";
        /// Least flow at which it is held.
        least: Option<Quantity> = may "least" as FLOW, nothing "not known", eg "30 gpm";
        /// Largest flow at which it is held.
        most: Option<Quantity> = may "most" as FLOW, nothing "not known", eg "400 gpm";
        /// The pressure for which that was looked up.
        at: Option<Quantity> = may "at" as PRESSURE, nothing "not known", eg "150 psi";
        /// The concentrate for which it holds; left out, for every one.
        concentrate: Option<String> = may "concentrate" as refers("concentrate"), eg "training-foam";
    }
}

record! {
    /// Percents the panel can set for one class.
    ClassRange {
        /// Least percent.
        from: Quantity = need "from" as PERCENT, eg "0.1 %";
        /// Largest percent.
        to: Quantity = need "to" as PERCENT, eg "1 %";
        /// Step of the panel.
        step: Quantity = need "step" as PERCENT, eg "0.1 %";
        /// Presets of the panel.
        presets: Vec<Quantity> = may "presets" as PERCENT, eg "[0.3 %, 0.5 %, 1 %]";
    }
}

record! {
    /// What the proportioner can do at most: a flow at a pressure.
    Rating {
        /// Largest concentrate flow.
        // Both are needed: without the pressure at which it is
        // reached a pump's flow says nothing.
        flow: Quantity = need "flow" as FLOW, eg "5 gpm";
        /// The pressure at which it is reached.
        at: Quantity = need "at" as PRESSURE, eg "250 psi";
    }
}

record! {
    /// The proportioner. Its rating is a pair; outside it the answer is "not known".
    Proportioner {
        /// How concentrate gets into the water.
        kind: ProportionerKind = need "type", eg "direct-injection";
        /// Largest concentrate flow, and at which pressure.
        rating: Rating = need "rating";
        /// Least solution flow at which it proportions.
        least_flow: Option<Quantity> = may "least-flow" as FLOW, eg "20 gpm";
        /// What the percent is a percent of.
        // It may be "not known", but not left out: percent, totals and minutes all hang
        // on it, and silence must not look like an answer.
        basis: PercentBasis = need "basis", eg "water";
        /// Where its flow meter stands.
        meter: Meter = may "meter", or "not known", eg "before-injection";
        /// Which lines that meter counts.
        meter_counts: MeterCounts = may "meter-counts", or "not known", eg "all-lines";
        /// Between which flows each percent is held, where the manual says so.
        capacities: Vec<Capacity> = may "capacities";
        /// Percents by class of foam.
        classes: BTreeMap<FoamClass, ClassRange> = need "classes";
    }
}

/// Help of a proportioner.
pub(super) const BOOKS: &[Book] = &[
    Proportioner::BOOK,
    ProportionerKind::BOOK,
    PercentBasis::BOOK,
    Meter::BOOK,
    MeterCounts::BOOK,
    Capacity::BOOK,
    Rating::BOOK,
    ClassRange::BOOK,
];

impl Proportioner {
    /// Whether its meter sees another thing than its percent is a share of. Without a meter nothing
    /// contradicts: a unit that is driven by the water doses by it and shows no flow.
    pub const fn contradicts_meter(&self) -> bool {
        matches!(
            (self.basis, self.meter),
            (PercentBasis::Solution, Meter::BeforeInjection)
                | (PercentBasis::Water, Meter::AfterInjection)
        )
    }
}

impl Capacity {
    /// Whether a flow lies outside what was looked up for its percent: whether the percent is held
    /// there nobody knows.
    pub fn is_outside(&self, flow: &Quantity) -> bool {
        // The edges themselves are inside: they are the last
        // figures that the manual vouches for.
        let below = |edge: &Quantity| flow.base().compare(edge.base()).is_lt();
        let above = |edge: &Quantity| flow.base().compare(edge.base()).is_gt();
        self.least.as_ref().is_some_and(below) || self.most.as_ref().is_some_and(above)
    }
}

impl Proportioner {
    /// What was looked up for a percent with a product: its own entry, else one for every product.
    pub fn capacity(
        &self,
        percent: &Quantity,
        product: Option<&str>,
    ) -> Option<&Capacity> {
        let of = |held: Option<&str>| {
            self.capacities.iter().find(|one| {
                one.percent.base().compare(percent.base()).is_eq()
                    && one.concentrate.as_deref() == held
            })
        };
        // Its own entry goes first: a thick product is drawn worse than a thin one, so
        // what holds for every product need not hold for this one.
        product.and_then(|product| of(Some(product))).or_else(|| of(None))
    }
}
