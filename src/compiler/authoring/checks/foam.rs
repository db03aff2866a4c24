//! Figures of a foam on a rig that has two: whose they are has to be said.

use super::super::by_rig::rig_of;
use super::{Checked, Spot};
use crate::course::{
    Bind, Expect, Feed, FoamClass, Measure, Question, QuestionKind, Rig, differing,
    differing_tanks,
};
use crate::findings::{Code, Finding};
use crate::scoring::runs_on;

pub(super) fn check(checked: &Checked<'_>) {
    let rig_of_id = |id: &str| checked.course.rigs.get(id);
    let lessons = checked.file("module.yaml").at("lessons");
    for lesson in &checked.course.lessons {
        let spot = lessons.entry("lesson", &lesson.id).at("examples");
        for example in &lesson.examples {
            let Some(rig) = example.rig.as_deref().and_then(rig_of_id) else { continue };
            let spot = spot.entry("example", &example.id);
            let feed = &example.feed;
            if !told(checked, rig, example.class, of_feed(feed), &spot) {
                which_tank(checked, rig, example.class, of_feed(feed), &spot);
            }
        }
    }
    for set in &checked.course.sets {
        let spot = checked.sheet("questions", &set.id).at("questions");
        for question in &set.questions {
            let Some(rig) = rig_of(question).and_then(rig_of_id) else { continue };
            let spot = spot.entry("question", &question.id);
            if !told(checked, rig, question.class, of_question(question), &spot) {
                which_tank(checked, rig, question.class, of_question(question), &spot);
            }
        }
    }
    for drill in &checked.course.drills {
        let spot = checked.sheet("drills", &drill.id);
        let formulas = drill.measures.iter().flat_map(Measure::feeds);
        let bound = drill.measures.iter().filter_map(|measure| match &measure.expect {
            Expect::Bound(bind) => figure(bind),
            Expect::Formula(_) => None,
        });
        let names: Vec<&str> = formulas.flat_map(of_feed).chain(bound).collect();
        // Once for each drill, on the first rig where it matters.
        let rigs = checked.course.rigs.values().filter(|rig| runs_on(rig, drill));
        for rig in rigs {
            if told(checked, rig, drill.class(), names.iter().copied(), &spot) {
                break;
            }
        }
    }
}

/// Notes a figure that is another one for each foam of a rig while none is named, and a class that
/// the rig does not have; says whether there was one.
fn told<'n>(
    checked: &Checked<'_>,
    rig: &Rig,
    class: Option<FoamClass>,
    mut names: impl Iterator<Item = &'n str>,
    spot: &Spot<'_>,
) -> bool {
    let finding = match class {
        Some(class) if rig.has_class(class) => return false,
        Some(class) => Finding::at(Code::ClassNotOnRig, spot.at("class").place())
            .with("class", class.word()),
        None => {
            let open = names.find_map(|name| Some((name, *differing(rig, name).last()?)));
            let Some((name, class)) = open else { return false };
            Finding::at(Code::WhichFoam, asked(spot).place())
                .with("figure", name)
                .with("class", class.word())
        }
    };
    checked.note(finding.with("rig", rig.title.clone()));
    true
}

/// Where it is asked: a class is named beside the rig.
fn asked<'s>(spot: &Spot<'s>) -> Spot<'s> {
    let places = [spot.at("rig"), spot.at("question"), spot.at("drill")];
    let place = places.into_iter().find(|spot| spot.node().is_some());
    place.unwrap_or_else(|| spot.clone())
}

/// Figures of a tank by their short names, and the fields of its card that they are.
const OF_A_TANK: &[(&str, &str)] = &[
    ("foam", "usable"),
    ("foam-nominal", "nominal"),
    ("foam-warning", "mark-usable"),
    ("foam-dead", "dead"),
    ("foam-mark", "mark"),
];

/// Notes a figure that is another one for each tank of a class. A drill is of no rig, and the sheet
/// of its run names the tank; a lesson and a question have to name it themselves.
fn which_tank<'n>(
    checked: &Checked<'_>,
    rig: &Rig,
    class: Option<FoamClass>,
    names: impl Iterator<Item = &'n str>,
    spot: &Spot<'_>,
) {
    let names: Vec<&str> = names.collect();
    let classes = FoamClass::ALL.iter().map(|(_, class)| *class);
    for class in classes.filter(|own| class.is_none_or(|class| class == *own)) {
        for (figure, field) in OF_A_TANK {
            let tanks = differing_tanks(rig, class, figure);
            let Some(tank) = tanks.first().filter(|_| names.contains(figure)) else {
                continue;
            };
            let name = format!("rig.{}.{}.{field}", rig.id, tank.id);
            let finding = Finding::at(Code::WhichTank, asked(spot).place());
            let finding = finding.with("figure", *figure).with("class", class.word());
            checked.note(finding.with("name", name).with("rig", rig.title.clone()));
            return;
        }
    }
}

/// The figure of a rig that a value is fed from.
fn figure(bind: &Bind) -> Option<&str> {
    match bind {
        Bind::Rig(name) => Some(name.strip_prefix("rig.").unwrap_or(name)),
        _ => None,
    }
}

fn of_feed(feed: &Feed) -> impl Iterator<Item = &str> {
    feed.with.values().filter_map(figure)
}

/// Figures of its rig that a question works with or holds its draws against.
fn of_question(question: &Question) -> impl Iterator<Item = &str> {
    let feed = match &question.kind {
        QuestionKind::Number { ask, .. }
        | QuestionKind::Choice { ask, .. }
        | QuestionKind::Verdict { ask }
        | QuestionKind::Judge { ask: Some(ask), .. } => Some(&ask.feed),
        QuestionKind::Judge { ask: None, .. } | QuestionKind::Order { .. } => None,
    };
    let part = |c: char| !(c.is_ascii_alphanumeric() || matches!(c, '-' | '.'));
    let conditions = question.conditions.iter().flat_map(move |text| text.split(part));
    let named = conditions.filter_map(|word| word.strip_prefix("rig."));
    feed.into_iter().flat_map(of_feed).chain(named)
}
