//! A run of several outlets on the page: what repeats is asked for each of them.

use drillwright::scoring::Outcome;

use super::asks::{element, numbers};
use super::*;

/// A flush of two lines: the second one pressed beside the first.
fn declared() -> Page {
    let (_, mut page) = Page::drill("flush");
    page.declare("engine-7");
    page
}

fn steps(page: &Page) -> Vec<String> {
    let live = page.live();
    let state = page.state();
    let drill = state.kit(&live).unwrap().drill();
    drill.steps.iter().map(|step| step.id.clone()).collect()
}

#[test]
fn a_second_outlet_is_pressed_marked_and_saved() {
    let mut page = declared();
    let shown = page.look("change");
    let button = element(&shown, "f-further-rear-foam").unwrap();
    assert_eq!(button["with"]["aria-pressed"], "false");
    // The first outlet is no further one.
    assert!(element(&shown, "f-further-crosslay-1").is_none(), "{}", texts(&shown));
    page.send(&button["act"]);
    let shown = page.look("change");
    assert_eq!(
        element(&shown, "f-further-rear-foam").unwrap()["with"]["aria-pressed"],
        "true"
    );
    page.does("begin");
    page.look("sheet");
    let both = ["least-time", "least-time@rear-foam", "ask-clear", "ask-clear@rear-foam"];
    let found: Vec<_> =
        steps(&page).into_iter().filter(|id| both.contains(&id.as_str())).collect();
    assert_eq!(found, both);
    page.mark_all();
    numbers(&mut page, FLUSH);
    page.end();
    // Silent about the second line: nothing is met by it.
    assert_ne!(page.verdict().outcome, Outcome::Met);
    let more = [
        ("flush/reading.flow-read@rear-foam", "250"),
        ("flush/measure.flush-time@rear-foam", "300"),
        ("flush/measure.flush-water", "400"),
    ];
    numbers(&mut page, &more);
    let verdict = page.verdict();
    assert_eq!(verdict.outcome, Outcome::Met, "{}", verdict.reason);
    let (text, _) = page.save();
    let file: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(file["further-outlets"], json!(["rear-foam"]));
    assert_eq!(file["marks"]["ask-clear@rear-foam"], "done");
}

/// Whoever chooses the first outlet sees at once which others can be pressed, and that one is.
#[test]
fn what_is_chosen_shows_what_is_left_to_choose() {
    let (_, mut page) = Page::drill("flush");
    page.look("change");
    let shown = page.write("outlet", "crosslay-1");
    assert!(element(&shown, "f-further-rear-foam").is_some(), "{}", texts(&shown));
    let shown = page.write("further.rear-foam", "yes");
    assert_eq!(
        element(&shown, "f-further-rear-foam").unwrap()["with"]["aria-pressed"],
        "true"
    );
    let shown = page.write("outlet", "rear-foam");
    assert!(element(&shown, "f-further-rear-foam").is_none());
    assert!(element(&shown, "f-further-crosslay-1").is_some());
}

/// A log in which somebody wrote other outlets thousands of times makes no kit more than the rig has
/// lines: each is as large as a drill.
#[test]
fn no_text_of_a_log_makes_a_kit() {
    let (_, page) = Page::drill("flush");
    let live = page.live();
    let of = |first: &str, further: &[String]| {
        let kit = live.kits_on("engine-7", (first, further)).next().unwrap();
        std::ptr::from_ref(kit)
    };
    let none = of("nowhere", &[]);
    for at in 0..100 {
        let further = [format!("crosslay-{at}9"), "rear-foam crosslay-2".to_owned()];
        assert_eq!(of(&format!("crosslay-1 {at}"), &further), none);
        assert_eq!(of("crosslay-1", &further), of("crosslay-1", &[]));
    }
    let both = ["rear-foam".to_owned()];
    assert_ne!(of("crosslay-1", &both), of("crosslay-1", &[]));
    assert_eq!(of("crosslay-1", &both), of("crosslay-1", &both));
}

#[test]
fn another_rig_or_another_first_outlet_leaves_no_outlet_behind() {
    let mut page = declared();
    page.write("further.rear-foam", "yes");
    page.write("further.crosslay-2", "yes");
    assert_eq!(page.state().further(), ["crosslay-2", "rear-foam"]);
    page.write("outlet", "rear-foam");
    assert_eq!(page.state().further(), ["crosslay-2"]);
    page.write("further.crosslay-2", "");
    assert!(page.state().further().is_empty());
    page.write("further.crosslay-2", "yes");
    page.write("rig", "tender-3");
    assert!(page.state().further().is_empty());
    // Where nothing repeats nobody is asked.
    let (_, mut page) = Page::drill("purge");
    page.declare("engine-7");
    let shown = page.look("change");
    assert!(element(&shown, "f-further-rear-foam").is_none());
}
