//! Pages, boards, papers, verdicts and messages of the metric module, searched.

use std::collections::BTreeMap;

use drillwright::authoring::library_in;
use drillwright::course::Course;
use drillwright::findings::{self, Code};
use drillwright::formulas::System;
use drillwright::practice::live::LiveKit;
use drillwright::publish::{Shared, page, plan};
use drillwright::quantity::Quantity;
use drillwright::stock;
use serde_json::json;

use super::look::{strings, us_units, visible};
use super::{changed, course, course_of, sources};
use crate::engine::{Tab, ask};

pub(super) fn pages(course: &Course) -> BTreeMap<String, String> {
    let words = stock::words();
    let shared = Shared::new(course, &words, "4F7K-2M9Q").unwrap();
    let plans = plan(course);
    plans.iter().map(|plan| (plan.path.clone(), page(&shared, plan).unwrap())).collect()
}

/// The title of a source is as its publisher wrote it: the one place where a US unit may stand.
fn without_titles(course: &Course, text: &str) -> String {
    let mut text = text.to_owned();
    for title in course.sources.values() {
        text = text.replace(title.as_str(), "");
    }
    text
}

/// The texts that speak of a US unit, each with where it stands.
fn wrong<'t>(
    course: &Course,
    all: impl Iterator<Item = (&'t str, String)>,
) -> Vec<String> {
    let us = all.filter(|(_, text)| us_units(&without_titles(course, text)));
    us.map(|(place, text)| format!("{place}: {text}")).collect()
}

fn none(wrong: &[String]) {
    assert!(wrong.is_empty(), "{} texts in US units:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn charts_have_metric_axes() {
    let course = course();
    let pages = pages(&course);
    for (family, axis) in [
        ("proportioning", "solution flow (L/min)"),
        ("hydraulics", "pressure (kPa)"),
        ("eductor", "hose behind the eductor (m)"),
    ] {
        let page = &pages[&format!("crew/family-{family}.html")];
        assert!(page.contains(axis), "{axis}");
    }
}

#[test]
fn no_live_sheet_speaks_a_us_unit() {
    let course = course();
    let texts = live(&course);
    none(&wrong(&course, texts.iter().map(|(id, text)| (id.as_str(), text.clone()))));
}

/// Every text of each drill's live sheet, by drill.
pub(super) fn live(course: &Course) -> Vec<(String, String)> {
    let words = stock::words();
    let mut texts = Vec::new();
    for drill in &course.drills {
        let kit = LiveKit::of_drill(course, drill, &words);
        let open = json!({ "ask": "open", "live": kit });
        let at =
            json!({ "boot": "a", "steady": 0, "wall": 1_795_600_000_000_i64, "zone": 0 });
        let mut tab = Tab::open(&open, &json!({}));
        let mut own = Vec::new();
        strings(&tab.hand_in(&at, false), &mut own);
        assert!(own.len() > 20, "{}: {own:?}", drill.id);
        let list = ask(&mut tab.engine, &json!({ "ask": "list" }));
        strings(&list, &mut own);
        texts.extend(own.into_iter().map(|text| (drill.id.clone(), text)));
    }
    texts
}

#[test]
fn no_message_speaks_a_us_unit() {
    let course = course();
    let words = stock::words();
    let original = sources();
    let mut texts = Vec::new();
    let mut told = std::collections::BTreeSet::new();
    for file in [
        "rigs/pump-2.yaml",
        "concentrates/class-a-yard.yaml",
        "drills/percent-change.yaml",
        "questions/ten-in-metric.yaml",
        "module.yaml",
    ] {
        // Without its unit, with one that does not exist, with one of something else, and a
        // figure beyond all sense: every line of the file at once.
        for fault in 0..4 {
            let line = |line: &str| {
                let whole = line.to_owned();
                let Some((key, value)) = line.split_once(": ") else { return whole };
                let Ok(quantity) = Quantity::read(value) else { return whole };
                let (number, unit) = (quantity.number(), quantity.unit().symbol);
                match (unit, fault) {
                    ("", _) => whole,
                    (_, 0) => format!("{key}: {number}"),
                    (_, 1) => format!("{key}: {number} {unit}x"),
                    (_, 2) => format!("{key}: {number} dBA"),
                    _ => format!("{key}: 99999999 {unit}"),
                }
            };
            let lines: Vec<String> = original[file].lines().map(line).collect();
            let mut sources = original.clone();
            sources.insert(file.to_owned(), lines.join("\n"));
            for finding in course_of(&sources).1 {
                let printed = findings::printed(&finding, &sources, &words);
                told.insert(finding.code);
                texts.push((file, format!("{} | {}", printed.says, printed.write)));
            }
        }
    }
    for code in [Code::NoUnit, Code::UnknownUnit, Code::WrongDimension] {
        assert!(told.contains(&code), "{told:?}");
    }
    none(&wrong(&course, texts.into_iter()));
    // A flow without its unit is told to be one in litres a minute.
    let found = changed("rigs/pump-2.yaml", "flow: 20 L/min", "flow: 20");
    let finding = found.iter().find(|one| one.code == Code::NoUnit).unwrap();
    let sources = sources();
    let write = findings::printed(finding, &sources, &words).write;
    assert_eq!(write, "Write: 20 L/min");
}

#[test]
fn the_words_have_no_unit_of_their_own() {
    let words = stock::words();
    let wrong: Vec<String> = words
        .keys()
        // The names of the units themselves, of which a board uses those of its system.
        .filter(|key| !key.starts_with("unit."))
        .map(|key| format!("{key}: {}", words.get(key)))
        .filter(|text| us_units(text))
        .collect();
    none(&wrong);
}

#[test]
fn both_halves_of_a_sentence_of_the_library_say_the_same() {
    let mut pairs = 0;
    for (file, text) in stock::trade() {
        for inside in text.split('{').skip(1) {
            let Some((us, si)) =
                inside.split('}').next().and_then(|pair| pair.split_once('|'))
            else {
                continue;
            };
            // What a third side says in bar is held against the second by the formulas.
            let si = si.split('|').next().unwrap();
            pairs += 1;
            assert!(!us_units(si), "{file}: {si}");
            // A sentence of its own on each side may name another fact; a figure may not.
            let Some((a, b)) = Quantity::read(us).ok().zip(Quantity::read(si).ok())
            else {
                continue;
            };
            assert_eq!(a.dimension(), b.dimension(), "{file}: {a} and {b}");
            let (us, si) = (a.base().float(), b.base().float());
            // A rounded figure is still the same, by a twentieth at most.
            assert!((us - si).abs() <= us.abs() * 0.06, "{file}: {a} is not {b}");
        }
    }
    assert!(pairs > 5, "{pairs}");
}

#[test]
fn no_page_speaks_a_us_unit() {
    let course = course();
    let pages = pages(&course);
    assert!(pages.len() > 40, "{}", pages.len());
    let all = pages.iter().flat_map(|(name, text)| {
        visible(text).into_iter().map(move |line| (name.as_str(), line))
    });
    none(&wrong(&course, all));
}

/// Figures that convert within US units alone: a metric recruit never meets them.
const US_FIGURES: &[&str] = &[
    "7.48",
    "7.5 gallons",
    "8.33",
    "8.34",
    "2.304",
    "2.31",
    "0.434",
    "0.433",
    "29.7",
    "12.42",
    "4.45",
    "144",
    "231",
];

/// Every sentence and label of the library that a metric page, board or key can print.
#[test]
fn no_sentence_of_the_metric_library_speaks_a_us_unit() {
    let (library, found) = library_in(&stock::trade(), System::Si);
    assert!(found.is_empty(), "{found:?}");
    let (mut texts, mut slips) = (Vec::new(), 0);
    let metric = |only: &Option<System>| only.is_none_or(|only| only == System::Si);
    for formula in library.formulas().filter(|formula| metric(&formula.only)) {
        let id = formula.id.as_str();
        let mut say = |text: &str| texts.push((id, text.to_owned()));
        say(&formula.title);
        say(&formula.range);
        formula.givens.iter().for_each(|given| say(&given.label));
        for answer in &formula.answers {
            say(&answer.label);
            answer.sense.iter().for_each(|sense| say(&sense.says));
        }
        let work =
            if formula.work_si.is_empty() { &formula.work } else { &formula.work_si };
        for line in work {
            say(&line.label);
        }
        for slip in formula.slips.iter().filter(|slip| slip.made_in(System::Si)) {
            slips += 1;
            say(slip.says_si.as_ref().unwrap_or(&slip.says));
        }
    }
    assert!(slips > 300, "{slips}");
    let us = |text: &str| {
        let holds = |figure: &&str| {
            text.match_indices(*figure).any(|(at, _)| {
                let digit = |c: char| c.is_ascii_digit() || c == '.';
                let end = at + figure.len();
                !text.get(..at).unwrap().ends_with(digit)
                    && !text.get(end..).unwrap().starts_with(|c: char| c.is_ascii_digit())
            })
        };
        us_units(text) || US_FIGURES.iter().any(holds)
    };
    let wrong: Vec<String> = texts
        .iter()
        .filter(|(_, text)| us(text))
        .map(|(id, text)| format!("{id}: {text}"))
        .collect();
    none(&wrong);
}
