//! Limits that stand in every drill (rule 18).

use super::air::air;
use super::card::{card, nine_tenths};
use super::evidence::Evidence;
use super::expected::Day;
use super::fault::Fault;
use super::measures::standing;
use super::minutes::left;
use super::no_value::NoValue;
use super::outlets::outlet_at;
use super::percent::{
    Misfit, hangs_on_fuel, misfit, misfit_set, of_label, of_unit, refusable,
};
use super::say;
use super::stands::{Standing, flows};
use super::values::{Values, Written, base, foams};
use super::verdict::{Decision, Line, Rule};
use crate::course::{How, Meaning, Measure, Mode, Reading, Whose};
use crate::quantity::{Fraction, Quantity, find};

/// Names of the common limits, by which a stop can name one.
pub const LIMITS: &[&str] =
    &["hose-test", "line-lost", "unit", "label", "slip", "minutes", "intake", "air"];

/// What was seen beyond a common limit, one line each, and what leaves a limit open.
pub(super) fn common(evidence: Evidence<'_>) -> Vec<Line> {
    let values = Values::of(evidence);
    let one = |meaning, line: fn(&Values<'_>, &Written) -> Option<Line>| {
        let all = values.all(meaning).into_iter();
        all.filter_map(|one| line(&values, &one)).collect::<Vec<_>>()
    };
    // In the order of the words file's list, what can hurt first: it is the order in which
    // a reader comes to them on a sheet.
    let mut found = one(Meaning::PumpPressure, hose);
    found.extend(one(Meaning::PumpPressure, lost));
    found.extend(one(Meaning::PercentSet, unit));
    found.extend(one(Meaning::PercentSet, slip));
    found.extend(one(Meaning::MinutesTold, minutes));
    found.extend(one(Meaning::IntakePressure, intake));
    found.extend(air(evidence));
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
    // What another post set is told to the candidate's officer and costs the candidate
    // nothing.
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

/// 18 a: pump pressure above nine tenths of the service test of the weakest hose in the line.
fn hose(values: &Values<'_>, pressure: &Written) -> Option<Line> {
    let Evidence { kit, sheet } = values.evidence;
    let line = outlet_at(kit, sheet, &pressure.id);
    let line = line.filter(|_| pressure.heard(sheet.mode))?;
    let test = line.service_test.as_ref()?;
    let limit = nine_tenths(test)?;
    // Exactly at nine tenths is still allowed, because the relief is set there.
    (base(&pressure.value)? > limit)
        .then(|| fails(values, "hose-test", pressure, &[("test", &test.printed())]))
}

/// Bands below what a line needs at which it can no longer be held: a choice of these rules, to be
/// replaced by a local figure.
const BANDS: i128 = 3;

/// Pump pressure more than three bands below what the line needs, and not reported: the line can no
/// longer be held.
fn lost(values: &Values<'_>, pressure: &Written) -> Option<Line> {
    let Evidence { kit, sheet } = values.evidence;
    let measure =
        measure(values, &pressure.id).filter(|_| pressure.group == "measures")?;
    let step = values.evidence.step(&measure.step)?;
    let stands = flows(sheet.mode) && values.evidence.standing(step) == Standing::Stands;
    // Whoever reported it did what the limit is there for: he saw it and said so.
    if !stands || sheet.reported.contains(&measure.id) {
        return None;
    }
    let day = Day::of_sheet(kit, kit.figures(&sheet.outlet), sheet);
    let expected = day.expected(measure).ok()?;
    // Measured in the drill's own band: a department that allows more also loses a line
    // later.
    let band = expected.value.sub(expected.least?)?.mul(Fraction::whole(BANDS))?;
    let unit = find(&measure.unit)?;
    let is = super::expected::value_in(&pressure.value, unit)?;
    (is < expected.value.sub(band)?).then(|| {
        let mut line =
            fails(values, "line-lost", pressure, &[("needed", &expected.text)]);
        line.working = expected.working;
        line
    })
}

/// 18 b: a percent set that label or unit do not allow.
fn unit(values: &Values<'_>, set: &Written) -> Option<Line> {
    let unit = values.evidence.kit.rig().proportioner.as_ref();
    let rating = unit.map(|unit| unit.rating.flow.printed()).unwrap_or_default();
    match misfit_set(values, &set.value)? {
        Misfit::Unit => {
            let range = of_unit(values);
            let blanks = [("range", range.as_str()), ("rating", rating.as_str())];
            Some(fails(values, "unit", set, &blanks))
        }
        Misfit::Label => {
            let label = of_label(values);
            Some(fails(values, "label", set, &[("label", label.as_str())]))
        }
    }
}

/// Rule 17: an order that this rig must refuse cannot be what the candidate is held to. What
/// he set beyond the unit decides before this.
fn ordered(values: &Values<'_>) -> Option<Line> {
    let ordered = values.written(Meaning::PercentOrdered)?;
    misfit(values, &ordered)?;
    Some(judged(values, (Decision::Unseen, "ordered"), &ordered, &[]))
}

/// 18 c: a percent off the order by a factor of two or more, once foam was on: a slip of the
/// decimal point.
fn slip(values: &Values<'_>, set: &Written) -> Option<Line> {
    if !foams(values.evidence.sheet.mode) {
        return None;
    }
    if refusable(values) {
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

/// 18 d: minutes told above the true ones by more than one minute or a fifth, whichever is
/// less. A crew that trusts them stays too long.
fn minutes(values: &Values<'_>, told: &Written) -> Option<Line> {
    let measure = measure(values, &told.id)?;
    let step = values.evidence.step(&measure.step)?;
    if values.evidence.standing(step) != Standing::Stands {
        return None;
    }
    // What cannot have been read is asked about, and nobody fails by it (rules 16 and 17).
    if values.doubtful() || card(values.evidence).iter().any(Fault::of_reading) {
        return None;
    }
    let expected = left(values.evidence, measure).ok()?;
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
    let heard = pressure.heard(sheet.mode);
    let floor = kit.rig().intake_floor.as_ref().filter(|_| heard)?;
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
        // What is set or said is never what the machine did, whatever its author writes.
        // Nor is the pressure that the pump gives: the hose does not ask whose it was.
        let own = matches!(
            measure.is,
            Some(Meaning::PercentSet | Meaning::MinutesTold | Meaning::PumpPressure)
        );
        if !limited || no_floor || (measure.whose == Whose::Machine && !own) {
            continue;
        }
        // What somebody says was done after all has its value; and a gauge shows one whether or not
        // anybody did something about it.
        let done = values.evidence.performed(step);
        let unset = done == Some(false) && measure.how != How::Shown;
        let what = match standing(values.evidence, step) {
            Standing::NotInMode if sheet.mode != Mode::WalkThrough => {
                Some((Decision::InPart, "limit-not-shown", measure.label.clone()))
            }
            Standing::Stands if unset => None,
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
        Some(Meaning::MinutesTold) => match left(values.evidence, measure) {
            Ok(_) => None,
            Err(NoValue::Reading(id)) => {
                let reading = readings.find(|reading| reading.id == id);
                open(&reading.map_or(id, label))
            }
            Err(_) if sheet.as_manual.get(&measure.id) == Some(&true) => None,
            Err(_) => Some((Decision::InPart, "limit-no-band", measure.label.clone())),
        },
        // The order, and the flow where the unit could be at its end: what it was set to is
        // held against both.
        Some(Meaning::PercentSet) => {
            if hangs_on_fuel(values, value) {
                return open(&kit.words().get("scoring.fuel-ordered"));
            }
            // The flow of all foam lines, where the drill asks for it beside that of one.
            let all = kit.drill().readings.iter();
            let all = all.clone().any(|one| one.is == Some(Meaning::FoamFlow));
            let flow = if all { Meaning::FoamFlow } else { Meaning::Flow };
            let wanted = |reading: &&Reading| match reading.is {
                Some(Meaning::PercentOrdered) => foams(sheet.mode),
                Some(is) if is == flow => could_exceed(values, value, reading),
                _ => false,
            };
            let silent = |reading: &&Reading| !sheet.readings.contains_key(&reading.id);
            readings.filter(silent).find(wanted).and_then(|reading| open(&reading.label))
        }
        _ => None,
    }
}

/// Whether the unit could be at its end with the most that may have flowed.
fn could_exceed(values: &Values<'_>, percent: &Quantity, flow: &Reading) -> bool {
    let rig = values.evidence.kit.rig();
    let rating = rig.proportioner.as_ref().and_then(|unit| base(&unit.rating.flow));
    let most = base(percent).zip(base(&flow.most));
    let most = most.and_then(|(p, most)| super::percent::dosed(rig, p, most));
    most.zip(rating).is_none_or(|(most, rating)| most > rating)
}
