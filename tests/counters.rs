//! What the counters of a rig count, and what is worked where none counts: solution behind the
//! injection, one counter for each outlet, no meter at all, a basis that nobody knows.

use drillwright::course::{Meaning, Meter, MeterCounts, PercentBasis, Reckoning};
use drillwright::findings::Grade;
use drillwright::practice::live::LiveKit;
use drillwright::scoring::{
    Kit, NoValue, Readings, counted, expectation, runs_on, standard,
};
use drillwright::stock;
use serde_json::json;

use crate::bases::q;
use crate::metric::visible;
use crate::pages::pages;
use crate::tanks::{example, kit};

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
fn percent(meter: Meter, basis: PercentBasis) -> String {
    let mut course = example();
    let engine = course.rigs.get_mut("engine-7").unwrap();
    let unit = engine.proportioner.as_mut().unwrap();
    (unit.meter, unit.basis) = (meter, basis);
    let kit = kit(&course, "totals");
    let measure = kit.drill().measures[0].clone();
    let readings = Readings::from([
        ("foam-a".to_owned(), q("6 gal")),
        ("water-a".to_owned(), q("194 gal")),
    ]);
    expectation(&kit, &measure, "", &readings).unwrap().text
}

/// A total of water is water: wherever the meter stands, six gallons in 194 of it are 3 percent of
/// the solution, and 3.09 of the water.
#[test]
fn a_total_of_water_is_water_wherever_the_meter_stands() {
    for meter in [Meter::AfterInjection, Meter::BeforeInjection, Meter::NotKnown] {
        assert_eq!(percent(meter, PercentBasis::Solution), "3\u{a0}%", "{meter:?}");
    }
    assert_eq!(percent(Meter::BeforeInjection, PercentBasis::Water), "3.09\u{a0}%");
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

/// Outside the flows for which a percent was looked up nobody knows whether it is held, and the card
/// says so beside the figures.
#[test]
fn a_percent_outside_its_flows_is_not_known_to_be_held() {
    let said = "Whether 1\u{a0}% is held at 250\u{a0}gpm is not known";
    for (most, of, told) in [
        ("200 gpm", None, true),
        ("250 gpm", None, false),
        ("200 gpm", Some("class-a-drill"), true),
        ("200 gpm", Some("class-b-service"), false),
    ] {
        let mut course = example();
        let engine = course.rigs.get_mut("engine-7").unwrap();
        let unit = engine.proportioner.as_mut().unwrap();
        let held = json!([{ "percent": "1 %", "least": "30 gpm", "most": most }]);
        unit.capacities = serde_json::from_value(held).unwrap();
        unit.capacities[0].concentrate = of.map(str::to_owned);
        let card = visible(&pages(&course)["crew/rig-engine-7.html"]).join("\n");
        // On screen and on paper, at that line and that percent alone.
        assert_eq!(card.contains(said), told, "{most} {of:?}");
        assert!(!card.contains("Whether 0.5\u{a0}% is held"));
        assert!(!card.contains("is held at 125\u{a0}gpm"));
    }
}
