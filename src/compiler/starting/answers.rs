//! What is asked before a module is begun: the figures of plates and labels, and nothing that only
//! the maker's manual or the department's own orders can say.

use crate::course::{Compressor, FoamClass, Paper, PercentBasis};
use crate::quantity::{Quantity, System};
use crate::wire::{Book, Books};
use drillwright_engine::{cases, record, words};

words! {
    /// The sign before the decimals of a number.
    DecimalMark {
        /// A point, as in 0.5 %.
        "point" Point,
        /// A comma, as in 0,5 %.
        "comma" Comma,
    }
}

record! {
    /// The officer who will sign and evaluate.
    OfficerAnswers {
        /// Name, as it is printed.
        name: String = need "name", eg "A. Example";
        /// Rank or post.
        rank: String = need "rank", eg "Captain";
    }
}

record! {
    /// Volumes of a tank.
    Volumes {
        /// Volume on the plate.
        plate: Quantity = need "plate" as VOLUME, eg "750 gal";
        /// Volume that can be used before the pump loses it.
        usable: Quantity = need "usable" as VOLUME, eg "720 gal";
        /// Volume left at which the low-level mark warns; none when there is no mark.
        // Asked of everybody, because none is an answer and silence is not.
        mark: Option<Quantity> = need "mark" as VOLUME, nothing "none", eg "75 gal";
    }
}

record! {
    /// What stands on the plate of a proportioner with a tank of concentrate.
    Plate {
        /// Largest concentrate flow.
        rated_flow: Quantity = need "rated-flow" as FLOW, eg "5 gpm";
        /// The pressure at which it is reached.
        rated_pressure: Quantity = need "rated-pressure" as PRESSURE, eg "250 psi";
        /// Least flow at which it proportions.
        least_flow: Option<Quantity> = may "least-flow" as FLOW, nothing "not known", eg "20 gpm";
        /// What the percent is a share of: solution, water, or not known.
        // Few plates say it. Whoever does not know must not have to guess: percent,
        // totals and minutes all hang on it.
        basis: PercentBasis = may "basis", or "not known", eg "water";
        /// Least percent of the panel.
        least: Quantity = need "least-percent" as PERCENT, eg "0.1 %";
        /// Largest percent of the panel.
        largest: Quantity = need "largest-percent" as PERCENT, eg "1 %";
        /// Step of the panel's percent.
        step: Quantity = need "percent-step" as PERCENT, eg "0.1 %";
        /// The tank of concentrate.
        tank: Volumes = need "foam-tank";
        /// The product in it, by the name under products.
        product: String = need "product", eg "Foam A";
    }
}

record! {
    /// What stands on an eductor that is carried for a line.
    EductorPlate {
        /// Rated flow.
        flow: Quantity = need "eductor-flow" as FLOW, eg "95 gpm";
        /// Inlet pressure for which it is rated.
        inlet: Quantity = need "eductor-inlet" as PRESSURE, eg "200 psi";
        /// Largest back pressure, as a share of the inlet pressure.
        back: Quantity = need "back-pressure" as PERCENT, eg "65 %";
        /// Percents of its metering valve.
        settings: Vec<Quantity> = need "settings" as PERCENT, eg "[3 %, 6 %]";
        /// The line on which it is worked, by its name under lines.
        line: String = need "eductor-line", eg "Foam line";
        /// The product in its containers, by the name under products.
        product: String = need "product", eg "Foam B";
    }
}

cases! {
    /// How the rig makes foam.
    Foaming by "proportioner" {
        /// A pump injects concentrate into the discharge side, by a flow meter.
        "direct-injection" DirectInjection(/** Its plate. */ plate: Plate = flat),
        /// Water is led around the pump through an eductor; every outlet foams.
        "around-the-pump" AroundThePump(/** Its plate. */ plate: Plate = flat),
        /// Concentrate pressure is kept equal to water pressure.
        "balanced-pressure" BalancedPressure(/** Its plate. */ plate: Plate = flat),
        /// An eductor in the hose line, with concentrate out of containers.
        "in-line-eductor" InLineEductor(/** Its plate. */ plate: EductorPlate = flat),
        /// The rig makes no foam.
        "none" Nothing,
    }
}

record! {
    /// A discharge with the line that is usually on it.
    LineAnswers {
        /// Name as on the panel.
        name: String = need "name", eg "Crosslay 1";
        /// Whether foam reaches it.
        foam: bool = need "foam", eg "yes";
        /// Inside diameter of its hose; none on a fixed monitor.
        hose: Option<Quantity> = may "hose" as HOSE, nothing "none", eg "1.75 in";
        /// Length of hose laid; none on a fixed monitor.
        length: Option<Quantity> = need "length" as LENGTH, nothing "none", eg "200 ft";
        /// Nozzle, in words.
        nozzle: String = need "nozzle", eg "fog, 125 gpm at 100 psi";
        /// Rated flow of the nozzle.
        flow: Quantity = need "flow" as FLOW, eg "125 gpm";
        /// Rated nozzle pressure.
        pressure: Quantity = need "pressure" as PRESSURE, eg "100 psi";
        /// Service-test pressure of the weakest hose, as it is written on the hose; none where there is none.
        // Asked although it stands on no plate: without it no limit of
        // pressure can be held (rule 18a).
        service_test: Option<Quantity> = need "service-test" as PRESSURE, nothing "none", eg "300 psi";
    }
}

record! {
    /// One rig, from its plates.
    RigAnswers {
        /// Name, as people say it.
        name: String = need "name", eg "Engine 7";
        /// How it makes foam.
        foaming: Foaming = flat;
        /// Its water tank; none on a portable pump.
        water: Option<Volumes> = need "water-tank", nothing "none";
        /// Its discharges, each with the line that is usually on it.
        lines: Vec<LineAnswers> = need "lines";
        /// Step of the pressure gauge.
        gauge: Quantity = need "gauge-step" as PRESSURE, eg "5 psi";
        /// Step of the flow meter.
        flow_step: Option<Quantity> = may "flow-step" as FLOW, nothing "none", eg "5 gpm";
        /// Step of the percent display.
        percent_shown: Option<Quantity> = may "percent-shown" as PERCENT, nothing "none", eg "0.1 %";
        /// Step of the counter for concentrate.
        foam_total: Option<Quantity> = may "foam-total" as VOLUME, nothing "none", eg "0.1 gal";
        /// Step of the counter for water.
        water_total: Option<Quantity> = may "water-total" as VOLUME, nothing "none", eg "1 gal";
        /// Compressor for compressed-air foam.
        compressor: Option<Compressor> = may "compressor", nothing "none";
    }
}

record! {
    /// A product, from its label and data sheet.
    ProductAnswers {
        /// Name on the label.
        name: String = need "name", eg "Foam A";
        /// Class of fire it is made for.
        class: FoamClass = need "class", eg "A";
        /// Fuel or use for which the label gives these percents.
        fuel: String = need "fuel", eg "wood, brush and house contents";
        /// Least percent of the label.
        from: Quantity = need "from" as PERCENT, eg "0.1 %";
        /// Largest percent of the label.
        to: Quantity = need "to" as PERCENT, eg "1 %";
        /// Density, from the label or its data sheet.
        density: Quantity = need "density" as DENSITY, eg "8.5 lb/gal";
        /// What it comes in.
        container: String = need "container", eg "drum";
        /// Volume of such a container.
        holds: Quantity = need "holds" as CONTENTS, eg "5 gal";
        /// Whether the label calls it free of fluorine.
        // A word on a label and no evidence: it permits nothing (rule 25).
        fluorine_free: bool = need "fluorine-free", eg "yes";
    }
}

record! {
    /// What a new module is made of. Everything else is written in its files, each field with a sentence.
    Answers {
        /// The fire department it belongs to.
        department: String = need "department", eg "Example Fire District";
        /// Title of the whole module.
        title: String = may "title", or "Foam and water at the pump panel", eg "Foam at the pump panel";
        /// Who it is for.
        audience: String = may "audience", or "Pump operators", eg "Pump operators in their first year";
        /// Hours that the module takes; an estimate until lessons and drills are held.
        hours: Quantity = may "hours" as HOURS, or "1 h", eg "6 h";
        /// Units of every figure: us, si (pressures in kPa) or si-bar.
        units: System = need "units", eg "us";
        /// Paper that is printed on.
        paper: Paper = need "paper", eg "letter";
        /// The sign before the decimals of a number.
        decimal: DecimalMark = may "decimal", or "point", eg "point";
        /// Day by which the module is looked through again; left out, in a year.
        review_by: Option<String> = may "review-by" as DAY, eg "2027-06-30";
        /// The officer who will sign and evaluate.
        officer: Option<OfficerAnswers> = may "officer", nothing "not known yet";
        /// The rigs, each from its plates.
        rigs: Vec<RigAnswers> = need "rigs";
        /// The products that the rigs carry.
        products: Vec<ProductAnswers> = may "products";
        /// Drills of the library; left out, all that fit one of the rigs.
        drills: Vec<String> = may "drills" as NAME, eg "[startup, totals]";
    }
}

record! {
    /// One rig for a module that is there, with the products that the module does not have yet.
    RigFile {
        /// The rig.
        rig: RigAnswers = flat;
        /// Products that it carries and the module does not have yet.
        products: Vec<ProductAnswers> = may "products";
    }
}

/// Help of all that is asked.
pub const BOOKS: Books = Books(&[OWN, Foaming::BOOKS]);

const OWN: &[Book] = &[
    Answers::BOOK,
    RigFile::BOOK,
    OfficerAnswers::BOOK,
    DecimalMark::BOOK,
    RigAnswers::BOOK,
    Volumes::BOOK,
    Plate::BOOK,
    EductorPlate::BOOK,
    LineAnswers::BOOK,
    ProductAnswers::BOOK,
    Compressor::BOOK,
    FoamClass::BOOK,
    Paper::BOOK,
    PercentBasis::BOOK,
];

impl Foaming {
    /// The plate of a proportioner with its tank, and which sort it is.
    pub(super) const fn plate(
        &self,
    ) -> Option<(crate::course::ProportionerKind, &Plate)> {
        use crate::course::ProportionerKind as Sort;
        match self {
            Self::DirectInjection(plate) => Some((Sort::DirectInjection, plate)),
            Self::AroundThePump(plate) => Some((Sort::AroundThePump, plate)),
            Self::BalancedPressure(plate) => Some((Sort::BalancedPressure, plate)),
            Self::InLineEductor(_) | Self::Nothing => None,
        }
    }

    /// The product that it carries.
    pub(super) const fn product(&self) -> Option<&String> {
        match self {
            Self::InLineEductor(plate) => Some(&plate.product),
            Self::DirectInjection(plate)
            | Self::AroundThePump(plate)
            | Self::BalancedPressure(plate) => Some(&plate.product),
            Self::Nothing => None,
        }
    }
}
