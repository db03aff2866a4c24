//! Which formula a rig's percent basis asks for: the table itself, and that every page, question
//! and sheet prints the rig's own answer.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use drillwright::course::{
    Asked, Bind, Course, Draw, Expect, Feed, QuestionKind, Reckoning, Rig,
};
use drillwright::findings::{Code, Finding};
use drillwright::formulas::{GivenKind, Input, Inputs, System};
use drillwright::publish::{Shared, page, plan};
use drillwright::quantity::Quantity;
use drillwright::scoring::{Kit, expectation};
use drillwright::{authoring, stock};

pub(crate) fn q(text: &str) -> Quantity {
    Quantity::read(text).unwrap()
}

fn base() -> (authoring::Options, BTreeMap<String, String>, BTreeSet<String>) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/wrong/base");
    let mut sources: BTreeMap<String, String> = BTreeMap::new();
    let mut pictures = BTreeSet::new();
    for entry in walkdir::WalkDir::new(&folder) {
        let entry = entry.unwrap();
        let name =
            entry.path().strip_prefix(&folder).unwrap().to_str().unwrap().to_owned();
        if name.starts_with("pictures/") {
            pictures.insert(name);
        } else if entry.file_type().is_file() {
            sources.insert(name, fs::read_to_string(entry.path()).unwrap());
        }
    }
    (authoring::Options { draft: false }, sources, pictures)
}

/// The module without faults, with a second rig like the first whose percent is of the water.
pub(crate) fn both() -> (Course, Vec<Finding>) {
    let (options, mut sources, pictures) = base();
    let rig = sources["rigs/pumper.yaml"].clone();
    let water = rig
        .replace("rig: pumper", "rig: metered")
        .replace("title: The pumper", "title: The metered pumper")
        .replace("basis: solution", "basis: water");
    assert_ne!(rig, water);
    sources.insert("rigs/metered.yaml".to_owned(), water);
    let module = sources.get_mut("module.yaml").unwrap();
    *module = module.replace("- pumper\n", "- pumper\n- metered\n");
    *module = module.replace("rigs: [pumper]", "rigs: [pumper, metered]");
    let (course, found) = authoring::read(&sources, &pictures, options);
    (course.unwrap(), found)
}

/// Every pair has givens and answers of the same names and units, in the same order: what feeds
/// the one feeds the other.
#[test]
fn both_formulas_of_a_line_are_fed_alike() {
    let (library, _) = authoring::library(&stock::trade());
    let (course, _) = both();
    assert!(course.bases.len() > 10);
    let ids: BTreeSet<&str> = library.formulas().map(|f| f.id.as_str()).collect();
    for asked in &course.bases {
        assert!(!ids.contains(asked.id.as_str()), "{} is a formula too", asked.id);
        let formula = |id: &str| library.formula(id).unwrap_or_else(|| panic!("no {id}"));
        let (solution, water) = (formula(&asked.solution), formula(&asked.water));
        let givens = |formula: &drillwright::formulas::Formula| {
            let given = |given: &drillwright::formulas::Given| {
                let kind = match &given.kind {
                    GivenKind::Number { unit, unit_si, default, .. } => {
                        format!("{unit} {unit_si} {}", default.is_some())
                    }
                    GivenKind::Choice { words } => words.join(" "),
                    GivenKind::List { columns } => columns
                        .iter()
                        .map(|c| c.name.clone())
                        .collect::<Vec<_>>()
                        .join(" "),
                };
                (given.name.clone(), kind)
            };
            formula.givens.iter().map(given).collect::<Vec<_>>()
        };
        // The same flow is called by what it is.
        assert_eq!(givens(solution), givens(water), "{}", asked.id);
        let nozzle = asked.nozzle().map_or(water, |id| formula(id));
        assert_eq!(givens(solution), givens(nozzle), "{}", asked.id);
        let names = |formula: &drillwright::formulas::Formula| {
            formula.answers.iter().map(|a| a.name.clone()).collect::<Vec<_>>()
        };
        let shared = names(solution).len().min(names(water).len());
        assert_eq!(names(solution)[..shared], names(water)[..shared], "{}", asked.id);
        let shared = names(solution).len().min(names(nozzle).len());
        assert_eq!(names(solution)[..shared], names(nozzle)[..shared], "{}", asked.id);
    }
}

/// What nobody can choose is not guessed.
#[test]
fn an_unknown_basis_has_no_formula() {
    let asked = Asked {
        id: "rig-x".into(),
        title: String::new(),
        solution: "a".into(),
        water: "b".into(),
        at_nozzle: None,
        of_nozzles: None,
    };
    let table = [asked];
    let of = |basis| drillwright::course::formula_for(&table, "rig-x", basis).to_owned();
    assert_eq!(of(Some(Reckoning::Solution)), "a");
    assert_eq!(of(Some(Reckoning::Water)), "b");
    assert_eq!(of(Some(Reckoning::NotKnown)), "rig-x");
    assert_eq!(of(None), "rig-x");
}

pub(crate) fn worked(
    course: &Course,
    rig: &Rig,
    asked: &str,
    given: &[(&str, &str)],
) -> Vec<String> {
    let formula = drillwright::course::formula_for(&course.bases, asked, rig.basis());
    let inputs: Inputs = given
        .iter()
        .map(|(name, value)| ((*name).to_owned(), Input::Number(q(value))))
        .collect();
    let worked = course.library.work(formula, &inputs, System::Us).unwrap();
    let told = worked.answers.iter().map(|a| format!("{}: {}", a.name, a.text));
    told.chain(worked.verdicts.iter().cloned())
        .map(|text| text.replace('\u{a0}', " "))
        .collect()
}

/// The worked figures of minutes left: usable foam and water, all lines, the supply, the time to
/// withdraw; the smaller tank is named, and each gauge level counts what no pump reaches.
#[test]
fn minutes_left_are_those_of_the_tank_that_ends_first() {
    let (course, found) = both();
    // Its rigs have every basis, and its questions none.
    let unsaid = |one: &&Finding| one.code != Code::BasisUnsaid;
    assert_eq!(found.iter().filter(unsaid).count(), 0, "{found:?}");
    let rig = &course.rigs["metered"];
    let left = |given: &[(&str, &str)]| worked(&course, rig, "rig-minutes-left", given);
    let now = [
        ("foam", "26.75 gal"),
        ("water", "470 gal"),
        ("percent", "0.8 %"),
        ("foam-flow", "125 gpm"),
    ];
    let with = |more: &[(&'static str, &'static str)]| {
        now.iter().chain(more).copied().collect::<Vec<_>>()
    };
    let has = |told: &[String], what: &str| {
        assert!(told.iter().any(|line| line == what), "{what} in {told:?}");
    };
    let order = left(&now);
    has(&order, "foam-time: 26:45");
    has(&order, "water-time: 3:45");
    has(&order, "time: 3:45");
    has(&order, "The water runs out first.");
    has(&left(&with(&[("plain-flow", "125 gpm")])), "time: 1:52");
    let supplied = left(&with(&[("plain-flow", "125 gpm"), ("supply", "100 gpm")]));
    has(&supplied, "time: 3:08");
    let held = left(&with(&[("plain-flow", "125 gpm"), ("supply", "250 gpm")]));
    has(&held, "time: 26:45");
    has(&held, "The supply keeps up, so only the foam limits.");

    let call = |given: &[(&str, &str)]| worked(&course, rig, "rig-call-out", given);
    let withdrawal =
        [("withdrawal", "2 min"), ("foam-dead", "2 gal"), ("water-dead", "30 gal")];
    let told = call(&with(&withdrawal));
    has(&told, "water-level: 280 gal");
    has(&told, "foam-level: 4.0 gal");
    has(&told, "time: 1:45");
    has(&told, "say: 3 min");
    let mut plain = with(&withdrawal);
    plain.push(("plain-flow", "125 gpm"));
    let overdue = call(&plain);
    has(&overdue, "The call is overdue.");
    has(&overdue, "time: 0:00");
}

/// Two lines of 220 gpm at 1 percent: the foam light would come at ten minutes, the water ends
/// long before.
#[test]
fn the_call_goes_out_by_the_tank_that_ends_first() {
    let (course, _) = both();
    let rig = &course.rigs["metered"];
    let given = [
        ("foam", "28 gal"),
        ("water", "720 gal"),
        ("percent", "1 %"),
        ("foam-flow", "220 gpm"),
        ("withdrawal", "2 min"),
        ("foam-dead", "2 gal"),
        ("water-dead", "30 gal"),
        ("foam-mark", "8 gal"),
        ("water-mark", "400 gal"),
    ];
    let told = worked(&course, rig, "rig-call-out", &given);
    let has =
        |what: &str| assert!(told.iter().any(|line| line == what), "{what}: {told:?}");
    has("left: 3:16");
    has("time: 1:16");
    // 440 gal usable.
    has("water-level: 470 gal");
    has("The water mark comes too late at this flow; call at the gauge level here.");
    assert!(!told.iter().any(|line| line.starts_with("The foam mark")), "{told:?}");
    // From 28 usable gallons to the light at 6 usable ones.
    let light = worked(
        &course,
        rig,
        "rig-foam-lasts",
        &[("foam", "22 gal"), ("percent", "1 %"), ("flow", "220 gpm")],
    );
    assert_eq!(light, ["time: 10:00"]);
    // The foam alone was counted once: 22 minutes, where the water ends after 5:45 by the meter,
    // 5:48 from the solution of the nozzle.
    let foam = [("foam", "22 gal"), ("percent", "0.8 %"), ("flow", "125 gpm")];
    assert_eq!(worked(&course, rig, "rig-foam-lasts", &foam), ["time: 22:00"]);
    let both_tanks = [
        ("foam", "22 gal"),
        ("water", "720 gal"),
        ("percent", "0.8 %"),
        ("foam-flow", "125 gpm"),
    ];
    let time =
        |rig: &Rig| worked(&course, rig, "rig-minutes-left", &both_tanks)[0].clone();
    assert_eq!(time(rig), "time: 5:45");
    assert_eq!(time(&course.rigs["pumper"]), "time: 5:48");
}

/// Percents and flows at which the two bases print different figures: whatever prints one prints
/// that of the rig, and nowhere that of the other.
#[test]
fn every_page_and_sheet_prints_the_figure_of_its_own_rig() {
    let words = stock::words();
    let (mut course, _) = both();
    let mut differed = 0;
    // Far above what class A is mixed at, where nothing is hidden by rounding.
    for (step, flow) in
        [(3_u32, 95_u32), (6, 125), (7, 310), (9, 205), (4, 177), (8, 263)]
    {
        let (percent, flow) = (format!("{step} %"), format!("{flow} gpm"));
        for rig in course.rigs.values_mut() {
            rig.outlets[0].flow = q(&flow);
            for range in rig.proportioner.as_mut().unwrap().classes.values_mut() {
                range.presets = vec![q(&percent)];
            }
        }
        let given = |names: [&str; 3], tank: &str| {
            let values = [tank.to_owned(), percent.clone(), flow.clone()];
            names.into_iter().map(str::to_owned).zip(values).collect::<Vec<_>>()
        };
        let asked = [
            (
                "rig-concentrate",
                vec![("percent".into(), percent.clone()), ("flow".into(), flow.clone())],
            ),
            ("rig-foam-lasts", given(["foam", "percent", "flow"], "28 gal")),
            ("rig-water-lasts", given(["water", "percent", "flow"], "720 gal")),
        ];
        let pages = |course: &Course| {
            let shared = Shared::new(course, &words, "4F7K-2M9Q").unwrap();
            let plans = plan(course);
            let cards = plans.iter().filter(|plan| plan.path.contains("/rig-"));
            let made = cards.map(|one| (one.path.clone(), page(&shared, one).unwrap()));
            made.collect::<BTreeMap<_, _>>()
        };
        let pages = pages(&course);
        for id in ["pumper", "metered"] {
            let other = if id == "pumper" { "metered" } else { "pumper" };
            let told = |rig: &str, (name, given): &(&str, Vec<(String, String)>)| {
                let given: Vec<(&str, &str)> =
                    given.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
                let all = worked(&course, &course.rigs[rig], name, &given);
                all[0].split_once(": ").unwrap().1.to_owned()
            };
            let card =
                pages.iter().find(|(path, _)| path.ends_with(&format!("rig-{id}.html")));
            let card = card.unwrap().1.replace("&nbsp;", " ").replace('\u{a0}', " ");
            for line in &asked {
                let (own, others) = (told(id, line), told(other, line));
                let cell = |value: &str| format!(">{value}</td>");
                assert!(card.contains(&cell(&own)), "{id} {percent} {flow}: {own}");
                if own != others {
                    differed += 1;
                    assert!(
                        !card.contains(&cell(&others)),
                        "{id} {percent} {flow}: {others}"
                    );
                }
            }
            sheet(&course, id, (&percent, &flow));
        }
    }
    assert!(differed > 10, "{differed}");
}

/// The measured value of a drill, by the kit of the rig.
fn sheet(course: &Course, id: &str, (percent, flow): (&str, &str)) {
    let words = stock::words();
    let rig = &course.rigs[id];
    let mut course = course.clone();
    let mut drill =
        course.drills.iter().find(|d| !d.measures.is_empty()).unwrap().clone();
    let bind = |text: &str| Bind::Value(q(text));
    drill.measures[0].expect = Expect::Formula(Feed {
        formula: "rig-minutes-left".into(),
        answer: Some("water-time".into()),
        with: BTreeMap::from([
            ("foam".into(), bind("28 gal")),
            ("water".into(), bind("720 gal")),
            ("percent".into(), bind(percent)),
            ("foam-flow".into(), bind(flow)),
        ]),
    });
    drill.measures[0].unit = "s".into();
    drill.measures[0].tolerance.below = drillwright::course::Edge::Open;
    drill.measures[0].tolerance.above = drillwright::course::Edge::Open;
    drill.measures[0].resolution = q("0.001 s");
    course.drills = vec![drill.clone()];
    let kit = Kit::of(&course, &drill, rig, &words).unwrap();
    let expected =
        expectation(&kit, &drill.measures[0], "crosslay", &BTreeMap::new()).unwrap();
    let formula = match rig.basis() {
        Some(Reckoning::Water) => "water-endurance-metered",
        _ => "water-endurance",
    };
    let inputs = Inputs::from([
        ("water".to_owned(), Input::Number(q("720 gal"))),
        ("percent".to_owned(), Input::Number(q(percent))),
        ("flow".to_owned(), Input::Number(q(flow))),
    ]);
    let time = course.library.evaluate(formula, &inputs, System::Us).unwrap()[0];
    assert_eq!(time.unwrap().settled().unwrap(), expected.value, "{id}");
}

/// A question and an example about a rig have the rig's formula, and none of its slips is what
/// the rig itself shows.
#[test]
fn questions_and_examples_of_a_rig_take_its_formula() {
    // A line of the example is drawn, and its rig's basis decides what is asked.
    let course = crate::pages::example();
    let mut seen = 0;
    for question in course.sets.iter().flat_map(|set| &set.questions) {
        let drawn = question.draws.iter().find_map(|(_, draw)| match draw {
            Draw::FoamLineOf(id) => Some(id),
            _ => None,
        });
        let Some(rig) =
            question.rig.as_ref().or(drawn).and_then(|id| course.rigs.get(id))
        else {
            continue;
        };
        let (QuestionKind::Number { ask, .. }
        | QuestionKind::Choice { ask, .. }
        | QuestionKind::Verdict { ask }) = &question.kind
        else {
            continue;
        };
        seen += 1;
        let other = |basis| {
            course.bases.iter().any(|asked| asked.is_of_another(&ask.feed.formula, basis))
        };
        assert!(!rig.basis().is_some_and(other), "{}", question.id);
        assert!(course.library.formula(&ask.feed.formula).is_some(), "{}", question.id);
    }
    assert!(seen > 0);
}

/// One colon that is missing is one thing to mend: what a rig would have said of its basis is told
/// by nobody before it can be read.
#[test]
fn a_rig_that_cannot_be_read_is_the_one_fault() {
    let folder = tempfile::tempdir().unwrap();
    let content = folder.path().join("content");
    crate::program::copy(crate::program::example(), &content);
    let rig = content.join("rigs/engine-7.yaml");
    let text = fs::read_to_string(&rig).unwrap();
    fs::write(&rig, text.replacen("flow: 125 gpm", "flow 125 gpm", 1)).unwrap();
    let mut command = crate::program::program(folder.path());
    let output = crate::program::ends_with(1, command.arg("inspect"));
    let said = String::from_utf8(output.stdout).unwrap();
    assert_eq!(said.matches("MUST FIX  ").count(), 1, "{said}");
    assert_eq!(said.matches("LOOK AGAIN  ").count(), 0, "{said}");
    assert!(said.contains("Write: flow: 125 gpm"), "{said}");
}
