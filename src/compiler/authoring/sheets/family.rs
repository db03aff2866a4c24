//! `families.yaml`: the pages of formulas and their charts.

use super::example::{example, quantity};
use super::feed::unit;
use crate::course::{Axis, Chart, Curve, Each, Family};
use crate::formulas::{ExampleGiven, Input};
use crate::wire::Fields;
use crate::wire::Item;

const EACH: &[(&str, Each)] = &[("once", Each::Once), ("rig", Each::Rig)];

/// The families in the order of the file.
pub(in crate::authoring) fn families(item: Item<'_>) -> Vec<Family> {
    item.list().into_iter().filter_map(family).collect()
}

fn family(item: Item<'_>) -> Option<Family> {
    let fields = item.fields()?;
    let id = fields.need("family").and_then(|item| item.id());
    let (title, about) = (fields.need_text("title"), fields.need_text("about"));
    let cautions = fields.may_ids("cautions");
    let charts = fields.may("charts").map(|item| item.list()).unwrap_or_default();
    let charts = charts.into_iter().filter_map(chart).collect();
    fields.finish();
    Some(Family { id: id?, title: title?, about: about?, cautions, charts })
}

fn chart(item: Item<'_>) -> Option<Chart> {
    let fields = item.fields()?;
    let id = fields.need("chart").and_then(|item| item.id());
    let (title, about) = (fields.need_text("title"), fields.need_text("about"));
    let each = fields.may("each").map_or(Some(Each::Once), |item| item.word(EACH));
    let across = fields.need("across").and_then(axis);
    let up = fields.need("up").and_then(axis);
    let curves = fields.need("curves").map(|item| item.list()).unwrap_or_default();
    let curves = curves.into_iter().filter_map(curve).collect();
    let lines = fields.may("lines").and_then(|item| item.yes_no()).unwrap_or(false);
    fields.finish();
    Some(Chart {
        id: id?,
        title: title?,
        about: about?,
        each: each?,
        across: across?,
        up: up?,
        curves,
        lines,
    })
}

fn axis(item: Item<'_>) -> Option<Axis> {
    let fields = item.fields()?;
    let label = fields.need_text("label");
    let us = fields.need("unit").and_then(unit);
    let si = fields.may("unit-si").and_then(unit).or_else(|| us.clone());
    let (from, to) = (end(&fields, "from"), end(&fields, "to"));
    fields.finish();
    Some(Axis { label: label?, unit: us?, unit_si: si?, from, to })
}

fn end(fields: &Fields<'_>, name: &'static str) -> Option<ExampleGiven> {
    let (us, si, figure) = fields.may(name).and_then(quantity)?;
    let (us, si) = (Input::Number(us), Input::Number(si));
    Some(ExampleGiven { given: name.to_owned(), us, si, figure })
}

fn curve(item: Item<'_>) -> Option<Curve> {
    let fields = item.fields()?;
    let label = fields.need_text("curve");
    let formula = fields.need("formula").and_then(|item| item.id());
    let answer = fields.may("answer").and_then(|item| item.id());
    let along = fields.need("along").and_then(|item| item.id());
    let with = fields.may("with").map(example).unwrap_or_default();
    fields.finish();
    Some(Curve { label: label?, formula: formula?, answer, along: along?, with })
}
