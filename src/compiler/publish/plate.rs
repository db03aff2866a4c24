//! What plate, manual and labels say beyond the outlets: where nobody knows, the card says so.

use super::card::Card;
use crate::course::{
    AirSettings, Concentrate, ForAir, Meter, MeterCounts, Outlet, TankToPump,
};
use crate::quantity::Quantity;

impl Card<'_> {
    /// Facts of meter, pump, hose, air and products, label and value.
    pub(super) fn plate(self) -> Vec<(String, String)> {
        // words: page.{label(..)}
        let label = |key: &str| self.desk.label(key);
        let known = |value: Option<&Quantity>| {
            value.map_or_else(|| label("not-known"), Quantity::printed)
        };
        let unit = self.rig.proportioner.as_ref();
        let meter = unit.map(|unit| match unit.meter {
            Meter::BeforeInjection => "meter-before",
            Meter::AfterInjection => "meter-after",
            Meter::Absent => "none",
            Meter::NotKnown => "not-known",
        });
        // Of a meter that is not there nobody asks what it counts.
        let counts = unit.filter(|unit| unit.meter != Meter::Absent);
        let counts = counts.map(|unit| match unit.meter_counts {
            MeterCounts::AllLines => "meter-all",
            MeterCounts::EachOutlet => "meter-each",
            MeterCounts::NotKnown => "not-known",
        });
        let to_pump = match self.rig.tank_to_pump {
            TankToPump::Panel => "at-panel",
            TankToPump::Cab => "in-cab",
            TankToPump::KeptOpen => "kept-open",
            TankToPump::NotKnown => "not-known",
        };
        let mut facts = Vec::new();
        facts.extend(meter.map(|meter| (label("meter"), label(meter))));
        facts.extend(counts.map(|counts| (label("meter-counts"), label(counts))));
        facts.push((label("tank-to-pump"), label(to_pump)));
        let pump = self.rig.pump.as_ref();
        facts.push((label("pump-dry"), known(pump.and_then(|pump| pump.dry.as_ref()))));
        facts.push((label("relief"), known(pump.and_then(|pump| pump.relief.as_ref()))));
        for supply in &self.rig.supplies {
            facts.push((supply.title.clone(), known(supply.flow.as_ref())));
        }
        for held in unit.into_iter().flat_map(|unit| &unit.capacities) {
            facts.push((
                self.say("held-at", &[("percent", &held.percent.printed())]),
                self.say(
                    "held-between",
                    &[
                        ("least", &known(held.least.as_ref())),
                        ("most", &known(held.most.as_ref())),
                    ],
                ),
            ));
        }
        let aired = self.rig.outlets.iter().filter(|outlet| outlet.air);
        facts.extend(aired.map(|outlet| self.air(outlet)));
        facts.extend(self.rig.agents.iter().flat_map(|agent| self.listed(agent)));
        facts
    }

    fn say(self, key: &str, blanks: &[(&str, &str)]) -> String {
        // words: page.{held-at|held-between|air-line|air-set|listed|listing}
        self.desk.words.say(&format!("page.{key}"), blanks)
    }

    /// A plain-water pressure is wrong on a line with air: its own setting, or a box for the
    /// manual's.
    fn air(self, outlet: &Outlet) -> (String, String) {
        let set = |settings: &AirSettings| {
            let least = settings
                .least_percent
                .as_ref()
                .map_or_else(|| self.desk.label("not-known"), Quantity::printed);
            let tip = settings.tip.clone();
            self.say(
                "air-set",
                &[
                    ("pump", &settings.pump.printed()),
                    ("air", &settings.air.printed()),
                    ("flow", &settings.flow.printed()),
                    ("least", &least),
                    ("tip", &tip.unwrap_or_else(|| self.desk.label("not-known"))),
                ],
            )
        };
        let mut told = outlet
            .air_settings
            .as_ref()
            .map_or_else(|| self.desk.label("manual-box"), set);
        if outlet.for_air != ForAir::Yes {
            told.push(' ');
            told.push_str(&self.desk.label("hose-not-marked"));
        }
        (self.say("air-line", &[("line", &outlet.title)]), told)
    }

    /// Rates that a class B product is listed for; without a listing nothing is started.
    fn listed(self, agent: &Concentrate) -> Vec<(String, String)> {
        if agent.class != crate::course::FoamClass::B {
            return Vec::new();
        }
        let head =
            |fuel: &str| self.say("listed", &[("product", &agent.title), ("fuel", fuel)]);
        let fuels = agent.allowed.iter().map(|allowed| allowed.fuel.as_str());
        let told = |fuel: &str| {
            let listings = agent.listings.iter().filter(|listing| listing.fuel == fuel);
            let told: Vec<String> = listings
                .map(|listing| {
                    // words: page.{label(..)}
                    let nozzle = match listing.nozzle {
                        crate::course::NozzleWay::Aspirated => "aspirated",
                        crate::course::NozzleWay::NotAspirated => "not-aspirated",
                    };
                    self.say(
                        "listing",
                        &[
                            ("rate", &listing.rate.printed()),
                            ("minutes", &listing.minutes.printed()),
                            ("nozzle", &self.desk.label(nozzle)),
                            ("listing", &listing.listing),
                            ("on", &listing.on),
                        ],
                    )
                })
                .collect();
            // Said, because no table of other products steps in for a listing.
            if told.is_empty() { self.desk.label("not-listed") } else { told.join("; ") }
        };
        fuels.map(|fuel| (head(fuel), told(fuel))).collect()
    }
}
