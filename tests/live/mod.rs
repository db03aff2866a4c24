//! Live runs, driven through the entrance as a page drives them.

mod asks;
mod by_hand;
mod forged;
mod kept;
pub(crate) mod page;
mod outlets;
mod paper;
mod stands;
mod taps;
mod watch;

use drillwright::authoring::RunReader;
use drillwright::course::{Course, Drill, OrderSeen, TimeStandard};
use drillwright::findings::Code;
use drillwright::practice::live::{DueHead, Live, LiveKit, Told, sheets};
use drillwright::quantity::Quantity;
use drillwright::scoring::{Verdict, score};
use drillwright::stock;
use serde_json::{Value, json};

use self::page::{AT, Page, rig_of};
use crate::engine::{Tab, example};

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

/// What `score` makes of a file: outcome and reason of each run.
fn scored(course: &Course, text: &str) -> Vec<(String, String)> {
    let words = stock::words();
    let mut reader = RunReader::new(course, &words, None);
    let (runs, found) = reader.read(text, "run.json");
    // What is open stays open on both sides: a question keeps no sheet from being scored.
    assert!(found.iter().all(|one| one.code == Code::RunOpen), "{found:#?}");
    let verdict = |run: &drillwright::authoring::Given| {
        assert!(!run.carried, "the module has the same revision");
        let verdict = score(&run.kit, &run.sheet);
        (verdict.outcome_text, verdict.reason)
    };
    runs.iter().map(verdict).collect()
}

/// Values of the module's own run of the flush, which met the standard.
const FLUSH: &[(&str, &str)] = &[
    ("flush/reading.flow-read", "125"),
    ("flush/reading.percent-set", "0.5"),
    ("flush/reading.foam-used", "3.2 gal"),
    ("flush/reading.water-used", "630"),
    ("flush/measure.flush-time", "48"),
    ("flush/measure.flush-water", "100 gal"),
];

#[test]
fn a_flush_at_the_panel_gets_the_verdict_that_score_gives() {
    let (course, mut page) = Page::drill("flush");
    let first = page.does("show");
    assert!(texts(&first).contains("1. Who runs?"));
    let refused = page.does("begin");
    assert!(texts(&refused).contains("gaps, first outlet"), "{}", texts(&refused));
    page.begin("engine-7");
    page.mark_all();
    for (field, text) in FLUSH {
        assert_eq!(
            page.write(field, text)["view"],
            Value::Null,
            "typing redraws nothing"
        );
    }
    page.send(&json!({ "do": "mark", "step": "count-start", "mark": "prompted" }));
    let during = page.does("show");
    assert!(!texts(&during).contains("points"), "no running score");
    page.end();
    page.write("words", "I forgot to say when my count began.");
    let (text, turn) = page.save();
    let told = texts(&turn);
    let runs = scored(&course, &text);
    assert_eq!(runs.len(), 1);
    assert!(told.contains(&runs[0].0) && told.contains(&runs[0].1), "{told} {runs:?}");
    assert!(runs[0].0.starts_with("Met this drill's standard on 2026-1"), "{runs:?}");
    assert!(told.contains("no signature"), "{told}");
    let file: Value = serde_json::from_str(&text).unwrap();
    assert!(file["log"].as_array().unwrap().len() > 30, "{file}");
    assert_eq!(file["kit"]["drill"]["drill"], "flush");
}

#[test]
fn untouched_steps_are_asked_for_and_order_can_be_confirmed() {
    let (_, mut page) = Page::drill("flush");
    page.begin("engine-7");
    page.mark_all();
    for step in ["freeze", "tank-free", "close-slowly", "bottle"] {
        let live = Live::of(page.kit.clone()).unwrap();
        assert!(page.log().replay(&live).parts["flush"].marks.contains_key(step));
    }
    // Four taps are taken back: the marks of criticals, the last ones.
    for _ in 0..6 {
        page.does("undo");
    }
    let review = texts(&page.ends());
    assert!(review.contains("Steps untouched: 1. Not done, or not seen?"), "{review}");
    assert!(review.contains("Criticals untouched: 5."), "{review}");
    page.send(&json!({ "do": "rest", "mark": "not-done" }));
    page.send(&json!({ "do": "rest-criticals", "mark": "not-seen" }));
    let order = page.kit.drills[0].drill.steps.clone();
    for step in order.iter().rev() {
        page.send(&json!({ "do": "order", "step": step.id }));
    }
    let reason = page.verdict().reason;
    let (text, turn) = page.save();
    let told = texts(&turn);
    assert!(told.contains(&reason), "{reason} {told}");
    let file: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(file["order-seen"].as_array().unwrap().len(), order.len() - 1);
    let back = file["log"].as_array().unwrap().iter();
    let back = back.filter(|line| line.as_str().unwrap().contains("undone: critical"));
    assert_eq!(back.count(), 5, "an undo leaves its trace");
}

#[test]
fn a_stop_freezes_at_the_first_tap_and_then_asks() {
    let (course, mut page) = Page::drill("purge");
    page.begin("engine-7");
    let step = page.kit.drills[0].drill.steps[0].id.clone();
    page.send(&json!({ "do": "mark", "step": step, "mark": "done" }));
    let stopped = texts(&page.does("stop"));
    let safe = &page.kit.drills[0].drill.stop.safe_state;
    assert!(safe.iter().all(|one| stopped.contains(one.as_str())), "{stopped}");
    let before = page.log();
    page.send(&json!({ "do": "mark", "step": step, "mark": "not-done" }));
    page.does("undo");
    page.ends();
    assert_eq!(page.log(), before, "nothing is marked after a stop");
    page.does("no-stop");
    page.does("stop");
    page.write("stop.by", "hazel");
    page.write("stop.why", "hose across the road");
    page.write("stop.cause", "outside");
    page.ends();
    let (text, turn) = page.save();
    let runs = scored(&course, &text);
    assert!(runs[0].0.starts_with("Stopped on "), "{runs:?}");
    assert!(texts(&turn).contains(&runs[0].1));
}

#[test]
fn a_chain_is_one_file_with_a_verdict_for_each_drill() {
    let course = example();
    let kit = LiveKit::of_chain(&course, &course.chains[0], &stock::words());
    let mut page = Page::open(kit);
    page.begin("engine-7");
    let drills = course.chains[0].drills.clone();
    for drill in &drills[..3] {
        page.send(&json!({ "do": "turn", "drill": drill }));
        page.mark_all();
    }
    page.ends();
    let live = page.live();
    let parts = sheets(&live, &page.state());
    assert_eq!(parts.len(), 3);
    let (text, turn) = page.save();
    let file: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(file.as_array().unwrap().len(), 3);
    let told = texts(&turn);
    let has = |verdict: &Verdict| {
        told.contains(&verdict.outcome_text) && told.contains(&verdict.reason)
    };
    assert!(parts.iter().all(|part| has(&part.verdict)), "{told}");
}

#[test]
fn the_next_candidate_needs_no_names_and_a_second_evaluator_is_compared() {
    let (_, mut page) = Page::drill("flush");
    page.begin("engine-7");
    page.mark_all();
    page.ends();
    page.save();
    let second = page.does("second");
    assert_eq!(second["asks"], json!([]));
    for (field, text) in [
        ("evaluator", "alder"),
        ("qualification", "course"),
        ("qualified-on", "2024-03-01"),
        ("relation", "own officer"),
    ] {
        page.write(field, text);
    }
    page.does("begin");
    page.mark_all();
    page.send(&json!({ "do": "mark", "step": "bottle", "mark": "not-done" }));
    page.ends();
    let (text, turn) = page.save();
    let told = texts(&turn);
    let after = told.split("Where the two evaluators differ").nth(1).unwrap();
    assert!(after.contains("E. Rowan (invented)\nF. Alder (invented)"), "{after}");
    assert!(after.contains("not done"), "{after}");
    let file: Value = serde_json::from_str(&text).unwrap();
    assert!(file["entered-at"].is_string() && file["evaluator"]["person"] == "alder");
    page.does("next");
    page.write("candidate", "juniper");
    let begun = page.does("begin");
    assert!(texts(&begun).contains("D. Juniper (invented)"), "{}", texts(&begun));
    // The open run, its kit, what was declared, the heads, and two finished runs.
    assert_eq!(page.tab.stored.len(), 6, "{:?}", page.tab.stored.keys());
}

/// The flush with a limit of time, as no drill of the example has one.
fn timed(course: &Course) -> Drill {
    let quantity = |text| Quantity::read(text).unwrap();
    Drill {
        time: Some(TimeStandard {
            within: quantity("60 s"),
            starts_at: "brake set".into(),
            stops_at: "line charged".into(),
            watch: "evaluator".into(),
            resolution: quantity("1 s"),
            source: "Training order 12 (invented)".into(),
            holds: vec!["hydrant frozen".into()],
        }),
        ..course.drill("flush").unwrap().clone()
    }
}

#[test]
fn the_watch_holds_and_follows_neither_a_set_clock_nor_a_reload() {
    let course = example();
    let kit = LiveKit::of_drill(&course, &timed(&course), &stock::words());
    let mut page = Page::open(kit);
    page.begin("engine-7");
    page.mark_all();
    let start = page.does("start");
    assert_eq!(start["asks"], json!(["awake", "ticks"]));
    page.wall -= 7_200_000;
    page.steady += 29_000;
    let tick = page.does("tick");
    assert_eq!(tick["texts"]["clock"], "0:30", "{tick}");
    assert_eq!(tick["store"], json!({}), "a tick is stored nowhere");
    page.send(&json!({ "do": "hold", "why": "hydrant frozen" }));
    page.steady += 9_000;
    page.does("release");
    // The browser is killed; the page is loaded again four seconds later.
    page.boot = "b";
    page.steady = 5;
    page.wall += 3_000;
    let finished = texts(&page.does("finish"));
    assert!(finished.contains("loaded again"), "{finished}");
    page.ends();
    let (text, _) = page.save();
    let file: Value = serde_json::from_str(&text).unwrap();
    // 31 s to the hold, 10 s held, 4 s after it.
    assert_eq!(file["time"], json!({ "taken": "45 s", "held": "10 s" }), "{file}");
    let log = file["log"].to_string();
    assert!(log.contains("clock was set") && log.contains("loaded again"), "{log}");
}

#[test]
fn a_paper_run_is_typed_in_with_a_few_taps() {
    let (course, mut page) = Page::drill("flush");
    page.declare("engine-7");
    page.write("later", "yes");
    assert!(texts(&page.does("begin")).contains("Performed at"));
    page.write("performed-at", "2026-11-14T10:20");
    page.does("begin");
    page.send(&json!({ "do": "rest", "mark": "done" }));
    page.send(&json!({ "do": "rest-criticals", "mark": "no" }));
    for (field, text) in FLUSH {
        page.write(field, text);
    }
    page.end();
    let (text, _) = page.save();
    let file: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(file["performed-at"], "2026-11-14 10:20");
    assert!(file["entered-at"].is_string());
    assert!(
        scored(&course, &text)[0]
            .0
            .starts_with("Met this drill's standard on 2026-11-14")
    );
}
