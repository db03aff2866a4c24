//! Limits that stand in every drill (rule 18) and what a reading can be on this rig (rule 17).
//!
//! A value is known by what its drill says that it is, so a drill cannot leave a limit out by
//! forgetting to write it.

use super::evidence::Evidence;
use super::expected::Day;
use super::say;
use super::stands::Standing;
use super::verdict::{Decision, Line, Rule};
use crate::course::{ClassRange, Meaning, Mode};
use crate::quantity::{Fraction, Quantity, find};

/// Names of the common limits, by which a stop can name one.
pub(super) const LIMITS: &[&str] = &["hose-test", "unit", "slip", "minutes", "intake"];

/// Values of a sheet by what they are, in base units.
struct Values<'v>(Evidence<'v>);

impl Values<'_> {
    /// The value as written.
    fn written(&self, meaning: Meaning) -> Option<Quantity> {
        let Evidence { kit, sheet } = self.0;
        let drill = kit.drill();
        let measures = drill.measures.iter().filter(|one| one.is == Some(meaning));
        let readings = drill.readings.iter().filter(|one| one.is == Some(meaning));
        let measured = measures.filter_map(|one| sheet.measures.get(&one.id));
        let read = readings.filter_map(|one| sheet.readings.get(&one.id));
        measured.chain(read).next().copied()
    }

    fn base(&self, meaning: Meaning) -> Option<Fraction> {
        self.written(meaning)?.base().settled()
    }
}

/// Whether foam flows in this mode.
const fn foams(mode: Mode) -> bool {
    matches!(mode, Mode::TrainingFoam | Mode::Agent)
}

fn base(quantity: &Quantity) -> Option<Fraction> {
    quantity.base().settled()
}

/// What was seen beyond a common limit, one line each.
pub(super) fn common(evidence: Evidence<'_>) -> Vec<Line> {
    let values = Values(evidence);
    let found = [
        hose(&values),
        unit(&values),
        slip(&values),
        minutes(&values),
        intake(&values),
        ordered(&values),
    ];
    found.into_iter().flatten().collect()
}

fn fails(
    values: &Values<'_>,
    key: &str,
    seen: &Quantity,
    blanks: &[(&str, &str)],
) -> Line {
    judged(values, (Decision::Fails, key), seen, blanks)
}

fn judged(
    values: &Values<'_>,
    (decision, key): (Decision, &str),
    seen: &Quantity,
    blanks: &[(&str, &str)],
) -> Line {
    let words = values.0.kit.words();
    // words: scoring.limit.{LIMITS|ordered}
    let label = words.say(&format!("scoring.limit.{key}"), &[]);
    let mut line = say::line(words, Rule::Limit, key, &label).saw(seen.printed(), "");
    let says: Vec<(&str, &str)> = blanks.to_vec();
    // words: scoring.line.limit-{LIMITS|ordered}
    line = line.means(words, decision, &format!("limit-{key}"), &says);
    line
}

/// 18 a: pump pressure above nine tenths of the service test of the weakest hose in the line
/// (NFPA 1962, 2018: relief at 90 % of the test at most).
fn hose(values: &Values<'_>) -> Option<Line> {
    let Evidence { kit, sheet } = values.0;
    let pressure = values.written(Meaning::PumpPressure)?;
    let test = &kit.rig().outlet(&sheet.outlet)?.service_test;
    let limit = base(test)?.mul(Fraction::new(9, 10)?)?;
    (base(&pressure)? > limit)
        .then(|| fails(values, "hose-test", &pressure, &[("test", &test.printed())]))
}

/// Percents that the unit has for some class of foam.
fn ranges<'v>(values: &Values<'v>) -> impl Iterator<Item = &'v ClassRange> {
    let kit = values.0.kit;
    let class = kit.drill().rigs.as_ref().and_then(|rigs| rigs.class);
    let classes = kit.rig().proportioner.classes.iter();
    classes.filter(move |(of, _)| class.is_none_or(|class| class == **of)).map(|(_, r)| r)
}

/// Whether the unit can give a percent at all, and hold it at the flow that was read.
fn holds(values: &Values<'_>, percent: &Quantity) -> Option<bool> {
    let share = base(percent)?;
    let inside = |range: &ClassRange| {
        let edges = base(&range.from).zip(base(&range.to));
        edges.is_some_and(|(from, to)| from <= share && share <= to)
    };
    if !ranges(values).any(inside) {
        return Some(false);
    }
    let Some(flow) = values.base(Meaning::Flow) else { return Some(true) };
    let unit = &values.0.kit.rig().proportioner;
    let most = base(&unit.rating.flow)?;
    // Of the metered water or of the finished solution: either way it is the share of the flow
    // that was read.
    Some(share.mul(flow)? <= most)
}

/// 18 b: a percent set that label or unit do not allow.
fn unit(values: &Values<'_>) -> Option<Line> {
    let set = values.written(Meaning::PercentSet)?;
    let range: Vec<String> = ranges(values)
        .map(|range| format!("{} to {}", range.from.printed(), range.to.printed()))
        .collect();
    let rating = values.0.kit.rig().proportioner.rating.flow.printed();
    (holds(values, &set)? == false).then(|| {
        let blanks = [("range", range.join(", ")), ("rating", rating)];
        let blanks: Vec<_> = blanks.iter().map(|(k, v)| (*k, v.as_str())).collect();
        fails(values, "unit", &set, &blanks)
    })
}

/// Rule 17: an order that this rig must refuse cannot be what the candidate is held to. What
/// he set beyond the unit decides before this.
fn ordered(values: &Values<'_>) -> Option<Line> {
    let ordered = values.written(Meaning::PercentOrdered)?;
    (holds(values, &ordered)? == false)
        .then(|| judged(values, (Decision::Unseen, "ordered"), &ordered, &[]))
}

/// 18 c: a percent off the order by a factor of two or more, once foam was on: a slip of the
/// decimal point.
fn slip(values: &Values<'_>) -> Option<Line> {
    if !foams(values.0.sheet.mode) {
        return None;
    }
    let set = values.written(Meaning::PercentSet)?;
    let ordered = values.written(Meaning::PercentOrdered)?;
    let (is, should) = (base(&set)?, base(&ordered)?);
    let two = Fraction::whole(2);
    (is >= should.mul(two)? || should >= is.mul(two)?)
        .then(|| fails(values, "slip", &set, &[("ordered", &ordered.printed())]))
}

/// 18 d: minutes told above the true ones by more than one minute or a fifth, whichever is
/// less. A crew that trusts them stays too long.
fn minutes(values: &Values<'_>) -> Option<Line> {
    let Evidence { kit, sheet } = values.0;
    let measure =
        kit.drill().measures.iter().find(|one| one.is == Some(Meaning::MinutesTold))?;
    let told = sheet.measures.get(&measure.id)?;
    let figures = kit.figures(&sheet.outlet);
    let day = Day { kit, figures, readings: &sheet.readings };
    let step = values.0.step(&measure.step)?;
    if values.0.standing(step) != Standing::Stands {
        return None;
    }
    let expected = day.expected(measure).ok()?;
    let true_time = expected.value;
    let told_time = super::expected::value_in(told, find(&measure.unit)?)?;
    let minute = super::expected::size_in(
        &Quantity::new(Fraction::ONE, find("min")?),
        find(&measure.unit)?,
    )?;
    let fifth = true_time.div(Fraction::whole(5))?;
    let most = true_time.add(if fifth < minute { fifth } else { minute })?;
    (told_time > most).then(|| {
        let mut line = fails(values, "minutes", told, &[("true", &expected.text)]);
        line.working = expected.working;
        line
    })
}

/// 18 e: the intake below the local floor, and not reported.
fn intake(values: &Values<'_>) -> Option<Line> {
    let Evidence { kit, sheet } = values.0;
    let pressure = values.written(Meaning::IntakePressure)?;
    let floor = kit.rig().intake_floor.as_ref()?;
    let drill = kit.drill();
    let known = drill.measures.iter().map(|one| (one.is, &one.id));
    let known = known.chain(drill.readings.iter().map(|one| (one.is, &one.id)));
    let mut reported = known
        .filter(|(is, _)| *is == Some(Meaning::IntakePressure))
        .filter(|(_, id)| sheet.reported.contains(id));
    (base(&pressure)? < base(floor)? && reported.next().is_none())
        .then(|| fails(values, "intake", &pressure, &[("floor", &floor.printed())]))
}

/// What cannot be read on this rig, by the key of its question, with the value and the bound
/// that it is beyond (rule 17).
pub(super) fn beyond_the_card(
    evidence: Evidence<'_>,
) -> Vec<(&'static str, Quantity, Quantity)> {
    let values = Values(evidence);
    let Evidence { kit, sheet } = evidence;
    let rig = kit.rig();
    let mut found = Vec::new();
    let mut above = |meaning, key, most: Option<&Quantity>| {
        let value: Option<Quantity> = values.written(meaning);
        if let Some((value, most)) = value.zip(most)
            && base(&value).zip(base(most)).is_some_and(|(value, most)| value > most)
        {
            found.push((key, value, *most));
        }
    };
    let outlet = rig.outlet(&sheet.outlet);
    above(
        Meaning::Flow,
        "flow-above-line",
        outlet.and_then(|outlet| outlet.most_flow.as_ref()),
    );
    let usable = rig.water_tank().map(|tank| &tank.nominal);
    above(Meaning::WaterLeft, "water-above-tank", usable);
    let most = |a: &&Quantity, b: &&Quantity| a.base().compare(b.base());
    let foam = rig.foam_tanks().map(|tank| &tank.nominal).max_by(most);
    above(Meaning::FoamLeft, "foam-above-tank", foam);
    let air = rig.compressor.as_ref().map(|compressor| &compressor.pressure);
    above(Meaning::AirPressure, "air-above-compressor", air);
    let mut below = |meaning, key, least: Option<&Quantity>| {
        let value: Option<Quantity> = values.written(meaning);
        if let Some((value, least)) = value.zip(least)
            && base(&value).zip(base(least)).is_some_and(|(value, least)| value < least)
        {
            found.push((key, value, *least));
        }
    };
    if foams(sheet.mode) {
        below(Meaning::Flow, "flow-below-unit", rig.proportioner.least_flow.as_ref());
    }
    below(
        Meaning::Flow,
        "flow-below-line",
        outlet.and_then(|outlet| outlet.least_flow.as_ref()),
    );
    found
}
