//! Two tanks of one foam on a rig: each figure says whose it is, and a run says from which it drew.
//! And counters: what counts solution, what counts outlet by outlet, and what counts nothing.

use std::collections::BTreeMap;

use drillwright::course::{
    Course, FoamClass, Meaning, Meter, MeterCounts, Named, PercentBasis, Reckoning, Tank,
    WhichFoam, differing_tanks, is_open, rig_figures,
};
use drillwright::findings::Grade;
use drillwright::practice::live::LiveKit;
use drillwright::scoring::{
    Kit, NoValue, Readings, counted, day_tables, expectation, faults, most_sheets,
    runs_on, standard, tanks,
};
use drillwright::{quiz, stock};
use serde_json::json;

use crate::bases::q;
use crate::engine::Tab;
use crate::metric::visible;
use crate::pages::{example as whole, pages};
use crate::scoring::sheets::blank_run;

/// The example without its runs, which are those of its own cards.
fn example() -> Course {
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

fn kit(course: &Course, drill: &str) -> Kit {
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

/// A rig of the water basis on which nobody meters the water: everything that a drill works out has
/// a formula there, in a file, on the live sheet and in a kit that was kept.
#[test]
fn drills_are_worked_where_no_meter_shows_the_water() {
    let words = stock::words();
    let mut course = example();
    let before: Vec<String> = course
        .drills
        .iter()
        .map(|drill| standard(&course, drill).revision().unwrap())
        .collect();
    let engine = course.rigs.get_mut("engine-7").unwrap();
    engine.proportioner.as_mut().unwrap().meter = Meter::Absent;
    assert_eq!(engine.basis(), Some(Reckoning::AtNozzle));
    // The letters are those of the drill and of no rig.
    let letters = course.drills.iter().map(|one| standard(&course, one).revision());
    assert_eq!(letters.map(Result::unwrap).collect::<Vec<_>>(), before);
    let kit = kit(&course, "percent-change");
    let told = kit.drill().measures.iter();
    let told = told.clone().find(|one| one.is == Some(Meaning::MinutesTold)).unwrap();
    let readings: Readings = kit
        .drill()
        .readings
        .iter()
        .map(|reading| {
            let value = match reading.is {
                Some(Meaning::FoamFlow | Meaning::Flow) => "101 gpm",
                Some(Meaning::FoamLeft) => "20 gal",
                Some(Meaning::WaterLeft) => "300 gal",
                Some(Meaning::PercentOrdered | Meaning::PercentSet) => "1 %",
                Some(Meaning::PlainFlow | Meaning::Supply) => "0 gpm",
                _ => "100 psi",
            };
            (reading.id.clone(), q(value))
        })
        .collect();
    // 101 gpm of solution are 100 gpm of water: 300 gal last three minutes, and 20 gal of foam
    // twenty.
    let minutes = expectation(&kit, told, "crosslay-1", &readings).unwrap();
    assert_eq!(minutes.value.to_string(), "3", "{}", minutes.text);
    // The same on the live sheet, whose kit travels without the library.
    let drill = course.drill("percent-change").unwrap();
    let live = LiveKit::of_drill(&course, drill, &words);
    let text = serde_json::to_string(&live).unwrap();
    assert!(text.contains("\"endurance-at-nozzle\""), "the formula goes along");
    let plain = LiveKit::of_drill(&example(), drill, &words);
    let text = serde_json::to_string(&plain).unwrap();
    assert!(!text.contains("\"nozzle\":{\"formulas\""), "and only where it is asked for");
    // And of a run that carries its kit.
    let data = serde_json::to_value(kit.data()).unwrap();
    let again = Kit::new(serde_json::from_value(data).unwrap()).unwrap();
    assert_eq!(again.drill_revision(), kit.drill_revision());
    let worked = expectation(&again, told, "crosslay-1", &readings).unwrap();
    assert_eq!(worked.value, minutes.value);
}

/// The percent of totals on a rig whose meter stands somewhere.
fn percent(meter: Meter, basis: PercentBasis, counter: &str) -> (String, Vec<String>) {
    let mut course = example();
    let engine = course.rigs.get_mut("engine-7").unwrap();
    let unit = engine.proportioner.as_mut().unwrap();
    (unit.meter, unit.basis) = (meter, basis);
    let kit = kit(&course, "totals");
    let measure = kit.drill().measures[0].clone();
    let readings = Readings::from([
        ("foam-a".to_owned(), q("6 gal")),
        ("water-a".to_owned(), q(counter)),
    ]);
    let worked = expectation(&kit, &measure, "", &readings).unwrap();
    (worked.text, worked.working)
}

/// Six gallons in two hundred of water are 3 percent of the water and 2.91 of the solution, whatever
/// the counter showed of it.
#[test]
fn a_counter_of_solution_has_the_foam_taken_off() {
    use Meter::{AfterInjection, BeforeInjection};
    use PercentBasis::{Solution, Water};
    for (meter, basis, counter, percent_of) in [
        (BeforeInjection, Water, "200 gal", "3\u{a0}%"),
        (AfterInjection, Water, "206 gal", "3\u{a0}%"),
        (BeforeInjection, Solution, "194 gal", "3\u{a0}%"),
        (AfterInjection, Solution, "200 gal", "3\u{a0}%"),
    ] {
        let (text, working) = percent(meter, basis, counter);
        assert_eq!(text, percent_of, "{meter:?} {basis:?}");
        let told = working.iter().any(|line| line.contains("counts solution"));
        assert_eq!(told, meter == AfterInjection, "{working:?}");
    }
}

/// What whoever reads a counter has to know stands on paper and at the keypad.
#[test]
fn sheets_say_what_the_counters_count() {
    for (meter, counts, said) in [
        (Meter::BeforeInjection, MeterCounts::AllLines, None),
        (Meter::AfterInjection, MeterCounts::AllLines, Some("shows solution")),
        (Meter::BeforeInjection, MeterCounts::EachOutlet, Some("sum over all outlets")),
    ] {
        let mut course = example();
        let engine = course.rigs.get_mut("engine-7").unwrap();
        let unit = engine.proportioner.as_mut().unwrap();
        (unit.meter, unit.meter_counts) = (meter, counts);
        let told = counted(&kit(&course, "totals")).join(" ");
        assert_eq!(told.is_empty(), said.is_none(), "{told}");
        let all = pages(&course);
        for sheet in ["totals", "flush"] {
            let sheet = visible(&all[&format!("staff/sheet-{sheet}-engine-7.html")]);
            let sheet = sheet.join(" ");
            for words in ["shows solution", "sum over all outlets"] {
                assert_eq!(sheet.contains(words), said == Some(words), "{words}");
            }
        }
        // What reads no total has nothing to know of them.
        assert!(counted(&kit(&course, "purge")).is_empty());
    }
    // Where nothing counts the water no totals can be read, and their drill is not printed.
    let mut course = example();
    let engine = course.rigs.get_mut("engine-7").unwrap();
    engine.proportioner.as_mut().unwrap().meter = Meter::Absent;
    let engine = &course.rigs["engine-7"];
    assert!(!runs_on(engine, course.drill("totals").unwrap()));
    assert!(runs_on(engine, course.drill("flush").unwrap()));
    let all = pages(&course);
    assert!(!all.contains_key("staff/sheet-totals-engine-7.html"));
    let flush = visible(&all["staff/sheet-flush-engine-7.html"]).join(" ");
    assert!(flush.contains("no flow meter"), "{flush}");
}

/// That nobody knows the basis is an answer: the drills of the rig are printed and ask the manual.
#[test]
fn drills_go_on_where_nobody_knows_the_basis() {
    let mut sources = crate::pages::sources();
    // What was run and kept is of the card of its day.
    sources
        .retain(|file, _| !["runs/", "revisions/"].iter().any(|of| file.starts_with(of)));
    let rig = sources.get_mut("rigs/engine-7.yaml").unwrap();
    assert_eq!(rig.matches("  basis: water\n").count(), 1);
    let unsaid = rig.replace("  basis: water\n", "");
    *rig = rig.replace("  basis: water\n", "  basis: not known\n");
    let read = |sources: &drillwright::findings::Sources| {
        drillwright::authoring::read(
            sources,
            &std::collections::BTreeSet::new(),
            drillwright::authoring::Options::default(),
        )
    };
    let (course, found) = read(&sources);
    let of_drills = found.iter().filter(|one| {
        one.code.grade() == Grade::MustFix
            && one.place.as_ref().is_some_and(|at| at.file.starts_with("drills/"))
    });
    assert_eq!(of_drills.count(), 0, "{found:#?}");
    let course = course.unwrap();
    let kit = kit(&course, "totals");
    let measure = kit.drill().measures[0].clone();
    let readings = Readings::from([
        ("foam-a".to_owned(), q("6 gal")),
        ("water-a".to_owned(), q("200 gal")),
    ]);
    let refused = expectation(&kit, &measure, "", &readings).unwrap_err();
    let NoValue::Formula(says) = refused else { panic!("{refused:?}") };
    assert_eq!(says, "Nobody has looked up what the percent of Engine 7 is a share of.");
    // Left out it is one fault, told where it is missing and not by all that rests on it.
    sources.insert("rigs/engine-7.yaml".into(), unsaid);
    let (_, found) = read(&sources);
    let faults = found.iter().filter(|one| one.code.grade() == Grade::MustFix);
    let codes: Vec<&str> = faults.map(|one| one.code.name()).collect();
    assert_eq!(codes, ["missing-field"], "{found:#?}");
}
