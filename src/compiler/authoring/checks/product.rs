//! A concentrate against what is usual for its class, and how far its evidence reaches.

use super::figures::usual;
use super::{Checked, Spot};
use crate::course::{Concentrate, Fluorine, FoamClass};
use crate::findings::{Code, Finding};
use crate::formulas::System;
use crate::quantity::Day;

pub(super) fn check(checked: &Checked<'_>) {
    for product in checked.course.concentrates.values() {
        let spot = checked.sheet("concentrates", &product.id);
        ranges(checked, product, &spot);
        evidence(checked, product, &spot);
        let permitted = product.permitted.as_ref();
        if product.class == FoamClass::B
            && permitted.is_some_and(|permitted| permitted.holding.is_none())
        {
            // Class B runoff is never left to the ground, whatever it is free of.
            let place = spot.at("training-permitted").key();
            let finding = Finding::at(Code::NoHolding, place);
            checked.note(finding.with("concentrate", product.title.clone()));
        }
    }
}

/// Common practice: concentrates float or sink little, and each class has its percents.
fn ranges(checked: &Checked<'_>, product: &Concentrate, spot: &Spot<'_>) {
    usual(checked, &spot.at("density"), &product.density, ("8.2 lb/gal", "9.6 lb/gal"));
    let percents = match product.class {
        FoamClass::A => ("0.1 %", "1 %"),
        FoamClass::B => ("1 %", "6 %"),
    };
    for (allowed, spot) in product.allowed.iter().zip(spot.at("allowed").items()) {
        usual(checked, &spot.at("from"), &allowed.from, percents);
        usual(checked, &spot.at("to"), &allowed.to, percents);
    }
    for (container, spot) in product.containers.iter().zip(spot.at("containers").items())
    {
        let us = checked.course.module.units == System::Us;
        let holds = match container.name.as_str() {
            "pail" if us => ("5 gal", "5 gal"),
            "drum" if us => ("55 gal", "55 gal"),
            "pail" => ("20 L", "25 L"),
            "drum" => ("200 L", "200 L"),
            _ => continue,
        };
        usual(checked, &spot.at("holds"), &container.holds, holds);
    }
}

/// A product changes under one name: what was read three years ago, or before the lot came, says
/// nothing of what is in the tank. A word on a label is no evidence.
fn evidence(checked: &Checked<'_>, product: &Concentrate, spot: &Spot<'_>) {
    // A word that cannot be read is told where it stands, and was none of not knowing.
    let unread = checked.torn.contains(spot.file());
    if product.fluorine_free && product.fluorine == Fluorine::NotKnown && !unread {
        let place = spot.at("fluorine-free").place();
        let finding = Finding::at(Code::FluorineByWord, place);
        checked.note(finding.with("concentrate", product.title.clone()));
    }
    let last = product.evidence.iter().filter_map(|one| Day::read(&one.on)).max();
    // No clock: the permission and the delivery are the latest days that the file knows.
    let permitted = product.permitted.as_ref().and_then(|one| Day::read(&one.on));
    let delivered = product.delivered.as_deref().and_then(Day::read);
    let Some(last) = last else { return };
    let old = permitted.is_some_and(|on| on > last.years_on(3));
    let before = delivered.is_some_and(|delivered| delivered > last);
    if old || before {
        let entries = spot.at("evidence").items();
        let place = entries.last().map_or_else(|| spot.key(), |one| one.at("on").place());
        let finding = Finding::at(Code::EvidenceOld, place);
        checked.note(finding.with("found", last.to_string()));
    }
}
