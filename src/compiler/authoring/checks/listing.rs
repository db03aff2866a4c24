//! Application rates against what the products of the module are listed for. The rates of the
//! trade's table are those of film-forming and protein foams; a product without fluorine needed up
//! to three times as much in tests, by fuel and nozzle, so that only its own listing says.

use super::{Checked, Spot};
use crate::course::{
    Bind, Concentrate, Draw, Fluorine, FoamClass, Listing, Question, Rig,
};
use crate::findings::{Code, Finding};
use crate::formulas::{Given, Means, System};
use crate::quantity::{Direction, Quantity};

/// The table whose rates are not those of a product without fluorine.
const TABLE: &str = "class-b-rate";

/// Formulas of the module that take a rate from the trade's table.
pub(super) fn check(checked: &Checked<'_>) {
    let Some(product) = without_fluorine(checked, None).first().copied() else { return };
    for file in checked.folder("formulas/") {
        for formula in file.items() {
            for field in ["work", "work-si"] {
                for line in formula.at(field).items() {
                    let line = line.at("line");
                    let asks = line.text().is_some_and(|text| text.contains(TABLE));
                    if asks {
                        not_listed(checked, &RATE, (&line, TABLE.to_owned()), product);
                    }
                }
            }
        }
    }
}

/// What a listing decides: the figure itself, the units in which a module says it, the finding.
struct Listed {
    figure: fn(&Listing) -> Quantity,
    units: [&'static str; 2],
    code: Code,
}

const RATE: Listed = Listed {
    figure: |listing| listing.rate,
    units: ["gpm/ft2", "L/min/m2"],
    code: Code::RateNotListed,
};

/// Foam that is applied for a shorter time than was listed leaves a fire that comes back.
const TIME: Listed = Listed {
    figure: |listing| listing.minutes,
    units: ["min", "min"],
    code: Code::TimeNotListed,
};

impl Listed {
    fn of(given: &Given) -> Option<&'static Self> {
        match given.means {
            Some(Means::ListedRate) => Some(&RATE),
            Some(Means::ListedTime) => Some(&TIME),
            _ => None,
        }
    }

    /// The least figure that a product is listed for, whatever the fuel and the nozzle.
    fn least(&self, product: &Concentrate) -> Option<Quantity> {
        product.listings.iter().map(self.figure).reduce(less)
    }
}

/// A rate or a time that is fed where the listing decides.
pub(super) fn listed(
    checked: &Checked<'_>,
    (given, bind): (&Given, &Bind),
    spot: &Spot<'_>,
    (question, rig): (Option<&Question>, Option<&Rig>),
) {
    let Some(of) = Listed::of(given) else { return };
    let drawn = |name: &str| {
        let draws = question.into_iter().flat_map(|question| &question.draws);
        let mut draws = draws.filter(|(known, _)| known == name);
        draws.next().map(|(_, draw)| match draw {
            // The least that can be drawn: where that is enough, all of them are.
            Draw::Spread(spread) => vec![spread.from],
            Draw::Of(values) => values.clone(),
            Draw::Words(_) | Draw::FoamLineOf(_) => Vec::new(),
        })
    };
    let values = match bind {
        Bind::Value(value) => vec![*value],
        Bind::Named(name) => {
            drawn(name.strip_prefix("draw.").unwrap_or(name)).unwrap_or_default()
        }
        Bind::Rig(_) | Bind::Word(_) | Bind::Rows(_) => Vec::new(),
    };
    let products = without_fluorine(checked, rig);
    // The least of all listings: below it no product of these is listed for anything.
    let least = products.iter().filter_map(|product| of.least(product)).reduce(less);
    let Some(product) = products.first() else { return };
    // A listing that cannot be read is told on the sheet of its product.
    let torn = |product: &&Concentrate| {
        checked.torn.contains(checked.sheet("concentrates", &product.id).file())
    };
    if products.iter().any(torn) {
        return;
    }
    for value in values {
        let low = |least: Quantity| {
            value.dimension() == least.dimension()
                && value.base().compare(least.base()).is_lt()
        };
        // Where nothing is listed, every figure is one that nobody listed.
        if least.is_none_or(low) {
            not_listed(checked, of, (spot, value.printed()), product);
            return;
        }
    }
}

fn less(a: Quantity, b: Quantity) -> Quantity {
    if b.base().compare(a.base()).is_lt() { b } else { a }
}

/// Class B products without fluorine, of a rig or of the whole module; none where one beside them
/// has fluorine, because nobody can tell then which of them is meant.
fn without_fluorine<'c>(
    checked: &Checked<'c>,
    rig: Option<&Rig>,
) -> Vec<&'c Concentrate> {
    let carried = |product: &&Concentrate| {
        rig.is_none_or(|rig| {
            rig.tanks.iter().any(|tank| tank.concentrate.as_ref() == Some(&product.id))
        })
    };
    let all = checked.course.concentrates.values();
    let all = all.filter(|product| product.class == FoamClass::B).filter(carried);
    let all: Vec<&Concentrate> = all.collect();
    let free = |product: &&Concentrate| {
        product.fluorine == Fluorine::NoneAdded || product.fluorine_free
    };
    if all.iter().all(free) { all } else { Vec::new() }
}

fn not_listed(
    checked: &Checked<'_>,
    of: &Listed,
    (spot, found): (&Spot<'_>, String),
    product: &Concentrate,
) {
    let finding = Finding::at(of.code, spot.place()).with("found", found);
    let finding = finding.with("product", product.title.clone());
    // In the module's own units, and never below what is listed.
    let own = crate::quantity::find(match (checked.course.module.units, of.units) {
        (System::Us, [us, _]) => us,
        (System::Si | System::SiBar, [_, si]) => si,
    });
    let least = of.least(product).map(|least| {
        own.map_or(least, |unit| least.bound(unit, Direction::Up)).printed()
    });
    let least = least.unwrap_or_else(|| "none".to_owned());
    checked.note(finding.with("least", least));
}
