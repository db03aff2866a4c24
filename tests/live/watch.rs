//! The screen for watching: what comes next, what came first, what is asked as it arises, and the
//! declaration in three touches.

use super::asks::element;
use super::*;

fn watched(id: &str) -> Page {
    let (_, mut page) = Page::drill(id);
    page.begin("engine-7");
    page.look("");
    page
}

/// Touches a key of what is shown.
fn touch(page: &mut Page, id: &str) -> Value {
    let shown = page.does("show");
    let button = element(&shown, id).unwrap_or_else(|| panic!("{id}: {}", texts(&shown)));
    page.send(&button["act"])
}

fn head(turn: &Value) -> String {
    element(turn, "head").unwrap()["text"].as_str().unwrap().to_owned()
}

/// Marks all that comes, as done, and gives every cue.
fn mark_through(page: &mut Page) {
    loop {
        let shown = page.does("show");
        let key = ["mark-done", "mark-given"]
            .into_iter()
            .find(|id| element(&shown, id).is_some());
        let Some(key) = key else { return };
        page.send(&element(&shown, key).unwrap()["act"]);
    }
}

#[test]
fn steps_come_one_by_one_and_cues_before_their_answers() {
    let mut page = watched("percent-change");
    let drill = page.kit.drills[0].drill.clone();
    assert_eq!(head(&page.does("show")), drill.steps[0].action);
    let mut seen = Vec::new();
    loop {
        let shown = page.does("show");
        let Some(next) = ["mark-done", "mark-given"]
            .into_iter()
            .find(|id| element(&shown, id).is_some())
        else {
            break;
        };
        seen.push(head(&shown));
        page.send(&element(&shown, next).unwrap()["act"]);
    }
    let at = |text: &str| seen.iter().position(|known| known == text).unwrap();
    for cue in &drill.cues {
        let answers =
            drill.steps.iter().filter(|step| step.cue.as_ref() == Some(&cue.id));
        for step in answers {
            assert!(at(&cue.says) < at(&step.action), "{seen:#?}");
        }
    }
    assert_eq!(head(&page.does("show")), "Every step has its mark.");
}

#[test]
fn what_came_first_is_recorded_and_confirmed_with_one_answer() {
    let mut page = watched("flush");
    let steps = page.kit.drills[0].drill.steps.clone();
    let next = touch(&mut page, "next-1");
    assert_eq!(head(&next), steps[1].action, "the one that was touched is watched now");
    // A touch that was wrong is taken back like any other.
    assert_eq!(head(&page.does("undo")), steps[0].action);
    touch(&mut page, "next-1");
    assert_eq!(head(&touch(&mut page, "mark-done")), steps[0].action);
    mark_through(&mut page);
    page.does("end");
    for _ in page.kit.drills[0].drill.criticals.clone() {
        let shown = page.does("show");
        let critical = page.kit.drills[0].drill.criticals.iter();
        let id = critical
            .map(|one| format!("c-{}-no", one.id))
            .find(|id| element(&shown, id).is_some());
        page.send(&element(&shown, &id.unwrap()).unwrap()["act"]);
    }
    let asked = page.does("show");
    assert_eq!(head(&asked), "In which order were the steps done?");
    assert!(texts(&asked).contains("2, 1, 3, 4"), "{}", texts(&asked));
    let file =
        |page: &Page| sheets(&page.live(), &page.state()).remove(0).sheet.order_seen;
    assert_eq!(file(&page), OrderSeen::NotWatched, "unanswered it is not watched");
    touch(&mut page, "as-recorded");
    let OrderSeen::Listed(order) = file(&page) else { panic!("{:?}", file(&page)) };
    assert_eq!(order[..3], [&steps[1].id, &steps[0].id, &steps[2].id].map(String::clone));
}

#[test]
fn the_recorded_order_is_the_printed_one_where_nothing_came_first() {
    let mut page = watched("flush");
    mark_through(&mut page);
    page.ends();
    page.does("as-recorded");
    let sheet = sheets(&page.live(), &page.state()).remove(0).sheet;
    assert_eq!(sheet.order_seen, OrderSeen::AsPrinted);
    page.does("as-recorded");
    let sheet = sheets(&page.live(), &page.state()).remove(0).sheet;
    assert_eq!(sheet.order_seen, OrderSeen::NotWatched, "a second touch takes it back");
}

/// A mark that was mended may mean that a step came late: neither is guessed.
#[test]
fn a_step_with_another_mark_before_is_asked_for_its_place() {
    for (key, at) in [("placed-printed", 0), ("placed-late", 2)] {
        let mut page = watched("flush");
        let steps = page.kit.drills[0].drill.steps.clone();
        touch(&mut page, "mark-not-done");
        touch(&mut page, "mark-done");
        touch(&mut page, "mark-done");
        let asked = page.mark(&steps[0].id, "done");
        assert!(head(&asked).contains("When was it done?"), "{}", texts(&asked));
        let part = |page: &Page| page.state().parts["flush"].clone();
        assert!(!part(&page).recorded.contains(&steps[0].id));
        page.ends();
        page.does("as-recorded");
        assert_ne!(part(&page).told, Told::AsRecorded, "an order without it is none");
        page.does("back");
        page.send(
            &json!({ "do": "placed", "step": steps[0].id, "late": key == "placed-late" }),
        );
        assert_eq!(part(&page).recorded[at], steps[0].id);
        page.ends();
        page.does("as-recorded");
        assert_eq!(part(&page).told, Told::AsRecorded);
    }
}

#[test]
fn what_arises_is_asked_over_the_step() {
    let mut page = watched("flush");
    // A critical that happened wants its sentence at once.
    let seen = page.critical("foam-off-with-air-on", "yes");
    assert!(texts(&seen).contains("Without a sentence"), "{}", texts(&seen));
    page.write("flush/happened.foam-off-with-air-on", "Foam off at step 6, air on.");
    let back = page.look("");
    assert!(element(&back, "mark-done").is_some());
    assert!(texts(&back).contains("1 of 5"), "{}", texts(&back));
    // A no against a step that was marked otherwise is asked about as it arises.
    page.critical("foam-off-with-air-on", "no");
    page.mark("air-off", "not-done");
    let asked = page.mark("foam-off", "done");
    assert!(element(&asked, "question").is_some(), "{}", texts(&asked));
    assert!(element(&asked, "stop").is_some(), "STOP stays where it is");
    // A prompted step on which a critical hangs.
    // It was marked not done before: its place first, then what had begun.
    let asked = page.mark("air-off", "prompted");
    assert!(element(&asked, "placed-late").is_some(), "{}", texts(&asked));
    let asked = page.send(&json!({ "do": "placed", "step": "air-off", "late": false }));
    assert!(element(&asked, "b-air-off-yes").is_some(), "{}", texts(&asked));
    let after = page.send(&json!({ "do": "begun", "step": "air-off", "begun": false }));
    assert!(element(&after, "b-air-off-yes").is_none(), "{}", texts(&after));
}

#[test]
fn no_key_answers_all_criticals_at_once() {
    let mut page = watched("flush");
    mark_through(&mut page);
    let count = page.kit.drills[0].drill.criticals.len();
    page.does("end");
    for at in 1..=count {
        let shown = page.does("show");
        assert!(
            texts(&shown).contains(&format!("Did this happen? {at} of {count}")),
            "{}",
            texts(&shown)
        );
        assert!(!shown["view"].to_string().contains("rest-criticals"));
        let one = &page.kit.drills[0].drill.criticals[at - 1].id.clone();
        touch(&mut page, &format!("c-{one}-no"));
    }
    let page_ = page.look("sheet");
    assert!(!page_["view"].to_string().contains("rest-criticals"));
}

#[test]
fn three_touches_begin_a_run_like_the_last() {
    let (_, mut page) = Page::drill("flush");
    let mut roster = page.kit.clone();
    roster.due = vec![DueHead { candidate: "juniper".into(), attempt: Some(2) }];
    page = Page::open(roster);
    page.begin("engine-7");
    page.ends();
    page.does("discard-all");
    let shown = page.does("show");
    assert!(texts(&shown).contains("due, attempt 2"), "{}", texts(&shown));
    assert!(
        element(&shown, "f-weather").is_none(),
        "nothing is asked that was said before"
    );
    touch(&mut page, "who-juniper");
    let same = touch(&mut page, "same");
    assert_eq!(element(&same, "same").unwrap()["with"]["aria-pressed"], "true");
    assert_eq!(element(&same, "begin").unwrap()["text"], "Begin");
    let begun = touch(&mut page, "begin");
    assert!(element(&begun, "mark-done").is_some(), "{}", texts(&begun));
    let state = page.state();
    assert_eq!((state.text("candidate"), state.text("attempt")), ("juniper", "2"));
}

/// One person, one post (rule 26): whoever runs now was at the nozzle before.
#[test]
fn a_candidate_leaves_the_post_of_the_last_run() {
    let (_, mut page) = Page::drill("flush");
    page.begin("engine-7");
    page.ends();
    page.does("discard-all");
    touch(&mut page, "same");
    page.send(&json!({ "do": "who", "candidate": "hazel" }));
    let shown = page.does("begin");
    assert_eq!(page.state().text("safety-officer"), "");
    assert_eq!(element(&shown, "begin").unwrap()["text"], "Begin: 1 gap, safety officer");
    assert_eq!(shown["view"]["focus"], "f-safety-officer");
    let field = element(&shown, "f-safety-officer").unwrap();
    assert_eq!(field["with"]["aria-invalid"], "true");
    let filled = page.write("safety-officer", "larch");
    let field = element(&filled, "f-safety-officer").unwrap();
    assert!(field["with"].get("aria-invalid").is_none(), "a gap that is filled is none");
    assert_eq!(filled["texts"]["begin"], "Begin");
}

#[test]
fn what_no_local_rule_decides_is_asked_and_stands_in_the_notes() {
    let (_, mut page) = Page::drill("flush");
    page.declare("engine-7");
    let shown = page.does("show");
    assert!(element(&shown, "f-local-flush-discharge").is_some(), "{}", texts(&shown));
    page.write("local.flush-discharge", "the wash bay");
    page.does("begin");
    page.ends();
    let sheet = sheets(&page.live(), &page.state()).remove(0).sheet;
    assert!(sheet.notes.unwrap().contains("the wash bay"));
}

#[test]
fn everything_goes_from_this_device_after_a_second_question_alone() {
    let (_, mut page) = Page::drill("flush");
    page.begin("engine-7");
    assert_eq!(page.does("erase")["asks"], json!(["awake", "ticks"]), "not in a run");
    page.mark_all();
    page.ends();
    page.save();
    let asked = page.look("erase");
    assert!(texts(&asked).contains("Nothing brings them back"), "{}", texts(&asked));
    assert!(page.tab.stored.len() > 3);
    let gone = touch(&mut page, "sure");
    assert_eq!(gone["asks"], json!(["erase"]));
    assert!(texts(&gone).contains("1. Who runs?"), "{}", texts(&gone));
}

/// The word of a verdict is there for every outcome, and none says that somebody is certified.
#[test]
fn the_verdict_is_one_word_its_reason_and_what_comes_next() {
    let mut page = watched("flush");
    page.mark_all();
    page.critical("foam-off-with-air-on", "yes");
    page.write("flush/happened.foam-off-with-air-on", "Foam off at step 6, air on.");
    page.ends();
    let reason = page.verdict().reason;
    let (_, turn) = page.save();
    let word = element(&turn, "head").unwrap();
    assert_eq!(word["kids"][0]["text"], "Not met");
    assert_eq!(word["with"]["class"], "far not");
    assert!(texts(&turn).contains(&reason));
}

/// Nobody stands in the way of a start, and nobody finds out at the end that a post was empty.
#[test]
fn an_empty_post_is_told_before_the_start_and_stops_nobody() {
    let (_, mut page) = Page::drill("startup");
    page.declare("engine-7");
    let told = |page: &mut Page| texts(&page.does("show")).contains("0 of 1 are named");
    assert!(!told(&mut page), "{}", texts(&page.does("show")));
    page.write("crew.officer", "");
    assert!(told(&mut page), "{}", texts(&page.does("show")));
    page.does("begin");
    assert!(element(&page.does("show"), "stop").is_some(), "it begins all the same");
    assert_ne!(page.verdict().outcome.key(), "met");
}

/// The screen covers the page, so what must be told stands on it: that nothing is stored, that a
/// touch was refused, that the sheet is a new one.
#[test]
fn what_must_be_told_stands_on_the_screen_that_covers_the_page() {
    let mut page = watched("flush");
    let stored = page.tab.stored.clone();
    page.hand_in(stored, true);
    let shown = page.does("show");
    let nodes = shown["view"]["nodes"].as_array().unwrap();
    let screen = nodes.iter().find(|node| node["with"]["class"] == "watch").unwrap();
    assert_eq!(nodes.len(), 1, "nothing stands behind it");
    assert!(element(&shown, "rescue").is_some());
    assert!(screen.to_string().contains("rescue"), "{screen}");
    let classes: Vec<&Value> = screen["kids"]
        .as_array()
        .unwrap()
        .iter()
        .map(|kid| &kid["with"]["class"])
        .collect();
    assert_eq!(classes[..3], ["top", "haz", "strip"], "{classes:?}");
}
