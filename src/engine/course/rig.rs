//! A pumper with its proportioner, tanks and outlets.

use super::concentrate::{Concentrate, FoamClass};
use super::line::{Eductor, Outlet};
use super::unit::{ClassRange, Proportioner, ProportionerKind, Rating};
use crate::quantity::Quantity;
use crate::wire::Book;
use crate::{record, words};

words! {
    /// Which side of the injection point something draws from.
    FoamSide {
        /// Upstream: plain water.
        "before-injection" BeforeInjection,
        /// Downstream: solution.
        "after-injection" AfterInjection,
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
        dead: Option<Quantity> = may "dead" as VOLUME, nothing "not known", eg "2 gal";
        /// Volume left at which the low-level mark warns; none when there is no mark.
        warning: Option<Quantity> = may "warning" as VOLUME, nothing "none", eg "6 gal";
        /// What the mark counts: what can be used, or all that is in the tank.
        mark_in: MarkIn = may "mark-in", or "usable", eg "total";
        /// Volume at which a low-level light comes on, where it is another than the mark.
        light: Option<Quantity> = may "light-at" as VOLUME, nothing "not known", eg "6 gal";
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

words! {
    /// Where the valve from tank to pump is worked: a pump is not left turning dry while somebody walks.
    TankToPump {
        /// At the panel.
        "panel" Panel,
        /// In the cab.
        "cab" Cab,
        /// It is kept open.
        "kept-open" KeptOpen,
        /// Nobody has looked it up.
        "not known" NotKnown,
    }
}

record! {
    /// The water pump, from plate and manual.
    PumpPlate {
        /// How long it may turn dry, by the manual.
        dry: Option<Quantity> = may "dry" as WATCH, nothing "not known", eg "30 s";
        /// Setting of relief valve or governor.
        relief: Option<Quantity> = may "relief" as PRESSURE, nothing "not known", eg "200 psi";
        /// What it is rated for.
        rating: Option<Rating> = may "rating", nothing "not known";
    }
}

record! {
    /// A supply that the rig is usually laid to.
    Supply {
        /// Short name.
        id: String = need "supply" as own("supply"), eg "yard-hydrant";
        /// What it is.
        title: String = need "title", prose, eg "Hydrant of the training yard";
        /// Flow that it holds, with the intake at or above the floor.
        flow: Option<Quantity> = may "flow" as FLOW, nothing "not known", eg "400 gpm";
    }
}

record! {
    /// What the instruments of the panel can show; a tolerance finer than that is a finding.
    Resolution {
        /// Percent display.
        percent: Option<Quantity> = may "percent" as PERCENT, nothing "none", eg "0.1 %";
        /// Concentrate total.
        foam_total: Option<Quantity> = may "foam-total" as VOLUME, nothing "none", eg "0.1 gal";
        /// Water total.
        water_total: Option<Quantity> = may "water-total" as VOLUME, nothing "none", eg "1 gal";
        /// Pressure gauge.
        pressure: Quantity = need "pressure" as PRESSURE, eg "5 psi";
        /// Flow meter.
        flow: Option<Quantity> = may "flow" as FLOW, nothing "none", eg "1 gpm";
    }
}

record! {
    /// That somebody held the card against plate and manual. No figure hangs on it.
    CardCheck {
        /// Office that did it.
        by: String = need "by", prose, eg "Shop officer";
        /// Day on which it was done.
        on: String = need "on" as DAY, prose, eg "2026-10-01";
        /// Day until which it holds; left out, for a year.
        until: Option<String> = may "until" as DAY, prose, eg "2027-10-01";
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
        /// Day on which these figures were written: no run before it was made by them, and an earlier card is replaced by it.
        revised_on: Option<String> = may "revised-on" as DAY, eg "2026-10-01";
        /// Proportioner; left out where the rig makes no foam, or by eductors alone.
        proportioner: Option<Proportioner> = may "proportioner", nothing "none";
        /// Tanks, water first.
        tanks: Vec<Tank> = may "tanks";
        /// Outlets.
        outlets: Vec<Outlet> = may "outlets";
        /// Ways back to a tank.
        returns: Vec<ReturnPath> = may "returns";
        /// Whether a check valve stands between the pump and the injection; drawings show one only then.
        check_valve: bool = may "check-valve", or "no", prose, eg "yes";
        /// Compressor, if there is one.
        compressor: Option<Compressor> = may "compressor";
        /// Pressure below which the intake may not fall, by local rule.
        intake_floor: Option<Quantity> = may "intake-floor" as PRESSURE, eg "20 psi";
        /// Time that a crew needs to withdraw, by local rule: minutes left are called by it.
        withdrawal: Option<Quantity> = may "withdrawal" as LIMIT, eg "2 min";
        /// Where tank to pump is worked.
        tank_to_pump: TankToPump = may "tank-to-pump", or "not known", eg "panel";
        /// The water pump.
        pump: Option<PumpPlate> = may "pump", nothing "not known";
        /// Supplies that it is usually laid to.
        supplies: Vec<Supply> = may "supplies";
        /// Eductors carried.
        eductors: Vec<Eductor> = may "eductors";
        /// What the instruments can show.
        resolution: Option<Resolution> = may "resolution";
        /// What its tanks hold, as the concentrates' own files say it.
        agents: Vec<Concentrate> = carried "agents";
    }
}

/// What a run sheet writes where a drill is done without any rig.
pub const NO_RIG: &str = "no-rig";

/// Help of all that a rig's file holds.
pub(super) const BOOKS: &[Book] = &[
    Rig::BOOK,
    CardCheck::BOOK,
    Tank::BOOK,
    TankHistory::BOOK,
    MarkIn::BOOK,
    ReturnPath::BOOK,
    FoamSide::BOOK,
    Compressor::BOOK,
    TankToPump::BOOK,
    PumpPlate::BOOK,
    Supply::BOOK,
    Resolution::BOOK,
];

impl Tank {
    /// What can still be used at the mark.
    pub fn mark_usable(&self) -> Option<Quantity> {
        let mark = self.warning?;
        match (self.mark_in, self.dead) {
            (MarkIn::Total, Some(dead)) => {
                let left = mark.number().sub(dead.in_unit(mark.unit())?.number())?;
                // A mark below what no pump reaches never warns.
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
            // The tank of another class takes no part in this
            // drill and must not forbid it.
            if agent.zip(class).is_some_and(|(agent, class)| agent.class != class) {
                return None;
            }
            let may = agent.is_some_and(Concentrate::may_be_discharged)
                // Where nobody knows what a tank held, its residue may
                // come out with the training foam.
                && tank.history != TankHistory::NotKnown;
            (!may).then_some((tank, id))
        })
    }

    /// The eductor whose containers may not be discharged for training, by what is written of them; on a rig without a foam tank also where nothing is written, because what is not written
    /// is not permitted. Nothing where all of them may, or draw from tanks.
    pub fn containers_not_for_training(&self, class: Option<FoamClass>) -> Option<&str> {
        let tanks = self.foam_tanks().next().is_some();
        let mut own = self.eductors.iter().filter(|one| one.tank.is_none());
        let unsaid = own.find_map(|eductor| {
            // Where the card has tanks it is what they hold, which is asked about by itself.
            let Some(held) = &eductor.product else {
                return (!tanks).then_some(eductor.id.as_str());
            };
            let agent = self.agents.iter().find(|one| one.id == *held);
            if agent.zip(class).is_some_and(|(agent, class)| agent.class != class) {
                return None;
            }
            let may = agent.is_some_and(Concentrate::may_be_discharged);
            (!may).then_some(eductor.id.as_str())
        });
        let unit = self.proportioner.as_ref().map(|unit| unit.kind);
        let unit = unit.filter(|kind| *kind == ProportionerKind::InLineEductor);
        let nothing = !tanks && self.eductors.is_empty();
        unsaid.or_else(|| unit.filter(|_| nothing).map(|_| self.id.as_str()))
    }

    /// The products that a drill of a class discharges, from tanks and from containers; of any class
    /// where the drill has none.
    pub fn discharged(
        &self,
        class: Option<FoamClass>,
    ) -> impl Iterator<Item = &Concentrate> {
        let drawn = |id: &str| {
            self.foam_tanks().any(|tank| tank.concentrate.as_deref() == Some(id))
                || self.eductors.iter().any(|one| one.product.as_deref() == Some(id))
        };
        self.agents.iter().filter(move |agent| {
            class.is_none_or(|class| agent.class == class) && drawn(&agent.id)
        })
    }

    /// The class of what a tank holds; nothing where the product's card is not there.
    pub fn holds(&self, tank: &Tank) -> Option<FoamClass> {
        let id = tank.concentrate.as_deref()?;
        self.agents.iter().find(|agent| agent.id == id).map(|agent| agent.class)
    }

    /// The tanks of a class. A product without a card may be of any class, so it is asked only where
    /// no tank is known to be of that one.
    pub fn tanks_of(&self, class: FoamClass) -> Vec<&Tank> {
        let of = |held: Option<FoamClass>| {
            let tanks = self.foam_tanks().filter(move |tank| self.holds(tank) == held);
            tanks.collect::<Vec<_>>()
        };
        let known = of(Some(class));
        if known.is_empty() { of(None) } else { known }
    }

    /// Percents of the panel, by class of foam; none without a proportioner.
    pub fn classes(&self) -> impl Iterator<Item = (FoamClass, &ClassRange)> {
        let unit = self.proportioner.iter();
        unit.flat_map(|unit| &unit.classes).map(|(class, range)| (*class, range))
    }

    /// Whether it makes foam at all, by a proportioner or by eductors in its lines.
    pub const fn foams(&self) -> bool {
        self.proportioner.is_some() || !self.eductors.is_empty()
    }

    /// Whether it makes foam of a class: its panel has percents for it, or it carries it.
    pub fn has_class(&self, class: FoamClass) -> bool {
        self.classes().any(|(of, _)| of == class)
            || self.agents.iter().any(|agent| agent.class == class)
    }

    /// Tanks that hold concentrate.
    pub fn foam_tanks(&self) -> impl Iterator<Item = &Tank> {
        self.tanks.iter().filter(|tank| tank.concentrate.is_some())
    }

    /// The outlet of that id.
    pub fn outlet(&self, id: &str) -> Option<&Outlet> {
        self.outlets.iter().find(|outlet| outlet.id == id)
    }

    /// What stands for the rig where a drill is done without any: it has nothing, and its sheets ask
    /// for none.
    pub fn nowhere(title: String) -> Self {
        Self {
            id: NO_RIG.to_owned(),
            title,
            about: String::new(),
            checked: None,
            revised_on: None,
            proportioner: None,
            tanks: Vec::new(),
            outlets: Vec::new(),
            returns: Vec::new(),
            check_valve: false,
            compressor: None,
            intake_floor: None,
            withdrawal: None,
            tank_to_pump: TankToPump::NotKnown,
            pump: None,
            supplies: Vec::new(),
            eductors: Vec::new(),
            resolution: None,
            agents: Vec::new(),
        }
    }

    /// Whether it stands for no rig.
    pub fn is_nowhere(&self) -> bool {
        self.id == NO_RIG && self.is_bare()
    }

    /// Whether plate and manual were compared with this card, or it has no figure to compare.
    pub fn verified(&self) -> bool {
        self.checked.is_some() || self.is_bare()
    }

    /// Whether it is a place or a vehicle without pump and tanks: a tower, a ladder. Its card has no
    /// figures, and nothing of it is left open.
    pub fn is_bare(&self) -> bool {
        self.tanks.is_empty()
            && self.outlets.is_empty()
            && self.pump.is_none()
            && self.proportioner.is_none()
            && self.compressor.is_none()
    }
}
