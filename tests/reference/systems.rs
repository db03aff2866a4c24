//! Every formula asked in both unit systems: the same physical answer, the same range, the
//! same refusal. Forty random inputs each, the figures in the one system's units and then the
//! very same ones given to the other.

#![expect(
    clippy::float_arithmetic,
    reason = "two exact results are compared within a share"
)]

use std::collections::{BTreeMap, BTreeSet};

use drillwright::formulas::{Formula, Input, Inputs, Library, System, WorkFault};
use drillwright::quantity::{Number, Quantity};

use super::random::{Draws, Written};
use super::read;

/// Random inputs of each formula.
const POINTS: usize = 40;
/// How far two answers may lie apart where the formula has one set of lines: what the exact
/// fractions leave after twelve digits.
const ONE_FORM: f64 = 1e-8;

/// How far the two forms of a formula may lie apart, and why.
fn apart(formula: &str) -> f64 {
    match formula {
        // One Btu a pound and degree against 4.187 kJ a kilogram and kelvin; densities between
        // the rows of two tables.
        "heat-absorbed" | "heat-rate" | "steam-expansion" => 6e-4,
        // 0.434 psi a foot and 9.81 kPa a metre.
        "elevation-pressure" | "eductor-layout" => 1e-3,
        // 2.304 ft a psi and 0.10197 m a kPa.
        "lift-height" => 1.3e-3,
        // 8.337 lb/gal and 0.999 kg/L.
        "liquid-weight" | "foam-line-weight" => 1e-4,
        // Constants of three figures.
        "nozzle-flow" | "reaction-fog" | "reaction-solid" => 1.5e-3,
        // A bulk modulus rounded in each system.
        "stored-air" => 2e-3,
        // Constants of five figures and more.
        _ => 2e-5,
    }
}

/// Formulas, or one answer of one, that are not one and the same in both systems, and why.
const NOT_COMPARED: &[(&str, Option<&str>, &str)] = &[
    (
        "elevation-pressure",
        Some("field"),
        "half a psi a foot and 10 kPa a metre are two rules",
    ),
    (
        "friction-loss-by-table",
        None,
        "the metric table has a source and bores of its own",
    ),
    (
        "expansion",
        Some("ratio"),
        "cubic feet of air for each gallon, and parts of air for each part of solution",
    ),
    (
        "expansion-in-hose",
        None,
        "its ratio is given in scfm for each gpm, or in parts for each part",
    ),
    (
        "foam-line-weight",
        None,
        "its ratio is given in scfm for each gpm, or in parts for each part",
    ),
    (
        "heat-absorbed",
        Some("portion"),
        "a gallon and ten litres are two amounts; the litre is compared",
    ),
    (
        "lifting-limit",
        None,
        "the equation is published with 51 lb and 10 in, 23 kg and 25 cm",
    ),
];

/// Whether an answer of a formula is one and the same in both systems.
pub(super) fn same(formula: &Formula, answer: &str) -> bool {
    let of = |(id, own, _): &(&str, Option<&str>, &str)| {
        *id == formula.id && own.is_none_or(|own| own == answer)
    };
    !NOT_COMPARED.iter().any(of)
}

fn compared(formula: &Formula) -> bool {
    let whole = |(id, answer, _): &(&str, Option<&str>, &str)| {
        *id == formula.id && answer.is_none()
    };
    formula.only.is_none() && !NOT_COMPARED.iter().any(whole)
}

/// What differs at one point: an answer, an end, a refusal.
fn difference(library: &Library, formula: &Formula, inputs: &Inputs) -> Option<String> {
    let us = library.evaluate(&formula.id, inputs, System::Us);
    let si = library.evaluate(&formula.id, inputs, System::Si);
    let (us, si) = match (us, si) {
        (Ok(us), Ok(si)) => (us, si),
        (Err(us), Err(si)) => {
            let told = |fault: &WorkFault| (fault.key, fault.given.clone(), fault.line);
            return (told(&us) != told(&si)).then(|| format!("{us:?} and {si:?}"));
        }
        (us, si) => return Some(format!("{us:?} and {si:?}")),
    };
    let one_form = formula.work_si.is_empty();
    let borne = if one_form { ONE_FORM } else { apart(&formula.id) };
    // What is left over from two nearly equal values is as exact as those are.
    let size =
        |number: &Option<Number>| number.map_or(0.0, |number| number.float().abs());
    let largest = us.iter().map(size).fold(0.0, f64::max);
    let leftover = formula.work.iter().any(|line| line.signed)
        || ["endurance-after-change", "refill", "eductor-hose"]
            .contains(&formula.id.as_str());
    formula.answers.iter().zip(us.iter().zip(&si)).find_map(|(answer, (us, si))| {
        if !same(formula, &answer.name) {
            return None;
        }
        let (us, si) = match (us, si) {
            (None, None) => return None,
            (Some(us), Some(si)) => (us.float(), si.float()),
            _ => return Some(format!("{}: {us:?} and {si:?}", answer.name)),
        };
        let own = us.abs().max(si.abs());
        let base = if leftover { own.max(largest) } else { own };
        let away = (us - si).abs();
        (away > borne * base).then(|| format!("{}: {us} and {si}", answer.name))
    })
}

#[test]
fn every_formula_is_the_same_in_both_systems() {
    let library = read::library();
    let (mut wrong, mut met, mut points, mut refused) = (Vec::new(), 0, 0, 0);
    for formula in library.formulas().filter(|formula| compared(formula)) {
        for system in [System::Us, System::Si] {
            let mut draws = Draws::new(&library, formula, system, Written::AsShown);
            for _ in 0..POINTS {
                let inputs = draws.any();
                if let Some(what) = difference(&library, formula, &inputs) {
                    wrong.push(format!("{}: {what} at {inputs:?}", formula.id));
                    break;
                }
                points += 1;
                let tried = library.evaluate(&formula.id, &inputs, system);
                refused += usize::from(tried.is_err());
            }
        }
        met += 1;
    }
    println!("{met} formulas, {points} points, {refused} of them refused in both");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    assert!(met > 70 && refused > 100, "{met} formulas, {refused} refusals");
}

/// A module in bar has the metric lines, told in bar: the same answers, slips and refusals, those of
/// metric modules alone included.
#[test]
fn every_metric_formula_is_the_same_in_bar() {
    let (kilopascals, bars) =
        (read::library_in(System::Si), read::library_in(System::SiBar));
    let (mut met, mut slips) = (0, 0);
    for formula in kilopascals.formulas().filter(|one| System::Si.has(one.only)) {
        let mut draws = Draws::new(&kilopascals, formula, System::Si, Written::AsShown);
        for _ in 0..POINTS {
            let inputs = draws.any();
            let one = kilopascals.evaluate(&formula.id, &inputs, System::Si);
            let other = bars.evaluate(&formula.id, &inputs, System::SiBar);
            let (one, other) = match (one, other) {
                (Ok(one), Ok(other)) => (one, other),
                (Err(one), Err(other)) => {
                    assert_eq!((one.key, &one.given), (other.key, &other.given));
                    continue;
                }
                (one, other) => panic!("{}: {one:?} and {other:?}", formula.id),
            };
            for (one, other) in one.iter().zip(&other) {
                let (Some(one), Some(other)) = (one, other) else {
                    assert_eq!(one.is_some(), other.is_some(), "{}", formula.id);
                    continue;
                };
                let (one, other) = (one.float(), other.float());
                let near = (one - other).abs() <= ONE_FORM * one.abs().max(other.abs());
                assert!(near, "{}: {one} and {other} at {inputs:?}", formula.id);
            }
            slips += mistakes_agree([&kilopascals, &bars], formula, &inputs);
        }
        met += 1;
    }
    assert!(met > 70 && slips > 4_000, "{met} formulas, {slips} slips");
}

/// Compares what each slip gives; says how many were compared.
fn mistakes_agree(libraries: [&Library; 2], formula: &Formula, inputs: &Inputs) -> usize {
    // A pressure that is taken as a bare number, left unrooted or in the other unit is another
    // mistake where the number is another one.
    const OF_THE_NUMBER: &[&str] = &[
        "nozzle-flow",
        "reaction-solid",
        "reaction-fog",
        "lift-height",
        "elevation-pressure",
    ];
    if OF_THE_NUMBER.contains(&formula.id.as_str()) {
        return 0;
    }
    let [one, other] = libraries;
    let tried = |library: &Library, system| {
        let tried = library.attempt(&formula.id, inputs, system).unwrap();
        tried
            .slips
            .into_iter()
            .map(|(at, ends)| {
                let ends = ends.into_iter().map(|end| end.map_or(0.0, Number::float));
                (at, ends.collect::<Vec<_>>())
            })
            .collect::<Vec<_>>()
    };
    let (one, other) = (tried(one, System::Si), tried(other, System::SiBar));
    assert_eq!(one.len(), other.len(), "{} at {inputs:?}", formula.id);
    for ((at, a), (_, b)) in one.iter().zip(&other) {
        for (a, b) in a.iter().zip(b) {
            let near = (a - b).abs() <= ONE_FORM * a.abs().max(b.abs()).max(1e-9);
            let slip = formula.slips.get(*at).map(|slip| slip.id.as_str());
            assert!(near, "{} {slip:?}: {a} and {b} at {inputs:?}", formula.id);
        }
    }
    one.len()
}

#[test]
fn what_is_not_compared_is_there_and_differs() {
    let library = read::library();
    for (id, answer, why) in NOT_COMPARED {
        let formula = library.formula(id).unwrap_or_else(|| panic!("no {id}"));
        assert!(formula.only.is_none(), "{id} is excluded by being of one system alone");
        let named =
            |wanted: &&str| formula.answers.iter().any(|own| own.name == **wanted);
        assert!(answer.as_ref().is_none_or(named), "{id} has no such answer: {why}");
    }
}

/// What holds in one system alone is refused in the other, with what to take instead.
#[test]
fn a_rule_of_one_system_is_absent_in_the_other() {
    let library = read::library();
    let mut seen = BTreeSet::new();
    for formula in library.formulas() {
        let Some(only) = formula.only else { continue };
        let other = if only == System::Us { System::Si } else { System::Us };
        let inputs = formula.example(other, &BTreeMap::new());
        let fault = library.work(&formula.id, &inputs, other).unwrap_err();
        assert_eq!(fault.key, "other-system", "{}", formula.id);
        let instead = formula.instead.as_deref().unwrap_or_default();
        assert!(instead.ends_with('.'), "{} says nothing to take instead", formula.id);
        library
            .work(&formula.id, &formula.example(only, &BTreeMap::new()), only)
            .unwrap();
        seen.insert(formula.id.as_str());
    }
    // Half a psi a foot and 29.7 stand within formulas of both systems; their constants are of
    // one system alone, so no metric line can name them.
    for rule in ["friction-loss-old-rule", "storey-pressure-loss", "hose-volume-field"] {
        assert!(seen.contains(rule), "{rule} holds in metric modules");
    }
    let us_only = |id: &str| {
        library.constants().iter().any(|own| own.id == id && own.only == Some(System::Us))
    };
    for id in [
        "nozzle-constant",
        "reaction-fog-constant",
        "elevation-constant",
        "storey-pressure",
    ] {
        assert!(us_only(id), "{id} holds in metric modules");
    }
}

/// Air for each part of solution is what its name says: 1 700 litres of air in 240 of solution are
/// seven parts, not the 0.95 scfm for each gpm, and the expansion goes by the same figure.
#[test]
fn parts_of_air_are_parts() {
    let library = read::library_in(System::Si);
    let work = |formula: &str, given: &[(&str, &str)]| {
        let given = given.iter().map(|(name, value)| {
            ((*name).to_owned(), Input::Number(Quantity::read(value).unwrap()))
        });
        let inputs: Inputs = given.collect();
        let worked = library.work(formula, &inputs, System::Si).unwrap();
        worked.answers.into_iter().map(|a| (a.name, a.text)).collect::<BTreeMap<_, _>>()
    };
    let mixed = work("expansion", &[("air", "1.7 m3/min"), ("flow", "240 L/min")]);
    assert_eq!((mixed["ratio"].as_str(), mixed["expansion"].as_str()), ("7.08", "8.1"));
    let hose = work("expansion-in-hose", &[("ratio", "7"), ("pressure", "700 kPa")]);
    // 1 + 7 x 101.325 / 801.325.
    assert_eq!(hose["expansion"], "1.9");
}
