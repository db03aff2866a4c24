//! Percents that this rig can give with what its tanks hold: unit, label and capacity at the flow
//! that was read (rules 17 and 18 b).

use super::kit::Kit;
use super::values::{Values, base};
use crate::course::{
    Allowed, ClassRange, Concentrate, FoamClass, Meaning, Reckoning, Rig,
};
use crate::quantity::{Fraction, Quantity};

/// Why this rig must refuse a percent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Misfit {
    /// The unit does not have it, or cannot hold it at the flow that was read.
    Unit,
    /// The label does not allow it, for that fuel.
    Label,
}

/// The class that the drill is for; else the only one that the rig has.
fn class(values: &Values<'_>) -> Option<FoamClass> {
    let kit = values.evidence.kit;
    let of_drill = kit.drill().class();
    let mut classes = kit.rig().classes().map(|(class, _)| class);
    let only = classes.next().filter(|_| classes.next().is_none());
    of_drill.or(only)
}

/// Percents that the unit has for some class of foam.
fn ranges<'v>(values: &Values<'v>) -> impl Iterator<Item = (FoamClass, &'v ClassRange)> {
    let class = class(values);
    let classes = values.evidence.kit.rig().classes();
    classes.filter(move |(of, _)| class.is_none_or(|class| class == *of))
}

/// What the tanks of that class hold.
fn agents<'v>(values: &Values<'v>) -> impl Iterator<Item = &'v Concentrate> {
    let class = class(values);
    let (rig, tank) = (values.evidence.kit.rig(), values.evidence.kit.tank());
    let held = rig.foam_tanks().find(|one| Some(one.id.as_str()) == tank);
    let held = held.and_then(|tank| tank.concentrate.as_deref());
    let agents = rig.agents.iter();
    agents.filter(move |one| {
        class.is_none_or(|class| class == one.class)
            && held.is_none_or(|held| held == one.id)
    })
}

/// Entries of the labels between which the fuel of an order decides: several that do not allow the
/// same, in a drill that sets a percent. The sheet asks for the fuel then.
pub fn fuels(kit: &Kit) -> Vec<&Allowed> {
    let drill = kit.drill();
    let sets = drill.measures.iter().any(|one| one.is == Some(Meaning::PercentSet));
    let class = drill.class();
    let agents = kit
        .rig()
        .agents
        .iter()
        .filter(|one| class.is_none_or(|class| class == one.class));
    let all: Vec<&Allowed> = agents.flat_map(|agent| &agent.allowed).collect();
    let base = |entry: &Allowed| (base(&entry.from), base(&entry.to));
    let same =
        all.iter().all(|one| all.first().is_none_or(|first| base(one) == base(first)));
    if sets && !same { all } else { Vec::new() }
}

/// Two names of one fuel.
fn alike(one: &str, other: &str) -> bool {
    one.trim().eq_ignore_ascii_case(other.trim())
}

/// Entries of a label that count: those of the fuel that the sheet names; all of them where it
/// names none, or one that no label has, which is asked about.
fn entries<'v>(values: &Values<'v>) -> Vec<&'v Allowed> {
    let all: Vec<&Allowed> = agents(values).flat_map(|agent| &agent.allowed).collect();
    let fuel = values.evidence.sheet.fuel.as_deref();
    let named = all.iter().filter(|one| fuel.is_some_and(|fuel| alike(&one.fuel, fuel)));
    let named: Vec<&Allowed> = named.copied().collect();
    if named.is_empty() { all } else { named }
}

/// Fuels of the labels, where the sheet names one that none of them has.
pub(super) fn unknown_fuel(values: &Values<'_>) -> Option<Vec<String>> {
    let fuel = values.evidence.sheet.fuel.as_deref()?;
    let known: Vec<String> = agents(values)
        .flat_map(|agent| agent.allowed.iter().map(|one| one.fuel.clone()))
        .collect();
    let unknown = !known.is_empty() && !known.iter().any(|one| alike(one, fuel));
    unknown.then_some(known)
}

/// Whether it hangs on the fuel, which nobody named, if a percent is allowed: by some entries of the
/// labels it is, by others not. Held against all of them it would pass for the one that has it.
pub(super) fn hangs_on_fuel(values: &Values<'_>, percent: &Quantity) -> bool {
    let Some(share) = base(percent) else { return false };
    let entries = entries(values);
    values.evidence.sheet.fuel.is_none()
        && entries.iter().any(|entry| allows(entry, share))
        && !entries.iter().all(|entry| allows(entry, share))
}

/// Whether the unit has a percent at all. Of class B each label names its percents, and none
/// between them is one (rule 18 b); the steps of the unit are made for these.
fn inside(share: Fraction, class: FoamClass, range: &ClassRange) -> Option<bool> {
    let (from, to) = base(&range.from).zip(base(&range.to))?;
    if share < from || share > to {
        return Some(false);
    }
    let step = Some(&range.step).filter(|_| class == FoamClass::B).and_then(base);
    let Some(step) = step.filter(|step| step.signum() > 0) else { return Some(true) };
    Some(share.sub(from)?.div(step)?.is_whole())
}

fn allows(entry: &Allowed, share: Fraction) -> bool {
    let limits = base(&entry.from).zip(base(&entry.to));
    limits.is_none_or(|(from, to)| share >= from && share <= to)
}

/// Why the rig cannot give a percent: by its unit, by the label of what it carries, or at the flow
/// that was read. Nothing where it can, or where it cannot be told.
pub(super) fn misfit(values: &Values<'_>, percent: &Quantity) -> Option<Misfit> {
    let share = base(percent)?;
    if !ranges(values).any(|(class, range)| inside(share, class, range) == Some(true)) {
        return Some(Misfit::Unit);
    }
    let entries = entries(values);
    if !entries.is_empty() && !entries.iter().any(|entry| allows(entry, share)) {
        return Some(Misfit::Label);
    }
    let flow = values.foam_flow()?;
    let rig = values.evidence.kit.rig();
    let most = base(&rig.proportioner.as_ref()?.rating.flow)?;
    (dosed(rig, share, flow)? > most).then_some(Misfit::Unit)
}

/// The concentrate that a percent takes of a flow that was read. Of the metered water or of the
/// finished solution it is that share of the flow; where the percent is of the water and the flow
/// is the nozzle's, the share of its water.
pub(super) fn dosed(rig: &Rig, share: Fraction, flow: Fraction) -> Option<Fraction> {
    let dosed = share.mul(flow)?;
    match rig.basis() {
        Some(Reckoning::AtNozzle) => dosed.div(Fraction::ONE.add(share)?),
        _ => Some(dosed),
    }
}

/// The same for a percent that was set. An order for class B names the one percent that the label
/// has for its fuel, so any other is off the label, also one that it has for another fuel.
pub(super) fn misfit_set(values: &Values<'_>, set: &Quantity) -> Option<Misfit> {
    let ordered = values.written(Meaning::PercentOrdered).as_ref().and_then(base);
    let other = base(set).zip(ordered).is_some_and(|(set, ordered)| set != ordered);
    // What had to be refused is no order that another percent is held against (rule 17).
    let other = class(values) == Some(FoamClass::B) && other && !refusable(values);
    misfit(values, set).or_else(|| other.then_some(Misfit::Label))
}

/// Whether the percent that was ordered is one that this rig had to refuse (rule 17).
pub(super) fn refusable(values: &Values<'_>) -> bool {
    let ordered = values.written(Meaning::PercentOrdered);
    ordered.is_some_and(|ordered| misfit(values, &ordered).is_some())
}

/// The largest percent that the unit has.
pub(super) fn largest(values: &Values<'_>) -> Option<Quantity> {
    let all = ranges(values).map(|(_, range)| range.to);
    all.max_by(|one, other| one.base().compare(other.base()))
}

/// Percents of the unit in words.
pub(super) fn of_unit(values: &Values<'_>) -> String {
    let between = |from: &Quantity, to: &Quantity| span(values, from, to);
    let all = ranges(values).map(|(_, range)| between(&range.from, &range.to));
    let all: Vec<String> = all.collect();
    if all.is_empty() {
        values.evidence.kit.words().get("scoring.no-percent")
    } else {
        all.join(", ")
    }
}

/// Percents of the labels in words, by fuel.
pub(super) fn of_label(values: &Values<'_>) -> String {
    let words = values.evidence.kit.words();
    let line = |entry: &&Allowed| {
        let range = span(values, &entry.from, &entry.to);
        let blanks = [("fuel", entry.fuel.as_str()), ("range", range.as_str())];
        words.say("scoring.of-fuel", &blanks)
    };
    entries(values).iter().map(line).collect::<Vec<_>>().join("; ")
}

fn span(values: &Values<'_>, from: &Quantity, to: &Quantity) -> String {
    let words = values.evidence.kit.words();
    let (least, most) = (from.printed(), to.printed());
    if least == most {
        return words.say("scoring.band.exactly", &[("value", &least)]);
    }
    words.say("scoring.band.between", &[("least", &least), ("most", &most)])
}
