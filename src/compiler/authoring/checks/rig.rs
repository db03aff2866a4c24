//! A rig against its own rating, its concentrates and its hose.

use super::values::{above, whole_steps, within};
use super::{Checked, Spot};
use crate::course::{
    ClassRange, Concentrate, FoamClass, Outlet, Rig, Tank, foam_outlets, formula_for,
};
use crate::findings::{Code, Finding};
use crate::formulas::{Input, Inputs};
use crate::quantity::{Fraction, Number, Quantity};

pub(super) fn check(checked: &Checked<'_>) {
    for rig in checked.course.rigs.values() {
        let spot = checked.sheet("rigs", &rig.id);
        // A day that cannot be read is told there, and the card was checked all the same.
        if !rig.verified() && spot.at("checked").node().is_none() {
            let finding = Finding::at(Code::RigUnchecked, spot.at("rig").place());
            checked.note(finding.with("rig", rig.title.clone()));
        }
        for tank in &rig.tanks {
            let spot = spot.at("tanks").entry("tank", &tank.id);
            tank_of(checked, rig, tank, &spot);
        }
        for (class, range) in rig.classes() {
            presets(checked, rig, (class, range), &spot);
        }
        for outlet in &rig.outlets {
            let spot = spot.at("outlets").entry("outlet", &outlet.id);
            hose(checked, outlet, &spot);
            coefficient(checked, outlet, &spot);
        }
    }
}

pub(super) const fn class_name(class: FoamClass) -> &'static str {
    match class {
        FoamClass::A => "A",
        FoamClass::B => "B",
    }
}

fn tank_of(checked: &Checked<'_>, rig: &Rig, tank: &Tank, spot: &Spot<'_>) {
    if above(&tank.usable, &tank.nominal) && !checked.doubted(&spot.at("nominal")) {
        let place = spot.at("usable").place();
        let finding = Finding::at(Code::UsableAboveNominal, place);
        let finding = finding.with("usable", tank.usable.printed());
        checked.note(finding.with("nominal", tank.nominal.printed()));
    }
    if let Some(concentrate) = concentrate(checked, tank)
        && rig.proportioner.is_some()
        && !rig.classes().any(|(class, _)| class == concentrate.class)
        // A range that could not be read is a fault of its own.
        && !checked.torn.contains(&format!("rigs/{}.yaml", rig.id))
    {
        let place = spot.at("concentrate").place();
        let finding = Finding::at(Code::WrongClassTank, place);
        let finding = finding.with("class", class_name(concentrate.class));
        checked.note(finding.with("concentrate", concentrate.title.clone()));
    }
}

fn concentrate<'c>(checked: &Checked<'c>, tank: &Tank) -> Option<&'c Concentrate> {
    checked.course.concentrates.get(tank.concentrate.as_ref()?)
}

/// Each preset: within the range of the unit, allowed by the label, and held by the rating on
/// at least the smallest foam line.
fn presets(
    checked: &Checked<'_>,
    rig: &Rig,
    (class, range): (FoamClass, &ClassRange),
    spot: &Spot<'_>,
) {
    let spot = spot.at("proportioner").at("classes").at(class_name(class)).at("presets");
    // Only products whose label could be read whole: half a label would forbid what its
    // other half allows, and send an author after a fault that is none.
    let carried: Vec<&Concentrate> = rig
        .foam_tanks()
        .filter_map(|tank| concentrate(checked, tank))
        .filter(|concentrate| concentrate.class == class)
        .filter(|concentrate| whole_label(checked, concentrate))
        .collect();
    for (index, preset) in range.presets.iter().enumerate() {
        let place = spot.at(index.to_string()).place();
        let at =
            |code| Finding::at(code, place.clone()).with("percent", preset.printed());
        // A preset that the unit cannot give is told as that alone; what label and rating
        // would say of it follows from it.
        if !within(preset, &range.from, &range.to) {
            let finding = at(Code::PercentOutsideRig).with("from", range.from.printed());
            checked.note(finding.with("to", range.to.printed()));
            continue;
        }
        if !whole_steps(preset, &range.step) {
            let finding = at(Code::PresetOffStep);
            checked.note(finding.with("step", range.step.printed()));
        }
        for concentrate in &carried {
            let allowed = concentrate.allowed.iter();
            if !allowed.clone().any(|use_| within(preset, &use_.from, &use_.to)) {
                let label: Vec<String> =
                    allowed.map(|use_| range_text(&use_.from, &use_.to)).collect();
                let finding = at(Code::PercentOutsideLabel)
                    .with("concentrate", concentrate.title.clone());
                checked.note(finding.with("allowed", label.join("; ")));
            }
        }
        for outlet in foam_outlets(rig) {
            let Some(taken) = concentrate_flow(checked, rig, preset, outlet) else {
                continue;
            };
            let Some(unit) = &rig.proportioner else { continue };
            // Compared unrounded: a rating is a limit of the maker, and a line exactly at
            // it is still within it.
            if taken.compare(unit.rating.flow.base()).is_gt() {
                let finding =
                    at(Code::FlowOverRating).with("outlet", outlet.title.clone());
                let finding = finding.with("flow", outlet.flow.printed());
                checked.note(finding.with("rated", unit.rating.flow.printed()));
            }
        }
    }
}

/// Whether every line of the label could be read; else it allows more than is known here.
fn whole_label(checked: &Checked<'_>, concentrate: &Concentrate) -> bool {
    let sheet = checked.sheet("concentrates", &concentrate.id);
    sheet.at("allowed").items().len() == concentrate.allowed.len()
}

fn range_text(from: &Quantity, to: &Quantity) -> String {
    if from == to {
        from.printed()
    } else {
        format!("{} to {}", from.printed(), to.printed())
    }
}

/// What a line takes of the concentrate pump, by the trade library.
fn concentrate_flow(
    checked: &Checked<'_>,
    rig: &Rig,
    percent: &Quantity,
    outlet: &Outlet,
) -> Option<Number> {
    // By the one table of the trade, as the card prints it.
    let formula = formula_for(&checked.course.bases, "rig-concentrate", rig.basis());
    let inputs = Inputs::from([
        ("percent".to_owned(), Input::Number(*percent)),
        ("flow".to_owned(), Input::Number(outlet.flow)),
    ]);
    let answers = checked
        .course
        .library
        .evaluate(formula, &inputs, checked.course.module.units)
        .ok()?;
    // By its place: the formulas of the register give what they are asked for first.
    answers.first().copied().flatten()
}

/// The pump pressure for the line on the level, against the test of its hose.
fn hose(checked: &Checked<'_>, outlet: &Outlet, spot: &Spot<'_>) {
    let (Some(coefficient), Some(test)) = (outlet.coefficient, outlet.service_test)
    else {
        return;
    };
    let Some(length) = outlet.length else { return };
    let rests = ["service-test", "length", "flow", "pressure", "coefficient", "hose"];
    if rests.iter().any(|field| checked.doubted(&spot.at(*field))) {
        return;
    }
    let number = |name: &str, value| (name.to_owned(), Input::Number(value));
    let mut inputs = Inputs::from([
        number("nozzle", outlet.pressure),
        number("coefficient", coefficient),
        number("flow", outlet.flow),
        number("length", length),
    ]);
    let (library, units) = (&checked.course.library, checked.course.module.units);
    let Ok(worked) = library.work("pump-pressure", &inputs, units) else { return };
    let Some(answer) = worked.answer(None) else { return };
    // How far below the test hose is worked is the trade's figure and no figure of the code.
    // Beyond the tests it holds for, a pressure above the test is still told.
    inputs.extend([number("service-test", test)]);
    let limit = library.work("pump-pressure-limit", &inputs, units).ok();
    let caution = limit.as_ref().and_then(|limit| limit.answer(Some("caution"))?.number);
    let above = |limit| answer.number.is_some_and(|own| own.compare(limit).is_gt());
    let code = if above(test.base()) {
        Code::HoseOverLimit
    } else if caution.is_some_and(above) {
        Code::HoseNearLimit
    } else {
        return;
    };
    let finding = Finding::at(code, spot.at("service-test").place());
    let finding = finding.with("outlet", outlet.title.clone());
    let finding = finding.with("pressure", answer.text.clone());
    checked.note(finding.with("test", test.printed()));
}

/// A friction coefficient outside every published one for that bore, in whatever units it is
/// published.
fn coefficient(checked: &Checked<'_>, outlet: &Outlet, spot: &Spot<'_>) {
    let Some((written, hose)) = outlet.coefficient.as_ref().zip(outlet.hose) else {
        return;
    };
    let library = &checked.course.library;
    let tables =
        library.tables().iter().filter(|table| table.id.starts_with("hose-coefficient"));
    let rows = tables.flat_map(|table| &table.rows).filter(|row| {
        let bore = row.keys.first().and_then(|key| Quantity::read(key).ok());
        bore.is_some_and(|bore| same_hose(bore.base(), hose.base()))
    });
    let published = rows.flat_map(|row| {
        std::iter::once(&row.value).chain(row.others.iter().map(|other| &other.value))
    });
    let published: Vec<Number> = published.map(Quantity::base).collect();
    let own = written.base();
    let lower = published.iter().any(|value| value.compare(own).is_le());
    let higher = published.iter().any(|value| value.compare(own).is_ge());
    let inside = lower && higher;
    if !published.is_empty() && !inside {
        let finding =
            Finding::at(Code::CoefficientUncited, spot.at("coefficient").place());
        let finding = finding.with("found", written.printed());
        checked.note(finding.with("hose", hose.printed()));
    }
}

/// Whether two nominal bores are one hose: 1-3/4 in and 45 mm, 3 in and 77 mm are sold as
/// the same, and the sizes of a series lie a fifth apart or more. Common practice.
fn same_hose(a: Number, b: Number) -> bool {
    let near = |a: Number, b: Number| {
        let wide = Fraction::new(26, 25).map(Number::Exact);
        wide.and_then(|wide| b.mul(wide).ok()).is_some_and(|most| a.compare(most).is_le())
    };
    near(a, b) && near(b, a)
}
