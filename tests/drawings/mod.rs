//! Drawings: every kind of rig, few and many outlets, short and long names. No two texts
//! overlap, nothing leaves its frame, every name and figure stands there, and nothing that the
//! rig's card does not say.

mod lessons;
mod rigs;
mod svg;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use drillwright::course::{
    Course, Meter, MeterCounts, PercentBasis, ProportionerKind, Rig,
};
use drillwright::formulas::Input;
use drillwright::publish::{Shared, page, plan};
use drillwright::quantity::Quantity;
use drillwright::stock;

use rigs::{KINDS, NAMES, rig};
use svg::{Svg, bare};

const SEED: &str = "ladder onion gravel pencil otter velvet";

/// Holds a drawing of another test to what all of them are held to.
pub(crate) fn sound(code: &str, name: &str) {
    Svg::read(code).is_sound(name);
}

/// The example, read once for all of them.
fn example() -> Course {
    static READ: LazyLock<Course> = LazyLock::new(crate::pages::example);
    READ.clone()
}

/// The page of a rig's card.
fn card(course: &Course, id: &str) -> String {
    let words = stock::words();
    let shared = Shared::new(course, &words, SEED).unwrap();
    let path = format!("crew/rig-{id}.html");
    let plan = plan(course).into_iter().find(|plan| plan.path == path).unwrap();
    page(&shared, &plan).unwrap()
}

fn quantity(text: &str) -> Quantity {
    Quantity::read(text).unwrap()
}

/// The page with Engine 7 changed, and its drawings: flow path, minutes if any, tanks.
fn drawn(change: impl FnOnce(&mut Rig)) -> (Course, String, Vec<Svg>) {
    let mut course = example();
    change(course.rigs.get_mut("engine-7").unwrap());
    let page = card(&course, "engine-7");
    let drawings = Svg::all(&page);
    (course, page, drawings)
}

#[test]
fn every_rig_is_drawn_without_an_overlap_and_with_every_name() {
    let mut course = example();
    let plain = course.rigs["engine-7"].clone();
    let words = stock::words();
    for kind in KINDS {
        for (how, name) in NAMES {
            let made = (1..=12).map(|count| rig(&plain, kind, count, *name));
            course.rigs = made.map(|rig| (rig.id.clone(), rig)).collect();
            let shared = Shared::new(&course, &words, SEED).unwrap();
            let plans = plan(&course);
            for (id, rig) in &course.rigs {
                let path = format!("crew/rig-{id}.html");
                let plan = plans.iter().find(|plan| plan.path == path).unwrap();
                let drawings = Svg::all(&page(&shared, plan).unwrap());
                assert_eq!(drawings.len(), 3);
                holds(rig, &drawings, &format!("{kind:?}, {id}, {how}"));
            }
        }
    }
}

/// Every name and every figure of a rig stands on its drawings, on none of them in the way.
fn holds(rig: &Rig, drawings: &[Svg], name: &str) {
    for (at, drawing) in drawings.iter().enumerate() {
        drawing.is_sound(&format!("{name}, drawing {at}"));
    }
    let flow = drawings[0].letters();
    let titles = rig.outlets.iter().map(|outlet| &outlet.title);
    let titles = titles.chain(rig.returns.iter().map(|path| &path.title));
    for title in titles.chain(rig.water_tank().map(|tank| &tank.title)) {
        assert!(flow.contains(&bare(title)), "{name} lacks {title}: {flow}");
        assert!(drawings[0].said.contains(title.trim()), "{title} is not said");
    }
    let tanks = drawings[2].letters();
    for tank in &rig.tanks {
        assert!(tanks.contains(&bare(&tank.title)), "{name}: no {}", tank.title);
        assert!(tanks.contains(&bare(&tank.usable.printed())), "{name}");
    }
    for outlet in &rig.outlets {
        assert!(flow.contains(&bare(&outlet.flow.printed())), "{name}: {flow}");
        let timed = drawings[1].letters().contains(&bare(&outlet.title));
        assert!(timed || !outlet.foam, "{name}: {}", outlet.title);
    }
}

#[test]
fn the_minutes_are_those_of_the_card() {
    let course = example();
    for (id, percent) in [("engine-7", "0.5\u{a0}%"), ("tender-3", "3\u{a0}%")] {
        let page = card(&course, id);
        let minutes = &Svg::all(&page)[1];
        for outlet in course.rigs[id].outlets.iter().filter(|outlet| outlet.foam) {
            let section =
                page.split_once(&format!("<h3>{} <span", outlet.title)).unwrap().1;
            let row = format!("<th scope=\"row\" class=\"n\">{percent}</th>");
            let row = section.split_once(&row).unwrap().1.split_once("</tr>").unwrap().0;
            let cells: Vec<&str> = row
                .split("<td class=\"n\">")
                .skip(1)
                .map(|cell| cell.split_once("</td>").unwrap().0)
                .collect();
            let said = minutes.said.split_once(&format!("{}, ", outlet.title)).unwrap().1;
            let times = format!("water {}, foam {};", cells[4], cells[3]);
            assert!(said.contains(&times), "{times} of {cells:?} in {said}");
            for time in &cells[3..=4] {
                assert!(minutes.lines.iter().any(|line| line.text == *time), "{time}");
            }
            let with = format!("too: {}", cells[5]);
            assert!(said.contains(&with), "{with} in {said}");
            assert!(minutes.letters().contains(&bare(&with)), "{with}");
        }
    }
}

#[test]
fn the_call_is_worked_by_the_library_and_none_is_drawn_without_a_local_time() {
    let course = example();
    let rig = &course.rigs["engine-7"];
    let said = &Svg::all(&card(&course, "engine-7"))[1].said;
    let plain = rig.outlets.iter().find(|outlet| !outlet.foam).unwrap();
    for outlet in rig.outlets.iter().filter(|outlet| outlet.foam) {
        let call = |plain_flow: Option<Quantity>| {
            let mut given: BTreeMap<String, Input> = [
                ("foam", rig.tanks[1].usable),
                ("water", rig.tanks[0].usable),
                ("percent", quantity("0.5 %")),
                ("foam-flow", outlet.flow),
                ("withdrawal", quantity("2 min")),
            ]
            .map(|(name, value)| (name.to_owned(), Input::Number(value)))
            .into();
            given.extend(
                plain_flow.map(|flow| ("plain-flow".to_owned(), Input::Number(flow))),
            );
            let worked =
                course.library.work("call-out-metered", &given, course.module.units);
            worked.unwrap().answer(None).unwrap().text.clone()
        };
        let told = |time: String| match time.as_str() {
            "0:00" => "no time to call".to_owned(),
            time => format!("call at {time}"),
        };
        let line = said.split_once(&format!("{}, ", outlet.title)).unwrap().1;
        let line = line.split_once('.').unwrap().1.split_once('.').unwrap().0;
        let (alone, with) = line.split_once("; with").unwrap();
        assert!(alone.ends_with(&told(call(None))), "{line}");
        assert!(with.ends_with(&told(call(Some(plain.flow)))), "{line}");
    }
    assert!(said.contains("no time to call"), "{said}");

    let (_, page, drawings) = drawn(|rig| rig.withdrawal = None);
    let minutes = &drawings[1];
    assert!(!minutes.said.contains("call") && !minutes.code.contains("penf"));
    assert!(!page.contains("Flag:"));
}

#[test]
fn a_flag_or_a_bar_stands_where_its_time_is() {
    let (_, _, drawings) = drawn(|rig| rig.outlets.retain(|line| line.id != "rear-foam"));
    let code = &drawings[1].code;
    // Eight minutes on 232 steps: 5:45 is as long as 167, the call is at 3:45, the first
    // end at 2:52 with the plain line.
    for mark in
        ["width=\"167\" height=\"17\"", "class=\"pen\" d=\"M113 ", "heavy\" d=\"M87 "]
    {
        assert!(code.contains(mark), "{mark} in {code}");
    }
}

#[test]
fn nothing_is_drawn_that_the_card_does_not_say() {
    let (_, _, drawings) = drawn(|_| ());
    assert!(!drawings[0].said.contains("Check valve"));
    assert!(drawings[0].said.contains("Flow meter"));
    let (_, _, drawings) = drawn(|rig| {
        rig.check_valve = true;
        rig.proportioner.as_mut().unwrap().meter = Meter::NotKnown;
        rig.returns.clear();
    });
    assert!(drawings[0].said.contains("Check valve"), "{}", drawings[0].said);
    for not in ["Flow meter", "back to the tank", "shut"] {
        assert!(!drawings[0].said.contains(not), "{not}");
        assert!(!drawings[0].letters().contains(&bare(not)), "{not}");
    }
    // Without a basis nothing that rests on it is worked out, and no figure is made up.
    let (_, _, drawings) =
        drawn(|rig| rig.proportioner.as_mut().unwrap().basis = PercentBasis::NotKnown);
    assert!(drawings[1].said.contains("not known"));
    assert!(!drawings[1].said.contains("water ends"), "{}", drawings[1].said);
    for drawing in &drawings {
        drawing.is_sound("no basis");
    }
    // No mark on the plate is told; one in the whole tank stands as such.
    let (_, _, drawings) = drawn(|rig| {
        rig.tanks[0].warning = None;
        rig.tanks[1].dead = None;
    });
    assert!(drawings[2].said.contains("no low mark"));
    assert_eq!(drawings[2].said.matches("no pump reaches").count(), 1);
}

#[test]
fn each_kind_of_proportioner_is_told_apart() {
    let of = |kind: ProportionerKind| {
        let (_, page, drawings) =
            drawn(|rig| rig.proportioner.as_mut().unwrap().kind = kind);
        drawings[0].is_sound(&format!("{kind:?}"));
        (page, drawings[0].clone())
    };
    let (_, direct) = of(ProportionerKind::DirectInjection);
    let (_, balanced) = of(ProportionerKind::BalancedPressure);
    let (around, _) = of(ProportionerKind::AroundThePump);
    let (hose, in_line) = of(ProportionerKind::InLineEductor);
    assert!(!direct.letters().contains("keptatwater"));
    assert!(balanced.letters().contains("keptatwaterpressure"));
    assert!(around.contains("Foam passes through the pump"));
    assert!(hose.contains("the hose behind the eductor"));
    // Nobody has written which eductor it is, and no pail is drawn for it.
    assert!(in_line.said.contains("Eductor, not on the card"));
    assert!(!in_line.said.contains("injection") && !in_line.said.contains("pail"));
}

#[test]
fn a_meter_of_each_outlet_stands_at_each_outlet() {
    let (_, _, drawings) = drawn(|rig| {
        rig.proportioner.as_mut().unwrap().meter = Meter::AfterInjection;
        rig.proportioner.as_mut().unwrap().meter_counts = MeterCounts::EachOutlet;
    });
    assert!(!drawings[0].said.contains("Flow meter"));
    assert_eq!(drawings[0].code.matches("cx=\"170\"").count(), 3);
}

#[test]
fn a_pressure_for_plain_water_is_not_told_for_air() {
    let (_, _, drawings) = drawn(|_| ());
    let flow = drawings[0].letters();
    assert!(flow.contains("125gpm,water150psiair:pump100psi"), "{flow}");
    assert!(flow.contains("air:bythemanual"), "{flow}");
}

#[test]
fn a_name_cannot_become_markup() {
    let nasty = "</text><script>a && b</script>\" onload='x";
    let (_, page, drawings) = drawn(|rig| {
        nasty.clone_into(&mut rig.outlets[0].title);
        nasty.clone_into(&mut rig.tanks[0].title);
    });
    assert!(!page.contains("<script>a"));
    assert_eq!(drawings.len(), 3);
    for drawing in drawings {
        drawing.is_sound("nasty");
        assert!(drawing.said.contains(nasty), "{}", drawing.said);
        assert!(drawing.letters().contains(&bare(nasty)));
    }
}

#[test]
fn hostile_figures_do_not_stop_a_drawing() {
    for (usable, nominal, dead) in [
        ("0 gal", "0 gal", None),
        ("900000000000 gal", "1 gal", Some("5 gal")),
        ("1 gal", "900000000000000000 gal", Some("0 gal")),
    ] {
        let (_, _, drawings) = drawn(|rig| {
            for tank in &mut rig.tanks {
                tank.usable = quantity(usable);
                tank.nominal = quantity(nominal);
                tank.dead = dead.map(quantity);
            }
            rig.outlets[0].flow = quantity("0.0000001 gpm");
            rig.withdrawal = Some(quantity("100000 h"));
        });
        assert!(drawings.len() >= 2);
        for drawing in &drawings {
            drawing.is_sound(usable);
        }
    }
    let (_, _, drawings) = drawn(|rig| {
        rig.outlets.clear();
        rig.tanks.clear();
        rig.returns.clear();
    });
    for drawing in &drawings {
        drawing.is_sound("an empty card");
    }
}

#[test]
fn many_ways_back_keep_off_the_trunk() {
    for count in 1..=9 {
        let (_, _, drawings) = drawn(|rig| {
            let path = rig.returns[0].clone();
            let more = (0..count).map(|at| {
                let mut path = path.clone();
                path.title = format!("Way back number {at} to the tank");
                path.side = rig.returns[at % 2].side;
                path
            });
            rig.returns = more.collect();
        });
        for drawing in drawings {
            drawing.is_sound(&format!("{count} ways back"));
        }
    }
}

#[test]
fn charts_are_sound_and_name_their_curves_at_their_ends() {
    let mut course = example();
    // The widest name, on a line whose flow lies at the end of the axis.
    let rig = course.rigs.get_mut("engine-7").unwrap();
    rig.outlets[0].title = "W".repeat(30);
    let words = stock::words();
    let shared = Shared::new(&course, &words, SEED).unwrap();
    let mut seen = 0;
    for family in &course.families {
        let path = format!("crew/family-{}.html", family.id);
        let plan = plan(&course).into_iter().find(|plan| plan.path == path).unwrap();
        let page = page(&shared, &plan).unwrap();
        let charts = Svg::all(&page);
        assert_eq!(charts.len(), page.matches("class=\"chart\"").count());
        for chart in &charts {
            chart.is_sound(&path);
            let mut curves =
                family.charts.iter().filter(|of| chart.said.contains(&of.title));
            for curve in &curves.next().unwrap().curves {
                let name = bare(&curve.label);
                assert!(chart.letters().contains(&name), "{name}: {}", chart.code);
            }
        }
        seen += charts.len();
    }
    assert!(seen >= 7, "{seen} charts");
}

#[test]
fn the_example_s_drawings_read_so() {
    let course = example();
    for id in ["engine-7", "tender-3"] {
        let drawings = Svg::all(&card(&course, id));
        for (name, drawing) in ["flow", "minutes", "tanks"].into_iter().zip(drawings) {
            insta::assert_snapshot!(format!("{id}_{name}"), drawing.code);
        }
    }
}
