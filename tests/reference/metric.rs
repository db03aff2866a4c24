//! Check values of metric departments, worked with the kilopascal and with the bar library. What a
//! standard or a table prints is so marked; what follows from definitions was worked by hand.

#![expect(
    clippy::float_arithmetic,
    reason = "a result is compared with a printed figure within a share"
)]

use drillwright::formulas::{Input, Inputs, Library, System};
use drillwright::quantity::{Number, Quantity};

use super::read;

/// A formula, its givens, the answer's name, the value, how near, and whose figure it is.
type Case = (
    &'static str,
    &'static [(&'static str, &'static str)],
    &'static str,
    &'static str,
    f64,
    &'static str,
);

const CASES: &[Case] = &[
    (
        "friction-loss",
        &[
            ("coefficient", "26.6 kPa/(100 L/min)^2/100 m"),
            ("flow", "475 L/min"),
            ("length", "25 m"),
        ],
        "loss",
        "150 kPa",
        0.01,
        "one service's table, by a forum post of a firefighter: 150 kPa in 25 m of 45 mm",
    ),
    (
        "friction-loss",
        &[
            ("coefficient", "17.7 kPa/(100 L/min)^2/100 m"),
            ("flow", "475 L/min"),
            ("length", "25 m"),
        ],
        "loss",
        "100 kPa",
        0.01,
        "measured by the same firefighter, just under 100 kPa",
    ),
    (
        "friction-loss",
        &[
            ("coefficient", "15.5 psi/(100 gpm)^2/100 ft"),
            ("flow", "100 L/min"),
            ("length", "100 m"),
        ],
        "loss",
        "24.47 kPa",
        0.001,
        "15.5 by the factor 1.5786: psi, gallon and foot by definition",
    ),
    (
        "reaction-fog",
        &[("flow", "475 L/min"), ("pressure", "7 bar")],
        "reaction",
        "284 N",
        0.003,
        "0.226 Q root bar, converted from the US constant",
    ),
    (
        "reaction-solid",
        &[("bore", "25 mm"), ("pressure", "3.5 bar")],
        "reaction",
        "343.4 N",
        0.003,
        "0.157 d2 bar, converted from the US constant",
    ),
    (
        "nozzle-flow",
        &[("bore", "25 mm"), ("pressure", "350 kPa")],
        "flow",
        "776.4 L/min",
        0.002,
        "0.0664 d2 root kPa, converted from the US constant",
    ),
    (
        "hose-volume",
        &[("bore", "38 mm"), ("length", "60 m")],
        "volume",
        "68.05 L",
        0.001,
        "0.0007854 d2 L, a cylinder",
    ),
    (
        "elevation-pressure",
        &[("height", "10 m")],
        "elevation",
        "98.1 kPa",
        0.001,
        "9.81 kPa a metre, standard gravity and water",
    ),
    (
        "elevation-pressure",
        &[("height", "10 m")],
        "field",
        "1 bar",
        0.0001,
        "a tenth of a bar a metre, field rule from memory",
    ),
];

fn answer(library: &Library, system: System, case: &Case) -> f64 {
    let (formula, given, name, value, ..) = case;
    let read = |text: &str| Quantity::read(text).unwrap();
    let given = given.iter();
    let inputs: Inputs = given
        .map(|(name, text)| ((*name).to_owned(), Input::Number(read(text))))
        .collect();
    let answers = library.evaluate(formula, &inputs, system).unwrap();
    let own = &library.formula(formula).unwrap().answers;
    let at = own.iter().position(|answer| answer.name == *name).unwrap();
    let unit = read(value).unit();
    let base = answers[at].unwrap().float();
    base / Number::Exact(unit.factor()).float()
}

#[test]
fn metric_check_values_come_out_in_either_unit_of_pressure() {
    for system in [System::Si, System::SiBar] {
        let library = read::library_in(system);
        for case in CASES {
            let (formula, _, name, value, near, whose) = case;
            let wanted = Quantity::read(value).unwrap().number();
            let wanted = Number::Exact(wanted).float();
            let found = answer(&library, system, case);
            let away = (found - wanted).abs();
            assert!(
                away <= wanted * near,
                "{system:?} {formula} {name}: {found}, not {value} ({whose})"
            );
        }
    }
}

/// Hose tests and application rates convert by definition.
#[test]
fn standards_in_both_systems_are_the_same_figure() {
    for (us, si, near) in [
        ("300 psi", "2070 kPa", 0.001),
        ("200 psi", "1380 kPa", 0.001),
        ("1 gpm/ft2", "40.746 L/min/m2", 0.00001),
        ("1 psi/(100 gpm)^2/100 ft", "1.5786 kPa/(100 L/min)^2/100 m", 0.0001),
    ] {
        let base = |text: &str| Quantity::read(text).unwrap().base().float();
        let (a, b) = (base(us), base(si));
        assert!((a - b).abs() <= a * near, "{us} {si}: {a} {b}");
    }
}
