//! Every page of the example, made in memory.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use drillwright::course::Course;
use drillwright::findings::Sources;
use drillwright::formulas::System;
use drillwright::publish::{Shared, page, plan};
use drillwright::{authoring, stock};

const SENTENCE: &str =
    "Local procedures, the maker&#39;s manual and the officer in charge decide.";

pub(crate) fn example() -> Course {
    let (course, _) =
        authoring::read(&sources(), &BTreeSet::new(), authoring::Options::default());
    course.unwrap()
}

pub(crate) fn sources() -> Sources {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let mut sources = Sources::new();
    for entry in walkdir::WalkDir::new(&root).sort_by_file_name() {
        let entry = entry.unwrap();
        let name = entry.path().strip_prefix(&root).unwrap();
        let name = name.to_string_lossy().replace('\\', "/");
        if [".yaml", ".md"].iter().any(|end| name.ends_with(end)) {
            sources.insert(name, fs::read_to_string(entry.path()).unwrap());
        }
    }
    sources
}

const SEED: &str = "4F7K-2M9Q";

pub(crate) fn pages(course: &Course) -> BTreeMap<String, String> {
    let words = stock::words();
    let shared = Shared::new(course, &words, SEED).unwrap();
    let plans = plan(course);
    let made = plans.iter().map(|plan| {
        let made = page(&shared, plan);
        let made = made.unwrap_or_else(|fault| panic!("{}: {fault}", plan.path));
        (plan.path.clone(), made)
    });
    made.collect()
}

#[test]
fn every_page_carries_cautions_and_the_sentence() {
    let course = example();
    let pages = pages(&course);
    for (path, text) in &pages {
        let headlines = text.matches("data-caution-headline").count();
        assert!((1..=3).contains(&headlines), "{path} has {headlines} headlines");
        assert!(
            text.contains(SENTENCE)
                || text.contains(&SENTENCE.replace("&#39;", "&#x27;")),
            "{path} lacks the sentence"
        );
        assert!(text.contains("INVENTED RIG"), "{path} does not say that it is invented");
        assert!(!text.contains('⟨'), "{path} asks for a word that is not there");
        let foot = text.find("<tfoot>").unwrap();
        assert!(
            foot > text.find("<tbody>").unwrap(),
            "{path} has its foot before its body"
        );
        assert!(!text.contains(" style="), "{path} has a style that its policy forbids");
    }
}

#[test]
fn crew_pages_hold_no_seed_no_graded_form_and_no_person() {
    let course = example();
    let pages = pages(&course);
    let key = pages.iter().filter(|(path, _)| path.starts_with("keys/key-"));
    assert!(key.clone().count() > 0);
    assert!(key.clone().all(|(_, text)| text.contains(SEED)));
    for (path, text) in pages.iter().filter(|(path, _)| path.starts_with("crew/")) {
        assert!(!text.contains(SEED), "{path} holds the seed");
        for person in course.people.values() {
            assert!(!text.contains(&person.name), "{path} names {}", person.name);
        }
    }
    for (path, text) in pages.iter().filter(|(path, _)| path.starts_with("keys/paper-")) {
        assert!(!text.contains(SEED), "{path} holds the seed");
    }
}

#[test]
fn removing_a_caution_changes_only_its_drill() {
    let mut course = example();
    // They were made for the drill as it was, which this course does not keep.
    course.runs.clear();
    let before = pages(&course);
    let mut changed = course.clone();
    let drill = changed.drills.iter_mut().find(|drill| drill.id == "flush").unwrap();
    drill.cautions.pop().unwrap();
    let after = pages(&changed);
    let differ: Vec<&String> =
        before.keys().filter(|path| before.get(*path) != after.get(*path)).collect();
    assert!(differ.iter().any(|path| *path == "crew/drill-flush.html"), "{differ:?}");
    for path in differ {
        let of_run = course.runs.iter().any(|run| {
            run.drill == "flush" && *path == format!("staff/run-{}.html", run.id)
        });
        let in_chain = course.chains.iter().any(|chain| {
            chain.drills.iter().any(|drill| drill == "flush") && path.contains(&chain.id)
        });
        let its_own = path.contains("flush") || in_chain || of_run;
        assert!(its_own, "{path} changed too");
    }
}

#[test]
fn a_sheet_leaves_nothing_out() {
    let course = example();
    let pages = pages(&course);
    let sheets = pages.iter().filter(|(path, _)| path.starts_with("staff/sheet-"));
    assert!(sheets.clone().count() > course.drills.len());
    for (path, text) in sheets {
        let drill = course
            .drills
            .iter()
            .filter(|drill| path.starts_with(&format!("staff/sheet-{}-", drill.id)))
            .max_by_key(|drill| drill.id.len());
        let drill = drill.unwrap();
        // Five boxes a step; a critical that the rig cannot have is struck out beforehand.
        let rig =
            course.rigs.values().find(|rig| path.ends_with(&format!("-{}.html", rig.id)));
        let rig = rig.unwrap();
        let fits =
            drill.criticals.iter().filter(|one| one.condition().lacks(rig).is_none());
        // What repeats has a row for each line that foams.
        let lines = rig.outlets.iter().filter(|line| line.foam).count();
        let rows = |each: bool| if each { lines } else { 1 };
        let steps: usize = drill.steps.iter().map(|one| rows(one.each.is_some())).sum();
        let measures: usize =
            drill.measures.iter().map(|one| rows(one.each.is_some())).sum();
        let wanted = steps * 5 + fits.count() * 4 + measures * 2;
        let boxes = text.matches("<span class=\"so-box\">").count();
        assert_eq!(boxes, wanted, "{path}");
        assert!(text.contains(&drill.stop.word), "{path} lacks the stop word");
        assert!(!text.contains("data-private"), "{path} is blank and has private parts");
        // One leaf for up to fifteen steps, whatever is measured.
        let sides = if drill.steps.len() > 15 { 3 } else { 2 };
        for side in 1..=sides {
            let page = format!("page {side} of {sides}");
            assert!(text.contains(&page), "{path} lacks {page}");
        }
    }
}

#[test]
fn a_filled_sheet_says_what_the_run_sheet_says() {
    let course = example();
    let pages = pages(&course);
    for run in &course.runs {
        let text = &pages[&format!("staff/run-{}.html", run.id)];
        let crosses = text.matches("<span class=\"so-box\">X</span>").count();
        let marks = run.marks.len() + run.criticals.len() + run.undone.len();
        assert!(crosses >= marks, "{}: {crosses} crosses for {marks} marks", run.id);
        let person = &course.people[&run.candidate].name;
        assert!(text.contains(person.as_str()), "{} does not name its candidate", run.id);
        assert!(text.contains("unsigned"), "{} passes for signed", run.id);
    }
}

#[test]
fn every_formula_is_shown_with_an_example_in_both_systems() {
    let course = example();
    let none = BTreeMap::new();
    let mut wrong = Vec::new();
    for formula in course.library.formulas() {
        let id = &formula.id;
        assert!(!formula.example.is_empty(), "{id} has no example");
        let both = [System::Us, System::Si].into_iter();
        for system in both.filter(|system| formula.holds_in(*system)) {
            let inputs = formula.example(system, &none);
            let worked = course.library.work(id, &inputs, system);
            let worked = worked.unwrap_or_else(|fault| panic!("{id}: {fault:?}"));
            let adds_up = course.library.board_adds_up(id, &inputs, system);
            if adds_up != Ok(None) {
                wrong.push(format!("{id} {system:?}: line {adds_up:?}"));
            }
            let told = worked.slips.iter().any(|slip| {
                slip.answers.first().map(|a| &a.text)
                    != worked.answers.first().map(|a| &a.text)
            });
            assert!(told, "the example of {id} tells no slip from the answer");
        }
    }
    assert!(wrong.is_empty(), "boards that do not add up:\n{}", wrong.join("\n"));
}

#[test]
fn family_pages_show_every_formula_with_its_sources_and_charts() {
    let course = example();
    let pages = pages(&course);
    for family in &course.families {
        let text = &pages[&format!("crew/family-{}.html", family.id)];
        for formula in course.library.formulas().filter(|f| f.family == family.id) {
            let there = text.contains(&format!("<h2 id=\"{}\">", formula.id));
            // A time of blow-down would read as a permission.
            let shown = !formula.officers_only && formula.holds_in(System::Us);
            assert_eq!(there, shown, "{}", formula.id);
            for source in &formula.sources {
                assert!(course.sources.contains_key(&source.source), "{source:?}");
            }
        }
        let boards = text.matches("class=\"worked\"").count();
        let formulas = text.matches("class=\"formula\"").count();
        assert_eq!(boards, formulas, "{} shows a formula without example", family.id);
    }
    for (family, chart) in [
        ("proportioning", "capacity-engine-7"),
        ("proportioning", "capacity-tender-3"),
        ("endurance", "endurance-engine-7"),
        ("eductor", "back-pressure"),
    ] {
        let text = &pages[&format!("crew/family-{family}.html")];
        assert!(text.contains(&format!("id=\"chart-{chart}\"")), "{chart} is not drawn");
    }
    let capacity = &pages["crew/family-proportioning.html"];
    for outlet in course.rigs["engine-7"].outlets.iter().filter(|outlet| outlet.foam) {
        let told = format!("{} at {}", outlet.title, outlet.flow.printed());
        assert!(capacity.contains(&told), "the chart lacks {told}");
    }
}

#[test]
fn more_than_six_foam_lines_have_their_figures_on_a_side_of_their_own() {
    let with = |lines: usize| {
        let mut course = example();
        // They were made for the rig as it was.
        course.runs.clear();
        let rig = course.rigs.get_mut("engine-7").unwrap();
        let foam = rig.outlets.iter().find(|outlet| outlet.foam).unwrap().clone();
        let has = rig.outlets.iter().filter(|outlet| outlet.foam).count();
        for number in has..lines {
            let (id, title) = (format!("more-{number}"), format!("More {number}"));
            rig.outlets.push(drillwright::course::Outlet { id, title, ..foam.clone() });
        }
        pages(&course).remove("crew/rig-engine-7.html").unwrap()
    };
    let (six, seven) = (with(6), with(7));
    assert_eq!(six.matches("apart").count(), 0);
    assert_eq!(seven.matches(" apart\"").count(), 2, "tanks and figures");
    for line in 3..7 {
        // In the figures of the screen, of the paper and in both drawings.
        assert!(seven.matches(&format!("More {line}")).count() > 4, "{line}");
    }
}

/// Nobody is judged on a rig whose sheet he could not read: what the officers have of a drill and a
/// rig, the crew has too, and the drill's card leads there.
#[test]
fn crews_have_the_blank_sheet_of_each_drill_for_every_rig() {
    let course = example();
    let pages = pages(&course);
    let mut several = 0;
    for drill in &course.drills {
        let card = &pages[&format!("crew/drill-{}.html", drill.id)];
        let start = format!("sheet-{}-", drill.id);
        let of = |side: &str| -> BTreeSet<&str> {
            let names = pages.keys().filter_map(|path| path.strip_prefix(side));
            let rigs = |name: &&str| {
                let rig = name.strip_prefix(&start);
                let rig = rig.and_then(|rest| rest.strip_suffix(".html"));
                rig.is_some_and(|rig| course.rigs.contains_key(rig))
            };
            names.filter(rigs).collect()
        };
        assert_eq!(of("crew/"), of("staff/"), "{}", drill.id);
        for sheet in of("crew/") {
            assert!(card.contains(&format!("\"{sheet}\"")), "{} and {sheet}", drill.id);
        }
        several += usize::from(of("crew/").len() > 1);
    }
    assert!(several >= 2, "no drill of the example is for two rigs");
}
