//! A walk → the run sheet that it is scored by.
//!
//! It is practice in mode walk-through, and names nobody: the posts of a run are held by words that say
//! so. Its day is the day of drill and card, because a page asks no clock and a later card would be
//! another page.

use std::collections::BTreeMap;

use super::here::{day, steps};
use super::kit::WalkRig;
use super::state::Walk;
use crate::course::{
    CriticalMark, CueMark, Evaluator, Holders, Mark, Mode, OrderSeen, RunSheet, RunUse,
};
use crate::scoring::{Kit, RULES, tanks};

/// Who holds the posts of a run that nobody runs.
const WALKER: &str = "walker";
const PAGE: &str = "page";
const WATCH: &str = "nobody";

/// What has been done, said and heard so far.
pub(super) fn sheet(kit: &Kit, of_rig: &WalkRig, walk: &Walk) -> RunSheet {
    let drill = kit.drill();
    let day = day(of_rig, walk);
    let on = [Some(&drill.revised_on), kit.rig().revised_on.as_ref()];
    let on = on.into_iter().flatten().max().cloned().unwrap_or_default();
    RunSheet {
        id: format!("walk-{}", drill.id),
        chain: None,
        drill: drill.id.clone(),
        drill_revision: None,
        rig: kit.rig().id.clone(),
        rig_revision: None,
        rules: Some(RULES),
        form: None,
        outlet: day.map(|day| day.outlet.clone()).unwrap_or_default(),
        further: day.map(|day| day.further.clone()).unwrap_or_default(),
        tank: tanks(kit).first().map(|tank| tank.id.clone()),
        fuel: day.and_then(|day| day.fuel.clone()),
        use_: RunUse::Practice,
        mode: Mode::WalkThrough,
        weather: PAGE.to_owned(),
        light: PAGE.to_owned(),
        performed_at: format!("{on} 12:00"),
        entered_at: None,
        attempt: 1,
        completes: None,
        granted: None,
        candidate: WALKER.to_owned(),
        role: walk.role.clone(),
        crew: crew(kit, walk),
        evaluator: evaluator(on),
        safety_officer: WATCH.to_owned(),
        stop_word: drill.stop.word.clone(),
        marks: marks(kit, walk),
        order_seen: OrderSeen::Listed(walk.done.clone()),
        pairs: BTreeMap::new(),
        // What waits for a step that was prompted cannot have begun: the page asks one thing at a time.
        begun: begun(walk),
        undone: Vec::new(),
        left_out: BTreeMap::new(),
        cues: cues(kit, walk),
        criticals: criticals(kit, walk),
        happened: walk.happened.clone(),
        settled: BTreeMap::new(),
        unsafe_acts: Vec::new(),
        others_acts: BTreeMap::new(),
        took_away: Vec::new(),
        reported: Vec::new(),
        readings: day.map(|day| day.readings.clone()).unwrap_or_default(),
        measures: walk.values.clone(),
        as_manual: BTreeMap::new(),
        time: None,
        stop: None,
        void: None,
        remediation: None,
        words: None,
        notes: None,
    }
}

/// Nobody judges; the page tells what the rules say.
fn evaluator(on: String) -> Evaluator {
    let page = || PAGE.to_owned();
    Evaluator {
        person: page(),
        qualification: page(),
        qualified_on: Some(on),
        relation: page(),
    }
}

/// Every other post, each by somebody of its own.
fn crew(kit: &Kit, walk: &Walk) -> BTreeMap<String, Holders> {
    let others = kit.drill().roles.iter().filter(|role| role.id != walk.role);
    // No air is on a line in a walk; whoever is wanted for it is named all the same.
    let held = |(at, role): (usize, &crate::course::Role)| {
        let all = (0..role.wanted(true)).map(|one| format!("post-{at}-{one}"));
        (role.id.clone(), Holders(all.collect()))
    };
    others.enumerate().map(held).collect()
}

fn begun(walk: &Walk) -> BTreeMap<String, bool> {
    let helped = walk.prompted.iter().filter(|step| walk.is_done(step));
    helped.map(|step| (step.clone(), false)).collect()
}

/// What was not done by now is marked as not done: a walk leaves nothing unseen.
fn marks(kit: &Kit, walk: &Walk) -> BTreeMap<String, Mark> {
    let own = steps(kit, walk).map(|step| {
        // What was helped with and then not done after all is not done.
        let mark = match (walk.is_done(&step.id), walk.prompted.contains(&step.id)) {
            (false, _) => Mark::NotDone,
            (true, true) => Mark::Prompted,
            (true, false) => Mark::Done,
        };
        (step.id.clone(), mark)
    });
    own.collect()
}

fn cues(kit: &Kit, walk: &Walk) -> BTreeMap<String, CueMark> {
    let mark = |id: &String| {
        if walk.cues.contains(id) { CueMark::Given } else { CueMark::NotGiven }
    };
    let all = kit.drill().cues.iter();
    all.map(|cue| (cue.id.clone(), mark(&cue.id))).collect()
}

/// An act that was chosen was begun and stopped by the page; what was not chosen did not happen.
fn criticals(kit: &Kit, walk: &Walk) -> BTreeMap<String, CriticalMark> {
    let own = kit.drill().criticals.iter().filter(|one| one.role == walk.role);
    let here = own.filter(|one| one.condition().lacks(kit.rig()).is_none());
    let mark = |id: &String| {
        if walk.happened.contains_key(id) {
            CriticalMark::Prevented
        } else {
            CriticalMark::No
        }
    };
    here.map(|one| (one.id.clone(), mark(&one.id))).collect()
}
