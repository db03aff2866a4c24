//! What goes along from one run of a browser to the next: the same rig, people and weather, in one
//! touch.

use std::collections::BTreeMap;

use super::asked::mode;
use super::kit::Live;
use super::state::{DECLARED, FORM, FURTHER, MAY_DECLARE, State};

/// Before the topic of a local rule that nobody has decided yet: what was decided for this run.
pub(super) const LOCAL: &str = "local.";

/// What belongs to one run alone: its name, its candidate, its try, the run that it completes, its
/// numbered sheet, its time.
const OWN: [&str; 8] = [
    "run",
    "candidate",
    "attempt",
    "completes",
    "granted.by",
    "granted.why",
    "later",
    "performed-at",
];

/// Fields as they were declared.
pub(super) type Declared = BTreeMap<String, String>;

/// What of a run goes along to the next one.
pub(super) fn kept(state: &State) -> Declared {
    let along = |field: &str| {
        let declared = DECLARED.contains(&field) || MAY_DECLARE.contains(&field);
        let known =
            declared || ["crew.", LOCAL, FURTHER].iter().any(|of| field.starts_with(of));
        known && !OWN.contains(&field) && !field.starts_with(FORM)
    };
    let texts =
        state.texts.iter().filter(|(field, text)| along(field) && !text.is_empty());
    texts.map(|(field, text)| (field.clone(), text.clone())).collect()
}

/// What of it still stands: a rig, a line, a mode and people that this sheet has. Nobody holds two
/// posts in a run, so whoever is the candidate now holds no other (rule 26).
pub(super) fn standing(live: &Live, last: &Declared, candidate: &str) -> Declared {
    let text = |field: &str| last.get(field).map_or("", String::as_str);
    let rig = live.kits(text("rig")).first().map(crate::scoring::Kit::rig);
    let person = |id: &str| {
        id != candidate && live.data().people.iter().any(|person| person.id == id)
    };
    let stands = |field: &str, text: &str| match field {
        "rig" => rig.is_some(),
        "outlet" => rig.is_some_and(|rig| rig.outlet(text).is_some()),
        "draws-from" => {
            rig.is_some_and(|rig| rig.foam_tanks().any(|tank| tank.id == text))
        }
        further if further.starts_with(FURTHER) => {
            let outlet = further.strip_prefix(FURTHER);
            rig.zip(outlet).is_some_and(|(rig, id)| rig.outlet(id).is_some())
        }
        "mode" => mode(text).is_some_and(|mode| live.modes().contains(&mode)),
        "role" => live.scored().iter().any(|role| role.id == text),
        "evaluator" | "safety-officer" => person(text),
        crew if crew.starts_with("crew.") => person(text),
        _ => true,
    };
    let all = last.iter().filter(|(field, text)| stands(field, text));
    all.map(|(field, text)| (field.clone(), text.clone())).collect()
}

/// What is declared with a candidate: the try that the roster has, and that they leave the post of
/// the last run.
pub(super) fn candidate_of(
    live: &Live,
    state: &State,
    person: &str,
) -> Vec<(String, String)> {
    // Who is not on the roster tries for the first time, until somebody says otherwise.
    let due = live.data().due.iter().find(|due| due.candidate == *person);
    let attempt = due.and_then(|due| due.attempt).unwrap_or(1).to_string();
    let post = |field: &str| {
        field.starts_with("crew.") || ["evaluator", "safety-officer"].contains(&field)
    };
    let held = state.texts.iter().filter(|(field, text)| post(field) && *text == person);
    // Emptied and not refused: the post only came along from the last run.
    let left = held.map(|(field, _)| (field.clone(), String::new()));
    let own =
        [("candidate".to_owned(), person.to_owned()), ("attempt".to_owned(), attempt)];
    own.into_iter().chain(left).collect()
}
