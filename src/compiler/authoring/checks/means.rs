//! What a figure stands for, against what the given that it feeds stands for: a plate's volume in
//! the place of the usable one gives minutes that nobody has.

use std::collections::BTreeMap;

use super::super::by_rig::rig_of;
use super::units;
use super::{Checked, Spot, listing};
use crate::course::{
    Bind, Course, Expect, FIGURE_NAMES, Feed, Measure, Question, QuestionKind, Reading,
    WhichFoam, figure_means, rig_figures,
};
use crate::findings::{Code, Finding};
use crate::formulas::{Given, GivenKind, Means};
use crate::quantity::{Quantity, find};

/// A feed of the module, where it stands, and the readings of its drill.
struct Fed<'c> {
    feed: &'c Feed,
    spot: Spot<'c>,
    readings: &'c [Reading],
    question: Option<&'c Question>,
}

pub(super) fn check(checked: &Checked<'_>) {
    let figures = all_figures(checked);
    for fed in all(checked) {
        let bases = &checked.course.bases;
        let asked = bases.iter().find(|asked| asked.id == fed.feed.formula);
        let id = asked.map_or(fed.feed.formula.as_str(), |asked| &asked.solution);
        let Some(formula) = checked.course.library.formula(id) else { continue };
        // Either formula of a line is the one that the basis of the rig chose.
        let by_basis = bases.iter().any(|asked| asked.has(id));
        let one = |given: &Given, bind: &Bind, spot: &Spot<'_>| {
            let at = At { checked, title: &formula.title, by_basis, figures: &figures };
            at.bound(given, bind, spot, fed.readings);
            let rig = fed.question.and_then(rig_of);
            let rig = rig.and_then(|id| checked.course.rigs.get(id));
            listing::listed(checked, (given, bind), spot, (fed.question, rig));
        };
        for (name, bind) in &fed.feed.with {
            let spot = fed.spot.at("with").at(name.as_str());
            let given = formula.givens.iter().find(|given| given.name == *name);
            match (given.map(|given| (given, &given.kind)), bind) {
                (Some((_, GivenKind::List { columns })), Bind::Rows(rows)) => {
                    for (row, spot) in rows.iter().zip(spot.items()) {
                        for (name, bind) in row {
                            let column = columns.iter().find(|one| one.name == *name);
                            if let Some(column) = column {
                                one(column, bind, &spot.at(name.as_str()));
                            }
                        }
                    }
                }
                (Some((given, _)), bind) => one(given, bind, &spot),
                (None, _) => {}
            }
        }
    }
}

/// Every feed that is written: of lessons, drills, questions and cards.
fn all<'c>(checked: &Checked<'c>) -> Vec<Fed<'c>> {
    let course = checked.course;
    let mut all = Vec::new();
    let none: &[Reading] = &[];
    for lesson in &course.lessons {
        let spot = checked.file("module.yaml").at("lessons");
        let spot = spot.entry("lesson", &lesson.id).at("examples");
        all.extend(lesson.examples.iter().map(|example| {
            let spot = spot.entry("example", &example.id);
            Fed { feed: &example.feed, spot, readings: none, question: None }
        }));
    }
    for drill in &course.drills {
        let spot = checked.sheet("drills", &drill.id).at("measures");
        for measure in &drill.measures {
            let spot = spot.entry("measure", &measure.id);
            let expect = match &measure.expect {
                Expect::Formula(feed) => Some((feed, "expect")),
                Expect::Bound(_) => None,
            };
            let measured = measure.measured.as_ref().map(|feed| (feed, "measured"));
            all.extend(expect.into_iter().chain(measured).map(|(feed, key)| Fed {
                feed,
                spot: spot.at(key),
                readings: &drill.readings,
                question: None,
            }));
        }
    }
    for set in &course.sets {
        let spot = checked.sheet("questions", &set.id).at("questions");
        for question in &set.questions {
            let (QuestionKind::Number { ask, .. }
            | QuestionKind::Choice { ask, .. }
            | QuestionKind::Verdict { ask }
            | QuestionKind::Judge { ask: Some(ask), .. }) = &question.kind
            else {
                continue;
            };
            let spot = spot.entry("question", &question.id).at("ask");
            let question = Some(question);
            all.push(Fed { feed: &ask.feed, spot, readings: none, question });
        }
    }
    let lines = checked.file("trade/cards.yaml").at("lines");
    all.extend(course.cards.lines.iter().map(|line| {
        let spot = lines.entry("card", &line.id);
        Fed { feed: &line.feed, spot, readings: none, question: None }
    }));
    all
}

/// Every formula that lessons, drills and questions ask, without its place.
pub(in crate::authoring) fn feeds_of(course: &Course) -> impl Iterator<Item = &Feed> {
    let examples = course.lessons.iter().flat_map(|lesson| &lesson.examples);
    let measures = course.drills.iter().flat_map(|drill| &drill.measures);
    let measures = measures.flat_map(Measure::feeds);
    let questions = course.sets.iter().flat_map(|set| &set.questions);
    let questions = questions.filter_map(|question| match &question.kind {
        QuestionKind::Number { ask, .. }
        | QuestionKind::Choice { ask, .. }
        | QuestionKind::Verdict { ask }
        | QuestionKind::Judge { ask: Some(ask), .. } => Some(&ask.feed),
        QuestionKind::Judge { ask: None, .. } | QuestionKind::Order { .. } => None,
    });
    examples.map(|example| &example.feed).chain(measures).chain(questions)
}

/// A value of each figure that some rig has: all of one name measure the same.
fn all_figures(checked: &Checked<'_>) -> BTreeMap<String, Quantity> {
    let rigs = checked.course.rigs.values();
    let of = |rig| {
        let rig: &crate::course::Rig = rig;
        let outlets = rig.outlets.iter().map(Some).chain([None]);
        outlets
            .flat_map(|outlet| rig_figures(rig, outlet, WhichFoam::First))
            .collect::<Vec<_>>()
    };
    rigs.flat_map(of).collect()
}

/// A formula that is fed.
struct At<'a, 'c> {
    checked: &'a Checked<'c>,
    title: &'a str,
    by_basis: bool,
    figures: &'a BTreeMap<String, Quantity>,
}

impl At<'_, '_> {
    fn bound(&self, given: &Given, bind: &Bind, spot: &Spot<'_>, readings: &[Reading]) {
        let (figure, own) = match bind {
            Bind::Rig(name) => {
                let name = name.strip_prefix("rig.").unwrap_or(name);
                let known = self.figures.get(name);
                // Of another sort altogether: what it stands for
                // need not be asked any more.
                if known.is_some_and(|value| !measures(value, given)) {
                    self.dimension(given, name, spot);
                    return;
                }
                (format!("rig.{name}"), figure_means(name))
            }
            Bind::Named(name) => {
                let plain = name.strip_prefix("day.").unwrap_or(name);
                let reading = readings.iter().find(|reading| reading.id == plain);
                // A reading that does not say what it is may be anything.
                let means = reading.and_then(|reading| reading.is?.means());
                (format!("day.{plain}"), means)
            }
            // A value that is written has its unit, and nobody said what it stands for.
            Bind::Value(_) | Bind::Word(_) | Bind::Rows(_) => return,
        };
        let Some((wanted, own)) = given.means.zip(own) else { return };
        if wanted.takes(own, self.by_basis) {
            return;
        }
        let finding = Finding::at(Code::OtherMeaning, spot.place());
        let finding = finding.with("figure", figure).with("kind", own.said());
        let finding = finding.with("given", given.label.clone());
        let finding = finding.with("formula", self.title).with("wanted", wanted.said());
        self.checked.note(finding.with("fitting", self.fitting(given, wanted)));
    }

    /// The figures of a rig that would do, or a word that there is none.
    fn fitting(&self, given: &Given, wanted: Means) -> String {
        let fits = |name: &&&str| {
            let means = figure_means(name);
            let same = self.figures.get(**name).is_none_or(|own| measures(own, given));
            same && means.is_some_and(|own| wanted.takes(own, self.by_basis))
        };
        let names = FIGURE_NAMES.iter().filter(fits);
        let names: Vec<String> = names.map(|name| format!("rig.{name}")).collect();
        if names.is_empty() { "none".to_owned() } else { names.join(", ") }
    }

    fn dimension(&self, given: &Given, name: &str, spot: &Spot<'_>) {
        let GivenKind::Number { unit, .. } = &given.kind else { return };
        let (Some(unit), Some(value)) = (find(unit), self.figures.get(name)) else {
            return;
        };
        let fitting = FIGURE_NAMES
            .iter()
            .filter(|name| self.figures.get(**name).is_some_and(|v| measures(v, given)));
        let fitting: Vec<String> = fitting.map(|name| format!("rig.{name}")).collect();
        let finding = Finding::at(Code::WrongDimension, spot.place());
        let finding = finding.with("found", format!("rig.{name}"));
        let finding = finding.with("kind", value.unit().measures());
        let finding = finding.with("wanted", unit.measures());
        let finding = finding.with("example", fitting.join(", or "));
        self.checked.note(finding.with("field", given.name.clone()));
    }
}

/// Whether a figure measures what a given does.
fn measures(value: &Quantity, given: &Given) -> bool {
    let GivenKind::Number { unit, .. } = &given.kind else { return true };
    units::measures(value, unit)
}
