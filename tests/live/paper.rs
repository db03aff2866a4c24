//! The filled sheet of a live page is the published one, node for node.

use std::fs;

use drillwright::authoring::{Given, RunReader};
use drillwright::course::{Course, Drill};
use drillwright::findings::Code;
use drillwright::publish::Shared;
use drillwright::publish::sheet::{ScoredRun, filled_page};
use drillwright::scoring::{Verdict, score};

use super::*;
use crate::documents::{Element, drawn, read};
use crate::program;

/// What an evaluator can write freely; none of it may become markup or go astray.
const NASTY: &str = "</td></p><b>wind & \"rain\"</b> 'gusts'";

/// The live view after saving, and the page that is published of the file it handed over.
fn both(course: &Course, (text, turn): &(String, Value)) -> (Element, Element) {
    let words = stock::words();
    let (runs, found) = RunReader::new(course, &words, None).read(text, "run.json");
    // What is open stays open on both sides: a question keeps no sheet from being scored.
    assert!(found.iter().all(|one| one.code == Code::RunOpen), "{found:#?}");
    let scored: Vec<(&Given, Verdict)> =
        runs.iter().map(|run| (run, score(&run.kit, &run.sheet))).collect();
    let scored: Vec<ScoredRun<'_>> = scored
        .iter()
        .map(|(run, verdict)| ScoredRun { kit: &run.kit, sheet: &run.sheet, verdict })
        .collect();
    let shared = Shared::new(course, &words, "").unwrap();
    let page = filled_page(&shared, &scored).unwrap();
    (drawn(&turn["view"]["nodes"]), read(&page))
}

/// Compares side by side, so that a difference is told where it is.
fn same_sides(live: &Element, page: &Element) -> usize {
    let printed = live.all("div.paper")[0].all("table.so-side");
    let published = page.all("table.so-side");
    assert_eq!(printed.len(), published.len());
    for (at, (printed, published)) in printed.iter().zip(&published).enumerate() {
        for kid in ["thead", "tbody", "tfoot"] {
            assert_eq!(printed.all(kid), published.all(kid), "side {}: {kid}", at + 1);
        }
        assert_eq!(printed, published, "side {}", at + 1);
    }
    printed.len()
}

/// The verdict on the screen is the verdict on paper, wherever it is folded.
fn same_verdict(live: &Element, page: &Element) {
    let paper = live.all("div.paper")[0].all("table.so-reasons").len();
    let mut on_screen = live.all("table.so-reasons");
    on_screen.truncate(on_screen.len() - paper);
    assert_eq!(on_screen, page.all("table.so-reasons"));
    assert!(!on_screen.is_empty());
    let rows: usize = on_screen.iter().map(|table| table.all("tr").len()).sum();
    assert!(rows > 10, "{rows} lines");
}

fn written(page: &mut Page) {
    for field in ["words", "remediation", "notes"] {
        page.write(field, NASTY);
    }
}

#[test]
fn every_drill_is_printed_as_it_is_published() {
    let course = example();
    let mut printed = 0;
    for drill in &course.drills {
        let (_, mut page) = Page::drill(&drill.id);
        page.begin(&rig_of(&course, drill));
        page.write("weather", NASTY);
        page.mark_all();
        for (field, text) in FLUSH.iter().filter(|(f, _)| f.starts_with(&drill.id)) {
            page.write(field, text);
        }
        page.ends();
        if drill.id != "flush" {
            written(&mut page);
        }
        let saved = page.save();
        let (live, published) = both(&course, &saved);
        assert_eq!(same_sides(&live, &published), sides(drill), "{}", drill.id);
        same_verdict(&live, &published);
        let text = published.text();
        for step in &drill.steps {
            assert!(
                text.contains(&step.action) && text.contains(&step.sees),
                "{}",
                step.id
            );
        }
        assert!(drill.id == "flush" || text.matches(NASTY).count() >= 3, "{text}");
        printed += 1;
    }
    assert!(printed > 3);
}

#[test]
fn a_stopped_run_and_a_chain_are_printed_as_they_are_published() {
    let (course, mut page) = Page::drill("purge");
    page.begin("engine-7");
    page.does("stop");
    page.write("stop.by", "hazel");
    page.write("stop.why", NASTY);
    page.write("stop.cause", "outside");
    page.ends();
    page.write("void.cause", "weather");
    page.write("void.why", NASTY);
    page.write("void.agreed-by", "hazel");
    let saved = page.save();
    let (live, published) = both(&course, &saved);
    assert_eq!(same_sides(&live, &published), sides(course.drill("purge").unwrap()));
    assert!(published.text().matches(NASTY).count() >= 2);

    let kit = LiveKit::of_chain(&course, &course.chains[0], &stock::words());
    let mut page = Page::open(kit);
    page.begin("engine-7");
    for drill in &course.chains[0].drills[..3] {
        page.send(&json!({ "do": "turn", "drill": drill }));
        page.mark_all();
    }
    page.ends();
    let saved = page.save();
    let (live, published) = both(&course, &saved);
    let own = course.chains[0].drills[..3].iter();
    let own = own.map(|id| sides(course.drill(id).unwrap())).sum::<usize>();
    assert_eq!(same_sides(&live, &published), 1 + own);
    same_verdict(&live, &published);
}

#[test]
fn score_writes_the_same_sheet() {
    let (course, mut page) = Page::drill("flush");
    page.begin("engine-7");
    page.mark_all();
    page.ends();
    let (text, turn) = page.save();
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("run.json"), text).unwrap();
    let mut command = program::program(folder.path());
    let content = program::example().to_str().unwrap();
    let command =
        command.args(["score", "run.json", "--sheets", "out", "--content", content]);
    // Its order was not watched, which is asked about.
    program::ends_with(1, command);
    let pages = fs::read_dir(folder.path().join("out")).unwrap();
    let pages = pages.map(|entry| entry.unwrap().path());
    let page: Vec<_> = pages.filter(|path| path.extension().unwrap() == "html").collect();
    let published = read(&fs::read_to_string(&page[0]).unwrap());
    let wanted = sides(course.drill("flush").unwrap());
    assert_eq!(same_sides(&drawn(&turn["view"]["nodes"]), &published), wanted);
}

/// Sides of a filled sheet: two, or three where steps or numbers are many, and the verdict's.
fn sides(drill: &Drill) -> usize {
    // With thirteen steps or fewer the local rules go to the back and leave room on the front.
    let numbers = if drill.steps.len() > 13 { 8 } else { 11 };
    let many =
        drill.steps.len() > 15 || drill.readings.len() + drill.measures.len() > numbers;
    if many { 4 } else { 3 }
}
