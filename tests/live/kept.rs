//! What a browser keeps of live runs: finished ones apart from the open one, those of earlier
//! releases, and two tabs over one store.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::*;
use crate::engine::ask;

/// A flush on paper: declared, marked with two taps, and saved.
fn whole(page: &mut Page, run: usize) -> (String, String) {
    page.declare("engine-7");
    page.write("run", &format!("paper-{run}"));
    page.write("later", "yes");
    page.write("performed-at", "2026-11-14 10:20");
    saved(page)
}

/// Begun, marked and saved.
fn saved(page: &mut Page) -> (String, String) {
    page.does("begin");
    page.send(&json!({ "do": "rest", "mark": "done" }));
    page.send(&json!({ "do": "rest-criticals", "mark": "no" }));
    page.ends();
    let turn = page.does("save");
    let file = turn["file"].as_array().unwrap_or_else(|| panic!("{}", texts(&turn)));
    let [name, text] = [0, 1].map(|at| file[at].as_str().unwrap().to_owned());
    (name, text)
}

fn heads(page: &Page) -> Vec<Value> {
    let key = page.tab.keys.iter().find(|key| key.ends_with("/heads")).unwrap();
    serde_json::from_str(&page.tab.stored[key]).unwrap()
}

/// The texts of finished runs, each under its own key.
fn kept(page: &Page) -> BTreeMap<&str, &str> {
    let texts = page.tab.stored.iter();
    let texts =
        texts.filter_map(|(key, text)| Some((key.split_once("/finished/")?.1, &**text)));
    texts.collect()
}

#[test]
fn a_tap_carries_a_tap_after_a_hundred_finished_runs() {
    let (_, mut page) = Page::drill("flush");
    page.boot = "245-12-99-201-131-222-240-198-245-12-99-201-131-222-240-198";
    let open = json!({ "ask": "open", "live": page.kit });
    page.tab = Tab::open(&open, &page.at()).alone();
    let mut files = Vec::new();
    for run in 0..100 {
        // The next candidate needs no names but their own.
        files.push(if run == 0 {
            whole(&mut page, run)
        } else {
            page.write("candidate", "juniper");
            page.write("attempt", "1");
            page.write("run", &format!("paper-{run}"));
            saved(&mut page)
        });
        page.does("next");
    }
    assert_eq!(heads(&page).len(), 100, "nothing goes that nobody took");
    assert!(texts(&page.does("show")).contains("Not handed over yet: 100."));
    // All at once: the page hands the texts back, and they are one file.
    let gather = page.does("hand-all")["gather"].clone();
    let gather: Vec<String> = serde_json::from_value(gather).unwrap();
    let told: Vec<&str> = gather.iter().map(|key| &*page.tab.stored[key]).collect();
    let oldest: Vec<&str> = files.iter().map(|(_, text)| &**text).collect();
    assert_eq!(told, oldest);
    let all = page.send(&json!({ "do": "together", "texts": told }));
    let whole: Vec<Value> =
        serde_json::from_str(all["file"][1].as_str().unwrap()).unwrap();
    assert_eq!(whole.len(), 100);
    assert!(!texts(&all).contains("Not handed over yet"));
    // What was handed over makes room.
    page.write("candidate", "juniper");
    page.write("run", "paper-100");
    files.push(saved(&mut page));
    page.does("next");
    assert_eq!(heads(&page).len(), 30, "of those handed over the newest are kept");
    let newest: Vec<&str> =
        files.iter().rev().take(30).map(|(_, text)| &**text).collect();
    let of = kept(&page);
    let told: Vec<&str> =
        heads(&page).iter().map(|head| of[head["id"].as_str().unwrap()]).collect();
    assert_eq!(told, newest);
    assert_eq!(of.len(), 30, "an older text goes with its head");
    let handed = page.tab.handed(&page.at(), false).to_string();
    assert!(handed.len() < 20_000, "{} bytes are handed in", handed.len());
    // The sheets on paper are entered; this run is watched.
    page.write("later", "no");
    page.begin("engine-7");
    let drill = page.kit.drills[0].drill.clone();
    let step = |id| json!({ "do": "mark", "step": id, "mark": "not-applicable" });
    let order = |id| json!({ "do": "undone", "step": id });
    let critical = |id| json!({ "do": "critical", "critical": id, "mark": "not-seen" });
    let steps = drill.steps.iter().flat_map(|one| [step(&one.id), order(&one.id)]);
    let taps = steps.chain(drill.criticals.iter().map(|one| critical(&one.id)));
    // The longest that chance and a page that is open for days can be.
    page.steady = 1_000_000_000;
    let bytes = taps.map(|event| {
        page.tab.tap(&event, &page.at(), &[255; 16]);
        page.tab.request.to_string().len()
    });
    let longest = bytes.max().unwrap();
    println!("the longest request of a tap has {longest} bytes");
    assert!(longest < 500, "{longest} bytes: {}", page.tab.request);
}

#[test]
fn a_finished_run_is_asked_for_by_its_name_and_forgotten_by_it() {
    let (_, mut page) = Page::drill("flush");
    let (name, text) = whole(&mut page, 1);
    page.does("next");
    let (other, _) = whole(&mut page, 2);
    let [newer, older] = heads(&page).try_into().unwrap();
    assert_eq!((&newer["name"], &older["name"]), (&json!(other), &json!(name)));
    let turn = page.send(&json!({ "do": "file", "run": older["id"] }));
    assert_eq!(turn["fetch"][0], json!(name));
    assert_eq!(page.tab.stored[turn["fetch"][1].as_str().unwrap()], text);
    assert!(heads(&page)[1]["handed"].as_bool().unwrap(), "somebody took it");
    page.send(&json!({ "do": "forget", "run": "0000000000000000" }));
    assert_eq!(kept(&page).len(), 2);
    page.send(&json!({ "do": "forget", "run": older["id"] }));
    assert_eq!(heads(&page), [newer]);
    assert_eq!(kept(&page).len(), 1);
    // One that nobody took goes only after a second question.
    let asked = page.send(&json!({ "do": "forget", "run": heads(&page)[0]["id"] }));
    assert!(texts(&asked).contains("was not handed over"), "{}", texts(&asked));
    assert_eq!(kept(&page).len(), 1);
    let sure = json!({ "do": "forget", "run": heads(&page)[0]["id"], "sure": true });
    page.send(&sure);
    // The run that stands finished can still be taken.
    assert_eq!(page.does("rescue")["file"][0], json!(other));
    // The same text twice is one run.
    let stored = page.tab.stored.clone();
    page.hand_in(stored, false);
    assert!(kept(&page).is_empty());
}

/// The list of whole runs that releases before the heads stored.
#[test]
fn finished_runs_of_an_earlier_release_are_carried_over() {
    let (_, mut page) = Page::drill("flush");
    let (name, text) = whole(&mut page, 1);
    let key =
        page.tab.keys.iter().find(|key| key.ends_with("/finished")).unwrap().clone();
    let old = |count: usize| {
        let one = |at: usize| json!({ "name": format!("old-{at}.json"), "title": format!("Run {at}"), "text": format!("{{\"run\":\"{at}\"}}") });
        json!((0..count).map(one).collect::<Vec<_>>()).to_string()
    };
    let mut stored = page.tab.stored.clone();
    stored.insert(key.clone(), old(40));
    let turn = page.hand_in(stored, false);
    assert_eq!(turn["store"][&key], Value::Null);
    assert!(turn["store"].as_object().unwrap().contains_key(&key), "the old list goes");
    let all = heads(&page);
    assert_eq!(all.len(), 41, "all of them, whatever the list may hold from now on");
    let of = kept(&page);
    for (at, head) in all.iter().take(40).enumerate() {
        assert_eq!(head["name"], format!("old-{at}.json"));
        assert_eq!(of[head["id"].as_str().unwrap()], format!("{{\"run\":\"{at}\"}}"));
    }
    assert_eq!(
        (&all[40]["name"], of[all[40]["id"].as_str().unwrap()]),
        (&json!(name), &*text)
    );
    assert!(texts(&turn).contains("Run 39"), "{}", texts(&turn));
    // An old page in another tab finished one more; and once more the same.
    let mut stored = page.tab.stored.clone();
    stored.insert(key.clone(), old(2));
    page.hand_in(stored, false);
    assert_eq!(heads(&page).len(), 41);
    // What cannot be read stays where it is.
    let mut stored = page.tab.stored.clone();
    stored.insert(key.clone(), "[{broken".into());
    page.hand_in(stored, false);
    page.does("next");
    assert_eq!(page.tab.stored[&key], "[{broken");
}

/// Logs of releases before a run had an id, letter for letter but for its length.
#[test]
fn an_open_run_of_an_earlier_release_goes_on() {
    let (_, mut page) = Page::drill("flush");
    page.begin("engine-7");
    page.mark_all();
    let key = page.tab.keys.iter().find(|key| key.ends_with("/run")).unwrap().clone();
    let mut log: Value = serde_json::from_str(&page.tab.stored[&key]).unwrap();
    log.as_object_mut().unwrap().remove("id").unwrap();
    assert_eq!(log.as_object().unwrap().keys().collect::<Vec<_>>(), ["entries", "kit"]);
    let mut stored = page.tab.stored.clone();
    stored.insert(key, log.to_string());
    let before = page.log().entries;
    let handed = page.hand_in(stored, false);
    assert!(texts(&handed).contains("D. Juniper") || texts(&handed).contains("A. Moss"));
    page.does("undo");
    assert_eq!(page.log().entries.len(), before.len() + 1, "the tap was taken");
    page.ends();
}

/// A page says which sheet its open run goes on with, whether that is the first one or not.
#[test]
fn what_a_run_goes_on_with_is_said_as_it_is() {
    let (_, mut page) = Page::drill("flush");
    page.begin("engine-7");
    let key = page.tab.keys.iter().find(|key| key.ends_with("/kit")).unwrap().clone();
    let first = page.tab.stored[&key].clone();
    let said = |page: &mut Page, kit: String| {
        let mut stored = page.tab.stored.clone();
        stored.insert(key.clone(), kit);
        texts(&page.hand_in(stored, false))
    };
    let (old, gone) = ("goes on with what it began with", "goes on with the new sheet");
    let told = said(&mut page, first.clone());
    assert!(!told.contains(old) && !told.contains(gone), "{told}");
    let told = said(&mut page, first.replace("\"format\":1", "\"format\":99"));
    assert!(!told.contains(old) && told.contains(gone), "{told}");
    let told = said(&mut page, "{broken".to_owned());
    assert!(!told.contains(old) && told.contains(gone), "{told}");
    let mut kit: Value = serde_json::from_str(&first).unwrap();
    kit["title"] = json!("As it was before");
    let told = said(&mut page, kit.to_string());
    assert!(told.contains(old) && !told.contains(gone), "{told}");
}

#[test]
fn a_tap_for_a_run_that_is_no_longer_open_does_nothing() {
    let (_, mut page) = Page::drill("flush");
    page.begin("engine-7");
    let step = page.kit.drills[0].drill.steps[0].id.clone();
    let mark = json!({ "do": "mark", "step": step, "mark": "done" });
    // Another tab ends that run, and begins one of the next candidate.
    let (_, mut other) = Page::drill("flush");
    other.hand_in(page.tab.stored.clone(), false);
    other.ends();
    other.mark_all();
    other.send(&json!({ "do": "rest-criticals", "mark": "no" }));
    other.save();
    other.does("next");
    other.write("candidate", "juniper");
    other.does("begin");
    let stored = other.tab.stored.clone();
    // The script finds it when it wants to store the tap: it hands that in, and sends the tap
    // once more, as it was meant.
    page.send(&mark);
    let meant = page.tab.request.clone();
    page.hand_in(stored.clone(), false);
    let turn = ask(&mut page.tab.engine, &meant)["done"].take();
    assert_eq!(turn["store"], json!({}));
    assert!(texts(&turn).contains("D. Juniper"), "{}", texts(&turn));
    let live = Live::of(page.kit.clone()).unwrap();
    page.tab.stored = stored;
    assert!(page.log().replay(&live).parts["flush"].marks.is_empty());
    // Meant for the run that is open it marks.
    page.send(&mark);
    assert_eq!(page.log().replay(&live).parts["flush"].marks.len(), 1);
}

#[test]
fn a_state_older_than_what_is_stored_takes_nothing_back() {
    let (_, mut page) = Page::drill("flush");
    page.begin("engine-7");
    let steps = page.kit.drills[0].drill.steps.clone();
    let mark = |at: usize| json!({ "do": "mark", "step": steps[at].id, "mark": "done" });
    let (_, mut other) = Page::drill("flush");
    other.hand_in(page.tab.stored.clone(), false);
    other.send(&mark(0));
    let stored = other.tab.stored.clone();
    // The first tab does not know of it. Its tap is not stored but taken again.
    page.send(&mark(1));
    page.hand_in(stored, false);
    page.send(&mark(1));
    let live = Live::of(page.kit.clone()).unwrap();
    let marks = page.log().replay(&live).parts["flush"].marks.len();
    assert_eq!(marks, 2);
    page.does("undo");
    page.does("undo");
    assert!(page.log().replay(&live).parts["flush"].marks.is_empty());
}

#[test]
fn clocks_that_go_back_and_typing_leave_one_state() {
    let course = example();
    let kit = LiveKit::of_drill(&course, &timed(&course), &stock::words());
    let mut page = Page::open(kit);
    page.begin("engine-7");
    page.does("start");
    // Each tap is answered once more by an engine that only has what is stored.
    for (steady, wall) in [(-5_000, 0), (9_000, -90_000_000), (-20_000, 7), (60_000, 0)] {
        page.steady += steady;
        page.wall += wall;
        page.write("notes", &format!("at {steady}"));
        page.steady -= 2_500;
        page.write("notes", "and on");
        page.does("tick");
    }
    page.boot = "b";
    page.write("notes", "and on, loaded again");
    page.boot = "c";
    page.write("notes", "and once more");
    page.does("finish");
    page.does("undo");
    page.does("finish");
}
