//! Formulas and what their givens are fed from.

use std::collections::BTreeMap;

use super::super::by_rig::rig_of;
use super::basis::{basis_of_drill, named_basis};
use super::units::measures;
use super::values::within;
use super::{Checked, Spot, given, nearest};
use crate::course::{
    Bind, CARD_NAMES, Draw, Expect, FIGURE_NAMES, Feed, Question, QuestionKind, Rig,
};
use crate::findings::{Code, Finding};
use crate::formulas::{Formula, Given, GivenKind};
use crate::quantity::{Direction, Kind, Quantity, System, Unit, find};
use crate::scoring::runs_on;

/// What a feed can name besides the figures of a rig.
struct Reach<'c> {
    /// `day` or `draw`.
    prefix: &'static str,
    names: Vec<String>,
    /// Drawn values with the place of their draw.
    draws: Option<(&'c Question, Spot<'c>)>,
}

pub(super) fn check(checked: &Checked<'_>) {
    examples(checked);
    drills(checked);
    questions(checked);
    cards(checked);
}

fn examples(checked: &Checked<'_>) {
    let lessons = checked.file("module.yaml").at("lessons");
    let reach = Reach { prefix: "", names: Vec::new(), draws: None };
    for lesson in &checked.course.lessons {
        let spot = lessons.entry("lesson", &lesson.id).at("examples");
        for example in &lesson.examples {
            let spot = spot.entry("example", &example.id);
            feed(checked, &example.feed, &spot, &reach);
            for_crews(checked, &example.feed, &spot);
            let rig = example.rig.as_ref().and_then(|id| checked.course.rigs.get(id));
            let rigs: Vec<&Rig> = rig.into_iter().collect();
            named_basis(checked, &example.feed, (&spot, &spot), &rigs);
        }
    }
}

fn drills(checked: &Checked<'_>) {
    for drill in &checked.course.drills {
        let spot = checked.sheet("drills", &drill.id);
        let names = spot.at("readings").ids("reading");
        let reach = Reach { prefix: "day", names, draws: None };
        let rigs = checked.course.rigs.values().filter(|rig| runs_on(rig, drill));
        let rigs: Vec<&Rig> = rigs.collect();
        for measure in &drill.measures {
            let spot = spot.at("measures").entry("measure", &measure.id);
            match &measure.expect {
                Expect::Formula(expect) => {
                    feed(checked, expect, &spot.at("expect"), &reach);
                    for_drills(checked, expect, &spot.at("expect"));
                    basis_of_drill(checked, expect, &spot.at("expect"), &rigs);
                }
                Expect::Bound(bind) => {
                    named(checked, bind, &spot.at("expect").at("value"), &reach);
                }
            }
            if let Some(measured) = &measure.measured {
                feed(checked, measured, &spot.at("measured"), &reach);
                for_drills(checked, measured, &spot.at("measured"));
                basis_of_drill(checked, measured, &spot.at("measured"), &rigs);
            }
        }
    }
}

/// The lines of rig cards: formula, figures, and the rows that a card's table has.
fn cards(checked: &Checked<'_>) {
    let file = checked.file("trade/cards.yaml");
    checked.refer_all("caution", &file.at("cautions"));
    let constants = checked.course.library.constants().iter();
    let names = CARD_NAMES.iter().map(|&name| name.to_owned());
    let names = names.chain(constants.map(|constant| constant.id.clone())).collect();
    let reach = Reach { prefix: "card", names, draws: None };
    let lines = file.at("lines");
    for line in &checked.course.cards.lines {
        let spot = lines.entry("card", &line.id);
        feed(checked, &line.feed, &spot, &reach);
        for_drills(checked, &line.feed, &spot);
        if let Some(needs) = &line.needs {
            named(checked, needs, &spot.at("needs"), &reach);
        }
    }
}

/// What a formula says for lessons alone is no standard at a pump panel.
fn for_drills(checked: &Checked<'_>, feed: &Feed, spot: &Spot<'_>) {
    let formula = checked.course.library.formula(&feed.formula);
    if let Some(formula) = formula.filter(|formula| formula.library_only) {
        let finding = Finding::at(Code::LessonsOnly, spot.at("formula").place());
        checked.note(finding.with("formula", formula.title.clone()));
    }
}

/// What no crew may read off a page is in no lesson either.
fn for_crews(checked: &Checked<'_>, feed: &Feed, spot: &Spot<'_>) {
    let formula = checked.course.library.formula(&feed.formula);
    if let Some(formula) = formula.filter(|formula| formula.officers_only) {
        let finding = Finding::at(Code::LessonsOnly, spot.at("formula").place());
        checked.note(finding.with("formula", formula.title.clone()));
    }
}

fn questions(checked: &Checked<'_>) {
    for set in &checked.course.sets {
        let spot = checked.sheet("questions", &set.id).at("questions");
        for question in &set.questions {
            let ask = match &question.kind {
                QuestionKind::Number { ask, .. }
                | QuestionKind::Choice { ask, .. }
                | QuestionKind::Verdict { ask }
                | QuestionKind::Judge { ask: Some(ask), .. } => ask,
                QuestionKind::Judge { ask: None, .. } | QuestionKind::Order { .. } => {
                    continue;
                }
            };
            let spot = spot.entry("question", &question.id);
            let names = super::question::drawn_names(question);
            let draws = Some((question, spot.at("draw")));
            let reach = Reach { prefix: "draw", names, draws };
            feed(checked, &ask.feed, &spot.at("ask"), &reach);
            for_crews(checked, &ask.feed, &spot.at("ask"));
            let rig = rig_of(question).and_then(|id| checked.course.rigs.get(id));
            let rigs: Vec<&Rig> = rig.into_iter().collect();
            named_basis(checked, &ask.feed, (&spot, &spot.at("ask")), &rigs);
        }
    }
}

/// Formula, answer, each given that is fed, and each that is not.
fn feed<'c>(checked: &Checked<'c>, feed: &Feed, spot: &Spot<'c>, reach: &Reach<'c>) {
    let library = &checked.course.library;
    // Of what is left to the rig both formulas have the same givens and answers.
    let asked = checked.course.bases.iter().find(|asked| asked.id == feed.formula);
    let named = asked.map_or(feed.formula.as_str(), |asked| &asked.solution);
    let Some(formula) = library.formula(named) else {
        // A formula with a fault of its own is reported where it stands.
        let written = checked.known("written formula");
        if !written.is_some_and(|written| written.has(&feed.formula))
            && let Some(known) = checked.known("formula")
        {
            let finding = Finding::at(Code::UnknownId, spot.at("formula").place());
            checked.named("formula", &known, &feed.formula, finding);
        }
        return;
    };
    if let Some(answer) = &feed.answer {
        let known: Vec<String> = formula.answers.iter().map(|a| a.name.clone()).collect();
        if !known.contains(answer) {
            let finding = Finding::at(Code::UnknownAnswer, spot.at("answer").place());
            let finding = finding.with("formula", formula.id.clone());
            let near = nearest(answer, &known);
            checked.note(finding.with("answer", answer.clone()).with("nearest", near));
        }
    }
    givens(checked, (formula, &formula.givens), &feed.with, spot, reach);
}

/// The values of a formula, or of one row of a list given.
fn givens<'c>(
    checked: &Checked<'c>,
    (formula, wanted): (&Formula, &[Given]),
    with: &BTreeMap<String, Bind>,
    spot: &Spot<'c>,
    reach: &Reach<'c>,
) {
    // Rows have their values side by side, a formula has them under `with`.
    let whole = spot.at("formula").node().is_some();
    let values = if whole { spot.at("with") } else { spot.clone() };
    // A given whose name is misspelled is told there, and is not missing besides.
    let mut misspelled = Vec::new();
    for (name, bind) in with {
        let value = values.at(name.as_str());
        let Some(given) = wanted.iter().find(|given| given.name == *name) else {
            let known: Vec<String> =
                wanted.iter().map(|given| given.name.clone()).collect();
            let finding = Finding::at(Code::UnknownGiven, value.key());
            let finding = finding.with("formula", formula.id.clone());
            let near = nearest(name, &known);
            misspelled.push(near.clone());
            checked.note(finding.with("given", name.clone()).with("nearest", near));
            continue;
        };
        fits(checked, (formula, given), bind, &value, reach);
    }
    // Values that the sheet holds but that could not be read are reported there.
    let there = values.keys();
    for given in wanted {
        let default = matches!(&given.kind, GivenKind::Number { default: Some(_), .. });
        if !default
            && !with.contains_key(&given.name)
            && !there.contains(&given.name.as_str())
            && !misspelled.contains(&given.name)
        {
            let place = if whole { spot.at("formula").place() } else { spot.place() };
            let values = whole.then(|| values.node().is_some());
            checked.note(given::missing(checked, (formula, given), values, place));
        }
    }
}

/// One value for one given.
fn fits<'c>(
    checked: &Checked<'c>,
    (formula, given): (&Formula, &Given),
    bind: &Bind,
    spot: &Spot<'c>,
    reach: &Reach<'c>,
) {
    named(checked, bind, spot, reach);
    match (&given.kind, bind) {
        (GivenKind::Number { unit, least, most, .. }, Bind::Value(value)) => {
            if measures(value, unit) {
                range(checked, (formula, given, least, most), value, spot);
            } else {
                dimension(checked, given, value, spot);
            }
        }
        (GivenKind::Number { unit, least, most, .. }, Bind::Named(name)) => {
            let range_of = (formula, given, least, most);
            // Both ends of a draw: what lies between two values
            // of a range lies in it too.
            for (value, spot) in drawn(reach, name) {
                if measures(&value, unit) {
                    range(checked, range_of, &value, &spot);
                } else {
                    dimension(checked, given, &value, &spot);
                }
            }
        }
        (GivenKind::Choice { words }, Bind::Word(word)) => {
            choice(checked, (given, words), word, spot);
        }
        (GivenKind::List { columns }, Bind::Rows(rows)) => {
            for (row, spot) in rows.iter().zip(spot.items()) {
                givens(checked, (formula, columns), row, &spot, reach);
            }
        }
        (GivenKind::Choice { .. }, Bind::Named(_)) => {}
        (kind, _) if !matches!(bind, Bind::Rig(_)) => {
            let wanted = match kind {
                GivenKind::Number { .. } => "a quantity",
                GivenKind::Choice { .. } => "one of the words of the formula",
                GivenKind::List { .. } => "a list of rows",
            };
            let found = match bind {
                Bind::Value(_) => "a quantity",
                Bind::Word(_) => "a word",
                Bind::Rig(_) | Bind::Named(_) => "a name",
                Bind::Rows(_) => "a list",
            };
            let finding = Finding::at(Code::WrongType, spot.place()).with("found", found);
            checked
                .note(finding.with("wanted", wanted).with("field", given.name.clone()));
        }
        _ => {}
    }
}

/// A word must be one of the choice.
fn choice(
    checked: &Checked<'_>,
    (given, words): (&Given, &[String]),
    word: &str,
    spot: &Spot<'_>,
) {
    if words.iter().any(|known| known == word) {
        return;
    }
    let finding = Finding::at(Code::UnknownWord, spot.place()).with("found", word);
    let finding = finding.with("nearest", nearest(word, words));
    let finding = finding.with("field", given.name.clone());
    checked.note(finding.with("words", words.join(", ")));
}

/// The ends of a drawn value, where the author wrote them.
fn drawn<'c>(reach: &Reach<'c>, name: &str) -> Vec<(Quantity, Spot<'c>)> {
    let Some((question, spot)) = &reach.draws else { return Vec::new() };
    let Some((_, draw)) = question.draws.iter().find(|(known, _)| known == name) else {
        return Vec::new();
    };
    let spot = spot.at(name);
    // The metric values stand in a group of their own.
    let written = |spot: &Spot<'c>, value: &Quantity| {
        spot.text().is_some_and(|text| Quantity::read(text).as_ref() == Ok(value))
    };
    let pick = |path: &[&str], value: &Quantity| {
        let deeper = |top: Spot<'c>| path.iter().fold(top, |spot, part| spot.at(*part));
        let us = deeper(spot.clone());
        if written(&us, value) { us } else { deeper(spot.at("si")) }
    };
    match draw {
        Draw::Spread(spread) => [("from", spread.from), ("to", spread.to)]
            .into_iter()
            .map(|(key, value)| (value, pick(&[key], &value)))
            .collect(),
        Draw::Of(values) => values
            .iter()
            .enumerate()
            .map(|(index, value)| (*value, pick(&["of", &index.to_string()], value)))
            .collect(),
        Draw::Words(_) | Draw::FoamLineOf(_) => Vec::new(),
    }
}

fn range(
    checked: &Checked<'_>,
    (formula, given, least, most): (&Formula, &Given, &Quantity, &Quantity),
    value: &Quantity,
    spot: &Spot<'_>,
) {
    if within(value, least, most) {
        return;
    }
    let finding = Finding::at(Code::DrawOutsideFormula, spot.place());
    let finding = finding.with("found", value.printed());
    let finding = finding.with("formula", formula.id.clone());
    let finding = finding.with("given", given.label.clone());
    let unit = own_unit(checked, given);
    let own = |bound: &Quantity, way| {
        unit.map_or(*bound, |unit| bound.bound(unit, way)).printed()
    };
    let finding = finding.with("least", own(least, Direction::Up));
    checked.note(finding.with("most", own(most, Direction::Down)));
}

/// The unit of a given in the module's system.
fn own_unit(checked: &Checked<'_>, given: &Given) -> Option<&'static Unit> {
    match (&given.kind, checked.course.module.units) {
        (GivenKind::Number { unit_si, .. }, System::Si | System::SiBar) => find(unit_si),
        (GivenKind::Number { unit, .. }, System::Us) => find(unit),
        _ => None,
    }
}

fn dimension(checked: &Checked<'_>, given: &Given, value: &Quantity, spot: &Spot<'_>) {
    if let Some(unit) = own_unit(checked, given) {
        other_sort(checked, (value, unit, &given.name), spot);
    }
}

/// A value that is not of the sort of the unit that is wanted.
pub(super) fn other_sort(
    checked: &Checked<'_>,
    (value, unit, field): (&Quantity, &Unit, &str),
    spot: &Spot<'_>,
) {
    let example = format!("{} {}", value.number(), unit.symbol);
    // That a unit was left out is the commonest slip, and no other quantity.
    if value.unit().kind == Kind::Plain {
        let finding = Finding::at(Code::NoUnit, spot.place());
        checked.note(finding.with("found", value.to_string()).with("example", example));
        return;
    }
    let finding = Finding::at(Code::WrongDimension, spot.place());
    let finding = finding.with("found", value.to_string());
    let finding = finding.with("kind", value.unit().measures());
    let finding = finding.with("wanted", unit.measures());
    checked.note(finding.with("example", example).with("field", field));
}

/// `rig.NAME`, `day.NAME` and `draw.NAME` must name something.
fn named(checked: &Checked<'_>, bind: &Bind, spot: &Spot<'_>, reach: &Reach<'_>) {
    let (prefix, name, known) = match bind {
        Bind::Rig(name) => {
            let known = FIGURE_NAMES.iter().map(|&name| name.to_owned()).collect();
            ("rig", name, known)
        }
        Bind::Named(name) => (reach.prefix, name, reach.names.clone()),
        _ => return,
    };
    let unread = reach.draws.as_ref().map(|(_, draws)| draws.keys());
    // A draw that cannot be read is told there.
    if known.contains(name) || unread.is_some_and(|all| all.contains(&name.as_str())) {
        return;
    }
    let near = crate::words::nearest(name, known.iter().map(String::as_str));
    let full = |name: &str| format!("{prefix}.{name}");
    let near = near.map(|near| full(&near)).unwrap_or_else(|| {
        known.iter().map(|name| full(name)).collect::<Vec<_>>().join(", or ")
    });
    let finding = Finding::at(Code::UnknownFigure, spot.place());
    let written = spot.text().unwrap_or_default();
    checked.note(finding.with("name", written).with("nearest", near));
}
