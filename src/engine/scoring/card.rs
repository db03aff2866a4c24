//! Readings against the card of the rig, and against each other (rule 17). What cannot be is asked
//! about: somebody misread, or the card is wrong.

use super::evidence::Evidence;
use super::expected::Day;
use super::fault::Fault;
use super::lines::takes_outlet;
use super::measures::{seen, standing};
use super::outlets::{outlet_at, outlets};
use super::percent::{largest, unknown_fuel};
use super::stands::Standing;
use super::values::{Values, Written, base, foams};
use crate::course::{Bind, Does, Expect, Feed, Mark, Meaning, Measure, Step, Whose};
use crate::quantity::{Fraction, Quantity, find};
use crate::words::nearest;

/// Everything on a sheet that this rig cannot show, or that its card does not allow.
pub(super) fn card(evidence: Evidence<'_>) -> Vec<Fault> {
    let values = Values::of(evidence);
    let mut found = beyond(&values);
    found.extend(bound_readings(&values));
    found.extend(fuel(&values));
    found.extend(totals(&values));
    found.extend(line(&values));
    let drill = evidence.kit.drill();
    found.extend(drill.measures.iter().filter_map(|one| disagree(&values, one)));
    found
}

fn told(of: &Written, key: &'static str, bound: &Quantity) -> Fault {
    let fault = Fault::asks(&[of.group, &of.id], key).with("found", of.value.printed());
    fault.with("bound", bound.printed())
}

/// Values beyond a bound of the card.
fn beyond(values: &Values<'_>) -> Vec<Fault> {
    let Evidence { kit, sheet } = values.evidence;
    let rig = kit.rig();
    let mut found = of_lines(values);
    let mut above = |meaning, key, most: Option<&Quantity>| {
        let Some(most) = most else { return };
        let over = |one: &Written| {
            base(&one.value).zip(base(most)).is_some_and(|(is, most)| is > most)
        };
        let all = values.all(meaning).into_iter().filter(over);
        found.extend(all.map(|one| told(&one, key, most)));
    };
    let supply = rig.supplies.iter().filter_map(|supply| supply.flow.as_ref());
    above(
        Meaning::Supply,
        "supply-above-card",
        supply.max_by(|a, b| a.base().compare(b.base())),
    );
    // What is left is counted as it can be used: the gauge less what no pump reaches.
    let water = rig.water_tank().map(|tank| &tank.usable);
    above(Meaning::WaterLeft, "water-above-tank", water);
    let class = kit.drill().class();
    let foam = rig.foam_tanks().filter(|tank| {
        class.zip(rig.holds(tank)).is_none_or(|(class, held)| held == class)
            && kit.tank().is_none_or(|own| own == tank.id)
    });
    let foam: Vec<_> = foam.collect();
    let most = |a: &&Quantity, b: &&Quantity| a.base().compare(b.base());
    let plate = foam.iter().map(|tank| &tank.nominal).max_by(most);
    let foam = foam.iter().map(|tank| &tank.usable).max_by(most);
    above(Meaning::FoamLeft, "foam-above-tank", foam);
    // Neither into a tank nor out of it goes more at once than its plate says.
    above(Meaning::FoamUsed, "foam-used-above-tank", plate);
    above(Meaning::FoamAdded, "foam-added-above-tank", plate);
    let air = rig.compressor.as_ref().map(|compressor| &compressor.pressure);
    above(Meaning::AirPressure, "air-above-compressor", air);
    let mut below = |meaning, key, least: Option<&Quantity>| {
        let Some(least) = least else { return };
        let under = |one: &Written| {
            base(&one.value).zip(base(least)).is_some_and(|(is, least)| is < least)
        };
        let all = values.all(meaning).into_iter().filter(under);
        found.extend(all.map(|one| told(&one, key, least)));
    };
    if foams(sheet.mode) {
        let unit = rig.proportioner.as_ref();
        let least = unit.and_then(|unit| unit.least_flow.as_ref());
        below(Meaning::Flow, "flow-below-unit", least);
        below(Meaning::FoamFlow, "flow-below-unit", least);
    }
    if rig.compressor.is_none() {
        let all = values.all(Meaning::AirPressure).into_iter();
        found.extend(all.map(|one| told(&one, "air-not-fitted", &one.value)));
    }
    found
}

/// Flows that the line on which they were read cannot have.
fn of_lines(values: &Values<'_>) -> Vec<Fault> {
    let Evidence { kit, sheet } = values.evidence;
    let beyond = |flow: &Written| {
        let line = outlet_at(kit, sheet, &flow.id)?;
        let is = base(&flow.value)?;
        let above = line.most_flow.as_ref();
        let above = above.filter(|most| base(most).is_some_and(|most| is > most));
        let below = line.least_flow.as_ref();
        let below = below.filter(|least| base(least).is_some_and(|least| is < least));
        above
            .map(|most| told(flow, "flow-above-line", most))
            .or_else(|| below.map(|least| told(flow, "flow-below-line", least)))
    };
    values.all(Meaning::Flow).iter().filter_map(beyond).collect()
}

/// Readings that a value is held against are of the same sort as the value: a pump pressure that
/// the hose does not allow, a floor that is not the card's.
fn bound_readings(values: &Values<'_>) -> Vec<Fault> {
    let Evidence { kit, sheet } = values.evidence;
    let rig = kit.rig();
    let mut found = Vec::new();
    for measure in &kit.drill().measures {
        let Expect::Bound(Bind::Named(name)) = &measure.expect else { continue };
        let Some(read) = values.reading(name) else { continue };
        let is = base(&read.value);
        match measure.is {
            Some(Meaning::PumpPressure) => {
                let line = outlet_at(kit, sheet, &measure.id);
                let Some(outlet) = line else { continue };
                let Some(test) = &outlet.service_test else { continue };
                let most = nine_tenths(test);
                if is.zip(most).is_some_and(|(is, most)| is > most) {
                    found.push(told(&read, "pressure-above-hose", test));
                }
            }
            Some(Meaning::IntakePressure) => {
                let Some(floor) = &rig.intake_floor else { continue };
                if is.zip(base(floor)).is_some_and(|(is, floor)| is != floor) {
                    found.push(told(&read, "floor-not-card", floor));
                }
            }
            _ => {}
        }
    }
    found
}

/// Nine tenths of what a hose was tested to (NFPA 1962, 2018: relief at 90 % of the test at most).
pub fn nine_tenths(test: &Quantity) -> Option<Fraction> {
    base(test)?.mul(Fraction::new(9, 10)?)
}

/// What this line cannot give: foam where it is fed before the injection, air with too thin a foam;
/// and a flow of all lines that is less than that of one.
fn line(values: &Values<'_>) -> Vec<Fault> {
    let Evidence { kit, sheet } = values.evidence;
    let steps = &kit.drill().steps;
    let mut found = Vec::new();
    let works_foam = |step: &Step| {
        matches!(step.is, Some(Does::ConfirmsFoam | Does::ShutsFoam))
            && matches!(sheet.marks.get(&step.id), Some(Mark::Done | Mark::Prompted))
    };
    // Foam that nobody has marked as confirmed, on a drill that is done on a line, comes out of it too.
    let unmarked = !steps
        .iter()
        .any(|step| matches!(step.is, Some(Does::ConfirmsFoam | Does::ShutsFoam)));
    let works = steps.iter().any(works_foam) || unmarked;
    if foams(sheet.mode) && works && takes_outlet(kit.drill()) {
        for outlet in outlets(kit, sheet).filter(|outlet| !outlet.foam) {
            let fault = Fault::asks(&["outlet"], "outlet-without-foam");
            found.push(fault.with("name", &outlet.title));
        }
    }
    // Air that was never opened asks nothing of the foam.
    let airs = |step: &Step| {
        step.is == Some(Does::OpensAir)
            && standing(values.evidence, step) != Standing::NotOnRig
            && !matches!(
                sheet.marks.get(&step.id),
                Some(Mark::NotDone | Mark::NotApplicable)
            )
    };
    let least = outlets(kit, sheet)
        .filter_map(|outlet| outlet.air_settings.as_ref()?.least_percent.as_ref())
        .max_by(|a, b| a.base().compare(b.base()));
    if let Some(least) = least.filter(|_| foams(sheet.mode) && steps.iter().any(airs)) {
        let ordered = values.all(Meaning::PercentOrdered).into_iter();
        let under = |one: &Written| {
            base(&one.value).zip(base(least)).is_some_and(|(is, least)| is < least)
        };
        let ordered = ordered.filter(under);
        found.extend(ordered.map(|one| told(&one, "percent-below-air", least)));
    }
    found.extend(supply(values));
    for all in values.all(Meaning::FoamFlow) {
        let one = values.all(Meaning::Flow).into_iter().find(|one| {
            base(&all.value).zip(base(&one.value)).is_some_and(|(all, one)| all < one)
        });
        found.extend(one.map(|one| told(&all, "lines-below-line", &one.value)));
    }
    found
}

/// Tank to pump shut on a supply that does not carry what flows.
fn supply(values: &Values<'_>) -> Option<Fault> {
    let Evidence { kit, sheet } = values.evidence;
    let shut = |step: &&Step| {
        step.is == Some(Does::ShutsTank)
            && matches!(sheet.marks.get(&step.id), Some(Mark::Done | Mark::Prompted))
    };
    kit.drill().steps.iter().find(shut)?;
    let supply = values.all(Meaning::Supply).into_iter().next()?;
    // All foam lines where they were read together, else this one; and what flows plain.
    let foam = values.all(Meaning::FoamFlow);
    let foam = foam
        .into_iter()
        .next()
        .or_else(|| values.all(Meaning::Flow).into_iter().next())?;
    let plain = values.all(Meaning::PlainFlow).into_iter().next();
    let plain = plain.map_or(Some(Fraction::ZERO), |plain| base(&plain.value))?;
    let flows = base(&foam.value)?.add(plain)?;
    (base(&supply.value)? < flows)
        .then(|| told(&supply, "supply-below-flow", &foam.value))
}

/// As much above the largest percent of a unit the totals cannot give one: a slip of the decimal
/// point, as in rule 18 c.
const SLIP: i128 = 2;

/// Totals that this unit cannot have made: as much concentrate in the water as it never gives.
fn totals(values: &Values<'_>) -> Option<Fault> {
    let foam = values.all(Meaning::FoamUsed).into_iter().next()?;
    let water = values.written(Meaning::WaterUsed).as_ref().and_then(base)?;
    let largest = largest(values)?;
    let most = base(&largest)?.mul(Fraction::whole(SLIP))?;
    let share = base(&foam.value)?;
    let beyond = water.signum() > 0 && share > water.mul(most)?;
    beyond.then(|| told(&foam, "totals-beyond-unit", &largest))
}

/// Whether what a measured value is held against rests on a reading that cannot be: then it decides
/// nothing (rule 17).
pub(super) fn doubted(evidence: Evidence<'_>, measure: &Measure) -> bool {
    let of = |feed: &Feed| -> Vec<String> {
        let named = |bind: &Bind| match bind {
            Bind::Named(name) => Some(name.clone()),
            _ => None,
        };
        feed.with.values().filter_map(named).collect()
    };
    let mut names = match &measure.expect {
        Expect::Formula(feed) => of(feed),
        Expect::Bound(Bind::Named(name)) => vec![name.clone()],
        Expect::Bound(_) => Vec::new(),
    };
    names.extend(measure.measured.iter().flat_map(of));
    let read = |fault: &Fault| {
        fault.of_reading() && fault.path.get(1).is_some_and(|id| names.contains(id))
    };
    !names.is_empty() && card(evidence).iter().any(read)
}

/// A fuel that the label of nothing on board names.
fn fuel(values: &Values<'_>) -> Option<Fault> {
    let known = unknown_fuel(values)?;
    let fuel = values.evidence.sheet.fuel.as_deref()?;
    let near = nearest(fuel, known.iter().map(String::as_str)).unwrap_or_default();
    let fault = Fault::asks(&["fuel"], "fuel-not-on-label").with("name", fuel);
    Some(fault.with("known", known.join("; ")).with("near", near))
}

/// What the machine made of the concentrate, where it is out of its band: a misreading, a refill
/// or a supply that nobody declared, or a rig that runs lean. It costs nobody anything, and is
/// told by a sentence, or was reported by the candidate.
fn disagree(values: &Values<'_>, measure: &Measure) -> Option<Fault> {
    let Evidence { kit, sheet } = values.evidence;
    let of_rig = measure.whose == Whose::Machine && measure.unit == "%";
    measure.measured.as_ref().filter(|_| of_rig)?;
    let settled = sheet.settled.get(&measure.id);
    let told = settled.is_some_and(|settled| !settled.why.trim().is_empty());
    let supplied = values
        .all(Meaning::Supply)
        .iter()
        .any(|one| base(&one.value).is_some_and(|supply| supply.signum() > 0));
    if told || supplied || sheet.reported.contains(&measure.id) {
        return None;
    }
    let step = values.evidence.step(&measure.step)?;
    if standing(values.evidence, step) != Standing::Stands {
        return None;
    }
    let day = Day::of_sheet(kit, kit.figures(&sheet.outlet), sheet);
    let expected = day.expected(measure).ok()?;
    let (made, _) = seen(&day, sheet, measure).ok()?;
    // A counter of tenths is coarse on a short run: one step of it is no difference.
    let coarse = coarse(values).unwrap_or(Fraction::ZERO);
    let away = made.mul(coarse)?;
    let low = made.sub(away)?;
    let high = made.add(away)?;
    let out = expected.least.is_some_and(|least| high < least)
        || expected.most.is_some_and(|most| low > most);
    out.then(|| {
        let unit = find(&measure.unit);
        let text = |value| {
            unit.map_or_else(String::new, |unit| {
                let step = super::expected::size_in(&measure.resolution, unit);
                super::expected::printed(value, unit, step)
            })
        };
        Fault::asks(&["measures", &measure.id], "readings-disagree")
            .with("label", &measure.label)
            .with("found", text(made))
            .with("band", &expected.band)
            .with("name", &measure.id)
    })
}

/// One step of the counter of concentrate, as a share of what it counted.
fn coarse(values: &Values<'_>) -> Option<Fraction> {
    let used = values.written(Meaning::FoamUsed).as_ref().and_then(base)?;
    let step = base(values.evidence.kit.rig().resolution.as_ref()?.foam_total.as_ref()?)?;
    if used.signum() > 0 { step.div(used) } else { None }
}
