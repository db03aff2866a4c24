//! A concentrate.

use super::super::decode::Item;
use super::super::fields::Fields;
use crate::course::{Allowed, Concentrate, Container, FoamClass};
use crate::quantity::Dimension;

pub(super) const CLASSES: &[(&str, FoamClass)] =
    &[("A", FoamClass::A), ("B", FoamClass::B)];

/// `concentrates/ID.yaml`.
pub(in crate::authoring) fn concentrate(item: Item<'_>) -> Option<Concentrate> {
    let fields = item.fields()?;
    let id = fields.need("concentrate").and_then(|item| item.id());
    let title = fields.need_text("title");
    let class = fields.need("class").and_then(|item| item.word(CLASSES));
    let allowed = fields.need("allowed").map(|item| item.list()).unwrap_or_default();
    let allowed: Vec<Allowed> =
        allowed.into_iter().filter_map(allowed_percents).collect();
    let density = fields.need("density");
    let density =
        density.and_then(|item| item.quantity(Dimension::DENSITY, "8.5 lb/gal"));
    let containers =
        fields.need("containers").map(|item| item.list()).unwrap_or_default();
    let containers: Vec<Container> =
        containers.into_iter().filter_map(container).collect();
    let yes = |name| fields.need(name).and_then(|item: Item<'_>| item.yes_no());
    let (fluorine_free, training) = (yes("fluorine-free"), yes("training"));
    let label_says = fields.may_text("label-says");
    fields.finish();
    Some(Concentrate {
        id: id?,
        title: title?,
        class: class?,
        allowed,
        density: density?,
        containers,
        fluorine_free: fluorine_free?,
        training: training?,
        label_says,
    })
}

fn allowed_percents(item: Item<'_>) -> Option<Allowed> {
    let fields = item.fields()?;
    let percent =
        |fields: &Fields<'_>, name| fields.need(name).and_then(|item| item.percent());
    let fuel = fields.need_text("fuel");
    let (from, to) = (percent(&fields, "from"), percent(&fields, "to"));
    fields.finish();
    Some(Allowed { fuel: fuel?, from: from?, to: to? })
}

fn container(item: Item<'_>) -> Option<Container> {
    let fields = item.fields()?;
    let name = fields.need_text("container");
    let holds =
        fields.need("holds").and_then(|item| item.quantity(Dimension::VOLUME, "5 gal"));
    let tare =
        fields.may("tare").and_then(|item| item.quantity(Dimension::MASS, "2.5 lb"));
    fields.finish();
    Some(Container { name: name?, holds: holds?, tare })
}
