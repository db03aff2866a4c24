//! What a rig's card says of the call: gauge readings that rest on the dead volume, levels above a
//! full tank, a rig without a water tank, and an eductor that draws nothing.

use drillwright::course::{Course, Tank};
use drillwright::findings::{Code, Finding};
use drillwright::publish::{Shared, page, plan};
use drillwright::stock;

use super::bases::q;
use super::metric::{self, visible};

fn card(course: &Course, rig: &str) -> Vec<String> {
    let words = stock::words();
    let shared = Shared::new(course, &words, "4F7K-2M9Q").unwrap();
    let plans = plan(course);
    let name = format!("rig-{rig}.html");
    let card = plans.iter().find(|plan| plan.path.ends_with(&name)).unwrap();
    let text = visible(&page(&shared, card).unwrap());
    text.iter().map(|line| line.replace('\u{a0}', " ")).collect()
}

fn has(lines: &[String], text: &str) -> bool {
    lines.iter().any(|line| line.contains(text))
}

/// The example with another tank on Engine 7.
fn with(change: impl Fn(&mut Tank), id: &str) -> Course {
    let mut course = crate::pages::example();
    let rig = course.rigs.get_mut("engine-7").unwrap();
    change(rig.tanks.iter_mut().find(|tank| tank.id == id).unwrap());
    course
}

#[test]
fn a_gauge_reading_without_its_dead_volume_is_not_known() {
    let whole = card(&crate::pages::example(), "engine-7");
    // Crosslay 1, 0.5 %, water basis: 125 × 2 + 30, and 0.625 × 2 + 2.
    assert!(has(
        &whole,
        "call at 280 gal on the water gauge or 3.3 gal on the foam gauge"
    ));
    let water = card(&with(|tank| tank.dead = None, "water"), "engine-7");
    assert!(!has(&water, "250 gal on the water gauge") && !has(&water, "280 gal"));
    let told = "water gauge not known, foam gauge 3.3 gal. Call by the minutes";
    assert!(has(&water, told), "{water:#?}");
    let foam = card(&with(|tank| tank.dead = None, "foam-a"), "engine-7");
    assert!(has(&foam, "water gauge 280 gal, foam gauge not known."), "{foam:#?}");
    // The minutes rest on what can be used, which is stated.
    for lines in [&whole, &water, &foam] {
        assert!(has(lines, "5:45"), "{lines:#?}");
    }
}

#[test]
fn a_dead_volume_that_nobody_states_is_noted() {
    let found = |dead: &str| {
        let mut sources = metric::sources();
        let rig = sources.get_mut("rigs/pump-2.yaml").unwrap();
        assert!(rig.contains("  dead: 100 L\n"));
        *rig = rig.replace("  dead: 100 L\n", dead);
        metric::course_of(&sources).1
    };
    let open = |found: &[Finding]| {
        let dead = |one: &&Finding| {
            one.code == Code::FigureOpen
                && one.blanks.contains(&("figure", "dead".to_owned()))
        };
        found.iter().filter(dead).count()
    };
    assert_eq!(open(&found("")), 1);
    assert_eq!(open(&found("  dead: not known\n")), 0);
    assert_eq!(open(&found("  dead: 100 L\n")), 0);
}

#[test]
fn a_level_above_a_full_tank_is_told() {
    let mut course = crate::pages::example();
    assert!(!has(&card(&course, "engine-7"), "No full tank"));
    let rig = course.rigs.get_mut("engine-7").unwrap();
    rig.withdrawal = Some(q("5 min"));
    let lines = card(&course, "engine-7");
    // 250 gpm for five minutes and 30 below the pick-up: 1280 of 750.
    assert!(has(&lines, "No full tank shows 1280 gal"), "{lines:#?}");
    // 125 gpm: 655 of 750.
    assert!(!has(&lines, "No full tank shows 655 gal"));
}

#[test]
fn a_rig_without_a_water_tank_is_not_called_for() {
    let mut course = crate::pages::example();
    let rig = course.rigs.get_mut("engine-7").unwrap();
    rig.tanks.retain(|tank| tank.concentrate.is_some());
    let lines = card(&course, "engine-7");
    for never in
        ["on the water gauge", "water gauge", "not known left", "call at not known"]
    {
        assert!(!has(&lines, never), "{never}: {lines:#?}");
    }
    assert!(has(&lines, "Minutes left are not known: the card has no water tank."));
}

#[test]
fn an_eductor_that_draws_nothing_has_no_minutes() {
    let (course, _) = metric::course_of(&metric::sources());
    let mut course = course.unwrap();
    let working = card(&course, "carrier-5");
    assert!(has(&working, "14:56") && has(&working, "The layout works"), "{working:#?}");
    // 40 m at 400 L/min lose 157 kPa: 857 stand behind it, and 65 % of 1000 may.
    let rig = course.rigs.get_mut("carrier-5").unwrap();
    rig.eductors[0].inlet = q("1000 kPa");
    let lines = card(&course, "carrier-5");
    for never in [
        "14:56",
        "8:00",
        "call at 11:56",
        "on the foam gauge",
        "12.0 L/min",
        "24.0 L/min",
    ] {
        assert!(!has(&lines, never), "{never}: {lines:#?}");
    }
    assert!(has(&lines, "it draws no foam"), "{lines:#?}");
    assert!(has(&lines, "stops picking up foam"), "{lines:#?}");
}

/// What can be read as the name of a tank that is there is not proposed for one that is not.
#[test]
fn a_figure_of_a_tank_that_is_not_there_is_no_figure_of_another() {
    let mut sources = crate::mistakes::folder("us");
    let rig = sources.get_mut("rigs/engine-7.yaml").unwrap();
    let (before, rest) = rig.split_once("- tank: water\n").unwrap();
    let (_, behind) = rest.split_once("- tank: foam-a\n").unwrap();
    *rig = format!("{before}- tank: foam-a\n{behind}");
    let (_, found) = metric::course_of(&sources);
    let mut seen = 0;
    for one in found.iter().filter(|one| one.code == Code::UnknownFigure) {
        seen += 1;
        let near = one.blanks.iter().find(|(name, _)| *name == "nearest");
        assert!(near.is_none_or(|(_, text)| !text.contains("foam-a")), "{one:?}");
    }
    assert!(seen > 0, "{found:#?}");
    // A slip is still mended.
    let mut sources = crate::mistakes::folder("us");
    let lesson = sources.get_mut("lessons/how-long.md").unwrap();
    *lesson =
        lesson.replace("{rig.engine-7.water.nominal}", "{rig.engine-7.watr.nominal}");
    let (_, found) = metric::course_of(&sources);
    let near = found.iter().find(|one| one.code == Code::UnknownFigure).unwrap();
    let text = "rig.engine-7.water.nominal".to_owned();
    assert!(near.blanks.contains(&("nearest", text)), "{near:?}");
}
