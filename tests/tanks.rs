//! Two tanks of one foam on a rig: each figure says whose it is, and a run says from which it drew.

use std::collections::BTreeMap;

use drillwright::course::{
    Course, FoamClass, Meaning, Named, Tank, WhichFoam, differing_tanks, has, is_open,
    rig_figures,
};
use drillwright::practice::live::LiveKit;
use drillwright::scoring::{Kit, Readings, day_tables, faults, most_sheets, tanks};
use drillwright::{quiz, stock};
use serde_json::json;

use crate::bases::q;
use crate::engine::Tab;
use crate::metric::visible;
use crate::pages::{example as whole, pages};
use crate::scoring::sheets::blank_run;

/// The example without its runs, which are those of its own cards.
pub(crate) fn example() -> Course {
    Course { runs: Vec::new(), ..whole() }
}

/// Engine 7 with a second, smaller tank of class A, before or behind the first.
fn with_two(before: bool) -> Course {
    let mut course = example();
    let engine = course.rigs.get_mut("engine-7").unwrap();
    let first = engine.foam_tanks().next().unwrap().clone();
    let second = Tank {
        id: "foam-a-2".into(),
        title: "Second foam tank".into(),
        nominal: q("20 gal"),
        usable: q("18 gal"),
        warning: Some(q("4 gal")),
        ..first
    };
    let place = if before { 1 } else { engine.tanks.len() };
    engine.tanks.insert(place, second);
    course
}

/// Engine 7 with the second tank alone.
fn with_second() -> Course {
    let mut course = with_two(true);
    let engine = course.rigs.get_mut("engine-7").unwrap();
    engine.tanks.retain(|tank| tank.id != "foam-a");
    course
}

pub(crate) fn kit(course: &Course, drill: &str) -> Kit {
    let words = stock::words();
    let drill = course.drill(drill).unwrap();
    Kit::of(course, drill, &course.rigs["engine-7"], &words).unwrap()
}

/// Rows of the presets on the card on screen, and the whole card.
fn rows(course: &Course) -> (Vec<String>, String) {
    let card = pages(course)["crew/rig-engine-7.html"].clone();
    let (screen, paper) = card.split_once("class=\"laminate").unwrap();
    let head = "<th scope=\"row\" class=\"n\">";
    let rows = screen.split("<tr>").filter(|row| {
        row.starts_with(head) && row.split("</th>").next().unwrap().contains("\u{a0}%")
    });
    let rows = rows.map(|row| row.split("</tr>").next().unwrap().to_owned()).collect();
    (rows, paper.to_owned())
}

#[test]
fn the_card_has_a_row_for_each_tank() {
    let (first, _) = rows(&example());
    let (second, _) = rows(&with_second());
    assert_ne!(first, second);
    for before in [true, false] {
        let (both, paper) = rows(&with_two(before));
        let of = |title: &str| -> Vec<String> {
            let title = format!(", {title}");
            let own = both.iter().filter(|row| row.contains(&title));
            own.map(|row| row.replacen(&title, "", 1)).collect()
        };
        assert_eq!(of("Class A foam tank"), first, "{before}");
        assert_eq!(of("Second foam tank"), second, "{before}");
        assert_eq!(both.len(), first.len() + second.len());
        assert!(paper.contains(", Second foam tank"));
    }
    // Two tanks that are alike need no second row.
    let mut course = with_two(true);
    let engine = course.rigs.get_mut("engine-7").unwrap();
    let like = engine.tanks.iter().find(|tank| tank.id == "foam-a").unwrap().clone();
    let second = engine.tanks.iter_mut().find(|tank| tank.id == "foam-a-2").unwrap();
    *second = Tank { id: second.id.clone(), title: second.title.clone(), ..like };
    assert_eq!(rows(&course).0, first);
    assert!(tanks(&kit(&course, "percent-change")).is_empty());
}

#[test]
fn a_figure_of_either_tank_is_nobodys() {
    for before in [true, false] {
        let course = with_two(before);
        let rig = &course.rigs["engine-7"];
        let figures = rig_figures(rig, None, WhichFoam::Class(FoamClass::A));
        for (name, same) in [
            ("foam", false),
            ("foam-nominal", false),
            ("foam-mark", false),
            ("foam-dead", true),
            ("largest-percent", true),
        ] {
            assert_eq!(figures.contains_key(name), same, "{name}");
            assert_eq!(is_open(rig, name), !same, "{name}");
            let ids: Vec<&str> = differing_tanks(rig, FoamClass::A, name)
                .iter()
                .map(|tank| tank.id.as_str())
                .collect();
            assert_eq!(ids.len(), if same { 0 } else { 2 }, "{name}");
        }
        let of = |id| rig_figures(rig, None, WhichFoam::Tank(id))["foam"].to_string();
        assert_eq!((of("foam-a"), of("foam-a-2")), ("28 gal".into(), "18 gal".into()));
        let mut named = Named::default();
        named.rig(rig);
        assert_eq!(named.get("rig.engine-7.foam"), None);
        assert_eq!(named.get("rig.engine-7.foam-a-2.usable"), Some("18 gal"));
        // No chart and no example of a family speaks of the one without saying so.
        let mut course = course;
        let engine = course.rigs.get_mut("engine-7").unwrap();
        for tank in engine.tanks.iter_mut().filter(|tank| tank.concentrate.is_some()) {
            tank.usable = q(if tank.id == "foam-a" { "26.5 gal" } else { "17.5 gal" });
        }
        let all = pages(&course);
        for (path, page) in all.iter().filter(|(path, _)| path.contains("family-")) {
            let text = visible(page).join(" ").replace('\u{a0}', " ");
            assert!(!text.contains("26.5 gal") && !text.contains("17.5 gal"), "{path}");
        }
    }
}

#[test]
fn what_needs_a_second_tank_stands_only_where_there_are_two() {
    for before in [true, false] {
        assert!(has(&with_two(before).rigs["engine-7"], "two-foam-tanks"));
    }
    let one = [example(), with_second()];
    for course in one {
        assert!(course.rigs.values().all(|rig| !has(rig, "two-foam-tanks")));
    }
}

/// The rig does not say which tank is meant: the sheet asks, on paper, live and in a file.
#[test]
fn a_run_says_from_which_tank_it_drew() {
    for before in [true, false] {
        let course = with_two(before);
        let kit = kit(&course, "percent-change");
        let ids: Vec<&str> = tanks(&kit).iter().map(|tank| tank.id.as_str()).collect();
        assert_eq!(ids.len(), 2);
        let mut sheet = blank_run(&kit, "operator");
        sheet.outlet = "crosslay-1".into();
        let keys = |sheet: &_| -> Vec<&str> {
            faults(&kit, sheet).iter().map(|fault| fault.key).collect()
        };
        assert!(keys(&sheet).contains(&"tank-missing"));
        sheet.tank = Some("water".into());
        assert!(keys(&sheet).contains(&"unknown-tank"));
        sheet.tank = Some("foam-a-2".into());
        let all = keys(&sheet);
        assert!(!all.contains(&"tank-missing") && !all.contains(&"unknown-tank"));
        // More than that tank holds is in no gauge of it.
        let left = kit.drill().readings.iter();
        let left = left.clone().find(|one| one.is == Some(Meaning::FoamLeft)).unwrap();
        sheet.readings.insert(left.id.clone(), q("25 gal"));
        assert!(keys(&sheet).contains(&"foam-above-tank"));
        sheet.tank = Some("foam-a".into());
        assert!(!keys(&sheet).contains(&"foam-above-tank"));
    }
    let plain = kit(&example(), "percent-change");
    let mut sheet = blank_run(&plain, "operator");
    sheet.outlet = "crosslay-1".into();
    assert!(faults(&plain, &sheet).iter().all(|fault| fault.key != "tank-missing"));
    // Whoever names the one there is is right, and any other is not there.
    sheet.tank = Some("foam-a".into());
    assert!(faults(&plain, &sheet).iter().all(|fault| fault.key != "unknown-tank"));
    sheet.tank = Some("foam-c".into());
    assert!(faults(&plain, &sheet).iter().any(|fault| fault.key == "unknown-tank"));
}

#[test]
fn tables_are_made_for_each_tank() {
    let drawn = Readings::from([("percent-ordered".to_owned(), q("0.5 %"))]);
    let of = |course: &Course| {
        let made = day_tables(&kit(course, "percent-change"), "crosslay-1", &drawn);
        made.into_iter().map(|one| (one.label.clone(), one)).collect::<BTreeMap<_, _>>()
    };
    let (first, second, both) = (of(&example()), of(&with_second()), of(&with_two(true)));
    let gauge = "Minutes by the foam gauge";
    assert_eq!(first.len(), 3);
    assert_eq!(both.len(), 5, "{:?}", both.keys());
    assert_eq!(both[&format!("{gauge}, Class A foam tank")].rows, first[gauge].rows);
    assert_eq!(both[&format!("{gauge}, Second foam tank")].rows, second[gauge].rows);
    assert_ne!(first[gauge].rows, second[gauge].rows);
    // What does not ask for a tank stands once.
    assert_eq!(both["Wait after the change"], first["Wait after the change"]);
}

/// What is drawn ahead fits whichever tank the run will draw from.
#[test]
fn numbered_sheets_fit_each_tank() {
    let words = stock::words();
    let most = |course: &Course| {
        let at = quiz::Kit::of(course, &words);
        most_sheets(&kit(course, "refill"), at).unwrap()
    };
    let (first, both) = (most(&example()), most(&with_two(false)));
    assert_eq!(both, most(&with_second()));
    assert_eq!(both, most(&with_two(true)));
    assert!(both < first && both > 0, "{both} of {first}");
}

#[test]
fn paper_and_live_sheet_ask_for_the_tank() {
    let words = stock::words();
    for (course, asked) in [(example(), false), (with_two(true), true)] {
        let sheet = &pages(&course)["staff/sheet-percent-change-engine-7.html"];
        let text = visible(sheet).join("\n");
        assert_eq!(text.contains("Second foam tank"), asked);
        assert_eq!(text.contains("Drawn from"), asked);
        let drill = course.drill("percent-change").unwrap();
        let live = LiveKit::of_drill(&course, drill, &words);
        let at =
            json!({ "boot": "a", "steady": 0, "wall": 1_795_600_000_000_i64, "zone": 0 });
        let mut tab = Tab::open(&json!({ "ask": "open", "live": live }), &json!({}));
        let write = |field: &str, text: &str| json!({ "do": "write", "field": field, "text": text });
        tab.tap(&write("rig", "engine-7"), &at, &[1]);
        let view = tab.tap(&write("outlet", "crosslay-1"), &at, &[1]).to_string();
        assert_eq!(view.contains("Foam tank that the run draws from"), asked);
        assert_eq!(view.contains("foam-a-2"), asked, "{view}");
    }
}
