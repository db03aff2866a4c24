//! A pumper with its proportioner, tanks and outlets.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::concentrate::FoamClass;
use crate::quantity::Quantity;

/// How concentrate gets into the water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ProportionerKind {
    /// A pump injects concentrate into the discharge side, by a flow meter.
    DirectInjection,
    /// Water is led around the pump through an eductor; every outlet foams.
    AroundThePump,
    /// Concentrate pressure is kept equal to water pressure.
    BalancedPressure,
    /// An eductor in the hose line.
    InLineEductor,
}

/// What the set percent is a percent of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PercentBasis {
    /// Of the finished solution (S).
    Solution,
    /// Of the metered water (W).
    Water,
}

/// Which side of the injection point something draws from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FoamSide {
    /// Upstream: plain water.
    BeforeInjection,
    /// Downstream: solution.
    AfterInjection,
}

/// Percents the panel can set for one class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClassRange {
    /// Least.
    pub from: Quantity,
    /// Largest.
    pub to: Quantity,
    /// Step of the panel.
    pub step: Quantity,
    /// Presets of the panel.
    pub presets: Vec<Quantity>,
}

/// The proportioner. Its rating is a pair; outside it the answer is "not known".
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Proportioner {
    /// Type.
    pub kind: ProportionerKind,
    /// Largest concentrate flow …
    pub rated_flow: Quantity,
    /// … at this pressure.
    pub rated_pressure: Quantity,
    /// Least solution flow at which it proportions.
    pub least_flow: Option<Quantity>,
    /// What the percent is a percent of.
    pub basis: PercentBasis,
    /// Percents by class.
    pub classes: BTreeMap<FoamClass, ClassRange>,
}

/// A tank on the rig.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tank {
    /// Id, such as `water` or `foam-a`.
    pub id: String,
    /// Title.
    pub title: String,
    /// Concentrate it holds; none for the water tank.
    pub concentrate: Option<String>,
    /// Volume on the plate.
    pub nominal: Quantity,
    /// Volume that can be used before the pump loses it.
    pub usable: Quantity,
    /// Volume left at which the low-level mark warns.
    pub warning: Option<Quantity>,
}

/// A discharge with the line that is usually on it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Outlet {
    /// Id.
    pub id: String,
    /// Title as on the panel.
    pub title: String,
    /// Whether foam reaches it.
    pub foam: bool,
    /// Inside diameter of the hose.
    pub hose: Quantity,
    /// Friction-loss coefficient, psi per (100 gpm)² per 100 ft, when the department
    /// measured its own hose.
    pub coefficient: Option<Quantity>,
    /// Service-test pressure of the weakest hose in the line.
    pub service_test: Quantity,
    /// Length of hose laid.
    pub length: Quantity,
    /// Nozzle, in words.
    pub nozzle: String,
    /// Rated flow.
    pub flow: Quantity,
    /// Rated nozzle pressure.
    pub pressure: Quantity,
    /// Bore of the piping between injection and outlet.
    pub pipe_bore: Option<Quantity>,
    /// Length of that piping.
    pub pipe_length: Option<Quantity>,
    /// Whether compressed air can be put on this line.
    pub air: bool,
}

/// A way back to a tank.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReturnPath {
    /// Id, such as `tank-fill`.
    pub id: String,
    /// Title as on the panel.
    pub title: String,
    /// Side of the injection point.
    pub side: FoamSide,
}

/// A compressor for compressed-air foam.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Compressor {
    /// Free air delivered.
    pub air: Quantity,
    /// Working pressure.
    pub pressure: Quantity,
}

/// An in-line eductor carried on the rig.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Eductor {
    /// Id.
    pub id: String,
    /// Rated flow.
    pub flow: Quantity,
    /// Rated inlet pressure.
    pub inlet: Quantity,
    /// Largest back pressure as a share of inlet pressure.
    pub back_pressure: Quantity,
}

/// What the instruments of the panel can show; a tolerance finer than that is a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Resolution {
    /// Percent display.
    pub percent: Quantity,
    /// Concentrate total.
    pub foam_total: Quantity,
    /// Water total.
    pub water_total: Quantity,
    /// Pressure gauge.
    pub pressure: Quantity,
    /// Flow meter.
    pub flow: Quantity,
}

/// One rig.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Rig {
    /// Id.
    pub id: String,
    /// Name, such as "Engine 7".
    pub title: String,
    /// One line about it.
    pub about: String,
    /// Office that checked the card against plate and manual, when it did.
    pub checked_by: Option<String>,
    /// ISO date of that check.
    pub checked_on: Option<String>,
    /// Proportioner.
    pub proportioner: Proportioner,
    /// Tanks, water first.
    pub tanks: Vec<Tank>,
    /// Outlets.
    pub outlets: Vec<Outlet>,
    /// Return paths.
    pub returns: Vec<ReturnPath>,
    /// Compressor, if there is one.
    pub compressor: Option<Compressor>,
    /// Eductors carried.
    pub eductors: Vec<Eductor>,
    /// Instruments.
    pub resolution: Resolution,
}

impl Rig {
    /// The water tank: the first tank without concentrate.
    pub fn water_tank(&self) -> Option<&Tank> {
        self.tanks.iter().find(|tank| tank.concentrate.is_none())
    }

    /// Tanks that hold concentrate.
    pub fn foam_tanks(&self) -> impl Iterator<Item = &Tank> {
        self.tanks.iter().filter(|tank| tank.concentrate.is_some())
    }

    /// The outlet of that id.
    pub fn outlet(&self, id: &str) -> Option<&Outlet> {
        self.outlets.iter().find(|outlet| outlet.id == id)
    }

    /// Whether plate and manual were compared with this card.
    pub fn verified(&self) -> bool {
        self.checked_by.is_some() && self.checked_on.is_some()
    }
}
