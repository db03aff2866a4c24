//! Every reader of the program as a function over bytes: what `cargo fuzz` and `tests/fuzzed.rs`
//! both call.
//!
//! None of them may panic, and what they say must be possible to say: each finding stands within
//! the text, and no more are told of a file than its bound allows. Of a text that has a name the
//! first line is the name, because the name decides how it is read.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use drillwright::authoring::{self, Given, Options, RunReader};
use drillwright::course::Course;
use drillwright::findings::{self, Finding, Sources};
use drillwright::practice::live::LiveKit;
use drillwright::practice::{Engine, FORMAT, PageKit, PracticeKit};
use drillwright::publish::{Shared, site_forms};
use drillwright::quantity::Day;
use drillwright::quiz::{Forms, seed_strength, words_known};
use drillwright::scoring::{DrawnForms, KnownForms, Run, score_all};
use drillwright::stock;
use drillwright::words::Words;
use serde_json::{Value, json};

/// Most findings that are told of one file: fifty, and how many more there are.
const MOST_TOLD: usize = 51;

/// What is fed with bytes.
type Target = fn(&[u8]);

/// The targets by name; each has a folder of the corpus.
pub(crate) const TARGETS: [(&str, Target); 6] = [
    ("module", module),
    ("runs", runs),
    ("answers", answers),
    ("forms", forms),
    ("seed", seed),
    ("engine", engine),
];

/// Runs one.
pub(crate) fn run(name: &str, data: &[u8]) {
    let target = TARGETS.iter().find(|(own, _)| *own == name);
    target.expect("a target of that name").1(data);
}

/// The project's folder, from its own tests as from the workspace in `fuzz/`.
pub(crate) fn root() -> PathBuf {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    let own = if own.ends_with("fuzz") { own.parent().unwrap_or(own) } else { own };
    own.to_owned()
}

/// The texts of a module.
fn texts(folder: &str) -> Sources {
    let root = root().join(folder);
    let mut found = Sources::new();
    for entry in walkdir::WalkDir::new(&root) {
        let entry = entry.expect("a module of the project");
        if let Ok(text) = fs::read_to_string(entry.path()) {
            let name = entry.path().strip_prefix(&root).expect("below its root");
            found.insert(name.to_string_lossy().replace('\\', "/"), text);
        }
    }
    found
}

/// The example, and what stands for a day's papers of it.
struct Example {
    course: Course,
    words: Words,
    forms: Forms,
}

fn example() -> &'static Example {
    static EXAMPLE: OnceLock<Example> = OnceLock::new();
    EXAMPLE.get_or_init(|| {
        let (course, found) =
            authoring::read(&texts("content"), &BTreeSet::new(), Options::default());
        let course = course.unwrap_or_else(|| panic!("{found:?}"));
        let words = stock::words();
        let shared = Shared::new(&course, &words, "corpus").expect("templates");
        let forms = site_forms(&shared).expect("papers of the example");
        Example { course, words, forms }
    })
}

/// The name in the first line, and the rest, as the program reads it.
fn named(data: &[u8]) -> (String, String) {
    let text = findings::visible(&String::from_utf8_lossy(data)).into_owned();
    let (name, text) = text.split_once('\n').unwrap_or(("", &text));
    (name.trim().to_owned(), text.to_owned())
}

/// Prints findings as a terminal does.
fn tell(found: Vec<Finding>, sources: &Sources, words: &Words) {
    let mut files: BTreeMap<Option<String>, usize> = BTreeMap::new();
    for finding in findings::first_of_each_file(found) {
        let place = finding.place.as_ref().map(|place| place.file.clone());
        *files.entry(place).or_default() += 1;
        findings::printed(&finding, sources, words);
    }
    for (file, told) in files {
        assert!(file.is_none() || told <= MOST_TOLD, "{told} findings of {file:?}");
    }
}

/// A file of a module, of whatever kind its name says, in place of that of a small module.
fn module(data: &[u8]) {
    static SMALL: OnceLock<Sources> = OnceLock::new();
    let (name, text) = named(data);
    // Wider than any folder of a module, so that no name is left out.
    if name.is_empty() || name.len() > 120 {
        return;
    }
    let mut sources = SMALL.get_or_init(|| texts("tests/plain/content")).clone();
    sources.insert(name, text);
    for draft in [false, true] {
        let (_, mut found) =
            authoring::read(&sources, &BTreeSet::new(), Options { draft });
        findings::sort(&mut found);
        tell(found, &sources, &example().words);
    }
}

/// A file of runs: YAML, JSON or a table, by its name.
fn runs(data: &[u8]) {
    let (name, text) = named(data);
    let example = example();
    let mut reader =
        RunReader::new(&example.course, &example.words, Day::read("2026-11-28"));
    let (given, found) = reader.read(&text, &name);
    tell(found, &Sources::from([(name, text)]), &example.words);
    let runs: Vec<Run<'_>> = given.iter().map(Given::run).collect();
    assert_eq!(score_all(&runs).len(), runs.len());
}

/// A table of answers.
fn answers(data: &[u8]) {
    let text = findings::visible(&String::from_utf8_lossy(data)).into_owned();
    let example = example();
    // The code of a form changes with the example; the corpus does not.
    let code = example.forms.forms.first().map_or("", |form| form.code.as_str());
    let text = text.replace("FORM-1", code);
    let forms = std::slice::from_ref(&example.forms);
    let marked = authoring::mark_answers("answers.csv", &text, forms, &example.words);
    for paper in &marked.papers {
        assert!(paper.marks <= paper.of, "{paper:?}");
    }
    let sources = Sources::from([("answers.csv".to_owned(), text)]);
    tell(marked.findings, &sources, &example.words);
}

/// The file by which papers are marked, and that of numbered sheets.
fn forms(data: &[u8]) {
    if let Ok(forms) = serde_json::from_slice::<Forms>(data) {
        let _sound = forms.is_sound();
        // Also one that is not sound is marked by here: its hash is no lock.
        let codes = forms.forms.iter().map(|form| form.code.clone());
        let rows: Vec<String> = codes
            .map(|code| format!("alder,{code},1.68 gpm,A,\"2,5\",10:31\n"))
            .collect();
        let text = format!("person,form,1,2,3,4\n{}", rows.concat());
        authoring::mark_answers("a.csv", &text, &[forms], &example().words);
    }
    if let Ok(drawn) = serde_json::from_slice::<DrawnForms>(data) {
        let _sound = drawn.is_sound();
        let _known = KnownForms::of(&[drawn]);
    }
}

/// A seed that was typed.
fn seed(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    let known = words_known(["pump", "open the discharge"].into_iter());
    let strength = seed_strength(&text, &known);
    let twice = seed_strength(&format!("{text} {text}"), &known);
    // Said twice it is worth no more, but for the sign between and a code that is none then.
    assert!(twice.bits <= strength.bits + 1, "{text:?}: {strength:?} {twice:?}");
}

/// Requests to an engine, one on each line; the first line says which kit it was opened with. A
/// `"$"` stands for what a page would send there: what is stored, what is open, what is looked at.
fn engine(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    let mut lines = text.lines();
    let mut engine = Engine::default();
    let open = opening(lines.next().unwrap_or_default().trim());
    let mut page = Page::default();
    page.send(&mut engine, &open);
    // A page of a hundred taps says what one of a thousand does.
    for line in lines.take(100) {
        match serde_json::from_str::<Value>(line) {
            Ok(mut request) => {
                page.fill(&mut request);
                page.send(&mut engine, &request.to_string());
            }
            Err(_) => page.send(&mut engine, line),
        }
    }
}

/// The request that opens a kit of the example.
fn opening(what: &str) -> String {
    let Example { course, words, .. } = example();
    let (sort, id) = what.split_once(' ').unwrap_or((what, ""));
    let request = match sort {
        "live" => course
            .drill(id)
            .or(course.drills.first())
            .map(|drill| json!({ "ask": "open", "live": LiveKit::of_drill(course, drill, words) })),
        "practice" => course
            .sets
            .iter()
            .find(|set| set.id == id)
            .or(course.sets.first())
            .map(|set| {
                let practice = Some(PracticeKit::of(course, set, words));
                json!({ "ask": "open", "kit": PageKit { format: FORMAT, practice, run: None } })
            }),
        _ => None,
    };
    request.map_or_else(|| what.to_owned(), |request| request.to_string())
}

/// What a page keeps of the answers.
#[derive(Default)]
struct Page {
    stored: BTreeMap<String, Value>,
    of: Value,
    look: Value,
}

impl Page {
    fn fill(&self, request: &mut Value) {
        let Some(fields) = request.as_object_mut() else { return };
        for (name, value) in fields.iter_mut().filter(|(_, value)| **value == "$") {
            *value = match name.as_str() {
                "stored" => json!(self.stored),
                "of" => self.of.clone(),
                "look" => self.look.clone(),
                _ => continue,
            };
        }
    }

    fn send(&mut self, engine: &mut Engine, request: &str) {
        let answer = engine.call(request.as_bytes());
        let answer: Value = serde_json::from_slice(&answer).expect("an answer is JSON");
        let keys: Vec<&String> =
            answer.as_object().expect("with one field").keys().collect();
        assert!(keys == ["done"] || keys == ["fault"], "{keys:?}");
        let done = answer.get("done").unwrap_or(&Value::Null);
        for (key, text) in
            done.get("store").and_then(Value::as_object).into_iter().flatten()
        {
            match text {
                Value::Null => self.stored.remove(key),
                text => self.stored.insert(key.clone(), text.clone()),
            };
        }
        for (own, name) in [(&mut self.of, "of"), (&mut self.look, "look")] {
            if let Some(value) = done.get(name) {
                own.clone_from(value);
            }
        }
    }
}
