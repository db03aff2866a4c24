//! The entrance that pages and the terminal go through, with the kits of the example module.

use std::fs;
use std::path::Path;

use drillwright::authoring::{Options, read};
use drillwright::course::Course;
use drillwright::fingerprint::hex_hash;
use drillwright::practice::{Engine, FORMAT, PageKit, PracticeKit};
use drillwright::scoring::{Kit, score};
use drillwright::stock;
use drillwright::workshop::read_folder;
use serde_json::{Value, json};

pub(crate) fn example() -> Course {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let (folder, _) = read_folder(&content).unwrap();
    let others = folder.others.keys().cloned().collect();
    let (course, findings) = read(&folder.texts, &others, Options::default());
    course.unwrap_or_else(|| panic!("{findings:#?}"))
}

pub(crate) fn ask(engine: &mut Engine, request: &Value) -> Value {
    serde_json::from_slice(&engine.call(request.to_string().as_bytes())).unwrap()
}

fn practice(course: &Course, set: usize) -> PageKit {
    let kit = PracticeKit::of(course, &course.sets[set], &stock::words());
    PageKit { format: FORMAT, practice: Some(kit), run: None }
}

#[test]
fn every_question_is_drawn_and_its_own_answer_is_right() {
    let course = example();
    let mut questions = 0;
    for set in 0..course.sets.len() {
        let mut engine = Engine::default();
        let opened =
            ask(&mut engine, &json!({ "ask": "open", "kit": practice(&course, set) }));
        assert_eq!(opened["done"]["practice"].as_str().unwrap().len(), 64, "{opened}");
        for question in &course.sets[set].questions {
            for attempt in 1..4 {
                let drawn = ask(
                    &mut engine,
                    &json!({
                        "ask": "draw", "question": question.id, "seed": "s", "attempt": attempt,
                        "key": true,
                    }),
                );
                let key = &drawn["done"]["key"];
                let written = key["letter"].as_str().or(key["answer"].as_str()).unwrap();
                let marked = ask(
                    &mut engine,
                    &json!({
                        "ask": "mark", "question": question.id, "seed": "s",
                        "attempt": attempt, "written": written,
                    }),
                );
                assert_eq!(marked["done"]["outcome"], "right", "{drawn} {marked}");
                questions += 1;
            }
        }
    }
    assert!(questions > 60, "{questions}");
}

#[test]
fn a_run_is_scored_as_it_is_without_the_entrance() {
    let course = example();
    let words = stock::words();
    for run in &course.runs {
        let drill = course.drill(&run.drill).unwrap();
        let kit = Kit::of(&course, drill, &course.rigs[&run.rig], &words).unwrap();
        let page =
            PageKit { format: FORMAT, practice: None, run: Some(kit.data().clone()) };
        let mut engine = Engine::default();
        ask(&mut engine, &json!({ "ask": "open", "kit": page }));
        let verdict = ask(&mut engine, &json!({ "ask": "score", "sheet": run }));
        assert_eq!(verdict["done"], json!(score(&kit, run)));
    }
}

#[test]
fn what_cannot_be_answered_is_said() {
    let course = example();
    let mut engine = Engine::default();
    let none = ask(&mut engine, &json!({ "ask": "score" }));
    assert!(none["fault"].is_string());
    ask(&mut engine, &json!({ "ask": "open", "kit": practice(&course, 0) }));
    let fault = |engine: &mut Engine, request: &Value| -> String {
        let answer = ask(engine, request);
        answer["fault"].as_str().unwrap_or_else(|| panic!("{answer}")).to_owned()
    };
    let none = json!({ "ask": "draw", "question": "none", "seed": "s", "attempt": 1 });
    assert!(fault(&mut engine, &none).contains("no question \"none\""));
    let word = json!({ "ask": "work", "formula": "concentrate-flow", "givens": { "flow": "?" } });
    assert!(fault(&mut engine, &word).contains("must be a number with its unit"));
    assert!(fault(&mut engine, &json!({ "ask": "dance" })).contains("cannot read"));
    assert!(fault(&mut engine, &json!(["x"])).contains("cannot read"));
    let mut other = practice(&course, 0);
    other.format = 99;
    let other = json!({ "ask": "open", "kit": other });
    assert!(fault(&mut engine, &other).contains("different versions"));
}

#[test]
fn a_kit_carries_no_person_and_no_seed() {
    let course = example();
    for set in 0..course.sets.len() {
        let text = json!(practice(&course, set)).to_string();
        let people = course.people.values().map(|person| person.name.as_str());
        let checkers = course
            .rigs
            .values()
            .filter_map(|rig| rig.checked.as_ref())
            .map(|check| check.by.as_str());
        for private in people.chain(checkers).chain([" seed", "seed\""]) {
            assert!(!text.contains(private), "{private}");
        }
    }
}

/// The files that the engine of the pages is built from, as `tests/build-engine` lists them.
fn engine_sources() -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<String> = ["src/engine", "src/browser"]
        .into_iter()
        .flat_map(|folder| walkdir::WalkDir::new(root.join(folder)))
        .map(Result::unwrap)
        .filter(|entry| entry.file_type().is_file())
        .map(|entry| entry.path().strip_prefix(root).unwrap().display().to_string())
        .chain(["Cargo.lock".to_owned()])
        .collect();
    files.sort();
    let line = |file: &String| {
        format!("{}  {file}\n", hex_hash(&fs::read(root.join(file)).unwrap()))
    };
    hex_hash(files.iter().map(line).collect::<String>().as_bytes())
}

#[test]
#[ignore = "tests/run asks for it, after it has built the engine again where it can"]
fn the_compiled_engine_is_built_from_these_sources() {
    let engine = stock::theme("engine.js").unwrap();
    let built = engine.lines().find_map(|line| line.strip_prefix("// sources: "));
    assert_eq!(
        built,
        Some(engine_sources().as_str()),
        "themes/plain/engine.js is older than the rooms it is made of: run tests/build-engine"
    );
}
