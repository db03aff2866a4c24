//! A line of hose and its nozzle against what lines are like anywhere.

use super::figures::usual;
use super::{Checked, Spot};
use crate::course::Outlet;
use crate::findings::{Code, Finding};
use crate::quantity::{Fraction, named_units};

/// What a line of hose is like anywhere: a slip of the point or of a unit stands out.
pub(super) fn check(checked: &Checked<'_>, outlet: &Outlet, spot: &Spot<'_>) {
    // Fire hose is made from 3/4 in to 6 in (common practice), and laid in lengths that people
    // carry, at most a mile of relay to one pump.
    if let Some(bore) = &outlet.hose {
        usual(checked, &spot.at("hose"), bore, ("0.75 in", "6 in"));
    }
    if let Some(length) = &outlet.length {
        usual(checked, &spot.at("length"), length, ("10 ft", "5280 ft"));
    }
    // From a low-pressure branch to a high-pressure reel, and from a booster line to a master stream
    // (common practice).
    usual(checked, &spot.at("pressure"), &outlet.pressure, ("20 psi", "600 psi"));
    usual(checked, &spot.at("flow"), &outlet.flow, ("5 gpm", "3000 gpm"));
    words_of_nozzle(checked, outlet, spot);
}

/// A nozzle that names one flow or one pressure in words names the one of its figures.
fn words_of_nozzle(checked: &Checked<'_>, outlet: &Outlet, spot: &Spot<'_>) {
    let named = named_units(&outlet.nozzle);
    let mut others = Vec::new();
    for (key, figure) in [("flow", &outlet.flow), ("pressure", &outlet.pressure)] {
        let alike = named.iter().filter(|one| one.unit.dimension == figure.dimension());
        let all: Vec<_> = alike.filter_map(|one| one.quantity).collect();
        // A nozzle with several settings names them all, and a range has its ends.
        let [said] = all.as_slice() else { continue };
        // A figure that was converted from the words is rounded: a fiftieth is no difference.
        let said = said.in_unit(figure.unit()).map(|said| said.number());
        let apart = said.and_then(|said| said.sub(figure.number()));
        let most = said.and_then(|said| said.div(Fraction::whole(50)));
        let off = apart.zip(most).is_some_and(|(apart, most)| apart.absolute() > most);
        if off && !checked.doubted(&spot.at(key)) {
            others.push(format!("{key}: {}", figure.printed()));
        }
    }
    if !others.is_empty() {
        let finding = Finding::at(Code::NozzleText, spot.at("nozzle").place());
        let finding = finding.with("found", outlet.nozzle.clone());
        checked.note(finding.with("others", others.join(", ")));
    }
}
