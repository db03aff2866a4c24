//! What a page's script draws: a practice, a walk and a live run, touched wherever they can be touched.
//! The script itself knows no sentence, and every text that its engine hands it is the department's.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use drillwright::practice::live::LiveKit;
use drillwright::practice::walk::WalkKit;
use drillwright::practice::{FORMAT, PageKit, PracticeKit};
use drillwright::quiz::Chance;
use regex_lite::Regex;
use serde_json::{Value, json};

use super::course;
use super::marked::{example, leaks, wide};
use crate::engine::Tab;
use crate::live::page::{AT, Page, rig_of};

/// Touches of one page: enough to come to its ends and back, as the counts below hold.
const TOUCHES: usize = 160;

/// What somebody types where a field is open.
const TYPED: &[&str] = &["125", "0.5", "moss", "3", "7"];

/// Attributes that are read or heard.
const HEARD: &[&str] = &["aria-label", "alt", "title", "placeholder"];

/// A page while it is touched: what it showed, and what could be touched.
#[derive(Default)]
struct Seen {
    texts: BTreeSet<String>,
    touched: BTreeMap<String, usize>,
}

impl Seen {
    /// All that a turn shows, and everything in it that can be touched.
    fn look(&mut self, node: &Value, events: &mut Vec<Value>) {
        let with = &node["with"];
        let heard = HEARD.iter().filter_map(|name| with[*name].as_str());
        let said = node["text"].as_str().into_iter().chain(heard);
        self.texts.extend(said.map(str::to_owned));
        let kids = || node["kids"].as_array().into_iter().flatten();
        if let Some(act) = node.get("act").filter(|act| act.is_object()) {
            let mut event = act.clone();
            let typed = match node["tag"].as_str().unwrap() {
                "input" | "textarea" => TYPED[self.touched.len() % TYPED.len()],
                "select" => {
                    let values = kids().filter_map(|kid| kid["with"]["value"].as_str());
                    let values: Vec<&str> = values.collect();
                    values
                        .get(self.touched.len() % values.len().max(1))
                        .copied()
                        .unwrap_or("")
                }
                _ => "",
            };
            if !typed.is_empty() {
                event["text"] = typed.into();
            }
            // Whoever is asked to write before they go on has written.
            for field in fields(node) {
                event[field] = TYPED[self.touched.len() % TYPED.len()].into();
            }
            events.push(event);
        }
        kids().for_each(|kid| self.look(kid, events));
    }

    /// Touches a page: what was touched least comes first, so that it comes everywhere.
    fn walk(&mut self, first: Value, mut send: impl FnMut(&Value) -> Value) {
        let mut chance = Chance::of(&["touched", "everywhere"]);
        let mut turn = first;
        let mut events = Vec::new();
        for _ in 0..TOUCHES {
            if let Some(nodes) = turn["view"]["nodes"].as_array() {
                events.clear();
                for node in nodes {
                    self.look(node, &mut events);
                }
            }
            let count = |event: &Value| {
                self.touched.get(&event.to_string()).copied().unwrap_or_default()
            };
            let Some(least) = events.iter().map(count).min() else { break };
            let next: Vec<&Value> =
                events.iter().filter(|event| count(event) == least).collect();
            let at = chance.below(u32::try_from(next.len()).unwrap());
            let event = next[usize::try_from(at).unwrap()].clone();
            *self.touched.entry(event.to_string()).or_default() += 1;
            turn = send(&event);
        }
    }

    /// What is in plain letters and no author's, and how much is in wide ones.
    fn held(self, name: &str, sources: &drillwright::findings::Sources) -> usize {
        let wide = self.texts.iter().filter(|text| wide(text)).count();
        // The name that a page gives its run is a code, and may have letters alone in a row.
        let run = Regex::new("live-[0-9a-z-]+").unwrap();
        let texts = self.texts.iter().map(|text| run.replace_all(text, "").into_owned());
        let texts = texts.collect();
        let leaks = leaks(sources, std::iter::once((name.to_owned(), texts)));
        assert!(leaks.is_empty(), "{name}: {}\n{}", leaks.len(), leaks.join("\n"));
        wide
    }
}

/// Names of the fields of a form.
fn fields(form: &Value) -> Vec<&str> {
    let mut out = Vec::new();
    if form["tag"] == "form" {
        let mut open: Vec<&Value> =
            form["kids"].as_array().into_iter().flatten().collect();
        while let Some(node) = open.pop() {
            out.extend(node["with"]["name"].as_str());
            open.extend(node["kids"].as_array().into_iter().flatten());
        }
    }
    out
}

#[test]
fn nothing_that_a_practice_draws_is_said_in_other_words() {
    let sources = example();
    let course = course(&sources);
    let kit = PracticeKit::of(&course, &course.sets[0], &course.face.words);
    let kit = PageKit { format: FORMAT, practice: Some(kit), run: None };
    let at = json!({ "wall": AT });
    let mut tab = Tab::open(&json!({ "ask": "open", "kit": kit }), &json!({})).alone();
    let first = tab.hand_in(&at, false);
    let mut seen = Seen::default();
    seen.walk(first, |event| tab.tap(event, &at, &[1, 7, 7]));
    assert!(seen.touched.len() > 20, "{:?}", seen.touched);
    let wide = seen.held("practice", &sources);
    assert!(wide > 30, "{wide}");
}

#[test]
fn nothing_that_a_walk_draws_is_said_in_other_words() {
    let sources = example();
    let course = course(&sources);
    let drill = course.drill("percent-change").unwrap();
    let kit = WalkKit::of(&course, drill, &course.face.words);
    let mut tab = Tab::open(&json!({ "ask": "open", "walk": kit }), &json!({})).alone();
    let first = tab.hand_in(&json!({}), false);
    let mut seen = Seen::default();
    seen.walk(first, |event| tab.tap(event, &json!({}), &[1, 7, 7]));
    assert!(seen.touched.len() > 20, "{:?}", seen.touched);
    let wide = seen.held("walk", &sources);
    assert!(wide > 30, "{wide}");
}

/// A page without the engine that is started again: here names go in before there is a run.
fn open(kit: LiveKit) -> Page {
    let mut page = Page::open(kit);
    page.tab = page.tab.alone();
    page
}

#[test]
fn nothing_that_a_live_sheet_draws_is_said_in_other_words() {
    let sources = example();
    let course = course(&sources);
    let drill = course.drill("percent-change").unwrap();
    let kit = LiveKit::of_drill(&course, drill, &course.face.words);
    let mut page = open(kit);
    let mut seen = Seen::default();
    // Before it is declared, while it runs, and from the end of its sheet.
    let first = page.does("show");
    seen.walk(first, |event| page.send(event));
    let kit = LiveKit::of_drill(&course, drill, &course.face.words);
    let mut page = open(kit);
    page.begin(&rig_of(&course, drill));
    let first = page.does("show");
    seen.walk(first, |event| page.send(event));
    let kit = LiveKit::of_drill(&course, drill, &course.face.words);
    let mut page = open(kit);
    page.begin(&rig_of(&course, drill));
    page.mark_all();
    page.end();
    let (_, saved) = page.save();
    seen.walk(saved, |event| page.send(event));
    assert!(seen.touched.len() > 60, "{:?}", seen.touched);
    let wide = seen.held("live", &sources);
    assert!(wide > 80, "{wide}");
}

/// The scripts that pages load draw what they are handed: no text of theirs has two words.
#[test]
fn no_script_of_a_page_knows_a_sentence() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("themes/plain");
    let said = Regex::new(r#"["'`][^"'`\n]*[A-Za-z]{2,} [A-Za-z]{2,}[^"'`\n]*["'`]"#);
    let said = said.unwrap();
    let mut looked = 0;
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        // The engines beside them are compiled code, whose answers are looked at above.
        let script = path.extension().is_some_and(|end| end == "js");
        if !script || name.starts_with("engine-") {
            continue;
        }
        looked += 1;
        let text = fs::read_to_string(&path).unwrap();
        let lines = text.lines().filter(|line| !line.trim_start().starts_with("//"));
        for found in lines.flat_map(|line| said.find_iter(line)) {
            let own = ["\"use strict\"", "\"#runs tbody tr\""].contains(&found.as_str());
            assert!(own, "{name}: {}", found.as_str());
        }
    }
    assert!(looked >= 5, "{looked}");
}
