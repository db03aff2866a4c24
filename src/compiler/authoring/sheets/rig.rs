//! A rig.

use std::collections::BTreeMap;

use super::super::decode::Item;
use super::super::fields::Fields;
use super::concentrate::CLASSES;
use crate::course::{
    ClassRange, Compressor, Eductor, FoamSide, Outlet, PercentBasis, Proportioner,
    ProportionerKind, Resolution, ReturnPath, Rig, Tank,
};
use crate::quantity::{Dimension, Quantity};

const KINDS: &[(&str, ProportionerKind)] = &[
    ("direct-injection", ProportionerKind::DirectInjection),
    ("around-the-pump", ProportionerKind::AroundThePump),
    ("balanced-pressure", ProportionerKind::BalancedPressure),
    ("in-line-eductor", ProportionerKind::InLineEductor),
];
const BASES: &[(&str, PercentBasis)] =
    &[("solution", PercentBasis::Solution), ("water", PercentBasis::Water)];
const SIDES: &[(&str, FoamSide)] = &[
    ("before-injection", FoamSide::BeforeInjection),
    ("after-injection", FoamSide::AfterInjection),
];

fn flow(item: Item<'_>) -> Option<Quantity> {
    item.quantity(Dimension::FLOW, "95 gpm")
}

fn pressure(item: Item<'_>) -> Option<Quantity> {
    item.quantity(Dimension::PRESSURE, "100 psi")
}

fn length(item: Item<'_>) -> Option<Quantity> {
    item.quantity(Dimension::LENGTH, "200 ft")
}

fn volume(item: Item<'_>) -> Option<Quantity> {
    item.quantity(Dimension::VOLUME, "30 gal")
}

/// `rigs/ID.yaml`.
pub(in crate::authoring) fn rig(item: Item<'_>) -> Option<Rig> {
    let fields = item.fields()?;
    let id = fields.need("rig").and_then(|item| item.id());
    let title = fields.need_text("title");
    let about = fields.need_text("about");
    let (checked_by, checked_on) = match fields.may("checked") {
        Some(item) if item.node.shape != super::super::tree::Shape::Nothing => {
            checked(item)
        }
        _ => (None, None),
    };
    let unit = fields.need("proportioner").and_then(proportioner);
    let list =
        |name| fields.need(name).map(|item: Item<'_>| item.list()).unwrap_or_default();
    let may =
        |name| fields.may(name).map(|item: Item<'_>| item.list()).unwrap_or_default();
    let tanks = list("tanks").into_iter().filter_map(tank).collect();
    let outlets = list("outlets").into_iter().filter_map(outlet).collect();
    let returns = may("returns").into_iter().filter_map(return_path).collect();
    let compressor = fields.may("compressor").and_then(compressor);
    let eductors = may("eductors").into_iter().filter_map(eductor).collect();
    let resolution = fields.need("resolution").and_then(resolution);
    fields.finish();
    Some(Rig {
        id: id?,
        title: title?,
        about: about?,
        checked_by,
        checked_on,
        proportioner: unit?,
        tanks,
        outlets,
        returns,
        compressor,
        eductors,
        resolution: resolution?,
    })
}

fn checked(item: Item<'_>) -> (Option<String>, Option<String>) {
    let Some(fields) = item.fields() else { return (None, None) };
    let by = fields.need_text("by");
    let on = fields.need("on").and_then(|item| item.date());
    fields.finish();
    (by, on)
}

fn proportioner(item: Item<'_>) -> Option<Proportioner> {
    let fields = item.fields()?;
    let kind = fields.need("type").and_then(|item| item.word(KINDS));
    let rating = fields.need("rating").and_then(|item| {
        let fields = item.fields()?;
        let (rated, at) =
            (fields.need("flow").and_then(flow), fields.need("at").and_then(pressure));
        fields.finish();
        Some((rated?, at?))
    });
    let least_flow = fields.may("least-flow").and_then(flow);
    let basis = fields.need("basis").and_then(|item| item.word(BASES));
    let mut classes = BTreeMap::new();
    if let Some(group) = fields.need("classes").and_then(|item| item.fields()) {
        for (name, class) in CLASSES {
            if let Some(range) = group.may(name).and_then(class_range) {
                classes.insert(*class, range);
            }
        }
        group.finish();
    }
    fields.finish();
    let (rated_flow, rated_pressure) = rating?;
    Some(Proportioner {
        kind: kind?,
        rated_flow,
        rated_pressure,
        least_flow,
        basis: basis?,
        classes,
    })
}

fn class_range(item: Item<'_>) -> Option<ClassRange> {
    let fields = item.fields()?;
    let percent = |name| fields.need(name).and_then(|item: Item<'_>| item.percent());
    let (from, to, step) = (percent("from"), percent("to"), percent("step"));
    let presets = fields.need("presets").map(|item| item.list()).unwrap_or_default();
    let presets = presets.into_iter().filter_map(|item| item.percent()).collect();
    fields.finish();
    Some(ClassRange { from: from?, to: to?, step: step?, presets })
}

fn tank(item: Item<'_>) -> Option<Tank> {
    let fields = item.fields()?;
    let id = fields.need("tank").and_then(|item| item.id());
    let title = fields.need_text("title");
    let concentrate = fields.may("concentrate").and_then(|item| item.id());
    let nominal = fields.need("nominal").and_then(volume);
    let usable = fields.need("usable").and_then(volume);
    let warning = fields.may("warning").and_then(volume);
    fields.finish();
    Some(Tank {
        id: id?,
        title: title?,
        concentrate,
        nominal: nominal?,
        usable: usable?,
        warning,
    })
}

fn outlet(item: Item<'_>) -> Option<Outlet> {
    let fields = item.fields()?;
    let id = fields.need("outlet").and_then(|item| item.id());
    let title = fields.need_text("title");
    let foam = fields.need("foam").and_then(|item| item.yes_no());
    let hose =
        fields.need("hose").and_then(|item| item.quantity(Dimension::LENGTH, "1.75 in"));
    let coefficient = fields.may("coefficient").and_then(pressure);
    let service_test = fields.need("service-test").and_then(pressure);
    let laid = fields.need("length").and_then(length);
    let nozzle = fields.need_text("nozzle");
    let rated = fields.need("flow").and_then(flow);
    let nozzle_pressure = fields.need("pressure").and_then(pressure);
    let pipe = fields.may("pipe").and_then(|item| {
        let fields = item.fields()?;
        let bore =
            fields.need("bore").and_then(|i| i.quantity(Dimension::LENGTH, "3 in"));
        let long = fields.need("length").and_then(length);
        fields.finish();
        Some((bore?, long?))
    });
    let air = fields.may("air").and_then(|item| item.yes_no()).unwrap_or(false);
    fields.finish();
    Some(Outlet {
        id: id?,
        title: title?,
        foam: foam?,
        hose: hose?,
        coefficient,
        service_test: service_test?,
        length: laid?,
        nozzle: nozzle?,
        flow: rated?,
        pressure: nozzle_pressure?,
        pipe_bore: pipe.map(|(bore, _)| bore),
        pipe_length: pipe.map(|(_, length)| length),
        air,
    })
}

fn return_path(item: Item<'_>) -> Option<ReturnPath> {
    let fields = item.fields()?;
    let id = fields.need("path").and_then(|item| item.id());
    let title = fields.need_text("title");
    let side = fields.need("side").and_then(|item| item.word(SIDES));
    fields.finish();
    Some(ReturnPath { id: id?, title: title?, side: side? })
}

fn compressor(item: Item<'_>) -> Option<Compressor> {
    let fields = item.fields()?;
    let air =
        fields.need("air").and_then(|item| item.quantity(Dimension::FLOW, "120 scfm"));
    let working = fields.need("pressure").and_then(pressure);
    fields.finish();
    Some(Compressor { air: air?, pressure: working? })
}

fn eductor(item: Item<'_>) -> Option<Eductor> {
    let fields = item.fields()?;
    let id = fields.need("eductor").and_then(|item| item.id());
    let rated = fields.need("flow").and_then(flow);
    let inlet = fields.need("inlet").and_then(pressure);
    let back = fields.need("back-pressure").and_then(|item| item.percent());
    fields.finish();
    Some(Eductor { id: id?, flow: rated?, inlet: inlet?, back_pressure: back? })
}

fn resolution(item: Item<'_>) -> Option<Resolution> {
    let fields = item.fields()?;
    let need = |name, read: fn(Item<'_>) -> Option<Quantity>| -> Option<Quantity> {
        Fields::need(&fields, name).and_then(read)
    };
    let percent = need("percent", |item| item.percent());
    let (foam, water) = (need("foam-total", volume), need("water-total", volume));
    let (gauge, meter) = (need("pressure", pressure), need("flow", flow));
    fields.finish();
    Some(Resolution {
        percent: percent?,
        foam_total: foam?,
        water_total: water?,
        pressure: gauge?,
        flow: meter?,
    })
}
