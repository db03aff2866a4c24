//! Rigs whose percent is of the water and that no meter shows it: the water is worked out of the
//! flow of the nozzles. And supplies that do not hold: they count as nothing.

use drillwright::course::{Bind, Expect, Meaning, Meter, Reckoning};
use drillwright::scoring::{Kit, expectation};
use drillwright::stock;

use super::bases::{both, q, worked};

/// The flow of a nozzle is solution. Where a percent of the water is dosed and no meter shows that
/// water, it is worked out first: what the metered formula says of the water is what the other says
/// of the flow, and the flow taken for water would empty both tanks sooner.
#[test]
fn without_a_meter_the_water_is_worked_out_of_the_nozzles_flow() {
    let (mut course, _) = both();
    let mut rig = course.rigs["metered"].clone();
    rig.proportioner.as_mut().unwrap().meter = Meter::Absent;
    assert_eq!(rig.basis(), Some(Reckoning::AtNozzle));
    course.rigs.insert("nozzle".into(), rig.clone());
    let metered = &course.rigs["metered"];
    assert_eq!(metered.basis(), Some(Reckoning::Water));
    for (percent, water, flow) in [
        ("1 %", "100 gpm", "101 gpm"),
        ("3 %", "200 gpm", "206 gpm"),
        ("6 %", "50 gpm", "53 gpm"),
    ] {
        let tanks = [("foam", "28 gal"), ("water", "720 gal"), ("percent", percent)];
        for asked in ["rig-minutes-left", "rig-call-out"] {
            let more = if asked == "rig-call-out" {
                vec![("withdrawal", "2 min")]
            } else {
                vec![]
            };
            let given = |flow| {
                let rest =
                    [("foam-flow", flow), ("plain-flow", "30 gpm"), ("supply", "20 gpm")];
                tanks.iter().copied().chain(rest).chain(more.clone()).collect::<Vec<_>>()
            };
            let by_water = worked(&course, metered, asked, &given(water));
            assert_eq!(worked(&course, &rig, asked, &given(flow)), by_water, "{percent}");
            assert_ne!(
                worked(&course, &rig, asked, &given(water)),
                by_water,
                "{percent}"
            );
        }
        let dosed = |flow| [("percent", percent), ("flow", flow)];
        let own = worked(&course, &rig, "rig-concentrate", &dosed(flow));
        let own: Vec<&str> = own
            .iter()
            .filter_map(|told| told.split_once(": "))
            .map(|one| one.1)
            .collect();
        let by_water = worked(&course, metered, "rig-concentrate", &dosed(water));
        assert_eq!(by_water[0], format!("concentrate: {}", own[0]));
        // At that flow the unit is just full where it gives what was dosed.
        let full = [("rated", own[0]), ("percent", percent), ("flow", flow)];
        let share = worked(&course, &rig, "rig-share", &full);
        assert_eq!(share[0], "share: 100 %", "{percent}");
        let rated = [("rated", own[0]), ("percent", percent)];
        let largest = worked(&course, &rig, "rig-largest-flow", &rated);
        assert_eq!(largest[0], format!("largest: {flow}"), "{percent}");
        let held = worked(
            &course,
            &rig,
            "rig-percent-at-flow",
            &[("rated", own[0]), ("percent", "10 %"), ("flow", flow)],
        );
        let held = held[0].trim_start_matches("held: ");
        assert_eq!(q(held).base(), q(percent).base());
    }
}

/// A meter behind the injection sees solution as well; that the basis contradicts it is a finding.
#[test]
fn a_meter_behind_the_injection_reads_solution() {
    let (course, _) = both();
    let mut rig = course.rigs["metered"].clone();
    rig.proportioner.as_mut().unwrap().meter = Meter::AfterInjection;
    assert_eq!(rig.basis(), Some(Reckoning::AtNozzle));
    assert!(rig.proportioner.unwrap().contradicts_meter());
}

/// What a supply should give is nothing to a crew while the intake lies below the rig's floor. The
/// true minutes, against which those that were said are held, then run without it.
#[test]
fn a_supply_below_the_floor_of_the_intake_counts_as_nothing() {
    let course = crate::pages::example();
    let words = stock::words();
    let rig = &course.rigs["engine-7"];
    let mut drill = course.drill("supply-change").unwrap().clone();
    let floor = drill.readings.iter_mut().find(|one| one.id == "floor-of-card").unwrap();
    floor.is = Some(Meaning::IntakePressure);
    let kit = Kit::of(&course, &drill, rig, &words).unwrap();
    let told = drill.measures.iter().find(|one| one.id == "minutes-told").unwrap();
    let Expect::Formula(feed) = &told.expect else { panic!("minutes are worked out") };
    let minutes = |supply: &str, intake: &str| {
        let mut readings = std::collections::BTreeMap::new();
        for reading in &drill.readings {
            let value = match reading.is {
                Some(Meaning::Supply) => supply,
                Some(Meaning::IntakePressure) => intake,
                Some(Meaning::FoamFlow | Meaning::Flow) => "125 gpm",
                Some(Meaning::PlainFlow) => "125 gpm",
                Some(Meaning::FoamLeft) => "20 gal",
                Some(Meaning::WaterLeft) => "470 gal",
                Some(Meaning::PercentOrdered | Meaning::PercentSet) => "0.5 %",
                _ => "100 psi",
            };
            readings.insert(reading.id.clone(), q(value));
        }
        expectation(&kit, told, "crosslay-1", &readings).unwrap()
    };
    assert!(
        feed.with
            .values()
            .any(|bind| matches!(bind, Bind::Named(name) if name.contains("supply")))
    );
    let held = minutes("100 gpm", "20 psi");
    let none = minutes("0 gpm", "20 psi");
    let below = minutes("100 gpm", "15 psi");
    assert!(held.value > none.value);
    assert_eq!((below.value, &below.text), (none.value, &none.text));
    // It is told, and told only there: the floor itself still holds.
    assert!(
        below.working[0].replace('\u{a0}', " ").contains("20 psi"),
        "{:?}",
        below.working
    );
    assert!(!held.working[0].replace('\u{a0}', " ").contains("20 psi"));
    // A supply that would keep up does not make foam the limit either.
    assert_eq!(minutes("400 gpm", "5 psi").value, none.value);
}
