//! The metric module as a department with gauges in bar would write it: its files are turned
//! figure by figure, and no page, board, key, sheet or keypad speaks of kilopascals.

use std::collections::BTreeSet;

use drillwright::course::Course;
use drillwright::findings::{Code, Sources};
use drillwright::practice::live::LiveKit;
use drillwright::quantity::Fraction;
use drillwright::stock;
use regex_lite::{Captures, Regex};
use serde_json::json;

use super::look::visible;
use super::said::{live, pages};
use super::{codes, course_of, sources};

/// The files in bar: 700 kPa becomes 7 bar, exactly.
fn in_bar() -> Sources {
    let figure = Regex::new("([0-9][0-9\u{a0} .]*)[ \u{a0}]kPa").unwrap();
    let turned = |found: &Captures<'_>| {
        let number = Fraction::read(&found[1].replace([' ', '\u{a0}'], "")).unwrap();
        let bars = number.div(Fraction::whole(100)).and_then(Fraction::decimal).unwrap();
        format!("{bars} bar")
    };
    let mut sources = sources();
    // What was kept and signed before stays as it was, and is not of this department.
    sources
        .retain(|file, _| !file.starts_with("runs/") && !file.starts_with("revisions/"));
    for text in sources.values_mut() {
        *text = figure.replace_all(text, turned).replace("kPa", "bar");
        *text = text.replace("kilopascals", "bar");
    }
    let head = sources.get_mut("module.yaml").unwrap();
    assert!(head.contains("units: si\n"));
    *head = head.replace("units: si\n", "units: si-bar\n");
    sources
}

fn course() -> Course {
    let (course, found) = course_of(&in_bar());
    assert!(found.is_empty(), "{found:#?}");
    course.unwrap()
}

/// Lines that speak of kilopascals; what a source is called is its publisher's.
fn kilopascals<'t>(
    course: &Course,
    lines: impl Iterator<Item = (&'t str, String)>,
) -> Vec<String> {
    let mut out = Vec::new();
    for (place, mut line) in lines {
        for title in course.sources.values() {
            line = line.replace(title.as_str(), "");
        }
        // Somebody who takes the other unit is told so by its name.
        let slip = line.contains("was taken in kPa");
        if !slip && (line.contains("kPa") || line.to_lowercase().contains("kilopascal")) {
            out.push(format!("{place}: {line}"));
        }
    }
    out
}

#[test]
fn a_module_in_bar_prints_no_kilopascal() {
    let course = course();
    let pages = pages(&course);
    assert!(pages.len() > 40, "{}", pages.len());
    let lines = pages.iter().flat_map(|(name, text)| {
        visible(text).into_iter().map(move |line| (name.as_str(), line))
    });
    let wrong = kilopascals(&course, lines);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let card = pages.keys().find(|name| name.contains("rig-pump-2")).unwrap();
    let bars = visible(&pages[card]).iter().filter(|line| line.contains("bar")).count();
    assert!(bars > 4, "{bars} lines of {card} in bar");
}

#[test]
fn no_live_sheet_of_it_asks_for_kilopascals() {
    let course = course();
    let texts = live(&course);
    let lines = texts.iter().map(|(id, text)| (id.as_str(), text.clone()));
    let wrong = kilopascals(&course, lines);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    // What the sheet works with says no other unit either.
    for drill in &course.drills {
        let kit = LiveKit::of_drill(&course, drill, &stock::words());
        let mut kit = serde_json::to_value(&kit).unwrap();
        // How each unit is read aloud is a list of words, whichever of them a sheet has.
        let words = kit["words"].as_object_mut().unwrap();
        words.retain(|key, _| !key.starts_with("unit."));
        let text = kit.to_string();
        assert!(!text.contains("kPa") && text.contains("bar"), "{}", drill.id);
    }
}

/// The one unit that is left of the other is told, wherever it stands.
#[test]
fn a_kilopascal_in_a_module_in_bar_is_told() {
    for (file, from, to) in [
        ("rigs/pump-2.yaml", "pressure: 8.5 bar", "pressure: 850 kPa"),
        ("lessons/pressure-and-pickup.md", "18.63 bar where", "1 863 kPa where"),
    ] {
        let mut sources = in_bar();
        let text = sources.get_mut(file).unwrap();
        assert_eq!(text.matches(from).count(), 1, "{from} in {file}");
        *text = text.replace(from, to);
        let (_, found) = course_of(&sources);
        assert!(codes(&found).contains(&Code::PressuresMixed), "{file}: {found:#?}");
        let codes: BTreeSet<_> = codes(&found).into_iter().map(Code::name).collect();
        assert!(codes.len() <= 3, "{codes:?}");
    }
}

/// A module that names no unit of pressure is in kilopascals, as its library is.
#[test]
fn bar_alone_in_a_module_of_kilopascals_is_told() {
    let mut sources = in_bar();
    let head = sources.get_mut("module.yaml").unwrap();
    *head = head.replace("units: si-bar", "units: si");
    let (_, found) = course_of(&sources);
    assert_eq!(codes(&found).iter().filter(|c| **c == Code::PressuresMixed).count(), 1);
    let place = found.iter().find(|one| one.code == Code::PressuresMixed).unwrap();
    let words = stock::words();
    let printed = drillwright::findings::printed(place, &sources, &words);
    assert!(printed.write.contains("si-bar"), "{}", json!(printed.write));
}
