//! Formulas held against physics over thousands of random points: jets by Bernoulli and
//! momentum, volumes by geometry, and each formula in inches and in millimetres.

#![expect(clippy::float_arithmetic, reason = "physics is worked in floats here")]

use std::f64::consts::PI;

use drillwright::formulas::{GivenKind, Input, Inputs};

use super::cases::in_unit;
use super::random::{Draws, Written, systems};
use super::read;

/// Points of each comparison.
const POINTS: usize = 1_000;

/// Density of water at 20 °C in kg/m³, by the steam tables of IAPWS.
const WATER: f64 = 998.207;

/// A given in an SI unit.
fn si(inputs: &Inputs, name: &str, unit: &str) -> f64 {
    let Some(Input::Number(quantity)) = inputs.get(name) else { panic!("{name}") };
    in_unit(quantity.base(), unit)
}

/// Least and largest of our answer over that of physics, at random points of a formula in
/// both systems.
fn ratios(
    formula: &str,
    unit: &str,
    answer: &str,
    physics: impl Fn(&Inputs) -> f64,
) -> (f64, f64) {
    let library = read::library();
    let formula = library.formula(formula).unwrap();
    let answer = formula.answers.iter().position(|known| known.name == answer).unwrap();
    let (mut least, mut most) = (f64::MAX, f64::MIN);
    for system in systems(formula) {
        let mut draws = Draws::new(&library, formula, *system, Written::InAny);
        for _ in 0..POINTS {
            let inputs = draws.sound().unwrap();
            let ours = library.evaluate(&formula.id, &inputs, *system).unwrap();
            let ratio = in_unit(ours[answer].unwrap(), unit) / physics(&inputs);
            least = least.min(ratio);
            most = most.max(ratio);
        }
    }
    println!("{} over physics: {least:.6} to {most:.6}", formula.id);
    (least, most)
}

fn within(found: (f64, f64), least: f64, most: f64) {
    assert!(found.0 >= least && found.1 <= most, "{found:?} is not {least} to {most}");
}

/// Speed of a jet without loss, in m/s, from the pressure in kPa.
fn speed(pressure: f64) -> f64 {
    (2.0 * pressure * 1000.0 / WATER).sqrt()
}

fn disc(bore_mm: f64) -> f64 {
    PI / 4.0 * (bore_mm / 1000.0) * (bore_mm / 1000.0)
}

#[test]
fn nozzle_flow_is_bernoulli_with_a_discharge_of_0_995() {
    let litres = |inputs: &Inputs| {
        let (bore, pressure) = (si(inputs, "bore", "mm"), si(inputs, "pressure", "kPa"));
        disc(bore) * speed(pressure) * 60_000.0
    };
    within(ratios("nozzle-flow", "L/min", "flow", litres), 0.9945, 0.9955);
}

#[test]
fn reaction_is_the_momentum_of_the_jet() {
    let thrust = |inputs: &Inputs| {
        let (bore, pressure) = (si(inputs, "bore", "mm"), si(inputs, "pressure", "kPa"));
        WATER * disc(bore) * speed(pressure) * speed(pressure)
    };
    within(ratios("reaction-solid", "N", "reaction", thrust), 0.9992, 1.0);
    // A fog nozzle loses speed: its constant stands for 0.96 of the lossless momentum.
    let fog = |inputs: &Inputs| {
        let flow = si(inputs, "flow", "L/s") / 1000.0;
        WATER * flow * speed(si(inputs, "pressure", "kPa"))
    };
    within(ratios("reaction-fog", "N", "reaction", fog), 0.958, 0.961);
}

#[test]
fn volumes_are_those_of_cylinders_boxes_and_balls() {
    let line = |inputs: &Inputs| {
        disc(si(inputs, "bore", "mm")) * si(inputs, "length", "m") * 1000.0
    };
    within(ratios("hose-volume", "L", "volume", line), 0.999_99, 1.000_01);
    within(ratios("travel-time", "L", "volume", line), 0.999_99, 1.000_01);
    let tank = |inputs: &Inputs| {
        let side = |name| si(inputs, name, "m");
        side("length") * side("width") * side("depth") * 1000.0
    };
    within(ratios("box-volume", "L", "volume", tank), 0.999_999, 1.000_001);
    let drops = |inputs: &Inputs| {
        let radius = si(inputs, "drop", "m") / 2.0;
        let ball = 4.0 / 3.0 * PI * radius * radius * radius;
        si(inputs, "volume", "m3") / ball * 4.0 * PI * radius * radius
    };
    within(ratios("surface-of-drops", "m2", "surface", drops), 0.999_999, 1.000_001);
}

/// The forms of a list of rows are compared too.
#[test]
fn a_formula_with_rows_has_both_forms() {
    let library = read::library();
    let with_rows = library.formulas().filter(|formula| {
        let list = |kind: &GivenKind| matches!(kind, GivenKind::List { .. });
        !formula.work_si.is_empty()
            && formula.givens.iter().any(|given| list(&given.kind))
    });
    assert!(with_rows.count() >= 2);
}
