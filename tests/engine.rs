//! The entrance that pages and the terminal go through, with the kits of the example module.

use std::collections::BTreeMap;
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

/// A tab of a browser, as the page's script is one: an engine, and what the browser has stored.
pub(crate) struct Tab {
    pub(crate) engine: Engine,
    /// Started again before each tap with what is stored, as after a reload.
    again: Option<Engine>,
    pub(crate) keys: Vec<String>,
    pub(crate) stored: BTreeMap<String, String>,
    /// What the engine said is open.
    of: String,
    /// What it said is looked at.
    look: String,
    /// The request of the last tap.
    pub(crate) request: Value,
}

impl Tab {
    /// Opens a kit, with nothing stored.
    pub(crate) fn open(open: &Value, at: &Value) -> Self {
        let (mut engine, mut again) = (Engine::default(), Engine::default());
        ask(&mut again, open);
        let opened = ask(&mut engine, open);
        let keys =
            opened["done"]["keys"].as_array().unwrap_or_else(|| panic!("{opened}"));
        let keys = keys.iter().map(|key| key.as_str().unwrap().to_owned()).collect();
        let (stored, again) = (BTreeMap::new(), Some(again));
        let (of, look, request) = (String::new(), String::new(), Value::Null);
        let mut tab = Self { engine, again, keys, stored, of, look, request };
        tab.hand_in(at, false);
        tab
    }

    /// Without the engine that is started again.
    pub(crate) fn alone(self) -> Self {
        Self { again: None, ..self }
    }

    /// What is stored, as it goes in when a page opens, comes back, or hears of another tab.
    pub(crate) fn handed(&self, at: &Value, refused: bool) -> Value {
        let own = self.stored.iter().filter(|(key, _)| self.keys.contains(key));
        let stored: BTreeMap<_, _> = own.collect();
        json!({
            "ask": "stored", "stored": stored, "at": at, "chance": [3, 1, 4, 1],
            "refused": refused, "look": self.look,
        })
    }

    /// Hands it in.
    pub(crate) fn hand_in(&mut self, at: &Value, refused: bool) -> Value {
        self.request = self.handed(at, refused);
        let turn = ask(&mut self.engine, &self.request)["done"].take();
        if let Some(again) = &mut self.again {
            ask(again, &self.request);
        }
        self.keep(&turn);
        turn
    }

    /// One tap. An engine that is started again before it answers the same.
    pub(crate) fn tap(&mut self, event: &Value, at: &Value, chance: &[u8]) -> Value {
        let request = json!({
            "ask": "tap", "event": event, "at": at, "chance": chance, "of": self.of,
            "look": self.look,
        });
        let mut answer = ask(&mut self.engine, &request);
        let turn = answer["done"].take();
        assert!(turn.is_object(), "{event}: {answer}");
        let refused = turn["view"].to_string().contains("does not keep what you tap");
        let handed = self.handed(at, refused);
        if let Some(again) = &mut self.again {
            let opened = ask(again, &handed)["done"].take();
            let unsaved = !self.stored.keys().any(|key| key.ends_with("/run"));
            if opened["of"] == self.of {
                assert_eq!(ask(again, &request)["done"], turn, "{event}");
            } else {
                assert!(unsaved, "{event}: another run is open");
            }
        }
        self.request = request;
        self.keep(&turn);
        turn
    }

    fn keep(&mut self, turn: &Value) {
        for (key, text) in turn["store"].as_object().unwrap() {
            match text.as_str() {
                Some(text) => self.stored.insert(key.clone(), text.to_owned()),
                None => self.stored.remove(key),
            };
        }
        turn["of"].as_str().unwrap().clone_into(&mut self.of);
        turn["look"].as_str().unwrap().clone_into(&mut self.look);
        assert!(!turn["view"].to_string().contains('⟨'), "{}", turn["view"]);
    }
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
        .chain(["Cargo.lock".to_owned(), "tests/build-engine".to_owned()])
        .collect();
    files.sort();
    let line = |file: &String| {
        format!("{}  {file}\n", hex_hash(&fs::read(root.join(file)).unwrap()))
    };
    hex_hash(files.iter().map(line).collect::<String>().as_bytes())
}

#[test]
#[ignore = "tests/run asks for it, after it has built the engine again where it can"]
fn the_compiled_engines_are_built_from_these_sources() {
    for door in ["practice", "walk", "live"] {
        let engine = stock::theme(&format!("engine-{door}.js")).unwrap();
        let built = engine.lines().find_map(|line| line.strip_prefix("// sources: "));
        assert_eq!(
            built,
            Some(engine_sources().as_str()),
            "engine-{door} is older than the rooms it is made of: run tests/build-engine"
        );
    }
}
