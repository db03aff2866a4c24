//! A question set.

use super::feed::{feed, tolerance, unit};
use super::lesson::three_cautions;
use crate::course::{Ask, Draw, OptionText, Question, QuestionKind, QuestionSet, Spread};
use crate::quantity::System;
use crate::wire::Fields;
use crate::wire::Item;
use crate::wire::Shape;

#[derive(Debug, Clone, Copy)]
enum Kind {
    Number,
    Choice,
    Judge,
    Verdict,
    Order,
}

const KINDS: &[(&str, Kind)] = &[
    ("number", Kind::Number),
    ("choice", Kind::Choice),
    ("judge", Kind::Judge),
    ("verdict", Kind::Verdict),
    ("order", Kind::Order),
];

/// `questions/SET.yaml`.
pub(in crate::authoring) fn question_set(
    item: Item<'_>,
    units: System,
) -> Option<QuestionSet> {
    let fields = item.fields()?;
    let id = fields.need("set").and_then(|item| item.id());
    let (title, about) = (fields.need_text("title"), fields.need_text("about"));
    let calculator = fields.need("calculator").and_then(|item| item.yes_no());
    let cautions = three_cautions(&fields);
    let graded = fields.may("graded").and_then(|item| item.whole());
    let questions = fields.need("questions").map(|item| item.list()).unwrap_or_default();
    let questions =
        questions.into_iter().filter_map(|item| question(item, units)).collect();
    fields.finish();
    Some(QuestionSet {
        id: id?,
        title: title?,
        about: about?,
        calculator: calculator?,
        cautions,
        graded: graded.and_then(|count| usize::try_from(count).ok()),
        questions,
    })
}

fn question(item: Item<'_>, units: System) -> Option<Question> {
    let fields = item.fields()?;
    let id = fields.need("question").and_then(|item| item.id());
    let topic = fields.need_text("topic");
    let objective = fields.need("objective").and_then(|item| item.id());
    let kind = fields.need("kind").and_then(|item| item.word(KINDS));
    let text = fields.need_text("text");
    let rig = fields.may("rig").and_then(|item| item.id());
    let outlet = fields.may("outlet").and_then(|item| item.id());
    let draws = fields.may("draw").map(|item| draws(item, units)).unwrap_or_default();
    let conditions = fields.may("where").map(|item| item.texts()).unwrap_or_default();
    let marks = fields.need("marks").and_then(|item| item.whole());
    let remark = fields.may_text("remark");
    let kind = kind.and_then(|kind| kind_of(kind, &fields));
    fields.finish();
    Some(Question {
        id: id?,
        topic: topic?,
        objective: objective?,
        text: text?,
        rig,
        outlet,
        draws,
        conditions,
        kind: kind?,
        marks: marks?,
        remark,
    })
}

fn kind_of(kind: Kind, fields: &Fields<'_>) -> Option<QuestionKind> {
    Some(match kind {
        Kind::Number => {
            let ask = fields.need("ask").and_then(ask);
            let tolerance = fields.need("tolerance").and_then(tolerance);
            QuestionKind::Number { ask: ask?, tolerance: tolerance? }
        }
        Kind::Choice => {
            let ask = fields.need("ask").and_then(ask);
            let choices = fields.need("choices").and_then(|item| item.whole());
            let choices = choices.and_then(|count| usize::try_from(count).ok());
            QuestionKind::Choice { ask: ask?, choices: choices? }
        }
        Kind::Judge => {
            let ask = fields.may("ask").and_then(ask);
            let options =
                fields.need("options").map(|item| item.list()).unwrap_or_default();
            QuestionKind::Judge {
                ask,
                options: options.into_iter().filter_map(option).collect(),
            }
        }
        Kind::Verdict => QuestionKind::Verdict { ask: fields.need("ask").and_then(ask)? },
        Kind::Order => {
            let drill = fields.need("drill").and_then(|item| item.id());
            let steps = fields.need("steps").map(|item| item.ids()).unwrap_or_default();
            QuestionKind::Order { drill: drill?, steps }
        }
    })
}

fn ask(item: Item<'_>) -> Option<Ask> {
    let fields = item.fields()?;
    let feed = feed(&fields);
    let unit = fields.may("unit").and_then(unit);
    let step = fields.may("step").and_then(|item| item.any_quantity());
    fields.finish();
    Some(Ask { feed: feed?, unit, step })
}

fn option(item: Item<'_>) -> Option<OptionText> {
    let fields = item.fields()?;
    let says = fields.need_text("says");
    let right = fields.may("right").map_or(Some(false), |item| item.yes_no());
    let because = fields.need_text("because");
    fields.finish();
    Some(OptionText { says: says?, right: right?, because: because? })
}

fn draws(item: Item<'_>, units: System) -> Vec<(String, Draw)> {
    let Shape::Map(entries) = &item.node.shape else {
        let _none = item.fields().is_none();
        return Vec::new();
    };
    let _doubles = item.fields().is_some();
    let drawn = entries.iter().filter_map(|(key, node)| {
        let draw = draw(Item { node, name: &key.text, ..item }, units)?;
        Some((key.text.clone(), draw))
    });
    drawn.collect()
}

/// `foam line of RIG`, a range with a step, or `of` a list; `si` holds the metric ones.
fn draw(item: Item<'_>, units: System) -> Option<Draw> {
    if let Some(text) = item.node.text() {
        if let Some(rig) = text.strip_prefix("foam line of ") {
            return Some(Draw::FoamLineOf(rig.trim().to_owned()));
        }
        let finding =
            item.fault(crate::findings::Code::WrongType).with("found", "a text");
        let wanted = "a range (from, to, step), a list (of), or: foam line of RIG";
        item.desk.note(finding.with("wanted", wanted).with("field", item.name));
        return None;
    }
    let fields = item.fields()?;
    let metric = fields.may("si").and_then(|item| item.fields());
    let us = numbers(&fields);
    let si = metric.as_ref().and_then(|fields| {
        let draw = numbers(fields);
        fields.finish();
        draw
    });
    fields.finish();
    if units == System::Si { si.or(us) } else { us }
}

fn numbers(fields: &Fields<'_>) -> Option<Draw> {
    if let Some(of) = fields.may("of") {
        let words = of.list().iter().all(|item| {
            item.node
                .text()
                .is_some_and(|text| text.starts_with(|c: char| c.is_alphabetic()))
        });
        return Some(if words {
            Draw::Words(of.texts())
        } else {
            Draw::Of(
                of.list().into_iter().filter_map(|item| item.any_quantity()).collect(),
            )
        });
    }
    let number = |name| fields.need(name).and_then(|item: Item<'_>| item.any_quantity());
    let (from, to, step) = (number("from"), number("to"), number("step"));
    Some(Draw::Spread(Spread { from: from?, to: to?, step: step? }))
}
