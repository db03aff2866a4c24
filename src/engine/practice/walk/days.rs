//! Days for a walk: outlet, order and readings, drawn once when the page is made.
//!
//! What the drill draws for its numbered sheets is drawn the same way, by the same rules; what it
//! leaves to the day comes from the rig's card, so that a drill which draws nothing has a walk too.

use serde::{Deserialize, Serialize};

use crate::course::{
    Allowed, Course, Does, Draw, DrawnOutlet, DrawnPlan, Drill, FoamClass, Meaning,
    Measure, Reading, Rig, Standard, Tank, Whose, foam_outlets,
};
use crate::quantity::{Fraction, Quantity, find};
use crate::quiz;
use crate::scoring::{
    Kit, KitData, Readings, drawn_up_to, fuels, has_repeats, takes_outlet,
};
use crate::words::Words;

/// Days of one rig: enough that nobody sees one again on the same evening, and few enough that they
/// weigh nothing in the page.
const DAYS: u32 = 8;

/// What the days of every walk are drawn from. It is printed nowhere and hides nothing: no paper and no
/// numbered sheet is drawn from it.
const SEED: &str = "walk";

/// Parts of a tank that are left, or were used, of so many quarters: never none and never all of it,
/// because either would give the answer away.
const QUARTERS: [i128; 3] = [1, 2, 3];

/// Every so many days of a drill that repeats are walked on two outlets: one outlet is the rule.
const ON_TWO: usize = 3;

/// One day of a walk.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Day {
    /// The outlet; empty where the drill is done on no line.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub outlet: String,
    /// Outlets beside it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub further: Vec<String>,
    /// What is read, and what is ordered.
    #[serde(default, skip_serializing_if = "Readings::is_empty")]
    pub readings: Readings,
    /// The fuel of the order, where the label asks for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel: Option<String>,
    /// The order to be refused.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub refused: Option<Quantity>,
}

/// The days of a drill on a rig; one at least.
pub(super) fn days(course: &Course, drill: &Drill, rig: &Rig, words: &Words) -> Vec<Day> {
    let mut found = drawn(course, drill, rig, words);
    if found.is_empty() {
        let outlets = outlets(drill, rig);
        let of = |outlet: &str| Day {
            outlet: outlet.to_owned(),
            further: Vec::new(),
            readings: Readings::new(),
            fuel: None,
            refused: None,
        };
        found = outlets.iter().map(|outlet| of(outlet)).collect();
        if found.is_empty() {
            found.push(of(""));
        }
    }
    let outlets = outlets(drill, rig);
    let kit = kit(course, drill, rig, words);
    for (at, day) in found.iter_mut().enumerate() {
        fixed(drill, rig, day);
        day.fuel = kit.as_ref().and_then(|kit| fuel(kit, &day.readings));
        let second = outlets.iter().find(|outlet| **outlet != day.outlet);
        let two = has_repeats(drill) && at.rem_euclid(ON_TWO) == ON_TWO - 1;
        day.further.extend(second.filter(|_| two).map(|outlet| (*outlet).to_owned()));
        if let Some(further) = day.further.first().cloned() {
            repeated(drill, rig, day, &further);
        }
    }
    found
}

/// A fuel for which the label allows what is ordered; the first where none is ordered.
fn fuel(kit: &Kit, readings: &Readings) -> Option<String> {
    let ordered = kit.drill().readings.iter();
    let ordered = ordered.filter(|one| one.is == Some(Meaning::PercentOrdered));
    let ordered: Vec<&Quantity> =
        ordered.filter_map(|one| readings.get(&one.id)).collect();
    let allows = |entry: &&Allowed| {
        ordered.iter().all(|percent| {
            !percent.base().compare(entry.from.base()).is_lt()
                && !percent.base().compare(entry.to.base()).is_gt()
        })
    };
    let fuels = fuels(kit);
    let found = fuels.iter().copied().find(allows).or(fuels.first().copied());
    found.map(|entry| entry.fuel.clone())
}

/// Outlets on which the drill can be done.
fn outlets<'r>(drill: &Drill, rig: &'r Rig) -> Vec<&'r str> {
    if !takes_outlet(drill) {
        return Vec::new();
    }
    // Foam is worked on a line that foam reaches; what has nothing to do with it on any.
    let foamed: Vec<&str> = foam_outlets(rig).map(|outlet| outlet.id.as_str()).collect();
    let foam = works_foam(drill);
    if foam && !foamed.is_empty() {
        return foamed;
    }
    rig.outlets.iter().map(|outlet| outlet.id.as_str()).collect()
}

fn works_foam(drill: &Drill) -> bool {
    drill.class().is_some()
        || drill.starts_with.foam.is_some()
        || drill.steps.iter().any(|step| {
            matches!(step.is, Some(Does::ConfirmsFoam | Does::ShutsFoam | Does::OpensAir))
        })
}

/// The days that the drill's own plan gives, with what it leaves to the day.
fn drawn(course: &Course, drill: &Drill, rig: &Rig, words: &Words) -> Vec<Day> {
    let own = plan(drill, rig, true);
    // Draws that are too many together are drawn without what was added.
    let plans = [own, plan(drill, rig, false)];
    let day = |plan: &DrawnPlan| -> Option<Vec<Day>> {
        let drill = Drill { drawn: Some(plan.clone()), ..drill.clone() };
        let kit = kit(course, &drill, rig, words)?;
        let at = quiz::Kit::of(course, words);
        let sheets = drawn_up_to(&kit, at, SEED, DAYS).ok()?;
        if sheets.is_empty() {
            return None;
        }
        let first = outlets(&drill, rig).first().copied().unwrap_or_default().to_owned();
        let day = |sheet: crate::scoring::DrawnSheet| Day {
            outlet: sheet.outlet.unwrap_or_else(|| first.clone()),
            further: Vec::new(),
            readings: sheet.readings,
            fuel: None,
            refused: sheet.refused,
        };
        Some(sheets.into_iter().map(day).collect())
    };
    plans.iter().find_map(day).unwrap_or_default()
}

fn kit(course: &Course, drill: &Drill, rig: &Rig, words: &Words) -> Option<Kit> {
    let standard: Standard = crate::scoring::standard(course, drill);
    let nozzle =
        crate::scoring::at_nozzle(&course.library, [&standard], [rig].into_iter());
    Kit::new(KitData::put_together((standard, nozzle), rig.clone(), words)).ok()
}

/// What the drill draws, and beside it what its values rest on and nothing draws.
fn plan(drill: &Drill, rig: &Rig, add: bool) -> DrawnPlan {
    let mut plan = drill.drawn.clone().unwrap_or(DrawnPlan {
        outlet: None,
        modes: Vec::new(),
        readings: Vec::new(),
        refused: None,
        conditions: Vec::new(),
        tables: Vec::new(),
    });
    if plan.outlet.is_none() && takes_outlet(drill) && works_foam(drill) && rig.foams() {
        plan.outlet = Some(DrawnOutlet::Foam);
    }
    let wanted = drill.readings.iter().filter(|one| add && asked(drill, one));
    for reading in wanted {
        let known = plan.readings.iter().any(|(name, _)| *name == reading.id);
        if !known && let Some(draw) = draw(drill, rig, reading) {
            plan.readings.push((reading.id.clone(), draw));
        }
    }
    plan
}

/// Whether a value that is asked in a walk rests on a reading.
fn asked(drill: &Drill, reading: &Reading) -> bool {
    use crate::course::{Bind, Expect};
    let names = |bind: &Bind| matches!(bind, Bind::Named(name) if *name == reading.id);
    let rests = |one: &Measure| match &one.expect {
        Expect::Bound(bind) => names(bind),
        Expect::Formula(feed) => feed.with.values().any(names),
    };
    drill.measures.iter().filter(|one| typed(one)).any(rests)
}

/// Whether a value is one that whoever walks sets, says or reads: neither the machine's nor one that is
/// worked out of totals that nobody has in a walk.
pub(super) fn typed(measure: &Measure) -> bool {
    measure.whose == Whose::Act && measure.measured.is_none()
}

/// From what a reading is drawn that the drill does not draw; nothing where it hangs on the outlet, or
/// on what no card says.
fn draw(drill: &Drill, rig: &Rig, reading: &Reading) -> Option<Draw> {
    let values = match reading.is? {
        Meaning::PercentOrdered | Meaning::PercentSet => {
            let class = drill.class();
            let classes =
                rig.classes().filter(|(of, _)| class.is_none_or(|class| class == *of));
            classes.flat_map(|(_, range)| range.presets.iter().copied()).collect()
        }
        Meaning::FoamLeft | Meaning::FoamUsed => parts(foam_tank(drill, rig)?, reading),
        Meaning::WaterLeft | Meaning::WaterUsed => parts(rig.water_tank()?, reading),
        _ => Vec::new(),
    };
    let within = |value: &Quantity| {
        !value.base().compare(reading.least.base()).is_lt()
            && !value.base().compare(reading.most.base()).is_gt()
    };
    let values: Vec<Quantity> = values.into_iter().filter(within).collect();
    (!values.is_empty()).then_some(Draw::Of(values))
}

/// The smallest foam tank of the drill's class: what is drawn is in each of them.
fn foam_tank<'r>(drill: &Drill, rig: &'r Rig) -> Option<&'r Tank> {
    let tanks = drill.class().map_or_else(
        || rig.foam_tanks().collect(),
        |class: FoamClass| rig.tanks_of(class),
    );
    tanks.into_iter().min_by(|a, b| a.usable.base().compare(b.usable.base()))
}

/// Quarters of a tank in whole units of the reading.
fn parts(tank: &Tank, reading: &Reading) -> Vec<Quantity> {
    let whole = find(&reading.unit).and_then(|unit| tank.usable.in_unit(unit));
    let Some(whole) = whole else { return Vec::new() };
    let part = |quarters: i128| {
        let part = whole.number().mul(Fraction::new(quarters, 4)?)?;
        let value = Fraction::whole(part.floor());
        (value.signum() > 0).then(|| Quantity::new(value, whole.unit()))
    };
    QUARTERS.into_iter().filter_map(part).collect()
}

/// What hangs on the outlet of the day.
fn fixed(drill: &Drill, rig: &Rig, day: &mut Day) {
    for reading in &drill.readings {
        if let Some(value) = flowing((drill, rig), reading, &day.outlet) {
            day.readings.entry(reading.id.clone()).or_insert(value);
        }
    }
}

/// The same for a further outlet, under the names that it has there.
fn repeated(drill: &Drill, rig: &Rig, day: &mut Day, further: &str) {
    for reading in drill.readings.iter().filter(|one| one.each.is_some()) {
        if let Some(value) = flowing((drill, rig), reading, further) {
            day.readings.insert(crate::course::at_outlet(&reading.id, further), value);
        }
    }
}

/// A flow is that of the line's nozzle; no other line flows, and nothing comes in.
fn flowing(
    (drill, rig): (&Drill, &Rig),
    reading: &Reading,
    outlet: &str,
) -> Option<Quantity> {
    let shuts_tank = drill.steps.iter().any(|step| step.is == Some(Does::ShutsTank));
    match reading.is? {
        Meaning::Flow | Meaning::FoamFlow => Some(rig.outlet(outlet)?.flow),
        // Where the tank is shut off the supply carries what flows; else nothing comes in.
        Meaning::Supply if shuts_tank => {
            let carries = |flow: &Quantity| {
                let enough =
                    !flow.base().compare(rig.outlet(outlet)?.flow.base()).is_lt();
                enough.then_some(*flow)
            };
            let mut laid = rig.supplies.iter().filter_map(|supply| supply.flow.as_ref());
            laid.find_map(carries).or(Some(rig.outlet(outlet)?.flow))
        }
        Meaning::PlainFlow | Meaning::Supply if reading.least.number().signum() == 0 => {
            Some(reading.least)
        }
        _ => None,
    }
}
