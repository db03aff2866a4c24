//! Answers about a rig and its products → the things that their files hold.
//!
//! What nobody was asked stays as nobody knows it: the card prints a blank.

use std::collections::BTreeMap;

use super::answers::{Foaming, LineAnswers, ProductAnswers, RigAnswers, Volumes};
use super::names::name_of;
use crate::course::{
    Allowed, ClassRange, Concentrate, Container, Eductor, Fluorine, FoamClass, ForAir,
    LineUse, MarkIn, Meter, MeterCounts, Outlet, Proportioner, PumpPlate, Rating,
    Resolution, Rig, Tank, TankHistory, TankToPump,
};
use crate::words::Words;

/// The rig of these answers. Names that cannot be files were told before.
pub(super) fn rig(
    answers: &RigAnswers,
    products: &BTreeMap<String, FoamClass>,
    words: &Words,
) -> Rig {
    let mut tanks = Vec::new();
    if let Some(water) = &answers.water {
        tanks.push(tank("water", words.get("start.file.water-tank"), None, water));
    }
    let class = answers.foaming.product().and_then(|product| products.get(product));
    // Never used: answers with a product that nobody knows are told, and make no rig.
    let class = class.copied().unwrap_or(FoamClass::A);
    if let Some((_, plate)) = answers.foaming.plate() {
        let id = if class == FoamClass::A { "foam-a" } else { "foam-b" };
        let title = words.say("start.file.foam-tank", &[("class", class.word())]);
        tanks.push(tank(id, title, name_of(&plate.product), &plate.tank));
    }
    Rig {
        id: name_of(&answers.name).unwrap_or_default(),
        title: answers.name.clone(),
        about: words.get("start.file.rig-about"),
        checked: None,
        revised_on: None,
        proportioner: proportioner(&answers.foaming, class),
        tanks,
        outlets: answers.lines.iter().map(outlet).collect(),
        returns: Vec::new(),
        check_valve: false,
        compressor: answers.compressor.clone(),
        intake_floor: None,
        withdrawal: None,
        tank_to_pump: TankToPump::NotKnown,
        // Written out without figures, so that the officer finds the lines to fill in.
        pump: Some(PumpPlate { dry: None, relief: None, rating: None }),
        supplies: Vec::new(),
        eductors: eductors(&answers.foaming),
        resolution: Some(Resolution {
            percent: answers.percent_shown,
            foam_total: answers.foam_total,
            water_total: answers.water_total,
            pressure: answers.gauge,
            flow: answers.flow_step,
        }),
        agents: Vec::new(),
    }
}

fn proportioner(foaming: &Foaming, class: FoamClass) -> Option<Proportioner> {
    let (kind, plate) = foaming.plate()?;
    let range = ClassRange {
        from: plate.least,
        to: plate.largest,
        step: plate.step,
        presets: Vec::new(),
    };
    Some(Proportioner {
        kind,
        rating: Rating { flow: plate.rated_flow, at: plate.rated_pressure },
        least_flow: plate.least_flow,
        basis: plate.basis,
        // Neither stands on a plate: the manual says them, and without it
        // minutes and percent are not known.
        meter: Meter::NotKnown,
        meter_counts: MeterCounts::NotKnown,
        capacities: Vec::new(),
        classes: BTreeMap::from([(class, range)]),
    })
}

/// An eductor in a line has no rating of its own: its model says at which flow and pressure it
/// works, and its valve which percents there are.
fn eductors(foaming: &Foaming) -> Vec<Eductor> {
    let Foaming::InLineEductor(plate) = foaming else { return Vec::new() };
    vec![Eductor {
        id: "eductor-1".to_owned(),
        flow: plate.flow,
        inlet: plate.inlet,
        back_pressure: plate.back,
        pick_up: None,
        settings: plate.settings.clone(),
        outlet: name_of(&plate.line),
        tank: None,
        product: name_of(&plate.product),
    }]
}

fn tank(id: &str, title: String, concentrate: Option<String>, volumes: &Volumes) -> Tank {
    Tank {
        id: id.to_owned(),
        title,
        concentrate,
        // Rule 25: until somebody writes down what the tank held, no
        // foam of it flows in training.
        history: TankHistory::NotKnown,
        nominal: volumes.plate,
        usable: volumes.usable,
        dead: None,
        warning: volumes.mark,
        mark_in: MarkIn::Usable,
        light: None,
    }
}

/// Air is not opened on any line before somebody read in the manual that it may be.
fn outlet(line: &LineAnswers) -> Outlet {
    Outlet {
        id: name_of(&line.name).unwrap_or_default(),
        title: line.name.clone(),
        foam: line.foam,
        hose: line.hose,
        coefficient: None,
        service_test: line.service_test,
        length: line.length,
        nozzle: line.nozzle.clone(),
        flow: line.flow,
        least_flow: None,
        most_flow: None,
        pressure: line.pressure,
        pipe: None,
        air: false,
        air_settings: None,
        // Attack, because it is held to the higher test pressure: a
        // supply line is told as such by hand.
        used_for: LineUse::Attack,
        tested: None,
        for_air: ForAir::NotKnown,
        elevation: None,
        appliances: None,
    }
}

/// The product of these answers. A word on a label is no evidence, and nobody has permitted it.
pub(super) fn concentrate(answers: &ProductAnswers) -> Concentrate {
    Concentrate {
        id: name_of(&answers.name).unwrap_or_default(),
        title: answers.name.clone(),
        class: answers.class,
        allowed: vec![Allowed {
            fuel: answers.fuel.clone(),
            from: answers.from,
            to: answers.to,
        }],
        density: answers.density,
        containers: vec![Container {
            name: answers.container.clone(),
            holds: answers.holds,
            tare: None,
        }],
        fluorine_free: answers.fluorine_free,
        fluorine: Fluorine::NotKnown,
        evidence: Vec::new(),
        permitted: None,
        listings: Vec::new(),
        lot: None,
        delivered: None,
        label: None,
        data_sheet: None,
        viscosity: None,
        mixing: None,
        training: false,
        label_says: None,
    }
}
