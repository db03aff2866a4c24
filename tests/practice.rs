//! Practice sessions, driven through the entrance as a page drives them.

use std::collections::{BTreeMap, BTreeSet};

use drillwright::course::{Course, QuestionSet};
use drillwright::practice::{FORMAT, PageKit, PracticeKit};
use drillwright::stock;
use serde_json::{Value, json};

use crate::engine::{Tab, ask, example};

/// A page of one set.
struct Page {
    tab: Tab,
    chance: u8,
    day: i64,
}

impl Page {
    fn open(course: &Course, set: &QuestionSet) -> Self {
        let kit = PracticeKit::of(course, set, &stock::words());
        let kit = PageKit { format: FORMAT, practice: Some(kit), run: None };
        let tab = Tab::open(&json!({ "ask": "open", "kit": kit }), &json!({}));
        assert_eq!(tab.keys.len(), 2, "{:?}", tab.keys);
        Self { tab, chance: 0, day: 20_000 }
    }

    fn at(&self) -> Value {
        json!({ "wall": self.day * 86_400_000 + 5 })
    }

    fn send(&mut self, event: &Value) -> Value {
        self.chance = self.chance.wrapping_add(1);
        self.tab.tap(event, &self.at(), &[self.chance, 7, 7])
    }

    /// The page is opened in a browser in which this is stored.
    fn hand_in(&mut self, stored: &BTreeMap<String, String>) -> Value {
        self.tab.stored.clone_from(stored);
        self.tab.hand_in(&self.at(), false)
    }

    fn does(&mut self, event: &str) -> Value {
        self.send(&json!({ "do": event }))
    }

    /// Question, seed and attempt that stand in the stored session, as the key knows them.
    fn key(&mut self) -> Value {
        let session = self.session();
        let code = session["code"].as_str().unwrap().to_owned();
        let listed = ask(&mut self.tab.engine, &json!({ "ask": "list", "code": code }));
        let at = usize::try_from(session["at"].as_u64().unwrap()).unwrap();
        assert_eq!(session["attempt"], 1, "the list holds the first variants");
        listed["done"]["questions"][at]["key"].clone()
    }

    fn session(&self) -> Value {
        let key = self.tab.stored.keys().find(|key| key.ends_with("/session"));
        key.map_or(Value::Null, |key| {
            serde_json::from_str(&self.tab.stored[key]).unwrap()
        })
    }

    /// Writes the right answer and sends it.
    fn answer_right(&mut self) -> Value {
        let key = self.key();
        let right = key["letter"].as_str().or(key["answer"].as_str()).unwrap().to_owned();
        self.send(&json!({ "do": "draft", "text": right }));
        self.does("answer")
    }
}

fn texts(turn: &Value) -> String {
    fn walk(node: &Value, out: &mut String) {
        out.push_str(node["text"].as_str().unwrap_or_default());
        out.push('\n');
        for kid in node["kids"].as_array().into_iter().flatten() {
            walk(kid, out);
        }
    }
    let mut out = String::new();
    for node in turn["view"]["nodes"].as_array().into_iter().flatten() {
        walk(node, &mut out);
    }
    out
}

#[test]
fn a_session_without_a_mistake_ends_with_every_objective_fading() {
    let course = example();
    let mut kinds = BTreeSet::new();
    for set in &course.sets {
        let mut page = Page::open(&course, set);
        page.does("start");
        // A short set asks each question twice.
        let length = 8.min(set.questions.len() * 2);
        let mut count = 0;
        while page.session()["at"] != json!(length) {
            kinds.insert(page.key()["kind"].as_str().unwrap().to_owned());
            let turn = page.answer_right();
            assert_eq!(turn["view"]["says"], "Right.", "{turn}");
            page.does("on");
            count += 1;
        }
        assert_eq!(count, length);
        let done = texts(&page.does("show"));
        let all = format!("Right at the first answer: {length} of {length}.");
        assert!(done.contains(&all), "{done}");
        assert!(done.contains("fading") && !done.contains("missed\n"), "{done}");
    }
    assert!(kinds.len() >= 4, "{kinds:?}");
}

#[test]
fn a_slip_is_named_worked_and_asked_again_with_other_numbers() {
    let course = example();
    let set = course.sets.iter().find(|set| set.id == "ten-to-know").unwrap();
    let mut page = Page::open(&course, set);
    page.send(&json!({ "do": "only", "question": "half-percent" }));
    let first = texts(&page.does("show"));
    let key = page.key();
    let slip = &key["wrong"][0];
    page.send(&json!({ "do": "draft", "text": slip["text"] }));
    let turn = page.does("answer");
    let says = turn["view"]["says"].as_str().unwrap();
    assert!(says.contains(slip["says"].as_str().unwrap()), "{says} {slip}");
    let shown = texts(&turn);
    assert!(shown.contains(key["answer"].as_str().unwrap()), "{shown}");
    let line = key["worked"]["lines"][0]["numbers"].as_str().unwrap();
    assert!(shown.contains(line), "{shown}");
    // A second answer to a judged question counts for nothing.
    let before = page.tab.stored.clone();
    page.does("answer");
    page.does("give-up");
    assert_eq!(page.tab.stored, before);
    let again = texts(&page.does("again"));
    assert!(again.contains("with other numbers"), "{again}");
    let asked =
        |shown: &str| shown.lines().find(|line| line.contains('?')).map(str::to_owned);
    assert!(asked(&first).is_some());
    assert_ne!(asked(&again), asked(&first));
    assert_eq!(page.session()["first"], json!([false]));
    let home = texts(&page.does("leave"));
    assert!(home.contains("missed"), "{home}");
}

#[test]
fn what_cannot_be_read_is_no_mistake_and_a_reload_keeps_the_answer() {
    let course = example();
    let mut page = Page::open(&course, &course.sets[0]);
    page.send(&json!({ "do": "only", "question": "half-percent" }));
    assert!(texts(&page.does("answer")).contains("Nothing is answered yet."));
    page.send(&json!({ "do": "draft", "text": "a lot" }));
    let turn = page.does("answer");
    assert!(texts(&turn).contains("\"a lot\" is not"), "{turn}");
    assert_eq!(page.session()["judged"], false);
    assert!(page.tab.stored.keys().all(|key| key.ends_with("/session")));
    // Another page of the same browser: only what is stored is left.
    let mut reloaded = Page::open(&course, &course.sets[0]);
    assert_eq!(
        reloaded.hand_in(&page.tab.stored)["view"]["nodes"][2],
        page.does("show")["view"]["nodes"][2]
    );
    let field = reloaded.does("show").to_string();
    assert!(field.contains("\"value\":\"a lot\""), "{field}");
    let mut broken = page.tab.stored.clone();
    for text in broken.values_mut() {
        "{broken".clone_into(text);
    }
    assert!(texts(&reloaded.hand_in(&broken)).contains("Practice with new numbers"));
}

#[test]
fn a_code_shows_the_same_questions_elsewhere() {
    let course = example();
    let mut page = Page::open(&course, &course.sets[0]);
    let mut codes = BTreeSet::new();
    for _ in 0..20 {
        page.does("start");
        codes.insert(page.session()["code"].as_str().unwrap().to_owned());
    }
    assert_eq!(codes.len(), 20);
    let shown = texts(&page.does("show"));
    let code = page.session()["code"].as_str().unwrap().to_owned();
    let mut other = Page::open(&course, &course.sets[0]);
    let typed = code.to_lowercase().replace('-', " ").replace('0', "o");
    let there = other.send(&json!({ "do": "code", "text": typed }));
    assert_eq!(texts(&there), shown);
    let mut wrong = code.clone().into_bytes();
    wrong[0] = if wrong[0] == b'7' { b'8' } else { b'7' };
    let wrong = String::from_utf8(wrong).unwrap();
    let refused = texts(&other.send(&json!({ "do": "code", "text": wrong })));
    assert!(refused.contains("is not a code of a session"), "{refused}");
    let mut elsewhere = Page::open(&course, &course.sets[1]);
    let refused = texts(&elsewhere.send(&json!({ "do": "code", "text": code })));
    assert!(refused.contains("another set of questions"), "{refused}");
}

#[test]
fn a_mended_comma_redraws_nothing_and_is_said() {
    let mut course = example();
    let mut page = Page::open(&course, &course.sets[0]);
    page.does("start");
    let code = page.session()["code"].as_str().unwrap().to_owned();
    let before = texts(&page.does("show"));
    for question in &mut course.sets[0].questions {
        question.text = question.text.replace(". ", "; ");
    }
    let mut later = Page::open(&course, &course.sets[0]);
    let after = texts(&later.send(&json!({ "do": "code", "text": code })));
    assert!(after.contains("another revision of these pages"), "{after}");
    let numbers = |text: &str| -> Vec<String> {
        let words = text.split(|c: char| !(c.is_ascii_digit() || c == '.'));
        words.filter(|w| w.parse::<f64>().is_ok()).map(str::to_owned).collect()
    };
    assert_eq!(numbers(&after), numbers(&before));
    // An open session goes on over a new revision, and over a changed list it ends.
    let handed = later.hand_in(&page.tab.stored);
    assert!(texts(&handed).contains("another revision"));
    course.sets[0].questions.pop();
    let mut shorter = Page::open(&course, &course.sets[0]);
    assert!(texts(&shorter.hand_in(&page.tab.stored)).contains("no longer fits them"));
}

#[test]
fn what_was_missed_comes_back_more_often() {
    let course = example();
    let set = &course.sets[0];
    let mut page = Page::open(&course, set);
    // Everything steady but one question that was missed last.
    for round in 0..3 {
        for question in &set.questions {
            page.send(&json!({ "do": "only", "question": question.id }));
            if round == 2 && question.id == "half-percent" {
                page.does("give-up");
            } else {
                page.answer_right();
            }
            page.does("leave");
        }
    }
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for _ in 0..50 {
        page.does("start");
        let code = page.session()["code"].clone();
        let listed = ask(&mut page.tab.engine, &json!({ "ask": "list", "code": code }));
        let questions = listed["done"]["questions"].as_array().unwrap().clone();
        let ids: Vec<&str> =
            questions.iter().map(|q| q["item"]["question"].as_str().unwrap()).collect();
        assert!(ids.windows(2).all(|pair| pair[0] != pair[1]), "{ids:?}");
        for id in ids {
            *counts.entry(id.to_owned()).or_default() += 1;
        }
    }
    let missed = counts.remove("half-percent").unwrap();
    let most = counts.values().max().unwrap();
    assert!(missed > 60 && *most <= 55, "{missed} {counts:?}");
}

#[test]
fn all_that_is_kept_can_be_taken_out_and_deleted() {
    let course = example();
    let mut page = Page::open(&course, &course.sets[0]);
    page.does("start");
    page.does("give-up");
    let exported = page.does("export");
    assert_eq!(exported["file"][0], "practice-tarn-valley-foam.json");
    assert!(exported["file"][1].as_str().unwrap().contains("\"right\": false"));
    let asked = page.does("delete");
    assert!(!page.tab.stored.is_empty(), "{asked}");
    let gone = texts(&page.does("delete-all"));
    assert!(page.tab.stored.is_empty(), "{:?}", page.tab.stored);
    assert!(gone.contains("has been deleted"), "{gone}");
}

/// What a released page stored, letter for letter.
#[test]
fn what_an_earlier_release_stored_goes_on() {
    let course = example();
    let set = course.sets.iter().find(|set| set.id == "ten-to-know").unwrap();
    let mut page = Page::open(&course, set);
    page.send(&json!({ "do": "only", "question": "half-percent" }));
    let code = page.session()["code"].as_str().unwrap().to_owned();
    let session = format!(
        r#"{{"code":"{code}","at":0,"attempt":3,"written":"0.4 gpm","judged":false,"gave_up":false,"first":[false]}}"#
    );
    let tried = r#"{"count":2,"questions":{"half-percent":[{"n":1,"day":19998,"right":true},{"n":2,"day":19999,"right":false}]}}"#;
    let mut later = Page::open(&course, set);
    let [history, open] = later.tab.keys.clone().try_into().unwrap();
    let stored = BTreeMap::from([(history, tried.into()), (open.clone(), session)]);
    let handed = later.hand_in(&stored);
    assert!(handed.to_string().contains("\"value\":\"0.4 gpm\""), "{handed}");
    assert_eq!(later.tab.stored, stored, "nothing of it is written anew");
    let home = texts(&later.does("leave"));
    assert!(home.contains("missed"), "{home}");
    assert!(!later.tab.stored.contains_key(&open));
}

#[test]
fn two_tabs_take_nothing_of_each_other_back() {
    let course = example();
    let mut one = Page::open(&course, &course.sets[0]);
    let mut two = Page::open(&course, &course.sets[0]);
    one.send(&json!({ "do": "only", "question": "half-percent" }));
    two.hand_in(&one.tab.stored);
    two.does("give-up");
    // The script found something else stored than it knew: it hands that in and sends its
    // event, which was meant for this question, once more.
    one.send(&json!({ "do": "draft", "text": "0.4 gpm" }));
    let stored = two.tab.stored.clone();
    one.hand_in(&stored);
    one.does("give-up");
    assert_eq!(one.tab.stored, stored, "one question is counted once");
    // The other tab has gone on: an answer to the first question answers nothing.
    two.does("on");
    two.does("leave");
    two.does("start");
    let started = two.tab.stored.clone();
    one.tab.stored.clone_from(&started);
    let handed = one.tab.handed(&one.at(), false);
    ask(&mut one.tab.engine, &handed);
    one.does("answer");
    assert_eq!(one.tab.stored, started);
}
