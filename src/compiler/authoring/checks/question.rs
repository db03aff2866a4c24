//! Questions against their own draws and formulas.

use std::collections::BTreeMap;

use super::super::explain::explain;
use super::super::library::within;
use super::{Checked, Spot, nearest};
use crate::course::{
    Bind, Course, Draw, FIGURE_NAMES, Outlet, Question, QuestionKind, QuestionSet,
    WhichFoam, foam_outlets, names_in, rig_figures,
};
use crate::findings::{Code, Finding, Place};
use crate::quantity::Quantity;
use crate::quiz::never_drawn;
use crate::wire::YES_NO;

pub(super) fn check(checked: &Checked<'_>) {
    for set in &checked.course.sets {
        let sheet = checked.sheet("questions", &set.id);
        if let Some(graded) = set.graded
            && (graded > sheet.at("questions").items().len() || graded == 0)
        {
            let finding = Finding::at(Code::GradedTooMany, sheet.at("graded").place());
            let finding = finding.with("graded", graded.to_string());
            let count = sheet.at("questions").items().len();
            checked.note(finding.with("questions", count.to_string()));
        }
        blueprint(checked, set, &sheet);
        for question in &set.questions {
            let spot = sheet.at("questions").entry("question", &question.id);
            blanks(checked, question, &spot);
            unused(checked, question, &spot);
            conditions(checked, question, &spot);
            kind(checked, question, &spot);
        }
    }
}

/// Whether every paper can be made as the blueprint says, and every question can come up.
fn blueprint(checked: &Checked<'_>, set: &QuestionSet, sheet: &Spot<'_>) {
    // Where questions could not be read, that has been told, and counting would miss them.
    if set.questions.len() != sheet.at("questions").items().len() {
        return;
    }
    let lines = sheet.at("blueprint").items();
    for (at, (share, spot)) in set.blueprint.iter().zip(&lines).enumerate() {
        // Counted to the first share that takes it, so that no question fills two.
        let own = |question: &&Question| {
            set.blueprint.iter().position(|share| share.takes(question)) == Some(at)
        };
        let has = set.questions.iter().filter(own).count();
        if share.questions > has {
            let place = spot.at("questions").place();
            let finding = Finding::at(Code::BlueprintCannotBeFilled, place);
            let finding = finding.with("topic", share.topic.clone());
            let finding = finding.with("wanted", share.questions.to_string());
            checked.note(finding.with("has", has.to_string()));
        }
    }
    if let Some(graded) = set.graded
        && !set.blueprint.is_empty()
        && graded != set.on_a_paper()
    {
        let finding = Finding::at(Code::GradedNotBlueprint, sheet.at("graded").place());
        let finding = finding.with("graded", graded.to_string());
        checked.note(finding.with("questions", set.on_a_paper().to_string()));
    }
    for id in never_drawn(set) {
        let spot = sheet.at("questions").entry("question", id);
        let finding = Finding::at(Code::QuestionNeverDrawn, spot.at("question").place());
        checked.note(finding.with("question", id));
    }
}

/// Names of drawn values; a drawn line has those of its outlet besides its title.
pub(super) fn drawn_names(question: &Question) -> Vec<String> {
    let mut names = Vec::new();
    for (name, draw) in &question.draws {
        names.push(name.clone());
        if matches!(draw, Draw::FoamLineOf(_)) {
            let outlet = FIGURE_NAMES.iter().filter_map(|n| n.strip_prefix("outlet."));
            names.extend(outlet.map(|figure| format!("{name}.{figure}")));
        }
    }
    names
}

/// The texts of a question in which `{name}` is filled, with their places.
fn texts<'c>(question: &Question, spot: &Spot<'c>) -> Vec<Spot<'c>> {
    let mut all = vec![spot.at("text"), spot.at("remark")];
    if matches!(question.kind, QuestionKind::Judge { .. }) {
        for option in spot.at("options").items() {
            all.extend([option.at("says"), option.at("because")]);
        }
    }
    all
}

/// The inside of each `{…}` of a text.
fn inside(text: &str) -> Vec<&str> {
    let opened = text.split('{').skip(1);
    opened.filter_map(|rest| Some(rest.split_once('}')?.0)).collect()
}

/// A blank without the words it chooses between.
fn blank_name(inside: &str) -> &str {
    inside.split('|').next().unwrap_or_default()
}

fn blanks(checked: &Checked<'_>, question: &Question, spot: &Spot<'_>) {
    let mut known = drawn_names(question);
    let lines = question.draws.iter().any(|(_, d)| matches!(d, Draw::FoamLineOf(_)));
    if question.rig.is_some() || lines {
        known.extend(FIGURE_NAMES.iter().map(|name| format!("rig.{name}")));
    }
    // A draw that cannot be read is told there, and its name is there all the same.
    known.extend(spot.at("draw").keys().iter().map(|name| (*name).to_owned()));
    for spot in texts(question, spot) {
        let Some(text) = spot.text() else { continue };
        for found in inside(text) {
            let name = blank_name(found);
            // A full name that leads nowhere is told with those of all other texts.
            let full = !names_in(&format!("{{{found}}}")).is_empty();
            let elsewhere = full && !super::named::is_short(name);
            if elsewhere || known.iter().any(|known| known == name) {
                continue;
            }
            let place = piece(checked, spot.place(), &format!("{{{found}}}"));
            let finding = Finding::at(Code::UnknownBlank, place).with("name", name);
            checked.note(finding.with("nearest", nearest(name, &known)));
        }
    }
}

/// A piece of a text at its own bytes, where it can be found in the file.
fn piece(checked: &Checked<'_>, place: Place, text: &str) -> Place {
    let source = checked.sources.get(&place.file);
    let whole = source.and_then(|source| source.get(place.start..place.end));
    match whole.and_then(|whole| whole.find(text)) {
        Some(at) => within(place, at, at + text.len()),
        None => place,
    }
}

/// Whether one name stands in a text as a word of its own.
fn stands(text: &str, name: &str) -> bool {
    let letter = |c: char| c.is_ascii_alphanumeric() || c == '-';
    text.match_indices(name).any(|(at, _)| {
        let before = text.get(..at).and_then(|text| text.chars().next_back());
        let after = text.get(at + name.len()..).and_then(|text| text.chars().next());
        !before.is_some_and(letter) && !after.is_some_and(letter)
    })
}

fn unused(checked: &Checked<'_>, question: &Question, spot: &Spot<'_>) {
    let mut named: Vec<String> = Vec::new();
    if let QuestionKind::Number { ask, .. }
    | QuestionKind::Choice { ask, .. }
    | QuestionKind::Verdict { ask }
    | QuestionKind::Judge { ask: Some(ask), .. } = &question.kind
    {
        ask.feed.with.values().for_each(|bind| names_of(bind, &mut named));
    }
    let texts = texts(question, spot);
    for (name, draw) in &question.draws {
        let line = format!("{name}.");
        let is = |other: &str| other == name || other.starts_with(&line);
        let in_feed = named.iter().any(|other| is(other));
        let in_text = texts
            .iter()
            .filter_map(Spot::text)
            .any(|text| inside(text).iter().any(|inside| is(blank_name(inside))));
        let in_conditions = question.conditions.iter().any(|text| stands(text, name));
        // The drawn line decides the figures of the rig's outlet.
        let outlet = named.iter().any(|name| name.starts_with("rig.outlet."));
        let in_rig = matches!(draw, Draw::FoamLineOf(_)) && outlet;
        if !(in_feed || in_text || in_conditions || in_rig) {
            let place = spot.at("draw").at(name.as_str()).key();
            checked.note(Finding::at(Code::UnusedDraw, place).with("name", name.clone()));
        }
    }
}

fn names_of(bind: &Bind, names: &mut Vec<String>) {
    match bind {
        Bind::Named(name) => names.push(name.clone()),
        Bind::Rig(name) => names.push(format!("rig.{name}")),
        Bind::Rows(rows) => {
            rows.iter().flat_map(BTreeMap::values).for_each(|bind| names_of(bind, names));
        }
        Bind::Value(_) | Bind::Word(_) => {}
    }
}

/// Conditions are lines of the formula language; a dot in a name reads as a hyphen there.
fn conditions(checked: &Checked<'_>, question: &Question, spot: &Spot<'_>) {
    if question.conditions.is_empty() {
        return;
    }
    let samples = samples(checked.course, question);
    let dotted: BTreeMap<String, Quantity> =
        samples.iter().map(|(name, value)| (name.replace('.', "-"), *value)).collect();
    for (index, condition) in question.conditions.iter().enumerate() {
        let mut text = condition.clone();
        // From behind, so that a longer name is found before the
        // shorter one that it begins with.
        for name in samples.keys().rev().filter(|name| name.contains('.')) {
            text = text.replace(name, &name.replace('.', "-"));
        }
        if let Err(fault) = checked.course.library.condition(&text, &dotted) {
            let place = spot.at("where").at(index.to_string()).place();
            let place = within(place, fault.start, fault.end);
            checked.note(explain(Finding::at(Code::BadCondition, place), &fault.kind));
        }
    }
}

/// One value for each name a condition can use.
fn samples(course: &Course, question: &Question) -> BTreeMap<String, Quantity> {
    let mut samples = BTreeMap::new();
    let mut rig = question.rig.as_ref().and_then(|id| course.rigs.get(id));
    let mut outlet: Option<&Outlet> =
        rig.zip(question.outlet.as_ref()).and_then(|(rig, id)| rig.outlet(id));
    for (name, draw) in &question.draws {
        match draw {
            Draw::Spread(spread) => {
                samples.insert(name.clone(), spread.from);
            }
            Draw::Of(values) => {
                samples.extend(values.first().map(|value| (name.clone(), *value)));
            }
            Draw::Words(_) => {}
            Draw::FoamLineOf(id) => {
                let Some(found) = course.rigs.get(id) else { continue };
                rig = rig.or(Some(found));
                let Some(line) = foam_outlets(found).next() else { continue };
                outlet = outlet.or(Some(line));
                for (figure, value) in rig_figures(found, Some(line), WhichFoam::First) {
                    if let Some(figure) = figure.strip_prefix("outlet.") {
                        samples.insert(format!("{name}.{figure}"), value);
                    }
                }
            }
        }
    }
    if let Some(rig) = rig {
        let figures = rig_figures(rig, outlet, WhichFoam::of(question.class));
        samples.extend(figures.into_iter().map(|(n, value)| (format!("rig.{n}"), value)));
    }
    samples
}

fn kind(checked: &Checked<'_>, question: &Question, spot: &Spot<'_>) {
    match &question.kind {
        QuestionKind::Judge { options, .. } => {
            let right = options.iter().filter(|option| option.right).count();
            let written = spot.at("options").items();
            // Where one cannot be read, that has been told.
            let read = |option: &Spot<'_>| {
                let said = option.at("right").node();
                let word = said.map(|node| node.text().unwrap_or_default().trim());
                word.is_none_or(|word| YES_NO.words.contains(&word))
            };
            if right != 1 && options.len() == written.len() && written.iter().all(read) {
                let place = spot.at("question").place();
                let finding = Finding::at(Code::RightOptions, place);
                checked.note(finding.with("found", right.to_string()));
            }
        }
        QuestionKind::Choice { ask, choices } => {
            let Some(formula) = checked.course.library.formula(&ask.feed.formula) else {
                return;
            };
            let most = formula.slips.len() + 1;
            // One choice would be the answer itself.
            if *choices > most || *choices < 2 {
                let place = spot.at("choices").place();
                let finding = Finding::at(Code::ChoicesCannotBeFilled, place);
                let finding = finding.with("found", choices.to_string());
                let finding = finding.with("formula", formula.id.clone());
                checked.note(finding.with("most", most.to_string()));
            }
        }
        _ => {}
    }
}
