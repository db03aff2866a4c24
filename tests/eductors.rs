//! Eductors on a rig's card: each on its line, or on pails, and whether that layout draws foam.

use drillwright::course::{Course, Eductor};
use drillwright::publish::{Shared, page, plan};
use drillwright::stock;

use super::bases::q;
use super::metric::visible;

fn eductor(id: &str, flow: &str, inlet: &str, outlet: Option<&str>) -> Eductor {
    Eductor {
        id: id.into(),
        flow: q(flow),
        inlet: q(inlet),
        back_pressure: q("65 %"),
        pick_up: Some(q("6 ft")),
        settings: vec![q("1 %"), q("3 %"), q("6 %")],
        outlet: outlet.map(str::to_owned),
        tank: None,
        product: None,
    }
}

/// What the card of Engine 7 says with those eductors.
fn card(mut course: Course, eductors: Vec<Eductor>) -> String {
    course.rigs.get_mut("engine-7").unwrap().eductors = eductors;
    let words = stock::words();
    let shared = Shared::new(&course, &words, "4F7K-2M9Q").unwrap();
    let plans = plan(&course);
    let card =
        plans.iter().find(|plan| plan.path.ends_with("rig-engine-7.html")).unwrap();
    visible(&page(&shared, card).unwrap()).join("\n")
}

#[test]
fn a_layout_that_draws_no_foam_is_told_on_the_card() {
    let course = crate::pages::example();
    // 200 ft at 125 gpm lose 48 psi: 100 psi at the nozzle leave 148 behind, and 130 may stand there.
    let text = card(
        course.clone(),
        vec![eductor("e", "125 gpm", "200 psi", Some("crosslay-1"))],
    );
    assert!(text.contains("stops picking up foam"), "{text}");
    assert!(!text.contains("The layout works"));
    assert!(text.contains("Nozzle and eductor match."));
    // 150 ft at 95 gpm lose 21 psi: 121 of 130.
    let text =
        card(course.clone(), vec![eductor("e", "95 gpm", "200 psi", Some("crosslay-2"))]);
    assert!(text.contains("The layout works at the rated inlet pressure."), "{text}");
    // At a lower inlet it does not.
    let text =
        card(course.clone(), vec![eductor("e", "95 gpm", "150 psi", Some("crosslay-2"))]);
    assert!(text.contains("stops picking up foam"));
    // A nozzle of another flow.
    let text =
        card(course.clone(), vec![eductor("e", "60 gpm", "200 psi", Some("crosslay-2"))]);
    assert!(text.contains("the percent is not held"), "{text}");
    let text = card(course, vec![eductor("e", "125 gpm", "250 psi", Some("crosslay-2"))]);
    assert!(text.contains("passes less than the eductor"), "{text}");
}

#[test]
fn several_eductors_stand_each_on_its_line_or_on_pails() {
    let course = crate::pages::example();
    let plain = card(course.clone(), Vec::new());
    assert!(!plain.contains("Eductor"), "{plain}");
    let mut own = eductor("c", "60 gpm", "200 psi", None);
    own.tank = Some("foam-a".into());
    own.settings.clear();
    own.pick_up = None;
    let text = card(
        course,
        vec![
            eductor("a", "125 gpm", "200 psi", Some("crosslay-1")),
            eductor("b", "95 gpm", "200 psi", Some("crosslay-2")),
            own,
        ],
    );
    for told in [
        "125 gpm at 200 psi",
        "95 gpm at 200 psi",
        "60 gpm at 200 psi",
        "containers",
        "no line of its own",
        "1 %, 3 %, 6 %",
    ] {
        assert!(text.replace('\u{a0}', " ").contains(told), "{told} in {text}");
    }
    assert!(text.contains("stops picking up foam") && text.contains("The layout works"));
}

/// The pressure of the model is what the pump is set to, on page and drawing; where several models may
/// be meant that want another one each, none of them is printed.
#[test]
fn a_line_is_set_to_the_pressure_of_its_eductor() {
    let mut course = crate::pages::example();
    let text =
        card(course.clone(), vec![eductor("e", "95 gpm", "185 psi", Some("crosslay-2"))]);
    assert!(text.contains("Set 185\u{a0}psi"), "{text}");
    assert!(text.contains("95\u{a0}gpm at 185\u{a0}psi"), "{text}");
    // On a rig that injects, one without a place is on no line.
    let text = card(course.clone(), vec![eductor("e", "95 gpm", "185 psi", None)]);
    assert!(!text.contains("Set 185"), "{text}");
    let unit = course.rigs.get_mut("engine-7").unwrap().proportioner.as_mut().unwrap();
    unit.kind = drillwright::course::ProportionerKind::InLineEductor;
    let two = |second: &str| {
        let one = eductor("e", "95 gpm", "185 psi", None);
        card(course.clone(), vec![one, eductor("f", "95 gpm", second, None)])
    };
    assert!(two("185 psi").contains("Set 185\u{a0}psi"));
    let text = two("200 psi");
    assert!(!text.contains("Set 185") && !text.contains("Set 200"), "{text}");
    // Lines without foam are set as hose and nozzle want it.
    assert!(text.contains("Set "), "{text}");
}
