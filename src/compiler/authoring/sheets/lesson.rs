//! A lesson's entry in `module.yaml`; its text is put in afterwards.

use super::feed::feed;
use crate::course::{Lesson, WorkedExample};
use crate::findings::{Code, Finding};
use crate::quantity::Dimension;
use crate::wire::Item;

/// One entry of `lessons`.
pub(super) fn lesson(item: Item<'_>) -> Option<Lesson> {
    let fields = item.fields()?;
    let id = fields.need("lesson").and_then(|item| item.id());
    let title = fields.need_text("title");
    let file = fields.need("file").and_then(|item| item.text());
    let minutes =
        fields.need("minutes").and_then(|item| item.quantity(Dimension::TIME, "45 min"));
    let objectives = fields.need("objectives").map(|item| item.ids()).unwrap_or_default();
    let cautions = three_cautions(&fields);
    let local = fields.may_ids("local");
    let examples = fields.may("examples").map(|item| item.list()).unwrap_or_default();
    let examples = examples.into_iter().filter_map(example).collect();
    fields.finish();
    Some(Lesson {
        id: id?,
        title: title?,
        minutes: minutes?,
        objectives,
        cautions,
        local,
        examples,
        file: file?,
        text: String::new(),
    })
}

/// One to three cautions of the task.
pub(super) fn three_cautions(fields: &crate::wire::Fields<'_>) -> Vec<String> {
    let Some(item) = fields.may("cautions") else {
        fields.note(Finding::at(Code::NoCautions, fields.head()));
        return Vec::new();
    };
    if matches!(&item.node.shape, crate::wire::Shape::List(items) if items.is_empty())
        || item.node.shape == crate::wire::Shape::Nothing
    {
        fields.note(Finding::at(Code::NoCautions, fields.key("cautions")));
        return Vec::new();
    }
    let cautions = item.ids();
    if cautions.len() > 3 {
        let fourth = item.list().get(3).map_or_else(|| item.place(), Item::place);
        let finding = Finding::at(Code::TooManyCautions, fourth);
        fields.note(finding.with("found", cautions.len().to_string()));
    }
    cautions
}

fn example(item: Item<'_>) -> Option<WorkedExample> {
    let fields = item.fields()?;
    let id = fields.need("example").and_then(|item| item.id());
    let title = fields.need_text("title");
    let feed = feed(&fields);
    fields.finish();
    Some(WorkedExample { id: id?, title: title?, feed: feed? })
}
