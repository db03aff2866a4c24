//! Measured values.

use super::card::doubted;
use super::criticals::mode_text;
use super::evidence::Evidence;
use super::expected::{Day, Expected, WorkedValue, printed, size_in, value_in};
use super::kit::Kit;
use super::no_value::NoValue;
use super::percent::refusable;
use super::say;
use super::sheet_values::{read_off, unreadable};
use super::stands::{Standing, measured};
use super::steps::{Left, own_steps};
use super::values::Values;
use super::verdict::{Decision, Line, Rule};
use crate::course::{How, Mark, Meaning, Measure, RunSheet, Step, Whose};
use crate::quantity::{Fraction, Quantity, find};
use crate::words::Words;

/// Measured values of the candidate's steps. One that is outside takes what its step has.
pub(super) fn measures(kit: &Kit, sheet: &RunSheet, left: &mut Left) -> Vec<Line> {
    let day = Day::of_sheet(kit, kit.figures(&sheet.outlet), sheet);
    let mut lines = Vec::new();
    for measure in &kit.drill().measures {
        let step = own_steps(kit, sheet).find(|step| step.id == measure.step);
        if let Some(step) = step {
            lines.push(one(&day, sheet, (measure, step), left));
        }
    }
    lines
}

fn one(
    day: &Day<'_>,
    sheet: &RunSheet,
    (measure, step): (&Measure, &Step),
    left: &mut Left,
) -> Line {
    let words = day.kit.words();
    let line = say::line(words, Rule::Measure, &measure.id, &measure.label);
    // The mark of the step and not only the value: a figure can be written for a step that
    // nobody did.
    let mark = sheet.marks.get(&step.id).copied();
    let mode = mode_text(day.kit, sheet);
    let blanks = [("mode", mode.as_str()), ("step", say::short(&step.action))];
    let performed = matches!(mark, Some(Mark::Done | Mark::Prompted));
    let not_shown = if measure.critical { Decision::InPart } else { Decision::NotShown };
    let out = match standing(Evidence { kit: day.kit, sheet }, step) {
        Standing::NotOnRig => Some((Decision::LeftOut, "measure-not-here")),
        Standing::NotInMode => Some((not_shown, "measure-not-in-mode")),
        // A critical value is never left out by hand: that would be a way around it.
        _ if mark == Some(Mark::NotApplicable) && !measure.critical => {
            Some((Decision::LeftOut, "measure-not-applicable"))
        }
        _ if sheet.stop.is_some() && !performed => {
            Some((Decision::LeftOut, "measure-after-stop"))
        }
        Standing::Stands => None,
    };
    if let Some((decision, key)) = out {
        return line.means(words, decision, key, &blanks);
    }
    let expected = day.expected(measure);
    let band =
        expected.as_ref().map(|expected| expected.band.clone()).unwrap_or_default();
    // Where nothing gives a band, it is asked for what the manual says, and for no value.
    let bandless = expected.as_ref().is_err_and(NoValue::is_bandless);
    let both = match expected {
        Err(no) if bandless => Err(no),
        expected => seen(day, sheet, measure).and_then(|seen| Ok((seen, expected?))),
    };
    // Values take from what their step has left, so that a step and its values together
    // never cost more than the step is worth.
    let has = left.entry(step.id.clone()).or_insert(0);
    match both {
        Ok(((seen, working), expected)) => {
            let open = undecided(Evidence { kit: day.kit, sheet }, measure);
            compared((day.kit, open), line, measure, (seen, expected, working), has)
        }
        // Rule 16: a missing value leaves the run incomplete only where the outcome rests on
        // it; otherwise what was to be shown by it was not shown, and its points are lost.
        Err(no) => {
            let (key, what) = lacking(day.kit, &no);
            let blanks = [("step", say::short(&step.action)), ("what", what.as_str())];
            let nothing = words.get("scoring.nothing-written");
            let line = line.saw(nothing, band);
            // Rule 20: what neither card nor formula know is nobody's fault, and shows nothing.
            if no.is_bandless() {
                return without_band(sheet, (line, measure), words, (key, &blanks));
            }
            if measure.critical {
                return line.means(words, Decision::Unseen, key, &blanks);
            }
            // What the machine did is nobody's points, whatever it did.
            let off = if measure.whose == Whose::Machine { 0 } else { *has };
            *has -= off;
            let decision = if off == 0 { Decision::Noted } else { Decision::Costs };
            line.worth(-off, 0).means(words, decision, key, &blanks)
        }
    }
}

/// Why a value that is outside decides nothing (rule 17): nobody is held to an order that this rig
/// had to refuse, nor to a reading that this rig cannot have shown.
fn undecided(evidence: Evidence<'_>, measure: &Measure) -> Option<&'static str> {
    if measure.is == Some(Meaning::PercentSet) && refusable(&Values::of(evidence)) {
        Some("measure-order-refused")
    } else if measure.critical && doubted(evidence, measure) {
        Some("measure-doubted")
    } else {
        None
    }
}

/// A value that neither card nor formula give: the evaluator says whether it was as the manual
/// has it. It can leave a run in part, and never decides it (rule 20).
fn without_band(
    sheet: &RunSheet,
    (line, measure): (Line, &Measure),
    words: &Words,
    (key, blanks): (&'static str, &[(&str, &str)]),
) -> Line {
    let written = sheet.measures.get(&measure.id).map(Quantity::printed);
    let line = match written {
        Some(written) => line.saw(written, words.get("scoring.manual")),
        None => line,
    };
    let (decision, key) = match (measure.whose, sheet.as_manual.get(&measure.id)) {
        (Whose::Machine, _) => (Decision::Noted, key),
        (Whose::Act, Some(true)) => (Decision::Kept, "measure-as-manual"),
        // Not as the manual has it leaves the run in part and does not fail it: an eye said
        // so, and no figure.
        (Whose::Act, Some(false)) => (Decision::InPart, "measure-not-as-manual"),
        (Whose::Act, None) => (Decision::InPart, key),
    };
    line.means(words, decision, key, blanks)
}

/// Whether the value of a step can be measured in this run.
pub(super) fn standing(evidence: Evidence<'_>, step: &Step) -> Standing {
    match measured(evidence.kit, evidence.sheet.mode, step) {
        Standing::Stands => evidence.standing(step),
        other => other,
    }
}

/// How a value stands to the limit beyond which a critical has happened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Beyond {
    /// Within it.
    Within,
    /// Past it, with the limit in words.
    Past(String),
    /// Nobody wrote it down, or nothing is known to hold it against.
    Unknown,
    /// The mode cannot show it.
    NotShown,
    /// The rig does not have it.
    NotHere,
}

/// A value against its limit; one that states no limit has its band for one.
///
/// With `unreported` it is the report that is asked for, of whatever is out.
pub(super) fn beyond(
    evidence: Evidence<'_>,
    measure: &Measure,
    unreported: bool,
) -> Beyond {
    let Evidence { kit, sheet } = evidence;
    // Rule 15: what the machine did breaks nothing; that nobody reported it may.
    if measure.whose == Whose::Machine && !unreported {
        return Beyond::Within;
    }
    let Some(step) = evidence.step(&measure.step) else { return Beyond::NotHere };
    match standing(evidence, step) {
        Standing::NotOnRig => return Beyond::NotHere,
        Standing::NotInMode => return Beyond::NotShown,
        Standing::Stands => {}
    }
    let day = Day::of_sheet(kit, kit.figures(&sheet.outlet), sheet).untold();
    let limit = measure.limit.as_ref().unwrap_or(&measure.tolerance);
    let limited = Measure { tolerance: limit.clone(), ..measure.clone() };
    let both = match day.expected(&limited) {
        Err(no) if no.is_bandless() => Err(no),
        limit => seen(&day, sheet, measure).and_then(|s| Ok((s.0, limit?))),
    };
    match both {
        Ok((value, limit)) if limit.contains(value) => Beyond::Within,
        // Rule 17: it rests on what this rig cannot have shown.
        Ok(_) if doubted(evidence, measure) => Beyond::Unknown,
        Ok((_, limit)) => Beyond::Past(limit.band),
        // What was never done has no value; whether it had to be done, other links say.
        // An instrument shows its value whether or not anybody did something about it.
        // So it is with what flowed: it did, and nobody read the totals.
        Err(_) if evidence.performed(step) == Some(false) && !flowed(measure) => {
            Beyond::Within
        }
        Err(no) if no.is_bandless() => match sheet.as_manual.get(&measure.id) {
            Some(true) => Beyond::Within,
            _ => Beyond::NotShown,
        },
        Err(_) => Beyond::Unknown,
    }
}

/// Whether a value is there without anybody's act: an instrument shows it, or totals would tell what
/// the rig's own figures ask for, such as the water of a flush. What somebody says is not there until
/// it is said.
fn flowed(measure: &Measure) -> bool {
    let said = matches!(measure.is, Some(Meaning::MinutesTold | Meaning::PercentSet));
    let counted = measure.how == How::FromTotals && measure.expect.rests_on_card();
    measure.how == How::Shown || (counted && !said)
}

/// The value measured, in the unit of the measure, and how it was worked out. A sheet holds one: what
/// was said last before the act that rests on it and before any prompt, as paper and live sheet ask for
/// it (rule 19).
pub(super) fn seen(
    day: &Day<'_>,
    sheet: &RunSheet,
    measure: &Measure,
) -> Result<(Fraction, Vec<String>), NoValue> {
    let unit = find(&measure.unit).ok_or(NoValue::Unit)?;
    if let Some(feed) = &measure.measured {
        let worked: WorkedValue = day.work(feed)?;
        return Ok((worked.in_unit(unit)?, worked.working));
    }
    let written = sheet.measures.get(&measure.id);
    let written = written.filter(|value| !unreadable(day.kit, sheet, measure, value));
    let written = written.ok_or_else(|| NoValue::Reading(measure.id.clone()))?;
    let shown = read_off(measure, written);
    Ok((value_in(&shown, unit).ok_or(NoValue::Unit)?, Vec::new()))
}

fn compared(
    (kit, open): (&Kit, Option<&'static str>),
    line: Line,
    measure: &Measure,
    (seen, expected, mut working): (Fraction, Expected, Vec<String>),
    has: &mut i64,
) -> Line {
    let words = kit.words();
    let unit = find(&measure.unit);
    let step = unit.and_then(|unit| size_in(&measure.resolution, unit));
    let text = |value| unit.map_or(String::new(), |unit| printed(value, unit, step));
    let inside = expected.contains(seen);
    // Rule 15: what the machine did goes to the rig's log and costs nobody anything.
    let machine = measure.whose == Whose::Machine;
    let off = if inside || machine { 0 } else { *has };
    *has -= off;
    let (decision, key) = match (inside, measure.critical, off, open) {
        (true, ..) => (Decision::Kept, "measure-inside"),
        (false, ..) if machine => (Decision::Noted, "measure-of-rig"),
        (false, true, _, Some(why)) => (Decision::Unseen, why),
        (false, true, ..) => (Decision::Fails, "measure-fails"),
        (false, false, 0, _) => (Decision::Noted, "measure-outside-free"),
        (false, false, ..) => (Decision::Costs, "measure-outside"),
    };
    // words: scoring.how.{How}
    let how = words.say(&format!("scoring.how.{}", measure.how.key()), &[]);
    let blanks = [
        ("how", how.as_str()),
        ("value", &expected.text),
        ("band", &expected.band),
        ("source", &measure.source),
    ];
    let wanted = words.say("scoring.wanted", &blanks);
    working.splice(0..0, expected.working.iter().cloned());
    let mut line =
        line.saw(text(seen), wanted).worth(-off, 0).means(words, decision, key, &blanks);
    line.working = working;
    line
}

/// Why a value is missing: key of the sentence, and what is missing.
fn lacking(kit: &Kit, no: &NoValue) -> (&'static str, String) {
    let drill = kit.drill();
    match no {
        NoValue::Reading(id) => {
            let reading = drill.readings.iter().find(|reading| reading.id == *id);
            let measure = drill.measures.iter().find(|measure| measure.id == *id);
            let label = reading
                .map(|reading| &reading.label)
                .or_else(|| measure.map(|measure| &measure.label));
            ("measure-not-written", label.unwrap_or(id).clone())
        }
        NoValue::Unchecked => ("measure-unchecked", kit.rig().title.clone()),
        NoValue::Figure(name) => ("measure-no-figure", name.clone()),
        NoValue::Formula(says) => ("measure-no-answer", says.clone()),
        NoValue::Unit => ("measure-no-unit", String::new()),
    }
}
