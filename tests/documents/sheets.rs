//! Sheets of drills that nobody would write: nothing is lost, and nothing becomes markup.

use drillwright::course::{Course, Drill, OrderSeen};
use drillwright::publish::sheet::{ScoredRun, filled_page};
use drillwright::publish::{PageKind, PagePlan, Shared, page};
use drillwright::scoring::{Kit, runs_on, score};
use drillwright::stock;

use super::{Element, read};
use crate::engine::example;

const NASTY: &str = "</td><b>\"a\" && 'b'</b>\nnext";

/// Every text of a drill that stands on its sheet, put to the test.
fn spoil(drill: &mut Drill) {
    let stop = &mut drill.stop;
    let mut texts =
        vec![&mut drill.title, &mut drill.task, &mut stop.word, &mut stop.sign];
    texts.extend(&mut stop.safe_state);
    let attempts = &mut drill.attempts;
    texts.extend([&mut attempts.remediation, &mut attempts.retest, &mut attempts.appeal]);
    for step in &mut drill.steps {
        texts.extend([&mut step.action, &mut step.sees]);
    }
    for critical in &mut drill.criticals {
        texts.extend([&mut critical.act, &mut critical.reason]);
    }
    for role in &mut drill.roles {
        texts.push(&mut role.title);
    }
    for measure in &mut drill.measures {
        texts.extend([&mut measure.label, &mut measure.source]);
    }
    for reading in &mut drill.readings {
        texts.push(&mut reading.label);
    }
    for (at, text) in texts.into_iter().enumerate() {
        *text = format!("{text} {at} {NASTY}");
    }
}

/// What has to be found again on the sheet.
fn texts(drill: &Drill) -> Vec<String> {
    let stop = &drill.stop;
    let attempts = &drill.attempts;
    let mut texts = vec![&drill.title, &drill.task, &stop.word, &stop.sign];
    texts.extend(&stop.safe_state);
    texts.extend([&attempts.remediation, &attempts.retest, &attempts.appeal]);
    texts.extend(drill.steps.iter().flat_map(|step| [&step.action, &step.sees]));
    texts.extend(drill.criticals.iter().flat_map(|one| [&one.act, &one.reason]));
    texts.extend(drill.roles.iter().map(|role| &role.title));
    texts.extend(drill.measures.iter().flat_map(|one| [&one.label, &one.source]));
    texts.extend(drill.readings.iter().map(|reading| &reading.label));
    texts.into_iter().cloned().collect()
}

fn spoiled() -> Course {
    let mut course = example();
    course.drills.iter_mut().for_each(spoil);
    course.module.department.push_str(NASTY);
    for caution in course.cautions.values_mut() {
        for text in [&mut caution.headline, &mut caution.hazard, &mut caution.control] {
            text.push_str(NASTY);
        }
    }
    for act in &mut course.unsafe_acts {
        act.act.push_str(NASTY);
    }
    for rig in course.rigs.values_mut() {
        rig.title.push_str(NASTY);
    }
    for person in course.people.values_mut() {
        person.name.push_str(NASTY);
    }
    course
}

fn blank(course: &Course, drill: &str, rig: &str) -> Element {
    let words = stock::words();
    let shared = Shared::new(course, &words, "").unwrap();
    let kind = PageKind::Blank(drill.to_owned(), rig.to_owned());
    read(&page(&shared, &PagePlan { path: String::new(), kind }).unwrap())
}

#[test]
fn whatever_an_author_writes_stands_on_the_sheet_as_it_is_written() {
    let course = spoiled();
    let fits = |drill: &&Drill| runs_on(&course.rigs["engine-7"], drill);
    for drill in course.drills.iter().filter(fits) {
        let sheet = blank(&course, &drill.id, "engine-7");
        assert!([2, 3].contains(&sheet.all("table.so-side").len()));
        let text = sheet.text();
        for wanted in texts(drill) {
            assert!(text.contains(&wanted), "{}: {wanted}", drill.id);
        }
        for id in &drill.cautions {
            let caution = &course.cautions[id];
            for side in sheet.all("table.so-side") {
                assert!(side.text().contains(&caution.headline), "{id}");
            }
            assert!(text.contains(&caution.hazard) && text.contains(&caution.control));
        }
    }
}

#[test]
fn a_run_of_such_a_drill_names_everybody_and_everything() {
    let course = spoiled();
    let words = stock::words();
    let shared = Shared::new(&course, &words, "").unwrap();
    for run in &course.runs {
        let mut run = run.clone();
        run.weather.push_str(NASTY);
        run.outlet = "nobody-knows-it".into();
        run.order_seen = OrderSeen::Listed(vec!["no-such-step".into()]);
        run.notes = Some(NASTY.into());
        let drill = course.drill(&run.drill).unwrap();
        let kit = Kit::of(&course, drill, &course.rigs[&run.rig], &words).unwrap();
        let verdict = score(&kit, &run);
        let scored = ScoredRun { kit: &kit, sheet: &run, verdict: &verdict };
        let sheet = read(&filled_page(&shared, &[scored]).unwrap());
        let text = sheet.text();
        let person = &course.people[&run.candidate].name;
        let notes = run.notes.as_ref().unwrap();
        for wanted in [person, &run.weather, &run.outlet, notes, &verdict.reason] {
            assert!(text.contains(wanted), "{}: {wanted}", run.id);
        }
        assert!(text.contains("no-such-step"), "{}", run.id);
        for line in verdict.lines.iter().skip(1) {
            assert!(text.contains(&line.sentence), "{}: {}", run.id, line.sentence);
        }
    }
}

#[test]
fn a_drill_of_one_step_and_one_of_forty_have_all_their_rows() {
    for count in [1, 40] {
        let mut course = example();
        let drill = &mut course.drills[0];
        let first = drill.steps[0].clone();
        let step = |at: usize| {
            let mut step = first.clone();
            step.id = format!("{}-{at}", first.id);
            step
        };
        drill.steps = (0..count).map(step).collect();
        // Everything that may be empty is.
        drill.order.clear();
        drill.measures.clear();
        drill.readings.clear();
        drill.criticals.clear();
        drill.local.clear();
        drill.cautions.clear();
        drill.roles.clear();
        drill.stop.safe_state.clear();
        drill.time = None;
        course.unsafe_acts.clear();
        let id = course.drills[0].id.clone();
        let sheet = blank(&course, &id, "engine-7");
        let steps = sheet.all("table.so-steps");
        assert_eq!(steps[0].all("tbody")[0].all("tr").len(), count);
        assert!(sheet.all("table.so-values").is_empty());
        assert!(sheet.all("ul.so-local").len() <= 1);
        assert!(sheet.text().contains("officer in charge decide"));
    }
}

#[test]
fn a_rig_that_nobody_knows_is_a_fault_and_no_sheet() {
    let course = example();
    let words = stock::words();
    let shared = Shared::new(&course, &words, "").unwrap();
    let drill = course.drills[0].id.clone();
    for kind in [
        PageKind::Blank(drill, "nobody".into()),
        PageKind::Chain(course.chains[0].id.clone(), "nobody".into()),
        PageKind::Run("nobody".into()),
        PageKind::Due(4000),
    ] {
        let plan = PagePlan { path: String::new(), kind };
        assert!(page(&shared, &plan).is_err(), "{plan:?}");
    }
}

#[test]
fn rule_40_each_critical_asks_in_three_boxes_and_no_stands_first() {
    let course = example();
    for drill in &course.drills {
        let rig = course.rigs.values().find(|rig| runs_on(rig, drill)).unwrap();
        let sheet = blank(&course, &drill.id, &rig.id);
        let tables = sheet.all(".so-criticals");
        assert!(!tables.is_empty(), "{}", drill.id);
        let heads: Vec<String> =
            tables.iter().flat_map(|table| table.all("th")).map(Element::text).collect();
        let boxes: Vec<&str> =
            heads.iter().map(String::as_str).filter(|head| head.len() <= 8).collect();
        assert!(
            boxes.windows(3).any(|three| three == ["NO", "YES", "NOT SEEN"]),
            "{heads:?}"
        );
        // Cues have a place for the time at which they were given.
        let text = sheet.text();
        assert!(
            drill.cues.is_empty() || text.to_lowercase().contains("given at"),
            "{}",
            drill.id
        );
    }
}
