//! What teaches what: is it there, and is everything of a drill taught somewhere?

use std::collections::BTreeSet;

use super::index::Names;
use super::{Checked, Spot};
use crate::authoring::headings;
use crate::course::{Drill, QuestionSet, Shows, answering, reread};
use crate::findings::{Code, Finding};
use crate::scoring::LIMITS;

/// The file in which it stands.
const FILE: &str = "teaches.yaml";

pub(super) fn check(checked: &Checked<'_>) {
    drawings(checked);
    let all = checked.file(FILE);
    for one in all.items() {
        names(checked, &one);
    }
    for leaf in checked.file("leaves.yaml").items() {
        checked.refer("lesson", &leaf.at("leaf"));
        for point in leaf.at("present").items() {
            heading(checked, leaf.at("leaf").text(), &point.at("heading"));
        }
    }
    // A module that names nothing has not begun with it: the page of what is covered shows its holes,
    // and nobody is told a hundred times what he has not written yet.
    if all.items().is_empty() || checked.torn.contains(FILE) {
        return;
    }
    // A heading that no lesson has is told where it is written; what it was to teach is not missing.
    if checked.course.teaches.iter().any(|one| one.number.is_empty()) {
        return;
    }
    for drill in &checked.course.drills {
        of_drill(checked, drill);
    }
    for set in &checked.course.sets {
        of_set(checked, set);
    }
}

/// Rigs, outlets, chains and examples that drawings of lessons are made from.
fn drawings(checked: &Checked<'_>) {
    let lessons = checked.file("module.yaml").at("lessons");
    for lesson in &checked.course.lessons {
        let own = lessons.entry("lesson", &lesson.id);
        let examples = Names::of(own.at("examples").ids("example"));
        for drawing in &lesson.drawings {
            let spot = own.at("drawings").entry("drawing", &drawing.id);
            checked.refer("rig", &spot.at("rig"));
            checked.listed("example", &examples, &spot.at("example"));
            let chains = checked.file("module.yaml").at("chains").ids("chain");
            checked.among("chain", &chains, &spot.at("chain"));
            // An outlet whose own figures cannot be read is told there.
            if let Shows::Section { rig, .. } = &drawing.shows
                && !checked.broken
                && let Some(rig) = checked.course.rigs.get(rig)
            {
                let known: Vec<String> =
                    rig.outlets.iter().map(|outlet| outlet.id.clone()).collect();
                checked.among("outlet", &known, &spot.at("outlet"));
            }
        }
    }
}

/// Names of one entry.
fn names(checked: &Checked<'_>, one: &Spot<'_>) {
    checked.refer("lesson", &one.at("lesson"));
    checked.refer_all("objective", &one.at("objectives"));
    checked.refer_all("formula", &one.at("slips"));
    checked.refer_all("question", &one.at("questions"));
    let limits = Names::of(LIMITS.iter().map(|name| (*name).to_owned()).collect());
    for limit in one.at("limits").items() {
        checked.listed("limit", &limits, &limit);
    }
    let acts = checked.course.unsafe_acts.iter().map(|act| act.id.clone());
    let acts = Names::of(acts.collect());
    for act in one.at("acts").items() {
        checked.listed("unsafe act", &acts, &act);
    }
    heading(checked, one.at("lesson").text(), &one.at("heading"));
    // Steps of a drill, or headings of a lesson, that cannot be read are told where they stand, and
    // what is missing here may follow from it.
    if checked.broken {
        return;
    }
    for of in one.at("drills").items() {
        checked.refer("drill", &of.at("drill"));
        // One that could not be read is told where it is written.
        let id = of.at("drill").text();
        let Some(drill) = id.and_then(|id| checked.course.drill(id)) else { continue };
        let parts = Names::of(parts(drill));
        for part in of.at("parts").items() {
            checked.listed("step, critical or measured value", &parts, &part);
        }
    }
}

/// The heading stands in the lesson, in these words.
fn heading(checked: &Checked<'_>, lesson: Option<&str>, spot: &Spot<'_>) {
    if checked.broken {
        return;
    }
    let lessons = &checked.course.lessons;
    let is = |id: &str| lessons.iter().position(|lesson| lesson.id == id);
    let Some(at) = lesson.and_then(is) else { return };
    let Some(lesson) = lessons.get(at) else { return };
    let heads = headings(lesson, at + 1).into_iter();
    let known: Vec<String> = heads.map(|head| head.text).collect();
    let Some(text) = spot.text() else { return };
    if !known.iter().any(|head| head == text) {
        let near = super::nearest(text, &known);
        let finding = Finding::at(Code::UnknownId, spot.place());
        let finding = finding.with("kind", "heading").with("id", text);
        checked.note(finding.with("nearest", near));
    }
}

/// Everything of a drill that somebody can be held to.
fn parts(drill: &Drill) -> Vec<String> {
    let steps = drill.steps.iter().map(|step| &step.id);
    let criticals = drill.criticals.iter().map(|critical| &critical.id);
    let measures = drill.measures.iter().map(|measure| &measure.id);
    steps.chain(criticals).chain(measures).cloned().collect()
}

/// Steps, criticals and measured values of a drill that no heading teaches, told once.
fn of_drill(checked: &Checked<'_>, drill: &Drill) {
    let all = &checked.course.teaches;
    let taught: BTreeSet<String> =
        reread(all, &drill.id).into_iter().map(|one| one.part).collect();
    let mut open = parts(drill);
    open.retain(|name| !taught.contains(name));
    if open.is_empty() {
        return;
    }
    let place = checked.sheet("drills", &drill.id).at("drill").place();
    let finding = Finding::at(Code::TaughtNowhere, place);
    let finding = finding.with("drill", drill.id.clone());
    checked.note(finding.with("names", open.join(", ")));
}

/// Questions of a set that no heading answers, told once.
fn of_set(checked: &Checked<'_>, set: &QuestionSet) {
    let all = &checked.course.teaches;
    let mut open = BTreeSet::new();
    for question in &set.questions {
        if answering(all, question).next().is_none() {
            open.insert(question.id.as_str());
        }
    }
    if open.is_empty() {
        return;
    }
    let open: Vec<&str> = open.into_iter().collect();
    let place = checked.sheet("questions", &set.id).at("set").place();
    let finding = Finding::at(Code::AnsweredNowhere, place).with("set", set.id.clone());
    checked.note(finding.with("names", open.join(", ")));
}
