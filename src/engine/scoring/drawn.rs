//! Numbered sheets: what is drawn for them (rule 41), and that it can be what it says.
//!
//! An order that can be followed is one that the rules of every run do not stop at, at the most
//! that the line may flow; one that must be refused is beyond label or unit even at the least.
//! Both are asked of the rules themselves, on a sheet on which nothing else is written.

use std::collections::BTreeMap;

use serde_json::json;

use super::card::card;
use super::evidence::Evidence;
use super::expected::{Day, Readings, size_in};
use super::form::{DrawnSheet, in_plan};
use super::kit::{Kit, RULES};
use super::limits::common;
use super::sheet_values::value_faults;
use super::tanks::tanks;
use super::verdict::{Decision, Line, Rule};
use crate::course::{
    ClassRange, Draw, DrawnOutlet, DrawnPlan, Meaning, Measure, Mode, Outlet, Rig,
    RunSheet, WhichFoam, Whose, foam_outlets,
};
use crate::quantity::{Direction, Fraction, Number, Quantity, find, show};
use crate::quiz::{self, DRAW_VERSION, Numbers, QuestionFault, Series};

/// Names under which outlet and refused order stand among the draws; `outlet.flow` and its like
/// are then figures of the drawn line.
const OUTLET: &str = "outlet";
const REFUSED: &str = "refused";

/// Most steps of a panel that are tried for the largest percent, because a step may be mistyped
/// and no panel has more than a few hundred.
const MOST_STEPS: usize = 1000;

/// Why there are no numbered sheets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoSheets {
    /// Nothing is drawn in this drill.
    NothingDrawn,
    /// What is drawn has faults.
    Faults(Vec<QuestionFault>),
    /// The draws make no more than so many on this rig.
    Only(usize),
}

/// What is drawn, with outlet and refused order among it.
fn list(kit: &Kit, plan: &DrawnPlan) -> Vec<(String, Draw)> {
    let outlet = Draw::FoamLineOf(kit.rig().id.clone());
    let outlet = plan.outlet.map(|_| (OUTLET.to_owned(), outlet));
    let refused = plan.refused.as_ref();
    let refused = refused.map(|refused| (REFUSED.to_owned(), refused.order.clone()));
    outlet.into_iter().chain(plan.readings.iter().cloned()).chain(refused).collect()
}

/// The first `count` numbered sheets of a seed.
pub fn drawn_sheets(
    kit: &Kit,
    at: quiz::Kit<'_>,
    seed: &str,
    count: u32,
) -> Result<Vec<DrawnSheet>, NoSheets> {
    let dealt = drawn_up_to(kit, at, seed, count)?;
    let whole = u32::try_from(dealt.len()).is_ok_and(|dealt| dealt >= count);
    if whole { Ok(dealt) } else { Err(NoSheets::Only(dealt.len())) }
}

/// The same, fewer where the draws make no more.
pub fn drawn_up_to(
    kit: &Kit,
    at: quiz::Kit<'_>,
    seed: &str,
    count: u32,
) -> Result<Vec<DrawnSheet>, NoSheets> {
    let none = || NoSheets::NothingDrawn;
    let plan = kit.drill().drawn.as_ref().ok_or_else(none)?;
    let draws = list(kit, plan);
    if draws.is_empty() {
        return Err(none());
    }
    let series = Series::of(&draws, &plan.conditions, foam_of(kit), at);
    let series = series.map_err(NoSheets::Faults)?;
    let parts = ["sheet", DRAW_VERSION, &kit.drill().id, &kit.rig().id, seed];
    let wanted = usize::try_from(count).unwrap_or(usize::MAX);
    let tried = Trial::of(kit, plan);
    let fits = |numbers: &Numbers| tried.as_ref().is_some_and(|one| one.fits(numbers));
    let dealt = series.dealt(&parts, wanted, fits);
    let sheet = |(number, numbers): (u32, Numbers)| {
        let outlet = outlet(kit, plan, &numbers).map(|outlet| outlet.id.clone());
        let mut values = numbers.values;
        let refused = plan.refused.as_ref().and_then(|_| values.remove(REFUSED));
        // A drawn line brings its figures along; what was drawn is its name.
        values.retain(|name, _| plan.readings.iter().any(|(own, _)| own == name));
        DrawnSheet::new(kit, seed, (number, outlet), values, refused)
    };
    Ok((1..).zip(dealt).map(sheet).collect())
}

/// The rig, and which of its foams the drill is run with: its conditions speak of that one. Where a
/// run may draw from one of several tanks, what is drawn fits the smallest, and so each of them.
fn foam_of(kit: &Kit) -> (&Rig, WhichFoam<'_>) {
    let least = tanks(kit).into_iter().min_by(|a, b| {
        a.usable.base().compare(b.usable.base()).then_with(|| a.id.cmp(&b.id))
    });
    let foam = least.map_or_else(|| kit.foam(), |tank| WhichFoam::Tank(&tank.id));
    (kit.rig(), foam)
}

/// How many numbered sheets there can be, of any seed.
pub fn most_sheets(kit: &Kit, at: quiz::Kit<'_>) -> Result<usize, NoSheets> {
    let Some(plan) = &kit.drill().drawn else { return Err(NoSheets::NothingDrawn) };
    let draws = list(kit, plan);
    let series = Series::of(&draws, &plan.conditions, foam_of(kit), at);
    let series = series.map_err(NoSheets::Faults)?;
    let tried = Trial::of(kit, plan);
    Ok(series.usable(|numbers| tried.as_ref().is_some_and(|one| one.fits(numbers))))
}

/// The outlet of a combination; nothing where the outlet is not drawn.
fn outlet<'k>(kit: &'k Kit, plan: &DrawnPlan, numbers: &Numbers) -> Option<&'k Outlet> {
    let place = numbers.places.first().filter(|_| plan.outlet.is_some())?;
    foam_outlets(kit.rig()).nth(usize::try_from(*place).ok()?)
}

/// A sheet on which nothing is written but what was drawn.
fn bare(kit: &Kit, plan: &DrawnPlan) -> Option<RunSheet> {
    let drill = kit.drill();
    // The mode that shows most: the later in the list, the more is real.
    let place = |mode: &&Mode| Mode::ALL.iter().position(|(_, known)| known == *mode);
    let mode =
        drill.modes.iter().filter(|mode| in_plan(plan, **mode)).max_by_key(place)?;
    let role = drill.roles.iter().find(|role| role.scored)?;
    let value = json!({
        "run": "drawn", "drill": drill.id, "rig": kit.rig().id, "rules": RULES,
        "outlet": "any", "use": "practice", "mode": mode.word(), "weather": "none", "light": "none",
        "performed-at": "2000-01-01 00:00", "attempt": 1, "candidate": "candidate",
        "role": role.id, "stop-word": "STOP", "safety-officer": "safety",
        "evaluator": {"person": "evaluator", "qualification": "q", "relation": "r"},
        "cues": drill.cues.iter().map(|cue| (cue.id.as_str(), "given"))
            .collect::<BTreeMap<_, _>>(),
    });
    serde_json::from_value(value).ok()
}

/// What combinations are tried on.
struct Trial<'t> {
    kit: &'t Kit,
    plan: &'t DrawnPlan,
    bare: RunSheet,
    /// Whether a reading is the flow of the line.
    flows: bool,
}

impl<'t> Trial<'t> {
    fn of(kit: &'t Kit, plan: &'t DrawnPlan) -> Option<Self> {
        let flow = Some(Meaning::Flow);
        let flows = kit.drill().readings.iter().any(|reading| reading.is == flow);
        bare(kit, plan).map(|bare| Self { kit, plan, bare, flows })
    }

    /// Whether the order can be followed and the other must be refused, on the drawn outlet or,
    /// where none is drawn, on every one that foam reaches.
    fn fits(&self, numbers: &Numbers) -> bool {
        let drawn = outlet(self.kit, self.plan, numbers);
        let mut outlets = match drawn {
            Some(outlet) => vec![outlet],
            None => foam_outlets(self.kit.rig()).collect(),
        }
        .into_iter()
        .peekable();
        let carries =
            |outlet: &Outlet| outlet.air || self.plan.outlet != Some(DrawnOutlet::Air);
        outlets.peek().is_some_and(|outlet| carries(outlet))
            && outlets.all(|outlet| {
                let most = outlet.most_flow.as_ref().unwrap_or(&outlet.flow);
                let least = outlet.least_flow.as_ref().unwrap_or(&outlet.flow);
                // Where no rule asks for the flow, one is as good as another.
                let flows =
                    if self.flows { vec![most, &outlet.flow] } else { vec![most] };
                let refused = numbers.values.get(REFUSED);
                let refused = refused.filter(|_| self.plan.refused.is_some());
                flows.into_iter().all(|flow| self.follows(numbers, outlet, flow))
                    && refused.is_none_or(|percent| {
                        self.refuses(numbers, outlet, least, percent)
                            && self.refuses(numbers, outlet, &outlet.flow, percent)
                    })
            })
    }

    /// The sheet with what was drawn, and the flow where a rule asks for it.
    fn sheet(&self, numbers: &Numbers, outlet: &Outlet, flow: &Quantity) -> RunSheet {
        let mut sheet = self.bare.clone();
        outlet.id.clone_into(&mut sheet.outlet);
        for reading in &self.kit.drill().readings {
            let drawn = self.plan.readings.iter().any(|(name, _)| *name == reading.id);
            let value = match reading.is {
                _ if drawn => numbers.values.get(&reading.id),
                Some(Meaning::Flow) => Some(flow),
                _ => None,
            };
            sheet.readings.extend(value.map(|value| (reading.id.clone(), *value)));
        }
        sheet
    }

    /// Whether a candidate who does just as drawn is stopped by nothing.
    fn follows(&self, numbers: &Numbers, outlet: &Outlet, flow: &Quantity) -> bool {
        let kit = self.kit;
        let mut sheet = self.sheet(numbers, outlet, flow);
        if !on_a_step(kit, &sheet) {
            return false;
        }
        let day = Day::of(kit, kit.figures(&sheet.outlet), (&sheet.readings, None));
        let day = day.untold();
        for measure in &kit.drill().measures {
            if measure.whose == Whose::Machine || measure.measured.is_some() {
                continue;
            }
            let Ok(expected) = day.expected(measure) else { continue };
            // What no gauge can show inside its band nobody can do.
            let Some(value) = shown(measure, &expected) else { return false };
            sheet.measures.insert(measure.id.clone(), value);
        }
        let evidence = Evidence { kit, sheet: &sheet };
        value_faults(kit, &sheet).is_empty()
            && card(evidence).is_empty()
            && !common(evidence).iter().any(|line| stops(kit, line))
    }

    /// Whether setting this percent would fail the run.
    fn refuses(
        &self,
        numbers: &Numbers,
        outlet: &Outlet,
        flow: &Quantity,
        percent: &Quantity,
    ) -> bool {
        let mut sheet = self.sheet(numbers, outlet, flow);
        refused(self.kit, &mut sheet, percent)
    }
}

/// Whether a common limit speaks against this percent as set, and no slip against the order.
fn refused(kit: &Kit, sheet: &mut RunSheet, percent: &Quantity) -> bool {
    let set = |measure: &&Measure| measure.is == Some(Meaning::PercentSet);
    let Some(set) = kit.drill().measures.iter().find(set) else { return false };
    // Without an order there is nothing that it could be a slip of.
    let ordered = |id: &String| {
        let mut readings = kit.drill().readings.iter();
        let of = readings.find(|reading| reading.id == *id);
        of.is_some_and(|of| of.is == Some(Meaning::PercentOrdered))
    };
    sheet.readings.retain(|id, _| !ordered(id));
    sheet.measures = BTreeMap::from([(set.id.clone(), *percent)]);
    let lines = common(Evidence { kit, sheet });
    lines.iter().any(|line| line.decision == Decision::Fails)
}

/// Whether a line of a common limit says more than that something is not written yet.
fn stops(kit: &Kit, line: &Line) -> bool {
    let waits = kit.drill().measures.iter().any(|one| one.id == line.subject);
    let limit = line.rule == Rule::Limit;
    match line.decision {
        Decision::Fails | Decision::Refused => true,
        Decision::Unseen | Decision::Open => limit && !waits,
        _ => false,
    }
}

/// Ranges of the unit for the drill's class of foam.
fn ranges(kit: &Kit) -> impl Iterator<Item = &ClassRange> {
    let class = kit.drill().class();
    let classes = kit.rig().classes();
    let of = classes.filter(move |(of, _)| class.is_none_or(|class| class == *of));
    of.map(|(_, range)| range)
}

/// Whether the panel has a step for the order; what lies between two cannot be set.
fn on_a_step(kit: &Kit, sheet: &RunSheet) -> bool {
    let ordered = kit.drill().readings.iter();
    let ordered = ordered.filter(|one| one.is == Some(Meaning::PercentOrdered));
    let on = |percent: &Quantity| {
        ranges(kit).any(|range| {
            let [from, step, here] =
                [&range.from, &range.step, percent].map(|value| value.base().settled());
            let steps = here.zip(from).and_then(|(here, from)| here.sub(from));
            let steps = steps.zip(step).and_then(|(away, step)| away.div(step));
            steps.is_some_and(Fraction::is_whole)
        })
    };
    ordered.filter_map(|one| sheet.readings.get(&one.id)).all(on)
}

/// What the gauge of a measure shows inside the band.
fn shown(measure: &Measure, expected: &super::expected::Expected) -> Option<Quantity> {
    let unit = find(&measure.unit)?;
    let step = size_in(&measure.resolution, unit)?;
    let ways = [Direction::Near, Direction::Down, Direction::Up];
    let values = ways
        .into_iter()
        .filter_map(|way| show(Number::Exact(expected.value), step, way))
        .map(|shown| shown.value);
    let mut inside = values.filter(|value| expected.contains(*value));
    inside.next().map(|value| Quantity::new(value, unit))
}

/// The largest percent that an outlet can be given at its rated flow: what a refusal offers.
/// Nothing where the drill sets no percent.
pub fn most_percent(kit: &Kit, outlet: &Outlet) -> Option<Quantity> {
    let plan = DrawnPlan {
        outlet: None,
        modes: Vec::new(),
        readings: Vec::new(),
        refused: None,
        conditions: Vec::new(),
        tables: Vec::new(),
    };
    let trial = Trial::of(kit, &plan)?;
    kit.drill().measures.iter().find(|one| one.is == Some(Meaning::PercentSet))?;
    let none = Numbers { places: Vec::new(), values: Readings::new() };
    let mut most: Option<Quantity> = None;
    for range in ranges(kit) {
        let step = range.step.in_unit(range.from.unit())?.number();
        let to = range.to.in_unit(range.from.unit())?.number();
        let mut here = range.from.number();
        for _ in 0..MOST_STEPS {
            let percent = Quantity::new(here, range.from.unit());
            if here > to || step.signum() <= 0 {
                break;
            }
            let larger =
                most.is_none_or(|most| percent.base().compare(most.base()).is_gt());
            if larger && !trial.refuses(&none, outlet, &outlet.flow, &percent) {
                most = Some(percent);
            }
            here = here.add(step)?;
        }
    }
    most
}
