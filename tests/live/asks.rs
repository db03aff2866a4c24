//! What a live sheet asks: cues, prompts, pairs, contradictions, stop and void.

use drillwright::scoring::{Decision, Outcome, Rule};

use super::*;

const FOAM: &str = "foam-off-with-air-on";
const CLEAR: &str = "clear-on-time-alone";

/// Values of a change that was as ordered.
const CHANGE: &[(&str, &str)] = &[
    ("percent-change/reading.percent-ordered", "0.8"),
    ("percent-change/reading.flow-read", "125"),
    ("percent-change/reading.line-flow", "125"),
    ("percent-change/reading.plain-flow", "0"),
    ("percent-change/reading.supply", "0"),
    ("percent-change/reading.foam-left", "20"),
    ("percent-change/reading.water-left", "600"),
    ("percent-change/reading.pressure-before", "110"),
    ("percent-change/measure.percent-set", "0.8"),
    ("percent-change/measure.minutes-told", "4"),
    ("percent-change/measure.wait-held", "30"),
    ("percent-change/measure.pressure-held", "110"),
];

pub(super) fn numbers(page: &mut Page, numbers: &[(&str, &str)]) {
    for (field, text) in numbers {
        page.write(field, text);
    }
}

/// A flush on which everything is as it should be, looked through; the order is not watched.
fn flush() -> Page {
    let (_, mut page) = Page::drill("flush");
    page.begin("engine-7");
    page.mark_all();
    numbers(&mut page, FLUSH);
    page.ends();
    page
}

/// The element of an id.
pub(super) fn element(turn: &Value, id: &str) -> Option<Value> {
    fn walk(node: &Value, id: &str) -> Option<Value> {
        if node["with"]["id"] == id {
            return Some(node.clone());
        }
        node["kids"].as_array()?.iter().find_map(|kid| walk(kid, id))
    }
    turn["view"]["nodes"].as_array()?.iter().find_map(|node| walk(node, id))
}

/// Presses the button of an id, as a page does.
pub(super) fn press(page: &mut Page, id: &str) -> Value {
    let shown = page.look("sheet");
    let button = element(&shown, id).unwrap_or_else(|| panic!("{id}: {}", texts(&shown)));
    page.send(&button["act"])
}

pub(super) fn outcome(page: &Page) -> Outcome {
    page.verdict().outcome
}

#[test]
fn a_change_with_its_cues_is_met_and_without_one_in_part() {
    let (course, mut page) = Page::drill("percent-change");
    page.begin("engine-7");
    let first = page.does("show");
    assert!(texts(&first).contains("Answers a cue. Once it was given"), "{first}");
    assert!(element(&first, "m-refuse-done").is_none(), "nothing to answer yet");
    page.mark("refuse", "done");
    assert!(!page.state().parts["percent-change"].marks.contains_key("refuse"));
    let given = press(&mut page, "q-impossible-order-given");
    assert!(element(&given, "m-refuse-done").is_some());
    assert_eq!(given["view"]["focus"], "q-impossible-order-given");
    press(&mut page, "q-foam-lost-not-given");
    let told = texts(&page.does("show"));
    assert!(
        told.contains("Not shown, because its cue was not given: The nozzle"),
        "{told}"
    );
    page.mark_all();
    numbers(&mut page, CHANGE);
    page.end();
    assert_eq!(outcome(&page), Outcome::Met, "{:#?}", page.verdict().lines);
    // The cue is taken back: what was marked can be mended, and rests on nothing.
    press(&mut page, "q-foam-lost-not-given");
    let review = page.does("show");
    assert!(element(&review, "open").is_some(), "{}", texts(&review));
    for step in ["lost-air-off", "lost-reset", "restore", "air-again"] {
        press(&mut page, &format!("m-{step}-not-seen"));
    }
    assert_eq!(outcome(&page), Outcome::MetInPart, "{:#?}", page.verdict().lines);
    press(&mut page, "q-foam-lost-given");
    for step in ["lost-air-off", "lost-reset", "restore", "air-again"] {
        press(&mut page, &format!("m-{step}-done"));
    }
    let (text, turn) = page.save();
    let runs = scored(&course, &text);
    assert!(texts(&turn).contains(&runs[0].1) && runs[0].0.starts_with("Met this"));
    let file: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(
        file["cues"],
        json!({ "foam-lost": "given", "impossible-order": "given" })
    );
    let log = file["log"].to_string();
    assert!(log.contains("cue: foam-lost, not-given"), "{log}");
}

/// A flush on which the foam was shut first.
fn reversed() -> Page {
    let mut page = flush();
    let steps = page.kit.drills[0].drill.steps.clone();
    let mut order: Vec<&str> = steps.iter().map(|step| step.id.as_str()).collect();
    order.retain(|id| *id != "foam-off");
    order.insert(order.iter().position(|id| *id == "air-off").unwrap(), "foam-off");
    for step in order {
        page.send(&json!({ "do": "order", "step": step }));
    }
    page
}

#[test]
fn a_contradiction_is_asked_and_yes_makes_it_not_met() {
    let mut page = reversed();
    assert_eq!(outcome(&page), Outcome::Incomplete);
    let shown = page.does("show");
    let question = element(&shown, "question-text").unwrap();
    let asked = question["text"].as_str().unwrap();
    let lines = page.verdict().lines;
    assert!(lines.iter().any(|line| line.sentence == asked), "{asked}");
    assert!(asked.contains("Did this happen: Shut the foam with the air on"), "{asked}");
    let yes = press(&mut page, "answer-yes");
    assert!(element(&yes, "question").is_none());
    assert_eq!(yes["view"]["focus"], format!("c-{FOAM}-yes"));
    assert_eq!(outcome(&page), Outcome::NotMet);
    let open = element(&yes, "open").unwrap().to_string();
    assert!(open.contains("no sentence tells what was seen"), "{open}");
    page.write(&format!("flush/happened.{FOAM}"), "Foam shut at step 4, air still on.");
    assert!(element(&page.does("show"), "open").is_none());
    let (text, _) = page.save();
    let file: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(file["happened"][FOAM], "Foam shut at step 4, air still on.");
    let log = file["log"].to_string();
    let marks = [format!("{FOAM}, no"), format!("{FOAM}, yes")];
    assert!(marks.iter().all(|mark| log.contains(mark)), "both marks stay: {log}");
}

#[test]
fn a_contradiction_by_a_slip_goes_with_the_slip() {
    let mut page = flush();
    page.does("as-printed");
    assert_eq!(outcome(&page), Outcome::Met);
    page.mark("ask-clear", "not-done");
    let looked = press(&mut page, "answer-slip");
    assert_eq!(looked["view"]["focus"], "m-ask-clear-done");
    assert_eq!(looked["store"], json!({}), "looking changes nothing");
    let mended = press(&mut page, "m-ask-clear-done");
    assert!(element(&mended, "question").is_none());
    assert_eq!(outcome(&page), Outcome::Met);
}

#[test]
fn a_no_that_stands_needs_a_reason_and_a_second_officer() {
    let mut page = reversed();
    let stands = format!("f-flush-settled-{FOAM}-stands-yes");
    let open = press(&mut page, &stands);
    assert_eq!(open["view"]["focus"], stands);
    let officer = element(&open, &format!("f-flush-settled-{FOAM}-officer")).unwrap();
    let people: Vec<&str> = officer["kids"]
        .as_array()
        .unwrap()
        .iter()
        .map(|option| option["with"]["value"].as_str().unwrap())
        .collect();
    assert!(people.contains(&"hazel"));
    assert!(!people.contains(&"moss") && !people.contains(&"rowan"), "{people:?}");
    page.write(
        &format!("flush/settled.{FOAM}.why"),
        "The nozzle was shut, and the compressor unloaded.",
    );
    assert_eq!(outcome(&page), Outcome::Incomplete);
    let told = page.write(&format!("flush/settled.{FOAM}.officer"), "hazel");
    assert!(element(&told, "question").is_none(), "{}", texts(&told));
    assert!(
        texts(&told).contains("Did not happen, as hazel also saw"),
        "{}",
        texts(&told)
    );
    assert_eq!(outcome(&page), Outcome::Met);
    // The answer is taken back.
    press(&mut page, &format!("f-flush-settled-{FOAM}-stands-no"));
    assert_eq!(outcome(&page), Outcome::Incomplete);
    page.save();
}

#[test]
fn questions_come_one_at_a_time_and_keep_nobody_from_saving() {
    let mut page = reversed();
    page.mark("ask-clear", "not-done");
    let shown = texts(&page.does("show"));
    assert!(shown.contains("Questions open: 3."), "{shown}");
    assert_eq!(shown.matches("Did this happen: ").count(), 1, "{shown}");
    press(&mut page, "answer-yes");
    let shown = texts(&page.does("show"));
    assert!(shown.contains("Questions open: 2."), "{shown}");
    let (_, turn) = page.save();
    assert!(texts(&turn).contains(&page.verdict().reason));
}

#[test]
fn a_prompted_step_is_asked_about() {
    let mut page = flush();
    page.does("as-printed");
    let prompted = press(&mut page, "m-air-off-prompted");
    let asked = element(&prompted, "b-air-off").unwrap();
    assert_eq!(
        asked["text"],
        "It was prompted. Had this begun by then: Foam off, water stays on?"
    );
    assert_eq!(outcome(&page), Outcome::Incomplete);
    let hanging = element(&prompted, "hanging").unwrap().to_string();
    assert!(
        hanging.contains("the sheet does not say whether this had begun"),
        "{hanging}"
    );
    let answered = press(&mut page, "b-air-off-no");
    assert!(element(&answered, "hanging").is_none());
    assert_eq!(outcome(&page), Outcome::Met, "it costs the points only");
    let had = press(&mut page, "b-air-off-yes");
    assert!(element(&had, "question").is_some(), "{}", texts(&had));
    press(&mut page, "answer-yes");
    assert_eq!(outcome(&page), Outcome::NotMet);
    // A step on which no critical hangs is not asked about.
    let other = press(&mut page, "m-count-start-prompted");
    assert!(element(&other, "b-count-start").is_none());
}

#[test]
fn an_order_that_was_not_watched_asks_for_its_pairs_alone() {
    let mut page = flush();
    assert_eq!(outcome(&page), Outcome::Incomplete);
    let shown = page.does("show");
    let told = texts(&shown);
    assert!(told.contains("Before: 6. Foam off, water stays on."), "{told}");
    let pairs = [
        ("air-off", "foam-off"),
        ("ask-clear", "declare"),
        ("agree-place", "outlets"),
        ("cover", "outlets"),
        ("tank-valve", "injector"),
        ("ask-clear", "returns-last"),
    ];
    for (first, then) in pairs {
        assert_eq!(outcome(&page), Outcome::Incomplete);
        press(&mut page, &format!("p-{first}-{then}-seen"));
    }
    // What the other orders could cost is open, and here it could change the result.
    assert_eq!(outcome(&page), Outcome::Incomplete);
    let open = page
        .verdict()
        .lines
        .iter()
        .any(|line| line.rule == Rule::Critical && line.decision == Decision::Unseen);
    assert!(!open, "{:#?}", page.verdict().lines);
    press(&mut page, "p-ask-clear-declare-not-seen");
    assert_eq!(outcome(&page), Outcome::Incomplete);
    press(&mut page, "p-ask-clear-declare-reversed");
    let shown = page.does("show");
    assert!(element(&shown, "question").is_some(), "{}", texts(&shown));
    // With the order as printed nothing of that is asked.
    let printed = press(&mut page, "as-printed");
    assert!(element(&printed, "p-ask-clear-declare-seen").is_none());
    assert_eq!(outcome(&page), Outcome::Met);
    let not = press(&mut page, "not-watched");
    assert!(element(&not, "p-ask-clear-declare-seen").is_some());
}

#[test]
fn what_is_undone_breaks_what_must_hold() {
    let mut page = flush();
    page.does("as-printed");
    assert!(element(&page.does("show"), "n-air-off").is_none(), "nothing holds it");
    press(&mut page, "n-cover");
    let shown = page.does("show");
    let asked = element(&shown, "question-text").unwrap()["text"].to_string();
    assert!(asked.contains("undone before the end"), "{asked}");
    press(&mut page, "n-cover");
    assert_eq!(outcome(&page), Outcome::Met);
}

#[test]
fn what_left_its_band_counts_unless_it_was_reported() {
    let (_, mut page) = Page::drill("percent-change");
    page.begin("engine-7");
    page.mark_all();
    numbers(&mut page, CHANGE);
    page.write("percent-change/measure.pressure-held", "130");
    page.end();
    assert!(element(&page.does("show"), "question").is_some());
    let reported = press(&mut page, "r-pressure-held-yes");
    assert_eq!(reported["view"]["focus"], "r-pressure-held-yes");
    assert!(element(&reported, "question").is_none(), "{}", texts(&reported));
    page.write("percent-change/measure.pressure-held", "110");
}

#[test]
fn a_void_run_needs_agreement_and_acts_before_it_decide() {
    let mut page = flush();
    page.does("as-printed");
    press(&mut page, "f-void-cause-weather");
    let refused = page.does("save");
    assert_eq!(refused["file"], Value::Null, "a void run keeps its reason");
    page.write("void.why", "The wind turned onto the road.");
    assert_eq!(outcome(&page), Outcome::Incomplete);
    page.write("void.agreed-by", "hazel");
    assert_eq!(outcome(&page), Outcome::Void);
    page.critical(CLEAR, "yes");
    page.write(&format!("flush/happened.{CLEAR}"), "Step 17 before step 13.");
    assert_eq!(outcome(&page), Outcome::NotMet);
    press(&mut page, "f-void-produced-acts-yes");
    assert_eq!(outcome(&page), Outcome::Void);
    press(&mut page, "f-void-cause-");
    assert_eq!(outcome(&page), Outcome::NotMet);
}

#[test]
fn a_stop_for_the_candidate_names_the_act() {
    let (_, mut page) = Page::drill("flush");
    page.begin("engine-7");
    page.does("stop");
    page.write("stop.by", "hazel");
    page.write("stop.why", "Foam shut with the air on.");
    let outside = press(&mut page, "f-stop-cause-outside");
    assert!(element(&outside, "f-stop-act").is_none());
    let own = press(&mut page, "f-stop-cause-candidate");
    let acts = element(&own, "f-stop-act").unwrap().to_string();
    for act in [FOAM, "hose-test", &page.kit.drills[0].unsafe_acts[0].id] {
        assert!(acts.contains(act), "{act}: {acts}");
    }
    page.ends();
    assert_eq!(outcome(&page), Outcome::Incomplete);
    page.write("stop.act", FOAM);
    assert_eq!(outcome(&page), Outcome::NotMet);
}

#[test]
fn a_role_that_two_hold_has_two_people() {
    let (_, mut page) = Page::drill("flush");
    page.declare("engine-7");
    let shown = page.does("show");
    assert!(texts(&shown).contains("Nozzle, person 2"), "{}", texts(&shown));
    page.does("begin");
    let live = page.live();
    let part = sheets(&live, &page.state()).remove(0);
    assert_eq!(part.sheet.crew["nozzle"].0, ["heather", "bracken"]);
    // The tender has no compressor, and one holds its nozzle.
    let (_, mut page) = Page::drill("flush-b");
    page.declare("tender-3");
    let shown = texts(&page.does("show"));
    assert!(shown.contains("Nozzle\n") && !shown.contains("person 2"), "{shown}");
}

#[test]
fn dry_hands_on_is_offered_and_an_unsafe_act_has_its_sentence() {
    let (_, mut page) = Page::drill("inspection");
    page.declare("engine-7");
    let mode = press(&mut page, "f-mode-hands-on-dry");
    assert_eq!(mode["view"]["focus"], "f-mode-hands-on-dry");
    page.does("begin");
    let act = page.kit.drills[0].unsafe_acts[0].id.clone();
    let field = format!("f-inspection-happened-{act}");
    assert!(element(&page.does("show"), &field).is_none());
    let seen = press(&mut page, &format!("u-{act}"));
    assert!(element(&seen, &field).is_some());
    page.write(&format!("inspection/happened.{act}"), "At step 2.");
    page.mark_all();
    page.end();
    assert_eq!(outcome(&page), Outcome::NotMet);
    let live = page.live();
    let part = sheets(&live, &page.state()).remove(0);
    assert_eq!(part.sheet.happened[&act], "At step 2.");
}

/// The hydrant's critical hangs on the operator's word, so that is marked beside it.
#[test]
fn a_step_of_somebody_else_is_marked_where_an_own_critical_hangs_on_it() {
    let (_, mut page) = Page::drill("supply-change");
    page.declare("engine-7");
    page.write("role", "hydrant");
    page.does("begin");
    let shown = page.look("sheet");
    assert!(element(&shown, "m-call-water-done").is_some(), "{}", texts(&shown));
    assert!(texts(&shown).contains("A step of somebody else (Pump operator)"));
    assert!(element(&shown, "m-tank-valve-done").is_none());
}
