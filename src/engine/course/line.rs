//! Outlets of a rig with the hose and nozzle that are usually on them, and eductors in a line.

use crate::quantity::Quantity;
use crate::wire::Book;
use crate::{record, words};

record! {
    /// Piping between injection and outlet.
    Pipe {
        /// Its inside diameter.
        bore: Quantity = need "bore" as BORE, eg "3 in";
        /// Its length.
        length: Quantity = need "length" as LENGTH, eg "10 ft";
    }
}

words! {
    /// What a line of hose is for: attack hose and supply hose are tested to different pressures.
    LineUse {
        /// Attack.
        "attack" Attack,
        /// Supply.
        "supply" Supply,
    }
}

words! {
    /// Whether the hose is marked for compressed air by its maker.
    ForAir {
        /// It is.
        "yes" Yes,
        /// It is not.
        "no" No,
        /// Nobody has looked.
        "not known" NotKnown,
    }
}

record! {
    /// Settings of a line with compressed air, from the maker's manual. Plain-water pressures are wrong there.
    AirSettings {
        /// Pump pressure.
        // From the manual and from nowhere else: formulas of friction
        // loss do not hold for foam with air.
        pump: Quantity = need "pump" as PRESSURE, eg "100 psi";
        /// Air pressure.
        air: Quantity = need "air" as PRESSURE, eg "100 psi";
        /// Free air that the line takes.
        flow: Quantity = need "flow" as AIR_FLOW, eg "60 scfm";
        /// The tip with which they hold.
        tip: Option<String> = may "tip", prose, nothing "not known", eg "smooth bore, 15/16 in";
        /// Least percent at which the foam holds the air.
        least_percent: Option<Quantity> = may "least-percent" as PERCENT, nothing "not known", eg "0.3 %";
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
        /// Inside diameter of the hose; left out where there is none, as on a fixed monitor.
        hose: Option<Quantity> = may "hose" as HOSE, nothing "none", eg "1.75 in";
        /// Friction-loss coefficient, when the department measured its own hose; its unit is that of the example.
        // Hose has been measured at two thirds of what its table said; what a department
        // measured goes before any table.
        coefficient: Option<Quantity> = may "coefficient" as FRICTION, eg "15.5 psi/(100 gpm)^2/100 ft";
        /// Service-test pressure of the weakest hose in the line.
        // Of the weakest: nine tenths of it is the limit that no
        // setting may pass (rule 18a).
        service_test: Option<Quantity> = may "service-test" as PRESSURE, nothing "none", eg "300 psi";
        /// Length of hose laid.
        length: Option<Quantity> = may "length" as LENGTH, nothing "none", eg "200 ft";
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
        /// Settings with air; without them the maker's manual decides.
        air_settings: Option<AirSettings> = may "air-settings", nothing "manual decides";
        /// What the line is for.
        // Left out it is attack, which is held to the higher test pressure.
        used_for: LineUse = may "used-for", or "attack", eg "supply";
        /// Day of the service test of its hose.
        tested: Option<String> = may "tested" as DAY, prose, nothing "not known", eg "2026-03-14";
        /// Whether the hose is marked for compressed air.
        // Hose makers want to be asked, others doubt the need: it is
        // told on the card and decides no run.
        for_air: ForAir = may "hose-for-air", or "not known", prose, eg "yes";
        /// Height of the nozzle above the pump, as the line is usually laid.
        elevation: Option<Quantity> = may "elevation" as LENGTH, nothing "not known", eg "10 ft";
        /// Loss in appliances of the line.
        appliances: Option<Quantity> = may "appliances" as PRESSURE, nothing "not known", eg "10 psi";
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
        // Of the model, not one share for all eductors: models of one maker differ.
        back_pressure: Quantity = need "back-pressure" as PERCENT, eg "65 %";
        /// Length of its pick-up hose.
        pick_up: Option<Quantity> = may "pick-up" as LENGTH, nothing "not known", eg "6 ft";
        /// Percents of its metering valve.
        settings: Vec<Quantity> = may "settings" as PERCENT, eg "[1 %, 3 %, 6 %]";
        /// Outlet on whose line it is worked.
        outlet: Option<String> = may "outlet" as refers("outlet"), eg "crosslay-1";
        /// Tank that it draws from; left out, it draws from containers.
        tank: Option<String> = may "draws-from" as refers("tank"), eg "foam-b";
        /// Product in the containers that it draws from; left out, it is what the tanks hold.
        product: Option<String> = may "product" as refers("concentrate"), eg "class-a-drill";
    }
}

/// Help of outlets and what is on them.
pub(super) const BOOKS: &[Book] = &[
    Outlet::BOOK,
    Pipe::BOOK,
    LineUse::BOOK,
    ForAir::BOOK,
    AirSettings::BOOK,
    Eductor::BOOK,
];
