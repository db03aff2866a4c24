//! Whatever is tapped, the log replays and the saved run scores the same.

use std::cell::Cell;

use drillwright::practice::live::{Live, LiveKit, Log};
use drillwright::scoring::score;
use drillwright::stock;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use serde_json::{Value, json};

use super::*;

/// Any event, mostly about things that are there.
#[expect(clippy::too_many_lines, reason = "one line for each event")]
fn events(kit: &LiveKit) -> impl Strategy<Value = Vec<(Value, i64, bool)>> + use<> {
    let drill = &kit.drills[0].drill;
    let steps: Vec<String> = drill.steps.iter().map(|step| step.id.clone()).collect();
    let criticals: Vec<String> =
        drill.criticals.iter().map(|one| one.id.clone()).collect();
    let acts: Vec<String> =
        kit.drills[0].unsafe_acts.iter().map(|act| act.id.clone()).collect();
    let marks = ["done", "prompted", "not-done", "not-seen", "not-applicable"];
    let mark = prop::sample::select(marks.to_vec());
    let kept = prop::sample::select(vec!["no", "yes", "prevented", "not-seen"]);
    let plain = prop::sample::select(vec![
        "as-printed",
        "not-watched",
        "begin",
        "start",
        "finish",
        "release",
        "stop",
        "no-stop",
        "end",
        "back",
        "undo",
        "undo",
        "undo",
        "save",
        "rescue",
        "discard",
        "second",
        "next",
        "role",
        "show",
        "tick",
    ]);
    let field = prop::sample::select(vec![
        "rig",
        "outlet",
        "mode",
        "flush/reading.flow-read",
        "flush/measure.flush-time",
        "void.cause",
        "void.agreed-by",
        "flush/happened.clear-on-time-alone",
        "flush/settled.clear-on-time-alone.stands",
        "flush/settled.clear-on-time-alone.why",
        "flush/settled.clear-on-time-alone.officer",
        "stop.by",
        "stop.why",
        "stop.cause",
        "notes",
        "later",
        "performed-at",
        "no-such-field",
    ]);
    let text = prop::sample::select(vec![
        "engine-7",
        "tender-3",
        "crosslay-1",
        "48",
        "-3",
        "9e99",
        "walk-through",
        "",
        "yes",
        "hazel",
        "candidate",
        "weather",
        "2026-11-14T10:20",
        "\u{202e}🚒",
    ]);
    let keys = [
        json!({ "digit": "7" }),
        json!({ "digit": "." }),
        json!({ "digit": "é" }),
        json!({ "unit": "qt" }),
        json!({ "unit": "" }),
        json!("back"),
        json!("sign"),
        json!("on"),
    ];
    let step = prop::sample::select(steps);
    let one = prop_oneof![
        8 => (step.clone(), mark.clone())
            .prop_map(|(step, mark)| json!({ "do": "mark", "step": step, "mark": mark })),
        2 => step.clone().prop_map(|step| json!({ "do": "undone", "step": step })),
        2 => (step.clone(), any::<bool>())
            .prop_map(|(step, had)| json!({ "do": "begun", "step": step, "begun": had })),
        2 => (step.clone(), step.clone()).prop_map(|(first, then)| {
            json!({ "do": "pair", "pair": format!("{first} > {then}"), "seen": "reversed" })
        }),
        1 => step.clone().prop_map(|step| json!({ "do": "reported", "measure": step })),
        1 => step.clone().prop_map(|step| json!({ "do": "cue", "cue": step, "mark": "given" })),
        2 => step.clone().prop_map(|step| json!({ "do": "order", "step": step })),
        3 => step.clone().prop_map(|step| json!({ "do": "first", "step": step })),
        2 => (step, any::<bool>())
            .prop_map(|(step, late)| json!({ "do": "placed", "step": step, "late": late })),
        2 => prop::sample::select(vec!["sheet", "criticals", "caution", "question", "begun:x", ""])
            .prop_map(|what| json!({ "do": "open", "what": what })),
        3 => (prop::sample::select(criticals), kept.clone()).prop_map(|(id, mark)| {
            json!({ "do": "critical", "critical": id, "mark": mark })
        }),
        1 => prop::sample::select(acts).prop_map(|act| json!({ "do": "unsafe", "act": act })),
        1 => Just(json!({ "do": "hold", "why": "hydrant frozen" })),
        1 => mark.prop_map(|mark| json!({ "do": "rest", "mark": mark })),
        1 => kept.prop_map(|mark| json!({ "do": "rest-criticals", "mark": mark })),
        1 => (0_usize..3).prop_map(|at| json!({ "do": "forget", "run": at })),
        2 => (field.clone(), prop::sample::select(keys.to_vec()))
            .prop_map(|(field, key)| json!({ "do": "press", "field": field, "key": key })),
        4 => (field, text)
            .prop_map(|(field, text)| json!({ "do": "write", "field": field, "text": text })),
        6 => plain.prop_map(|name| json!({ "do": name })),
    ];
    let clock = prop_oneof![3 => 0_i64..5_000, 1 => any::<i64>()];
    prop::collection::vec((one, clock, prop::bool::weighted(0.05)), 1..60)
}

/// "Forget the second one" names the run that stands there.
fn finished(page: &Page, mut event: Value) -> Value {
    if let Some(at) = event["run"].as_u64() {
        let texts = page.tab.stored.keys().filter_map(|key| key.split_once("/finished/"));
        let runs: Vec<&str> = texts.map(|(_, run)| run).collect();
        event["run"] = json!(runs.get(usize::try_from(at).unwrap()).unwrap_or(&"none"));
    }
    event
}

#[test]
fn whatever_is_tapped_the_saved_run_scores_the_same() {
    let course = example();
    let kit = LiveKit::of_drill(&course, &timed(&course), &stock::words());
    let live = Live::of(kit.clone()).unwrap();
    let words = stock::words();
    let saved = Cell::new(0);
    let config = ProptestConfig { cases: 24, ..ProptestConfig::default() };
    let property = |taps: Vec<(Value, i64, bool)>| {
        let mut page = Page::open(kit.clone());
        page.begin("engine-7");
        let tail = ["no-stop", "release", "finish", "end", "save"];
        let tail = tail.map(|name| (json!({ "do": name }), 700, false));
        for (event, clock, reload) in taps.into_iter().chain(tail) {
            if reload {
                page.boot = if page.boot == "a" { "b" } else { "a" };
                page.steady = 0;
            }
            page.wall =
                page.wall.wrapping_add(clock).clamp(AT - 400_000_000, AT + 400_000_000);
            let before = page.tab.stored.clone();
            let turn = page.send(&finished(&page, event.clone()));
            if event["do"] == "show" || event["do"] == "tick" {
                prop_assert_eq!(&before, &page.tab.stored);
            }
            let log = page.log();
            let stored = serde_json::to_string(&log).unwrap();
            let again: Log = serde_json::from_str(&stored).unwrap();
            prop_assert_eq!(again.replay(&live), log.replay(&live));
            if event["do"] == "save" && turn["file"].is_array() {
                let told = texts(&turn);
                let text = turn["file"][1].as_str().unwrap();
                let verdict = page.verdict();
                prop_assert!(told.contains(&verdict.reason), "{} {:?}", told, verdict);
                saved.set(saved.get() + 1);
                let mut reader = RunReader::new(&course, &words, None);
                let (runs, _) = reader.read(text, "run.json");
                // A sheet that leaves something open has findings, and the same verdict.
                for run in runs {
                    prop_assert!(run.carried, "no module has this revision");
                    let again = score(&run.kit, &run.sheet);
                    prop_assert_eq!(&again.reason, &verdict.reason);
                }
            }
        }
        Ok(())
    };
    let mut runner = TestRunner::new(config);
    runner.run(&events(&kit), property).unwrap();
    assert!(saved.get() > 8, "{} of 24 runs could be saved", saved.get());
}

#[test]
fn a_number_that_is_none_is_named_before_saving() {
    let (_, mut page) = Page::drill("flush");
    page.begin("engine-7");
    page.mark_all();
    page.write("flush/reading.flow-read", "lots");
    let review = texts(&page.ends());
    assert!(review.contains("\"lots\" is no number"), "{review}");
    let refused = page.does("save");
    assert_eq!(refused["file"], Value::Null);
    let told = texts(&page.hand_in(page.tab.stored.clone(), true));
    assert!(told.contains("does not keep what you tap"), "{told}");
    let rescue = page.does("rescue");
    assert!(rescue["file"][1].as_str().unwrap().contains("flush"));
}

#[test]
fn another_role_of_the_run_is_scored_apart_with_the_first_in_its_crew() {
    let (_, mut page) = Page::drill("supply-change");
    page.declare("engine-7");
    let live = Live::of(page.kit.clone()).unwrap();
    let roles: Vec<String> = live.scored().iter().map(|role| role.id.clone()).collect();
    let [first, other] = roles.as_slice() else { panic!("{roles:?}") };
    page.write("role", first);
    page.write(&format!("crew.{other}"), "alder");
    page.does("begin");
    page.mark_all();
    page.ends();
    let (before, _) = page.save();
    page.does("role");
    let declared = page.log().replay(&live);
    assert_eq!((declared.text("role"), declared.text("candidate")), (&**other, "alder"));
    page.write("attempt", "1");
    page.does("begin");
    page.mark_all();
    page.ends();
    let (after, turn) = page.save();
    assert!(turn["file"][0].as_str().unwrap().contains(other.as_str()), "{turn}");
    let read = |text: &str| serde_json::from_str::<Value>(text).unwrap();
    let (before, after) = (read(&before), read(&after));
    assert_eq!(before["run"], after["run"]);
    assert_eq!(after["crew"][first], "moss");
}

#[test]
fn a_number_is_written_key_by_key_with_its_unit() {
    let (_, mut page) = Page::drill("flush");
    page.begin("engine-7");
    let field = "flush/reading.foam-used";
    let press = |page: &mut Page, key: Value| {
        page.send(&json!({ "do": "press", "field": field, "key": key }))
    };
    for digit in ["3", ".", "2"] {
        press(&mut page, json!({ "digit": digit }));
    }
    let shown = texts(&page.look("number:flush/reading.foam-used"));
    assert!(!shown.contains("qt"), "the counter shows no quarts: {shown}");
    page.look("sheet");
    let turn = press(&mut page, json!({ "unit": "qt" }));
    assert_eq!(turn["view"], Value::Null, "a key redraws nothing");
    assert_eq!(turn["texts"]["f-flush-reading-foam-used"], "3.2 qt");
    assert_eq!(turn["texts"]["p-f-flush-reading-foam-used"], "3.2 qt");
    let entries = page.log().entries.len();
    press(&mut page, json!("back"));
    assert_eq!(page.log().entries.len(), entries, "typing goes on in one entry");
    let turn = press(&mut page, json!("on"));
    assert_eq!(turn["view"]["focus"], "f-flush-reading-water-used");
    let before = page.log();
    page.send(&json!({ "do": "press", "field": "flush/words", "key": { "digit": "1" } }));
    assert_eq!(page.log(), before, "only numbers have keys");
}
