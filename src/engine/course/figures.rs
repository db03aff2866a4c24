//! The figures of a rig under the names that drills, questions and lessons call.
//!
//! One flat dictionary, so that a formula is fed in the same way on a card, on a paper
//! and at the pump panel.

use std::collections::BTreeMap;

use super::concentrate::FoamClass;
use super::line::{Eductor, Outlet};
use super::rig::{Rig, Tank};
use crate::formulas::Means;
use crate::quantity::Quantity;

/// Figures by name: `rated-flow`, `water`, `foam`, `outlet.flow` …
pub type Figures = BTreeMap<String, Quantity>;

/// Every name that [`rig_figures`] can give, on one rig or another.
pub const FIGURE_NAMES: &[&str] = &[
    "rated-flow",
    "rated-pressure",
    "least-flow",
    "least-percent",
    "largest-percent",
    "water",
    "water-nominal",
    "foam",
    "foam-nominal",
    "foam-warning",
    "foam-dead",
    "foam-mark",
    "water-dead",
    "water-mark",
    "withdrawal",
    "intake-floor",
    "air",
    "air-pressure",
    "outlet.hose",
    "outlet.length",
    "outlet.flow",
    "outlet.least-flow",
    "outlet.most-flow",
    "outlet.pressure",
    "outlet.service-test",
    "outlet.coefficient",
    "outlet.pipe-bore",
    "outlet.pipe-length",
    "outlet.elevation",
    "outlet.appliances",
    "eductor.flow",
    "eductor.inlet",
    "eductor.share",
    "eductor.pick-up",
];

/// What a figure stands for, where another of the same dimension would give another answer.
pub fn figure_means(name: &str) -> Option<Means> {
    Some(match name {
        "rated-flow" => Means::ConcentrateFlow,
        // Proportioners are rated by the solution that leaves them.
        "least-flow" => Means::SolutionFlow,
        "outlet.flow" | "outlet.least-flow" | "outlet.most-flow" | "eductor.flow" => {
            Means::LineFlow
        }
        "outlet.appliances" => Means::PressureLoss,
        "water" | "foam" | "foam-warning" => Means::UsableVolume,
        "water-nominal" | "foam-nominal" => Means::NominalVolume,
        "water-dead" | "foam-dead" => Means::DeadVolume,
        "water-mark" | "foam-mark" => Means::GaugeVolume,
        "air" => Means::FreeAir,
        // Plates and gauges of a rig count from the air around.
        "rated-pressure"
        | "intake-floor"
        | "air-pressure"
        | "outlet.pressure"
        | "outlet.service-test"
        | "eductor.inlet" => Means::GaugePressure,
        _ => return None,
    })
}

/// Which foam of a rig is meant: a rig with two tanks has two volumes and two ranges of percent.
#[derive(Debug, Clone, Copy)]
pub enum WhichFoam<'f> {
    /// The first concentrate tank and the first range of the panel.
    First,
    /// The tank and the range of a class.
    Class(FoamClass),
    /// The tank of that id, and the range of what it holds.
    Tank(&'f str),
}

impl<'f> WhichFoam<'f> {
    /// The foam of a drill: of the class that it names.
    pub fn of(class: Option<FoamClass>) -> Self {
        class.map_or(Self::First, Self::Class)
    }

    /// The tanks that may be meant: more than one where a class has more than one.
    fn tanks(self, rig: &'f Rig) -> Vec<&'f Tank> {
        let mut tanks = rig.foam_tanks();
        match self {
            Self::First => tanks.next().into_iter().collect(),
            Self::Class(class) => rig.tanks_of(class),
            Self::Tank(id) => tanks.find(|tank| tank.id == id).into_iter().collect(),
        }
    }

    fn class(self, rig: &'f Rig) -> Option<FoamClass> {
        match self {
            Self::First => None,
            Self::Class(class) => Some(class),
            Self::Tank(_) => self.tanks(rig).first().and_then(|tank| rig.holds(tank)),
        }
    }
}

/// The figures of a rig, with those of one of its outlets and of one of its foams.
///
/// Without an outlet the `outlet.*` names are absent, and without a tank of that foam the `foam`
/// names. Where several tanks may be meant a figure is there only if it is the same in all of them:
/// the minutes of one, told of the other, are minutes that nobody has.
pub fn rig_figures(rig: &Rig, outlet: Option<&Outlet>, foam: WhichFoam<'_>) -> Figures {
    let mut figures = Figures::new();
    let mut put = |name: &str, value: &Quantity| {
        figures.insert(name.to_owned(), *value);
    };
    if let Some(unit) = &rig.proportioner {
        put("rated-flow", &unit.rating.flow);
        put("rated-pressure", &unit.rating.at);
        if let Some(least) = &unit.least_flow {
            put("least-flow", least);
        }
        let range = match foam.class(rig) {
            Some(class) => unit.classes.get(&class),
            None => unit.classes.values().next(),
        };
        if let Some(range) = range {
            put("least-percent", &range.from);
            put("largest-percent", &range.to);
        }
    }
    if let Some(water) = rig.water_tank() {
        put("water", &water.usable);
        put("water-nominal", &water.nominal);
        marks(&mut put, water, "water");
    }
    for (name, value) in of_all(&foam.tanks(rig)) {
        put(&name, &value);
    }
    for (name, value) in
        [("withdrawal", &rig.withdrawal), ("intake-floor", &rig.intake_floor)]
    {
        if let Some(value) = value {
            put(name, value);
        }
    }
    if let Some(compressor) = &rig.compressor {
        put("air", &compressor.air);
        put("air-pressure", &compressor.pressure);
    }
    if let Some(outlet) = outlet {
        line(&mut put, outlet);
        let on = rig.eductors.iter().find(|one| one.outlet.as_ref() == Some(&outlet.id));
        if let Some(eductor) = on {
            of_eductor(&mut put, eductor);
        }
    }
    figures
}

/// The figures of a foam tank.
fn of_tank(tank: &Tank) -> Figures {
    let mut figures = Figures::new();
    let mut put = |name: &str, value: &Quantity| {
        figures.insert(name.to_owned(), *value);
    };
    put("foam", &tank.usable);
    put("foam-nominal", &tank.nominal);
    if let Some(mark) = tank.mark_usable() {
        put("foam-warning", &mark);
    }
    marks(&mut put, tank, "foam");
    figures
}

/// The figures that several foam tanks have alike.
fn of_all(tanks: &[&Tank]) -> Figures {
    let mut all = tanks.iter().map(|tank| of_tank(tank));
    let Some(mut figures) = all.next() else { return Figures::new() };
    for other in all {
        figures.retain(|name, value| other.get(name) == Some(value));
    }
    figures
}

/// The tanks of a class for which a figure is another one: it says nothing until one of them is
/// named. Empty where it is the same for all.
pub fn differing_tanks<'r>(rig: &'r Rig, class: FoamClass, name: &str) -> Vec<&'r Tank> {
    let tanks = rig.tanks_of(class);
    let mut values = tanks.iter().map(|tank| of_tank(tank).get(name).copied());
    let first = values.next().flatten();
    if values.all(|value| value == first) { Vec::new() } else { tanks }
}

/// Whether a figure says nothing on a rig until a foam or a tank is named.
pub fn is_open(rig: &Rig, name: &str) -> bool {
    let mut classes = FoamClass::ALL.iter().map(|(_, class)| *class);
    !differing(rig, name).is_empty()
        || classes.any(|class| !differing_tanks(rig, class, name).is_empty())
}

/// The classes of foam of a rig for which a figure is another one: the figure says nothing until one
/// of them is named. Empty where it is the same for all.
pub fn differing(rig: &Rig, name: &str) -> Vec<FoamClass> {
    let classes: Vec<FoamClass> = FoamClass::ALL
        .iter()
        .map(|(_, class)| *class)
        .filter(|class| rig.has_class(*class))
        .collect();
    let value = |class: &FoamClass| {
        rig_figures(rig, None, WhichFoam::Class(*class)).get(name).copied()
    };
    let first = classes.first().and_then(value);
    let same = classes.iter().all(|class| value(class) == first);
    if same { Vec::new() } else { classes }
}

/// The figures of a rig with those of one of its eductors and of the line that it works on.
pub fn eductor_figures(rig: &Rig, eductor: &Eductor) -> Figures {
    let outlet = eductor.outlet.as_ref().and_then(|id| rig.outlet(id));
    let foam = eductor.tank.as_deref().map_or(WhichFoam::First, WhichFoam::Tank);
    let mut figures = rig_figures(rig, outlet, foam);
    // Two eductors may be meant for one line; this one is asked for.
    let mut put = |name: &str, value: &Quantity| {
        figures.insert(name.to_owned(), *value);
    };
    of_eductor(&mut put, eductor);
    figures
}

/// The figures of an eductor, as its model has them.
fn of_eductor(put: &mut impl FnMut(&str, &Quantity), eductor: &Eductor) {
    put("eductor.flow", &eductor.flow);
    put("eductor.inlet", &eductor.inlet);
    put("eductor.share", &eductor.back_pressure);
    if let Some(length) = &eductor.pick_up {
        put("eductor.pick-up", length);
    }
}

/// What the gauge of a tank shows besides what can be used: the volume that no pump reaches, and
/// the gauge reading at the mark.
fn marks(put: &mut impl FnMut(&str, &Quantity), tank: &Tank, name: &str) {
    if let Some(dead) = &tank.dead {
        put(&format!("{name}-dead"), dead);
    }
    if let Some(mark) = tank.mark_on_gauge() {
        put(&format!("{name}-mark"), &mark);
    }
}

/// The figures of a line.
fn line(put: &mut impl FnMut(&str, &Quantity), outlet: &Outlet) {
    put("outlet.flow", &outlet.flow);
    for (name, value) in [
        ("outlet.hose", &outlet.hose),
        ("outlet.length", &outlet.length),
        ("outlet.service-test", &outlet.service_test),
        ("outlet.least-flow", &outlet.least_flow),
        ("outlet.most-flow", &outlet.most_flow),
        ("outlet.elevation", &outlet.elevation),
        ("outlet.appliances", &outlet.appliances),
    ] {
        if let Some(value) = value {
            put(name, value);
        }
    }
    put("outlet.pressure", &outlet.pressure);
    if let Some(coefficient) = &outlet.coefficient {
        put("outlet.coefficient", coefficient);
    }
    if let Some(pipe) = &outlet.pipe {
        put("outlet.pipe-bore", &pipe.bore);
        put("outlet.pipe-length", &pipe.length);
    }
}

/// The outlets that foam reaches.
pub fn foam_outlets(rig: &Rig) -> impl Iterator<Item = &Outlet> {
    rig.outlets.iter().filter(|outlet| outlet.foam)
}
