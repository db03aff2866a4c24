//! What a metric department must never meet, row by row, and how its figures are rounded.
//!
//! Each row is looked for in all that the metric module prints, in every sentence of the metric
//! library and on the board of every formula that it has; a row that stands in the US library has
//! to be found there, so that a search that finds nothing is no proof of itself.

use std::collections::BTreeMap;

use drillwright::authoring::library_in;
use drillwright::formulas::{Library, System};
use drillwright::quantity::{Direction, Quantity};
use drillwright::stock;
use regex_lite::Regex;

use super::course;
use super::look::visible;
use super::said::pages;

/// What holds in US units alone: the rule, how it would be said, and whether the US library says it.
const NEVER: &[(&str, &str, bool)] = &[
    ("half the gpm as reaction", r"(?i)\bhalf (of )?the (gpm|flow in gpm)\b", false),
    ("half a psi a foot", r"(?i)0\.5 psi|half a psi", true),
    ("5 psi a floor", r"(?i)\b5 psi\b", true),
    ("9 gal in 100 ft", r"(?i)\b9 gal", true),
    ("2Q2+Q", r"(?i)2 ?(×|\*)? ?Q ?(²|2|\^ ?2) ?\+", false),
    ("the hand and the drop method", r"(?i)\b(hand|drop(-ten)?) (method|rule)", false),
    ("29.7 and 30", r"\b29\.7\b|\b29\.83\b", true),
    ("8.33 lb", r"\b8\.3[34]", true),
    ("pails of 5 gal", r"(?i)\b5[- ]gal|\bpails?\b", true),
    ("Btu", r"(?i)\bbtu\b", true),
    ("51 lb", r"(?i)\b51 lb", true),
    ("300 and 200 psi as round numbers", r"(?i)\b[23]00 psi", true),
    ("US and imperial gallons", r"(?i)\bgallons?\b|\bimp", true),
];

/// Every sentence and every line of a board of a library.
fn told(system: System) -> Vec<(String, String)> {
    let (library, found) = library_in(&stock::trade(), system);
    assert!(found.is_empty(), "{found:?}");
    let mut texts = Vec::new();
    for formula in library.formulas().filter(|formula| system.has(formula.only)) {
        let mut say = |text: &str| {
            texts.push((formula.id.clone(), text.replace('\u{a0}', " ")));
        };
        say(&formula.title);
        say(&formula.range);
        formula.givens.iter().for_each(|given| say(&given.label));
        for slip in formula.slips.iter().filter(|slip| slip.made_in(system)) {
            let metric = slip.says_si.as_ref().filter(|_| system.is_metric());
            say(metric.unwrap_or(&slip.says));
        }
        let inputs = formula.example(system, &BTreeMap::new());
        let worked = library.work(&formula.id, &inputs, system).unwrap();
        for line in &worked.lines {
            let parts = [&line.label, &line.words, &line.numbers, &line.result];
            for text in parts {
                say(text);
            }
        }
        for text in &worked.verdicts {
            say(text);
        }
        worked.answers.iter().for_each(|answer| say(&answer.text));
    }
    let constants = library.constants().iter().filter(|one| system.has(one.only));
    for constant in constants {
        texts.push((constant.id.clone(), constant.label.clone()));
        texts
            .push((constant.id.clone(), constant.value.printed().replace('\u{a0}', " ")));
    }
    texts
}

#[test]
fn what_holds_in_us_units_alone_is_nowhere_in_a_metric_module() {
    let course = course();
    let mut all: Vec<(String, String)> = Vec::new();
    for (name, page) in pages(&course) {
        for mut line in visible(&page) {
            for title in course.sources.values() {
                line = line.replace(title.as_str(), "");
            }
            all.push((name.clone(), line.replace('\u{a0}', " ")));
        }
    }
    let (si, us) = (told(System::Si), told(System::Us));
    assert!(all.len() > 2000 && si.len() > 2000, "{} {}", all.len(), si.len());
    let mut wrong = Vec::new();
    for (rule, said, in_us) in NEVER {
        let said = Regex::new(said).unwrap();
        let hits = all.iter().chain(&si).filter(|(_, text)| said.is_match(text));
        wrong.extend(hits.map(|(place, text)| format!("{rule} in {place}: {text}")));
        let there = us.iter().any(|(_, text)| said.is_match(text));
        assert!(there || !in_us, "{rule} is not even found in the US library");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Coefficients of hose: the handbook's metric figure is the one that is used, and beside it stands
/// the US one, converted.
#[test]
fn coefficients_of_hose_are_those_of_the_handbook() {
    let (library, _) = library_in(&stock::trade(), System::Si);
    let tables = library.tables();
    let table = tables.iter().find(|one| one.id == "hose-coefficient-metric").unwrap();
    for (bore, handbook, us) in [
        ("38 mm", "38", Some("24")),
        ("45 mm", "24.6", Some("15.5")),
        ("51 mm", "12.6", Some("8")),
        ("65 mm", "3.17", Some("2")),
        ("77 mm", "1.06", Some("0.677")),
        ("90 mm", "0.53", Some("0.34")),
        ("100 mm", "0.305", Some("0.2")),
        ("125 mm", "0.138", Some("0.08")),
    ] {
        let text = serde_json::to_string(table).unwrap();
        let unit = "kPa/(100 L/min)^2/100 m";
        let row = text.split("\"keys\":").find(|row| row.contains(bore));
        let row = row.unwrap_or_else(|| panic!("no row of {bore}"));
        assert!(row.contains(&format!("\"{handbook} {unit}\"")), "{bore}: {row}");
        // By conversion both are of one hose: within the rounding of a US figure of one digit.
        let base = |text: &str| Quantity::read(text).unwrap().base().float();
        let own = base(&format!("{handbook} {unit}"));
        let us = base(&format!("{} psi/(100 gpm)^2/100 ft", us.unwrap()));
        assert!((own / us - 1.0).abs() < 0.1, "{bore}: {own} and {us}");
    }
}

/// The answer of a formula in a metric module: its step, and which way it is rounded.
fn rounded(library: &Library, formula: &str, answer: &str) -> (Quantity, Direction) {
    let formula = library.formula(formula).unwrap_or_else(|| panic!("no {formula}"));
    let answer = formula.answers.iter().find(|one| one.name == answer).unwrap();
    (answer.shown_si, answer.round)
}

/// Minutes down, containers up, seconds of a flush up, hose down to a whole length; concentrate to a
/// tenth of a liter, pressures as a gauge shows them.
#[test]
fn metric_answers_are_rounded_to_the_safe_side() {
    use Direction::{Down, Up};
    let (library, _) = library_in(&stock::trade(), System::Si);
    for (formula, answer, direction) in [
        ("foam-endurance", "time", Down),
        ("foam-endurance-metered", "time", Down),
        ("foam-endurance-at-nozzle", "time", Down),
        ("water-endurance", "time", Down),
        ("endurance", "time", Down),
        ("endurance-metered", "time", Down),
        ("endurance-at-nozzle", "time", Down),
        ("containers", "count", Up),
        ("pails-after-stages", "count", Up),
        ("flush-time", "time", Up),
        ("flush-time", "water", Up),
        ("eductor-hose", "usable", Down),
    ] {
        let (step, round) = rounded(&library, formula, answer);
        assert_eq!(round, direction, "{formula} {answer} to {step}");
    }
    for (formula, answer, least) in [
        ("concentrate-flow", "concentrate", "0.01 L/min"),
        ("pump-pressure", "pressure", "5 kPa"),
        ("flush-time", "water", "1 L"),
    ] {
        let (step, _) = rounded(&library, formula, answer);
        let least = Quantity::read(least).unwrap();
        assert!(!step.base().compare(least.base()).is_lt(), "{formula}: to {step}");
    }
}
