//! A rig with two foam tanks: no figure of one class is worked with the tank, the range or the
//! presets of the other, whichever stands first on the card.

use std::collections::{BTreeMap, BTreeSet};

use drillwright::course::{
    Bind, Course, Draw, Edge, Expect, Feed, FoamClass, Measure, Named, Question,
    QuestionKind, Tolerance, WhichFoam, differing, rig_figures,
};
use drillwright::publish::{Shared, page, plan};
use drillwright::quiz::{self, Prepared, Purpose, Ticket};
use drillwright::scoring::{Kit, expectation};
use drillwright::stock;

use crate::bases::q;
use crate::pages::example;

/// Engine 7 with the class B side of Tender 3: its tank, its range and its product.
fn with_both(first: FoamClass) -> Course {
    let mut course = example();
    let tender = course.rigs["tender-3"].clone();
    let engine = course.rigs.get_mut("engine-7").unwrap();
    let unit = engine.proportioner.as_mut().unwrap();
    unit.classes.extend(tender.proportioner.clone().unwrap().classes);
    let tank = tender.foam_tanks().next().unwrap().clone();
    let place = if first == FoamClass::A { engine.tanks.len() } else { 0 };
    engine.tanks.insert(place, tank);
    engine.agents.extend(tender.agents);
    course
}

/// The rows of the presets on the card of a rig, each from its percent on.
fn rows(course: &Course, rig: &str) -> Vec<String> {
    let words = stock::words();
    let shared = Shared::new(course, &words, "4F7K-2M9Q").unwrap();
    let wanted = format!("rig-{rig}.html");
    let plans = plan(course);
    let card = plans.iter().find(|one| one.path.ends_with(&wanted)).unwrap();
    let html = page(&shared, card).unwrap();
    // On paper the same figures stand in one table for all lines.
    let (screen, paper) = html.split_once("class=\"laminate").unwrap();
    assert!(paper.contains("<th scope=\"row\" class=\"n\">"), "{paper}");
    let rows = screen
        .split("<tr>")
        .filter(|row| row.starts_with("<th scope=\"row\" class=\"n\">"));
    let percent = |row: &&str| {
        row.split("</th>").next().is_some_and(|head| head.contains("\u{a0}%"))
    };
    let ends = |row: &str| row.split("</tr>").next().unwrap_or_default().to_owned();
    rows.filter(percent).map(ends).collect()
}

#[test]
fn figures_are_those_of_the_class_that_is_meant() {
    for first in [FoamClass::A, FoamClass::B] {
        let course = with_both(first);
        let rig = &course.rigs["engine-7"];
        let of = |class| {
            let figures = rig_figures(rig, None, WhichFoam::Class(class));
            ["foam", "foam-warning", "least-percent", "largest-percent"]
                .map(|name| figures[name].to_string())
        };
        assert_eq!(of(FoamClass::A), ["28 gal", "6 gal", "0.1 %", "1 %"]);
        assert_eq!(of(FoamClass::B), ["190 gal", "40 gal", "3 %", "6 %"]);
    }
}

#[test]
fn the_card_works_each_preset_with_its_own_tank() {
    let plain = rows(&example(), "engine-7");
    assert!(plain.len() > 3, "{plain:?}");
    for first in [FoamClass::A, FoamClass::B] {
        let course = with_both(first);
        let both = rows(&course, "engine-7");
        let of_a: Vec<String> = both
            .iter()
            .filter(|row| row.contains("class A"))
            .map(|row| row.replacen(", class A", "", 1))
            .collect();
        assert_eq!(of_a, plain, "first {first:?}");
        // The same rig with class B alone.
        let mut alone = course.clone();
        let rig = alone.rigs.get_mut("engine-7").unwrap();
        rig.proportioner.as_mut().unwrap().classes.remove(&FoamClass::A);
        rig.tanks.retain(|tank| tank.id != "foam-a");
        let of_b: Vec<String> = both
            .iter()
            .filter(|row| row.contains("class B"))
            .map(|row| row.replacen(", class B", "", 1))
            .collect();
        assert!(!of_b.is_empty());
        assert_eq!(of_b, rows(&alone, "engine-7"), "first {first:?}");
    }
}

#[test]
fn a_drill_is_worked_with_the_tank_of_its_class() {
    let words = stock::words();
    for first in [FoamClass::A, FoamClass::B] {
        let course = with_both(first);
        for (id, lasts) in [("startup", 28), ("startup-b", 190)] {
            let mut drill = course.drill(id).unwrap().clone();
            // One gallon of concentrate each minute.
            let with = [
                ("foam", Bind::Rig("foam".to_owned())),
                ("percent", Bind::Value(q("1 %"))),
                ("flow", Bind::Value(q("100 gpm"))),
            ];
            let with = with.into_iter().map(|(name, bind)| (name.to_owned(), bind));
            let (formula, answer) = ("rig-foam-lasts".to_owned(), None);
            let feed = Feed { formula, answer, with: with.collect() };
            let told = |measure: &&mut Measure| measure.unit == "min";
            let measure = drill.measures.iter_mut().find(told).unwrap();
            measure.expect = Expect::Formula(feed);
            let measure = measure.clone();
            let rig = course.rigs["engine-7"].clone();
            let kit = Kit::of(&course, &drill, &rig, &words).unwrap();
            let outlet = "crosslay-1";
            let expected = expectation(&kit, &measure, outlet, &BTreeMap::new()).unwrap();
            let minutes = expected.value.to_string();
            assert!(minutes.contains(&lasts.to_string()), "{id}: {minutes}");
        }
    }
}

/// How long the foam lasts at 100 gpm and 1 %, one gallon each minute, asked on Engine 7.
fn lasts(course: &Course, class: Option<FoamClass>) -> Question {
    let mut questions = course.sets.iter().flat_map(|set| &set.questions);
    let numbers = |one: &&Question| matches!(one.kind, QuestionKind::Number { .. });
    let mut question = questions.find(numbers).unwrap().clone();
    (question.rig, question.outlet) = (Some("engine-7".to_owned()), None);
    question.class = class;
    question.conditions = vec!["percent <= rig.largest-percent".to_owned()];
    question.draws = vec![
        ("percent".to_owned(), Draw::Of(vec![q("1 %")])),
        ("flow".to_owned(), Draw::Of(vec![q("100 gpm")])),
    ];
    let with = [
        ("foam", Bind::Rig("foam".to_owned())),
        ("percent", Bind::Named("percent".to_owned())),
        ("flow", Bind::Named("flow".to_owned())),
    ];
    let with = with.into_iter().map(|(name, bind)| (name.to_owned(), bind));
    let QuestionKind::Number { ask, tolerance } = &mut question.kind else {
        panic!("{}", question.id)
    };
    *tolerance = Tolerance {
        below: Edge::Absolute(q("0.1 min")),
        above: Edge::Absolute(q("0.1 min")),
    };
    let formula = "foam-endurance-metered".to_owned();
    ask.feed = Feed { formula, answer: None, with: with.collect() };
    (ask.unit, ask.step) = (Some("min".to_owned()), Some(q("0.1 min")));
    question
}

#[test]
fn a_question_takes_the_tank_and_the_percents_of_its_class() {
    let words = stock::words();
    for first in [FoamClass::A, FoamClass::B] {
        let course = with_both(first);
        for (class, minutes) in [(FoamClass::A, "28"), (FoamClass::B, "190")] {
            let question = lasts(&course, Some(class));
            let prepared =
                Prepared::of(&question, quiz::Kit::of(&course, &words)).unwrap();
            let ticket = Ticket { purpose: Purpose::Graded, seed: "s", attempt: 1 };
            let variant = prepared.variant(ticket, 1, &BTreeSet::new()).unwrap();
            let answer = &variant.key().answer;
            assert!(answer.starts_with(minutes), "{first:?} {class:?}: {answer}");
        }
    }
}

/// No text, example or chart takes a figure of one tank without saying of which.
#[test]
fn a_figure_of_either_foam_is_nobodys() {
    for first in [FoamClass::A, FoamClass::B] {
        let course = with_both(first);
        let rig = &course.rigs["engine-7"];
        let both = [FoamClass::A, FoamClass::B];
        for name in
            ["foam", "foam-warning", "foam-nominal", "least-percent", "largest-percent"]
        {
            assert_eq!(differing(rig, name), both, "{name}");
        }
        for name in ["water", "rated-flow", "withdrawal", "air"] {
            assert!(differing(rig, name).is_empty(), "{name}");
        }
        let mut named = Named::default();
        named.rig(rig);
        for (name, said) in [
            ("foam", None),
            ("largest-percent", None),
            ("foam-a.usable", Some("28 gal")),
            ("foam-b.usable", Some("190 gal")),
            ("water", Some("720 gal")),
        ] {
            assert_eq!(named.get(&format!("rig.engine-7.{name}")), said, "{name}");
        }
        let alone = example();
        assert!(differing(&alone.rigs["engine-7"], "foam").is_empty());
        let mut named = Named::default();
        named.rig(&alone.rigs["engine-7"]);
        assert_eq!(named.get("rig.engine-7.foam"), Some("28 gal"));
    }
}
