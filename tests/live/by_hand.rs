//! What is written by hand on a live sheet: steps left out, acts of others and what they took away,
//! a try that was granted, what the manual says; and a stop within a chain.

use drillwright::course::Mark;
use drillwright::scoring::Outcome;

use super::asks::{element, numbers, outcome, press};
use super::*;

fn sheet(page: &Page) -> drillwright::course::RunSheet {
    sheets(&page.live(), &page.state()).remove(0).sheet
}

fn reviewed(drill: &str, values: &[(&str, &str)]) -> Page {
    let (_, mut page) = Page::drill(drill);
    page.begin("engine-7");
    page.mark_all();
    numbers(&mut page, values);
    page.ends();
    press(&mut page, "as-printed");
    page
}

#[test]
fn a_step_is_left_out_by_hand_with_its_reason_alone() {
    let mut page = reviewed("flush", FLUSH);
    assert_eq!(outcome(&page), Outcome::Met);
    let field = "flush/left-out.freeze";
    assert!(element(&page.does("show"), "f-flush-left-out-freeze").is_none());
    // What was done is not left out, whatever is written.
    page.write(field, "The yard is heated.");
    assert_eq!(sheet(&page).marks["freeze"], Mark::Done);
    page.write(field, "");
    page.mark("freeze", "not-done");
    assert!(element(&page.does("show"), "f-flush-left-out-freeze").is_some());
    page.write(field, "The yard is heated.");
    let out = sheet(&page);
    assert_eq!(out.marks["freeze"], Mark::NotApplicable);
    assert_eq!(out.left_out["freeze"], "The yard is heated.");
    assert_eq!(outcome(&page), Outcome::Met);
    page.write(field, "");
    assert_eq!(sheet(&page).marks["freeze"], Mark::NotDone);
}

#[test]
fn an_act_of_somebody_else_and_what_it_took_away() {
    let mut page = reviewed("flush", FLUSH);
    page.mark("bottle", "not-done");
    assert!(element(&page.does("show"), "f-flush-taken-bottle-yes").is_none());
    page.write("flush/others.gear-off", "heather");
    page.write("flush/happened.gear-off", "Took the glove off at the bottle.");
    press(&mut page, "f-flush-taken-bottle-yes");
    let out = sheet(&page);
    assert_eq!(out.others_acts["gear-off"], "heather");
    assert_eq!(out.happened["gear-off"], "Took the glove off at the bottle.");
    assert_eq!(out.took_away, ["bottle"]);
    assert_eq!(outcome(&page), Outcome::Met);
    // Without the act nothing was taken away.
    page.write("flush/others.gear-off", "");
    assert!(sheet(&page).took_away.is_empty());
}

#[test]
fn a_critical_of_another_role_is_told_and_does_not_decide() {
    let (_, mut page) = Page::drill("supply-change");
    page.begin("engine-7");
    page.mark_all();
    page.ends();
    let before = outcome(&page);
    press(&mut page, "f-supply-change-of-role-hydrant-unasked-yes");
    page.write("supply-change/happened.hydrant-unasked", "Opened without the word.");
    let out = sheet(&page);
    assert_eq!(out.happened["hydrant-unasked"], "Opened without the word.");
    assert_eq!(outcome(&page), before);
}

#[test]
fn a_try_beyond_the_most_asks_who_granted_it() {
    let (_, mut page) = Page::drill("flush");
    page.declare("engine-7");
    assert!(element(&page.does("show"), "f-granted-by").is_none());
    page.write("attempt", "4");
    assert!(element(&page.does("show"), "f-granted-by").is_some());
    page.write("granted.by", "hazel");
    page.write("granted.why", "Away for a year.");
    page.write("qualified-on", "2024-05-01");
    page.does("begin");
    page.mark_all();
    numbers(&mut page, FLUSH);
    page.ends();
    let out = sheet(&page);
    assert_eq!(out.granted.unwrap().by, "hazel");
    assert_eq!(out.evaluator.qualified_on.as_deref(), Some("2024-05-01"));
}

#[test]
fn the_manual_is_asked_where_nobody_checked_the_card() {
    let (_, mut page) = Page::drill("startup-b");
    page.begin("tender-3");
    let shown = page.does("show");
    assert!(element(&shown, "f-startup-b-manual-line-pressure-yes").is_some());
    assert!(element(&shown, "f-startup-b-manual-percent-set-yes").is_none());
    press(&mut page, "f-startup-b-manual-line-pressure-yes");
    page.ends();
    assert!(sheet(&page).as_manual["line-pressure"]);
}

#[test]
fn a_step_done_badly_is_settled_by_a_sentence() {
    let (_, mut page) = Page::drill("startup");
    page.begin("engine-7");
    page.mark_all();
    page.mark("foam-on", "not-done");
    page.ends();
    let shown = page.does("show");
    assert!(element(&shown, "f-startup-settled-foam-on-why").is_some());
    page.write("startup/settled.foam-on.why", "On, and the percent was not said.");
    let out = sheet(&page);
    assert_eq!(out.settled["foam-on"].why, "On, and the percent was not said.");
    // It can still be changed.
    let shown = page.does("show");
    assert!(element(&shown, "f-startup-settled-foam-on-why").is_some());
}

#[test]
fn a_stop_in_a_chain_belongs_to_its_drill() {
    let course = example();
    let kit = LiveKit::of_chain(&course, &course.chains[0], &stock::words());
    let mut page = Page::open(kit);
    page.begin("engine-7");
    let drills = course.chains[0].drills.clone();
    page.send(&json!({ "do": "turn", "drill": drills[0] }));
    page.mark_all();
    // The second was only begun, and the third is where somebody called it.
    page.send(&json!({ "do": "turn", "drill": drills[1] }));
    let step = course.drill(&drills[1]).unwrap().steps[0].id.clone();
    page.mark(&step, "done");
    page.send(&json!({ "do": "turn", "drill": drills[2] }));
    let step = course.drill(&drills[2]).unwrap().steps[0].id.clone();
    page.mark(&step, "done");
    page.does("stop");
    page.write("stop.by", "hazel");
    page.write("stop.why", "Foam shut with the air on.");
    page.write("stop.cause", "candidate");
    let act = course.drill(&drills[2]).unwrap().criticals[0].id.clone();
    page.write("stop.act", &act);
    page.ends();
    let live = page.live();
    let parts = sheets(&live, &page.state());
    let stops: Vec<bool> = parts.iter().map(|part| part.sheet.stop.is_some()).collect();
    assert_eq!(stops, [false, true, true]);
    let outcomes: Vec<Outcome> = parts.iter().map(|part| part.verdict.outcome).collect();
    assert_eq!(outcomes[1..], [Outcome::Stopped, Outcome::NotMet]);
}
