//! A pumper with its proportioner, tanks and outlets.

use std::collections::BTreeMap;

use super::concentrate::{Concentrate, FoamClass};
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
    /// Which side of the injection point something draws from.
    FoamSide {
        /// Upstream: plain water.
        "before-injection" BeforeInjection,
        /// Downstream: solution.
        "after-injection" AfterInjection,
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
        presets: Vec<Quantity> = need "presets" as PERCENT, eg "[0.3 %, 0.5 %, 1 %]";
    }
}

record! {
    /// What the proportioner can do at most: a flow at a pressure.
    Rating {
        /// Largest concentrate flow.
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
        basis: PercentBasis = need "basis", eg "water";
        /// Percents by class of foam.
        classes: BTreeMap<FoamClass, ClassRange> = need "classes";
    }
}

words! {
    /// What is known of fluorine in what a tank held before.
    TankHistory {
        /// It never held any.
        "none" Clean,
        /// It did, and was cleaned and tested since.
        "cleaned-and-tested" Cleaned,
        /// Nobody knows.
        "not-known" NotKnown,
    }
}

words! {
    /// What a low-level mark counts.
    MarkIn {
        /// What the pump can still use.
        "usable" Usable,
        /// All that is in the tank, with what no pump reaches.
        "total" Total,
    }
}

record! {
    /// A tank on the rig.
    Tank {
        /// Short name, such as water or foam-a.
        id: String = need "tank" as own("tank"), eg "water";
        /// Name as it is printed.
        title: String = need "title", prose, eg "Water tank";
        /// Concentrate it holds; left out for the water tank.
        concentrate: Option<String> = may "concentrate" as refers("concentrate"), eg "training-foam";
        /// Whether it ever held a product with fluorine; rinsing leaves a residue that comes back out.
        history: TankHistory = may "fluorine-history", or "not-known", eg "none";
        /// Volume on the plate.
        nominal: Quantity = need "nominal" as VOLUME, eg "750 gal";
        /// Volume that can be used before the pump loses it.
        usable: Quantity = need "usable" as VOLUME, eg "720 gal";
        /// Volume at the bottom that no pump reaches, where the gauge counts it.
        dead: Option<Quantity> = may "dead" as VOLUME, eg "2 gal";
        /// Volume left at which the low-level mark warns; none when there is no mark.
        warning: Option<Quantity> = may "warning" as VOLUME, nothing "none", eg "6 gal";
        /// What the mark counts: what can be used, or all that is in the tank.
        mark_in: MarkIn = may "mark-in", or "usable", eg "total";
    }
}

record! {
    /// Piping between injection and outlet.
    Pipe {
        /// Its inside diameter.
        bore: Quantity = need "bore" as BORE, eg "3 in";
        /// Its length.
        length: Quantity = need "length" as LENGTH, eg "10 ft";
    }
}

record! {
    /// A discharge with the line that is usually on it.
    Outlet {
        /// Short name.
        id: String = need "outlet" as own("outlet"), eg "crosslay-1";
        /// Name as on the panel.
        title: String = need "title", prose, eg "Crosslay 1";
        /// Whether foam reaches it.
        foam: bool = need "foam", eg "yes";
        /// Inside diameter of the hose.
        hose: Quantity = need "hose" as HOSE, eg "1.75 in";
        /// Friction-loss coefficient, when the department measured its own hose: psi/(100 gpm)^2/100 ft, or kPa/(100 L/min)^2/100 m.
        coefficient: Option<Quantity> = may "coefficient" as FRICTION, eg "15.5 psi/(100 gpm)^2/100 ft";
        /// Service-test pressure of the weakest hose in the line.
        service_test: Quantity = need "service-test" as PRESSURE, eg "300 psi";
        /// Length of hose laid.
        length: Quantity = need "length" as LENGTH, eg "200 ft";
        /// Nozzle, in words.
        nozzle: String = need "nozzle", eg "fog, 125 gpm at 100 psi";
        /// Rated flow.
        flow: Quantity = need "flow" as FLOW, eg "125 gpm";
        /// Least flow at which the line can be worked.
        least_flow: Option<Quantity> = may "least-flow" as FLOW, eg "60 gpm";
        /// Most that hose and nozzle are used for.
        most_flow: Option<Quantity> = may "most-flow" as FLOW, eg "200 gpm";
        /// Rated nozzle pressure.
        pressure: Quantity = need "pressure" as PRESSURE, eg "100 psi";
        /// Piping between injection and outlet, where it holds enough to count.
        pipe: Option<Pipe> = may "pipe";
        /// Whether compressed air can be put on this line.
        air: bool = may "air", or "no", eg "yes";
    }
}

record! {
    /// A way back to a tank.
    ReturnPath {
        /// Short name, such as tank-fill.
        id: String = need "path" as own("return path"), eg "tank-fill";
        /// Name as on the panel.
        title: String = need "title", prose, eg "Tank fill";
        /// Side of the injection point it is taken off.
        side: FoamSide = need "side", eg "before-injection";
    }
}

record! {
    /// A compressor for compressed-air foam.
    Compressor {
        /// Free air delivered.
        air: Quantity = need "air" as AIR_FLOW, eg "120 scfm";
        /// Working pressure.
        pressure: Quantity = need "pressure" as PRESSURE, eg "125 psi";
    }
}

record! {
    /// An in-line eductor carried on the rig.
    Eductor {
        /// Short name.
        id: String = need "eductor" as own("eductor"), eg "eductor-95";
        /// Rated flow.
        flow: Quantity = need "flow" as FLOW, eg "95 gpm";
        /// Rated inlet pressure.
        inlet: Quantity = need "inlet" as PRESSURE, eg "200 psi";
        /// Largest back pressure as a share of inlet pressure.
        back_pressure: Quantity = need "back-pressure" as PERCENT, eg "65 %";
    }
}

record! {
    /// What the instruments of the panel can show; a tolerance finer than that is a finding.
    Resolution {
        /// Percent display.
        percent: Quantity = need "percent" as PERCENT, eg "0.1 %";
        /// Concentrate total.
        foam_total: Quantity = need "foam-total" as VOLUME, eg "0.1 gal";
        /// Water total.
        water_total: Quantity = need "water-total" as VOLUME, eg "1 gal";
        /// Pressure gauge.
        pressure: Quantity = need "pressure" as PRESSURE, eg "5 psi";
        /// Flow meter.
        flow: Quantity = need "flow" as FLOW, eg "1 gpm";
    }
}

record! {
    /// That somebody held the card against plate and manual. No figure hangs on it.
    CardCheck {
        /// Office that did it.
        by: String = need "by", prose, eg "Shop officer";
        /// Day on which it was done.
        on: String = need "on" as DAY, prose, eg "2026-10-01";
    }
}

record! {
    /// One rig.
    Rig {
        /// Short name; the file has it too.
        id: String = need "rig" as own("rig"), eg "engine-7";
        /// Name, as people say it.
        title: String = need "title", prose, eg "Engine 7";
        /// One line about it.
        about: String = need "about", prose, eg "The pumper of the training yard.";
        /// Who held the card against plate and manual, when somebody did.
        checked: Option<CardCheck> = may "checked", nothing "", prose;
        /// Proportioner.
        proportioner: Proportioner = need "proportioner";
        /// Tanks, water first.
        tanks: Vec<Tank> = need "tanks";
        /// Outlets.
        outlets: Vec<Outlet> = need "outlets";
        /// Ways back to a tank.
        returns: Vec<ReturnPath> = may "returns";
        /// Compressor, if there is one.
        compressor: Option<Compressor> = may "compressor";
        /// Pressure below which the intake may not fall, by local rule.
        intake_floor: Option<Quantity> = may "intake-floor" as PRESSURE, eg "20 psi";
        /// Time that a crew needs to withdraw, by local rule: minutes left are called by it.
        withdrawal: Option<Quantity> = may "withdrawal" as LIMIT, eg "2 min";
        /// Eductors carried.
        eductors: Vec<Eductor> = may "eductors";
        /// What the instruments can show.
        resolution: Resolution = need "resolution";
        /// What its tanks hold, as the concentrates' own files say it.
        agents: Vec<Concentrate> = carried "agents";
    }
}

/// Help of all that a rig's file holds.
pub(super) const BOOKS: &[Book] = &[
    Rig::BOOK,
    CardCheck::BOOK,
    Proportioner::BOOK,
    ProportionerKind::BOOK,
    Rating::BOOK,
    PercentBasis::BOOK,
    ClassRange::BOOK,
    Tank::BOOK,
    TankHistory::BOOK,
    MarkIn::BOOK,
    Outlet::BOOK,
    Pipe::BOOK,
    ReturnPath::BOOK,
    FoamSide::BOOK,
    Compressor::BOOK,
    Eductor::BOOK,
    Resolution::BOOK,
];

impl Tank {
    /// What can still be used at the mark.
    pub fn mark_usable(&self) -> Option<Quantity> {
        let mark = self.warning?;
        match (self.mark_in, self.dead) {
            (MarkIn::Total, Some(dead)) => {
                let left = mark.number().sub(dead.in_unit(mark.unit())?.number())?;
                (left.signum() >= 0).then(|| Quantity::new(left, mark.unit()))
            }
            _ => Some(mark),
        }
    }

    /// What the gauge shows at the mark: it counts what no pump reaches, too.
    pub fn mark_on_gauge(&self) -> Option<Quantity> {
        let mark = self.warning?;
        match (self.mark_in, self.dead) {
            (MarkIn::Usable, Some(dead)) => {
                let shown = mark.number().add(dead.in_unit(mark.unit())?.number())?;
                Some(Quantity::new(shown, mark.unit()))
            }
            _ => Some(mark),
        }
    }
}

impl Rig {
    /// The water tank: the first tank without concentrate.
    pub fn water_tank(&self) -> Option<&Tank> {
        self.tanks.iter().find(|tank| tank.concentrate.is_none())
    }

    /// The foam tank whose contents may not be discharged for training, and what it holds: of a
    /// class of foam, or of any. Nothing where all of them may.
    pub fn not_for_training(&self, class: Option<FoamClass>) -> Option<(&Tank, &str)> {
        self.foam_tanks().find_map(|tank| {
            let id = tank.concentrate.as_deref()?;
            let agent = self.agents.iter().find(|agent| agent.id == id);
            if agent.zip(class).is_some_and(|(agent, class)| agent.class != class) {
                return None;
            }
            let may = agent.is_some_and(Concentrate::may_be_discharged)
                && tank.history != TankHistory::NotKnown;
            (!may).then_some((tank, id))
        })
    }

    /// Tanks that hold concentrate.
    pub fn foam_tanks(&self) -> impl Iterator<Item = &Tank> {
        self.tanks.iter().filter(|tank| tank.concentrate.is_some())
    }

    /// The outlet of that id.
    pub fn outlet(&self, id: &str) -> Option<&Outlet> {
        self.outlets.iter().find(|outlet| outlet.id == id)
    }

    /// What its percent is a percent of.
    pub fn basis(&self) -> Option<PercentBasis> {
        Some(self.proportioner.basis)
    }

    /// Whether plate and manual were compared with this card.
    pub fn verified(&self) -> bool {
        self.checked.is_some()
    }
}
