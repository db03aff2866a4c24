//! Limits that stand in every drill (rule 18) and what a reading can be on this rig (rule 17).
//!
//! A value is known by what its drill says that it is, so a drill cannot leave a limit out by
//! forgetting to write it.

use super::evidence::Evidence;
use super::expected::{Day, Expected, NoValue};
use super::measures::standing;
use super::say;
use super::sheet_values::value_faults;
use super::stands::Standing;
use super::verdict::{Decision, Line, Rule};
use crate::course::{ClassRange, FoamClass, Meaning, Measure, Mode, Reading, Whose};
use crate::quantity::{Fraction, Quantity, find};

/// Names of the common limits, by which a stop can name one.
pub(super) const LIMITS: &[&str] = &["hose-test", "unit", "slip", "minutes", "intake"];

/// A value of a sheet: its name, and whether it stands against the candidate. What is measured
/// at the step of another role is that role's (rule 35).
#[derive(Clone)]
struct Written {
    id: String,
    value: Quantity,
    own: bool,
}

/// Values of a sheet by what they are. One that no instrument can have shown was not seen: it
/// is refused with its mend, and decides nothing (rule 16).
struct Values<'v> {
    evidence: Evidence<'v>,
    wrong: Vec<String>,
}

impl<'v> Values<'v> {
    fn of(evidence: Evidence<'v>) -> Self {
        let faults = value_faults(evidence.kit, evidence.sheet).into_iter();
        Self {
            evidence,
            wrong: faults.filter_map(|fault| fault.path.get(1).cloned()).collect(),
        }
    }

    /// Whatever is written with that meaning: measured values first, then readings.
    fn all(&self, meaning: Meaning) -> Vec<Written> {
        let Evidence { kit, sheet } = self.evidence;
        let drill = kit.drill();
        let measures = drill.measures.iter().filter(|one| one.is == Some(meaning));
        let readings = drill.readings.iter().filter(|one| one.is == Some(meaning));
        let measured = measures.filter_map(|one| {
            let step = self.evidence.step(&one.step);
            let own = step.is_none_or(|step| step.role == sheet.role);
            let value = sheet.measures.get(&one.id).copied()?;
            Some(Written { id: one.id.clone(), value, own })
        });
        let read = readings.filter_map(|one| {
            let value = sheet.readings.get(&one.id).copied()?;
            Some(Written { id: one.id.clone(), value, own: true })
        });
        measured.chain(read).filter(|one| !self.wrong.contains(&one.id)).collect()
    }

    /// The first value as written.
    fn written(&self, meaning: Meaning) -> Option<Quantity> {
        self.all(meaning).into_iter().next().map(|one| one.value)
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

/// What was seen beyond a common limit, one line each, and what leaves a limit open.
pub(super) fn common(evidence: Evidence<'_>) -> Vec<Line> {
    let values = Values::of(evidence);
    let one = |meaning, line: fn(&Values<'_>, &Written) -> Option<Line>| {
        let all = values.all(meaning).into_iter();
        all.filter_map(|one| line(&values, &one)).collect::<Vec<_>>()
    };
    let mut found = one(Meaning::PumpPressure, hose);
    found.extend(one(Meaning::PercentSet, unit));
    found.extend(one(Meaning::PercentSet, slip));
    found.extend(one(Meaning::MinutesTold, minutes));
    found.extend(one(Meaning::IntakePressure, intake));
    found.extend(ordered(&values));
    found.extend(open(&values));
    found
}

fn fails(
    values: &Values<'_>,
    key: &str,
    seen: &Written,
    blanks: &[(&str, &str)],
) -> Line {
    let line = judged(values, (Decision::Fails, key), &seen.value, blanks);
    if seen.own {
        return line;
    }
    let words = values.evidence.kit.words();
    let noted = words.get("scoring.decision.noted");
    let rule_text = words.get("scoring.rule.of-others");
    let decision = Decision::Noted;
    Line { rule: Rule::OfOthers, rule_text, decision, decision_text: noted, ..line }
}

fn judged(
    values: &Values<'_>,
    (decision, key): (Decision, &str),
    seen: &Quantity,
    blanks: &[(&str, &str)],
) -> Line {
    let words = values.evidence.kit.words();
    // words: scoring.limit.{LIMITS|ordered}
    let label = words.say(&format!("scoring.limit.{key}"), &[]);
    let line = say::line(words, Rule::Limit, key, &label).saw(seen.printed(), "");
    // words: scoring.line.limit-{LIMITS|ordered}
    line.means(words, decision, &format!("limit-{key}"), blanks)
}

/// 18 a: pump pressure above nine tenths of the service test of the weakest hose in the line
/// (NFPA 1962, 2018: relief at 90 % of the test at most).
fn hose(values: &Values<'_>, pressure: &Written) -> Option<Line> {
    let Evidence { kit, sheet } = values.evidence;
    let test = &kit.rig().outlet(&sheet.outlet)?.service_test;
    let limit = base(test)?.mul(Fraction::new(9, 10)?)?;
    (base(&pressure.value)? > limit)
        .then(|| fails(values, "hose-test", pressure, &[("test", &test.printed())]))
}

/// Percents that the unit has for some class of foam.
fn ranges<'v>(values: &Values<'v>) -> impl Iterator<Item = (FoamClass, &'v ClassRange)> {
    let kit = values.evidence.kit;
    let class = kit.drill().rigs.as_ref().and_then(|rigs| rigs.class);
    let classes = kit.rig().proportioner.classes.iter();
    let of = classes.filter(move |(of, _)| class.is_none_or(|class| class == **of));
    of.map(|(of, range)| (*of, range))
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

/// Whether the unit can give a percent at all, and hold it at the flow that was read.
fn holds(values: &Values<'_>, percent: &Quantity) -> Option<bool> {
    let share = base(percent)?;
    if !ranges(values).any(|(class, range)| inside(share, class, range) == Some(true)) {
        return Some(false);
    }
    let Some(flow) = values.base(Meaning::Flow) else { return Some(true) };
    let unit = &values.evidence.kit.rig().proportioner;
    let most = base(&unit.rating.flow)?;
    // Of the metered water or of the finished solution: either way it is the share of the flow
    // that was read.
    Some(share.mul(flow)? <= most)
}

/// 18 b: a percent set that label or unit do not allow.
fn unit(values: &Values<'_>, set: &Written) -> Option<Line> {
    let range: Vec<String> = ranges(values)
        .map(|(_, range)| format!("{} to {}", range.from.printed(), range.to.printed()))
        .collect();
    let rating = values.evidence.kit.rig().proportioner.rating.flow.printed();
    (!holds(values, &set.value)?).then(|| {
        let range = range.join(", ");
        let blanks = [("range", range.as_str()), ("rating", rating.as_str())];
        fails(values, "unit", set, &blanks)
    })
}

/// Rule 17: an order that this rig must refuse cannot be what the candidate is held to. What
/// he set beyond the unit decides before this.
fn ordered(values: &Values<'_>) -> Option<Line> {
    let ordered = values.written(Meaning::PercentOrdered)?;
    (!holds(values, &ordered)?)
        .then(|| judged(values, (Decision::Unseen, "ordered"), &ordered, &[]))
}

/// 18 c: a percent off the order by a factor of two or more, once foam was on: a slip of the
/// decimal point.
fn slip(values: &Values<'_>, set: &Written) -> Option<Line> {
    if !foams(values.evidence.sheet.mode) {
        return None;
    }
    let ordered = values.written(Meaning::PercentOrdered)?;
    let (is, should) = (base(&set.value)?, base(&ordered)?);
    let two = Fraction::whole(2);
    (is >= should.mul(two)? || should >= is.mul(two)?)
        .then(|| fails(values, "slip", set, &[("ordered", &ordered.printed())]))
}

/// The measured value of that name.
fn measure<'v>(values: &Values<'v>, id: &str) -> Option<&'v Measure> {
    values.evidence.kit.drill().measures.iter().find(|one| one.id == id)
}

/// What a value should have been by the rig and the day's readings.
fn expected(values: &Values<'_>, measure: &Measure) -> Result<Expected, NoValue> {
    let Evidence { kit, sheet } = values.evidence;
    let figures = kit.figures(&sheet.outlet);
    Day { kit, figures, readings: &sheet.readings }.expected(measure)
}

/// 18 d: minutes told above the true ones by more than one minute or a fifth, whichever is
/// less. A crew that trusts them stays too long.
fn minutes(values: &Values<'_>, told: &Written) -> Option<Line> {
    let measure = measure(values, &told.id)?;
    let step = values.evidence.step(&measure.step)?;
    if values.evidence.standing(step) != Standing::Stands {
        return None;
    }
    let expected = expected(values, measure).ok()?;
    let true_time = expected.value;
    let told_time = super::expected::value_in(&told.value, find(&measure.unit)?)?;
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
fn intake(values: &Values<'_>, pressure: &Written) -> Option<Line> {
    let Evidence { kit, sheet } = values.evidence;
    let floor = kit.rig().intake_floor.as_ref()?;
    let all = values.all(Meaning::IntakePressure);
    let reported = all.iter().any(|one| sheet.reported.contains(&one.id));
    (base(&pressure.value)? < base(floor)? && !reported)
        .then(|| fails(values, "intake", pressure, &[("floor", &floor.printed())]))
}

/// Values on which a common limit rests.
const LIMITED: &[Meaning] = &[
    Meaning::PumpPressure,
    Meaning::PercentSet,
    Meaning::MinutesTold,
    Meaning::IntakePressure,
];

/// What is silent about a value that a common limit rests on: the run is incomplete by it
/// (rule 16), in part where rig or formula know no band (rule 20), or the mode or a missing cue
/// could not show it (rule 23). What was not done has no value.
fn open(values: &Values<'_>) -> Vec<Line> {
    let Evidence { kit, sheet } = values.evidence;
    let words = kit.words();
    let mut found = Vec::new();
    for measure in &kit.drill().measures {
        let limited = measure.is.is_some_and(|is| LIMITED.contains(&is));
        let no_floor = measure.is == Some(Meaning::IntakePressure)
            && kit.rig().intake_floor.is_none();
        let step = values.evidence.step(&measure.step);
        let Some(step) = step.filter(|step| step.role == sheet.role) else { continue };
        if !limited || no_floor || measure.whose == Whose::Machine {
            continue;
        }
        let done = values.evidence.done(step);
        let what = match standing(values.evidence, step) {
            Standing::NotInMode if sheet.mode != Mode::WalkThrough => {
                Some((Decision::InPart, "limit-not-shown", measure.label.clone()))
            }
            Standing::Stands if done == Some(false) => None,
            Standing::Stands if sheet.stop.is_some() && done.is_none() => None,
            Standing::Stands => silent(values, measure),
            Standing::NotInMode | Standing::NotOnRig => None,
        };
        let Some((decision, key, what)) = what else { continue };
        let line = say::line(words, Rule::Limit, &measure.id, &measure.label);
        let line = line.saw(words.get("scoring.nothing-written"), "");
        // words: scoring.line.limit-{not-shown|open|no-band}
        found.push(line.means(words, decision, key, &[("what", &what)]));
    }
    found
}

/// What the limit of a value cannot be held against.
fn silent(
    values: &Values<'_>,
    measure: &Measure,
) -> Option<(Decision, &'static str, String)> {
    let Evidence { kit, sheet } = values.evidence;
    let open = |what: &str| Some((Decision::Unseen, "limit-open", what.to_owned()));
    let Some(value) = sheet.measures.get(&measure.id) else {
        return open(&measure.label);
    };
    let mut readings = kit.drill().readings.iter();
    let label = |reading: &Reading| reading.label.clone();
    match measure.is {
        Some(Meaning::MinutesTold) => match expected(values, measure) {
            Ok(_) => None,
            Err(NoValue::Reading(id)) => {
                let reading = readings.find(|reading| reading.id == id);
                open(&reading.map_or(id, label))
            }
            Err(_) => Some((Decision::InPart, "limit-no-band", measure.label.clone())),
        },
        // The order, and the flow where the unit could be at its end: what it was set to is
        // held against both.
        Some(Meaning::PercentSet) => readings
            .find(|reading| {
                let silent = !sheet.readings.contains_key(&reading.id);
                silent
                    && match reading.is {
                        Some(Meaning::PercentOrdered) => foams(sheet.mode),
                        Some(Meaning::Flow) => could_exceed(values, value, reading),
                        _ => false,
                    }
            })
            .and_then(|reading| open(&reading.label)),
        _ => None,
    }
}

/// Whether the unit could be at its end with the most that may have flowed.
fn could_exceed(values: &Values<'_>, percent: &Quantity, flow: &Reading) -> bool {
    let rating = base(&values.evidence.kit.rig().proportioner.rating.flow);
    let most = base(percent).zip(base(&flow.most)).and_then(|(p, most)| p.mul(most));
    most.zip(rating).is_none_or(|(most, rating)| most > rating)
}

/// What cannot be read on this rig, by the key of its question, with the value and the bound
/// that it is beyond (rule 17).
pub(super) fn beyond_the_card(
    evidence: Evidence<'_>,
) -> Vec<(&'static str, Quantity, Quantity)> {
    let values = Values::of(evidence);
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
