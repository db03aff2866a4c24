//! Formulas held against physics over thousands of random points: jets by Bernoulli and
//! momentum, volumes by geometry, and each formula in inches and in millimetres.

#![expect(clippy::float_arithmetic, reason = "physics is worked in floats here")]

use std::collections::BTreeMap;
use std::f64::consts::PI;

use drillwright::formulas::{Formula, GivenKind, Input, Inputs, Library, System};
use drillwright::quantity::{self, Fraction, Number, Quantity};

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
            let ratio = in_unit(ours[answer], unit) / physics(&inputs);
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

/// How far the two forms of a formula may lie apart, and why.
fn apart(formula: &str) -> f64 {
    match formula {
        // The equation is published with 51 lb and 23 kg, 10 in and 25 cm.
        "lifting-limit" => 0.032,
        // One Btu a pound and degree against 4.187 kJ a kilogram and kelvin; densities between
        // the rows of two tables.
        "heat-absorbed" | "heat-rate" | "steam-expansion" => 6e-4,
        // Half a psi a foot is 11.3 kPa a metre, the metric field rule says 10.
        "elevation-pressure" => 0.14,
        // 0.434 psi a foot and 9.81 kPa a metre.
        "eductor-layout" | "lift-height" => 3e-3,
        // 9 gal are 34.07 L.
        "hose-volume-field" => 2.1e-3,
        // 8.337 lb/gal and 0.999 kg/L.
        "liquid-weight" | "foam-line-weight" => 1e-4,
        // Constants of three figures.
        "nozzle-flow" | "reaction-fog" => 1.5e-3,
        "reaction-solid" => 1e-3,
        // A bulk modulus rounded in each system.
        "stored-air" => 2e-3,
        _ => 2e-5,
    }
}

/// Answers left over from nearly equal values, or counted in whole steps.
const DIFFERENCES: &[&str] = &["margin", "left", "usable", "count", "longest"];

/// The friction coefficient is another number in the metric form: that for 100 L/min and 100 m
/// instead of 100 gpm and 100 ft.
fn metric_coefficients(formula: &Formula, inputs: &Inputs) -> Option<Inputs> {
    let unit = |symbol: &str| quantity::find(symbol).unwrap().factor();
    let flow = unit("L").div(unit("gal"))?;
    let scale = flow.mul(flow)?.mul(unit("m").div(unit("ft"))?)?;
    let psi = quantity::find("psi").unwrap();
    let turn = |name: &str, quantity: &Quantity| {
        if name != "coefficient" {
            return Some(*quantity);
        }
        let metric = quantity.in_unit(psi)?.number().mul(scale)?;
        // To ten figures, for which the fraction stays short.
        let text = format!("{:.9e}", Number::Exact(metric).float());
        let short: f64 = text.parse().ok()?;
        Some(Quantity::new(Fraction::read(&short.to_string())?, psi))
    };
    let input = |(name, input): (&String, &Input)| {
        let input = match input {
            Input::Number(quantity) => Input::Number(turn(name, quantity)?),
            Input::Rows(rows) => {
                let row = |row: &BTreeMap<String, Quantity>| {
                    let cell = |(name, quantity): (&String, &Quantity)| {
                        Some((name.clone(), turn(name, quantity)?))
                    };
                    row.iter().map(cell).collect::<Option<BTreeMap<_, _>>>()
                };
                Input::Rows(rows.iter().map(row).collect::<Option<Vec<_>>>()?)
            }
            word @ Input::Word(_) => word.clone(),
        };
        Some((name.clone(), input))
    };
    let reads_table = formula.work.iter().any(|line| line.text.contains("coefficient("));
    if reads_table { Some(inputs.clone()) } else { inputs.iter().map(input).collect() }
}

/// How far apart the answers of both forms lie at one point; nothing where one form has none.
fn between_forms(library: &Library, formula: &Formula, inputs: &Inputs) -> Option<f64> {
    let us = library.evaluate(&formula.id, inputs, System::Us).ok()?;
    let metric = metric_coefficients(formula, inputs)?;
    let si = library.evaluate(&formula.id, &metric, System::Si).ok()?;
    // A sum of pressures up and down may be small; its parts decide how exact it is.
    let signed = formula.work.iter().any(|line| line.signed);
    let size = us.iter().map(|number| number.float().abs()).fold(0.0, f64::max);
    let pairs = formula.answers.iter().zip(us.iter().zip(&si));
    let away = pairs
        .filter(|(answer, _)| !DIFFERENCES.contains(&answer.name.as_str()))
        .map(|(_, (us, si))| {
            let (us, si) = (us.float(), si.float());
            let own = us.abs().max(si.abs());
            let large = if signed { size.max(own) } else { own };
            if large < size * 1e-9 { 0.0 } else { (us - si).abs() / large }
        });
    Some(away.fold(0.0, f64::max))
}

#[test]
fn both_forms_of_a_formula_have_one_result() {
    let library = read::library();
    let (mut wrong, mut met, mut points) = (Vec::new(), 0, 0);
    for formula in library.formulas().filter(|formula| systems(formula).len() == 2) {
        let two_forms = !formula.work_si.is_empty();
        let wanted = if two_forms { POINTS } else { 25 };
        let mut draws = Draws::new(&library, formula, System::Us, Written::InAny);
        let (mut most, mut found) = (0.0_f64, 0);
        for _ in 0..4 * wanted {
            let Some(inputs) = draws.sound() else { break };
            if let Some(away) = between_forms(&library, formula, &inputs) {
                most = most.max(away);
                found += 1;
            }
            if found == wanted {
                break;
            }
        }
        let bound = if two_forms { apart(&formula.id) } else { 1e-8 };
        if most > bound || found < wanted {
            wrong.push(format!(
                "{}: {most:.2e} apart, {bound:.0e} borne, {found} points",
                formula.id
            ));
        }
        met += usize::from(two_forms);
        points += found;
    }
    println!("{met} formulas with a metric form of their own, {points} points");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    assert!(met >= 20, "metric forms have gone missing");
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
