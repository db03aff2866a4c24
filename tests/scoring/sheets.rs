//! Run sheets by the drill alone: an honest one on which everything is as it should be, and
//! random ones.

use std::collections::BTreeMap;

use drillwright::course::{
    CriticalMark, CueMark, Drill, Holders, Link, Mark, Meaning, Mode, OrderSeen,
    PairSeen, RunSheet, RunUse, Settled, Stop, StopCause, TimeTaken, Void, VoidCause,
};
use drillwright::quantity::{Direction, Number, Quantity, find, show};
use drillwright::quiz::Chance;
use drillwright::scoring::{
    Kit, NoValue, RULES, Standing, expectation, fuels, short_revision, stands,
};
use serde_json::json;

use super::fixture::q;

/// What was read on the day, by the name of the reading. Class A unless the rig carries B.
fn read(kit: &Kit, id: &str, outlet: &str) -> Quantity {
    let b = ["tender-3", "carrier-5"].contains(&kit.rig().id.as_str());
    // What repeats is read on the outlet that its name says.
    let (id, outlet) = id.split_once('@').unwrap_or((id, outlet));
    let flow = kit.rig().outlet(outlet).unwrap().flow;
    match id {
        "flow" | "flow-read" | "line-flow" => flow,
        "ordered" | "percent-ordered" | "percent-set" => {
            q(if b { "3 %" } else { "0.5 %" })
        }
        "foam" => q("4.4 gal"),
        "water" => q("870 gal"),
        "foam-used" | "foam-a" => q(if b { "24 gal" } else { "4 gal" }),
        "water-used" | "water-a" => q("800 gal"),
        "foam-left" => q("20 gal"),
        "water-left" => q("300 gal"),
        "plain-flow" => q("0 gpm"),
        // Tank to pump is shut there: the supply carries what flows.
        "supply" if kit.drill().id == "supply-change" => q("400 gpm"),
        "supply" => q("20 gpm"),
        "line" | "pressure-before" => q("150 psi"),
        "floor" | "floor-of-card" => q("20 psi"),
        "end" => q("5 min"),
        "used-by-record" => q("5 gal"),
        other => panic!("no day for {other}"),
    }
}

/// People of a run that are in no office.
const CREW: [&str; 8] =
    ["birch", "oak", "dogwood", "fir", "gorse", "holly", "ivy", "juniper"];

/// A sheet on which everything is as it should be, in a mode that shows most.
pub(crate) fn honest(kit: &Kit, role: &str, outlet: &str) -> RunSheet {
    let drill = kit.drill();
    let foam = drill.modes.contains(&Mode::TrainingFoam);
    let mode = if foam { Mode::TrainingFoam } else { *drill.modes.last().unwrap() };
    let value = json!({
        "run": "run-1", "drill": drill.id, "drill-revision": short_revision(kit.drill_revision()),
        "rig": kit.rig().id, "rig-revision": short_revision(kit.rig_revision()), "rules": RULES,
        "outlet": outlet, "use": "evaluation", "mode": mode.key(), "weather": "dry",
        "light": "day", "performed-at": "2026-11-14 10:20", "attempt": 1,
        "candidate": "ash", "role": role, "order-seen": "as printed",
        "evaluator": {"person": "cedar", "qualification": "course",
                      "qualified-on": "2025-03-01", "relation": "other station"},
        "safety-officer": "elm", "stop-word": "STOP",
    });
    let sheet: RunSheet = serde_json::from_value(value).unwrap();
    filled(kit, sheet)
}

/// A sheet that says who and when, and names no outlet, mark or value.
pub(crate) fn blank_run(kit: &Kit, role: &str) -> RunSheet {
    let value = json!({
        "run": "run-1", "drill": kit.drill().id, "rig": kit.rig().id, "rules": RULES,
        "use": "evaluation", "mode": kit.drill().modes.last().unwrap().key(),
        "weather": "dry", "light": "day", "performed-at": "2026-11-14 10:20", "attempt": 1,
        "candidate": "ash", "role": role,
        "evaluator": {"person": "cedar", "qualification": "course",
                      "qualified-on": "2025-03-01", "relation": "other station"},
        "safety-officer": "elm", "stop-word": "STOP",
    });
    serde_json::from_value(value).unwrap()
}

/// With crew, readings, marks and values as they should be.
fn filled(kit: &Kit, mut sheet: RunSheet) -> RunSheet {
    let (drill, mode) = (kit.drill(), sheet.mode);
    let (role, outlet) = (sheet.role.clone(), sheet.outlet.clone());
    let mut free = CREW.iter();
    for other in &drill.roles {
        let many = other.holders.max(other.with_air.unwrap_or(0));
        let many = many - u32::from(other.id == role);
        let people = (0..many).map(|_| (*free.next().unwrap()).to_owned()).collect();
        if many > 0 {
            sheet.crew.insert(other.id.clone(), Holders(people));
        }
    }
    for reading in &drill.readings {
        sheet.readings.insert(reading.id.clone(), read(kit, &reading.id, &outlet));
    }
    // Where the percent hangs on the fuel, the order names one; the readings are of its first.
    sheet.fuel = fuels(kit).first().map(|entry| entry.fuel.clone());
    in_mode(kit, &mut sheet, mode);
    sheet
}

/// The same sheet in a mode: what the mode cannot show is not marked.
pub(crate) fn in_mode(kit: &Kit, sheet: &mut RunSheet, mode: Mode) {
    // What the line does not take is not done there.
    let on_line = kit.on_lines(&sheet.outlet, &sheet.further);
    let kit = on_line.as_ref();
    let drill = kit.drill();
    sheet.mode = mode;
    let shown = |condition| stands(kit, mode, condition) == Standing::Stands;
    let steps = drill.steps.iter().filter(|step| shown(step.condition()));
    sheet.marks = steps.map(|step| (step.id.clone(), Mark::Done)).collect();
    let criticals = drill.criticals.iter().filter(|one| shown(one.condition()));
    sheet.criticals = criticals.map(|one| (one.id.clone(), CriticalMark::No)).collect();
    let cues = drill.cues.iter().filter(|cue| shown(cue.condition()));
    sheet.cues = cues.map(|cue| (cue.id.clone(), CueMark::Given)).collect();
    (sheet.measures, sheet.as_manual) = (BTreeMap::new(), BTreeMap::new());
    for measure in drill.measures.iter().filter(|one| one.measured.is_none()) {
        if sheet.marks.contains_key(&measure.step) && mode != Mode::WalkThrough {
            match inside(kit, sheet, &measure.id) {
                Some(value) => drop(sheet.measures.insert(measure.id.clone(), value)),
                // What no card gives, the manual does.
                None => {
                    sheet.as_manual.insert(measure.id.clone(), true);
                    // A limit of every drill rests on it all the same.
                    if measure.is == Some(Meaning::PumpPressure) {
                        sheet.measures.insert(measure.id.clone(), q("150 psi"));
                    }
                }
            }
        }
    }
}

/// What an instrument shows inside the band of a value; nothing where nobody checked the card
/// that it rests on.
fn inside(kit: &Kit, sheet: &RunSheet, id: &str) -> Option<Quantity> {
    let measure = kit.drill().measures.iter().find(|one| one.id == id).unwrap();
    let expected = expectation(kit, measure, &sheet.outlet, &sheet.readings);
    let expected = match expected {
        Err(NoValue::Unchecked) => return None,
        other => other.unwrap_or_else(|no| panic!("{} {id}: {no:?}", kit.drill().id)),
    };
    let unit = find(&measure.unit).unwrap();
    let step = measure.resolution.in_unit(unit).unwrap().number();
    let ways = [Direction::Down, Direction::Up, Direction::Near];
    let shown =
        ways.map(|way| show(Number::Exact(expected.value), step, way).unwrap().value);
    let fits = shown.into_iter().find(|value| expected.contains(*value));
    Some(Quantity::new(fits.unwrap_or_else(|| panic!("{id}: {expected:?}")), unit))
}

/// Pairs that decide, first before then.
pub(crate) fn deciding(drill: &Drill) -> Vec<(String, String)> {
    let links = drill.criticals.iter().flat_map(|critical| &critical.links);
    links
        .filter_map(|link| match link {
            Link::Order { first, then } => Some((first, then)),
            _ => None,
        })
        .flat_map(|(first, then)| then.iter().map(|then| (first.clone(), then.clone())))
        .collect()
}

fn one<T: Clone>(list: &[T], chance: &mut Chance) -> T {
    list[chance.place(list.len())].clone()
}

/// A random sheet that nothing refuses, over every field that rules look at.
pub(crate) fn random(kit: &Kit, clean: &RunSheet, chance: &mut Chance) -> RunSheet {
    let drill = kit.drill();
    let mut sheet = clean.clone();
    in_mode(kit, &mut sheet, one(&drill.modes, chance));
    let mild = chance.below(2) == 0;
    let odds = if mild { 40 } else { 9 };
    for (id, mark) in &mut sheet.marks {
        *mark = match chance.below(odds) {
            0 => Mark::NotDone,
            1 => Mark::Prompted,
            2 => Mark::NotSeen,
            3 => Mark::NotApplicable,
            _ => Mark::Done,
        };
        match mark {
            Mark::Prompted if chance.below(4) > 0 => {
                sheet.begun.insert(id.clone(), chance.below(4) == 0);
            }
            Mark::NotApplicable if chance.below(4) > 0 => {
                sheet.left_out.insert(id.clone(), "The yard is heated.".into());
            }
            _ => {}
        }
    }
    let ids: Vec<String> = sheet.marks.keys().cloned().collect();
    if chance.below(8) == 0 {
        sheet.marks.remove(&one(&ids, chance));
    }
    if chance.below(12) == 0 {
        sheet.undone.push(one(&ids, chance));
    }
    if chance.below(14) == 0 {
        sheet.took_away.push(one(&ids, chance));
    }
    for yes in sheet.as_manual.values_mut() {
        *yes = chance.below(3) > 0;
    }
    if chance.below(14) == 0 {
        let why = "It was done, and not as asked.".into();
        sheet.settled.insert(one(&ids, chance), Settled { why, officer: None });
    }
    for (id, mark) in &mut sheet.criticals {
        *mark = match chance.below(odds * 2) {
            0 => CriticalMark::Yes,
            1 => CriticalMark::Prevented,
            2 => CriticalMark::NotSeen,
            _ => CriticalMark::No,
        };
        let happened = matches!(mark, CriticalMark::Yes | CriticalMark::Prevented);
        if happened && chance.below(4) > 0 {
            sheet.happened.insert(id.clone(), "Seen at the second step.".into());
        }
    }
    random_order(drill, &mut sheet, chance);
    for mark in sheet.cues.values_mut() {
        *mark = one(&[CueMark::Given, CueMark::Given, CueMark::NotGiven], chance);
    }
    random_values(drill, &mut sheet, chance);
    random_people(kit, &mut sheet, chance);
    sheet
}

fn random_order(drill: &Drill, sheet: &mut RunSheet, chance: &mut Chance) {
    let done =
        |id: &String| matches!(sheet.marks.get(id), Some(Mark::Done | Mark::Prompted));
    let ids = drill.steps.iter().map(|step| step.id.clone());
    let mut performed: Vec<String> = ids.filter(done).collect();
    sheet.order_seen = match chance.below(5) {
        0 | 1 => OrderSeen::AsPrinted,
        2 => OrderSeen::Listed(performed),
        3 => {
            // One step at another time, or all of them.
            if performed.len() > 1 && chance.below(2) == 0 {
                let step = performed.remove(chance.place(performed.len()));
                performed.insert(chance.place(performed.len() + 1), step);
            } else {
                chance.shuffle(&mut performed);
            }
            OrderSeen::Listed(performed)
        }
        _ => {
            for (first, then) in deciding(drill) {
                let seen = [
                    PairSeen::Seen,
                    PairSeen::Seen,
                    PairSeen::Reversed,
                    PairSeen::NotSeen,
                ];
                if chance.below(10) > 0 {
                    sheet.pairs.insert(format!("{first} > {then}"), one(&seen, chance));
                }
            }
            OrderSeen::NotWatched
        }
    };
}

fn random_values(drill: &Drill, sheet: &mut RunSheet, chance: &mut Chance) {
    for measure in &drill.measures {
        let Some(value) = sheet.measures.get_mut(&measure.id) else { continue };
        let unit = value.unit();
        let step = measure.resolution.in_unit(unit).unwrap().number();
        let more = i128::from(chance.below(40));
        let away = step.mul(drillwright::quantity::Fraction::whole(more)).unwrap();
        let honest = *value;
        match chance.below(8) {
            0 => *value = Quantity::new(value.number().add(away).unwrap(), unit),
            1 if value.number() >= away => {
                *value = Quantity::new(value.number().sub(away).unwrap(), unit);
            }
            2 if chance.below(2) == 0 => {
                sheet.measures.remove(&measure.id);
            }
            _ => {}
        }
        // What no instrument shows would be refused.
        let beyond = |value: &Quantity| {
            let below =
                measure.least.is_some_and(|least| value.number() < least.number());
            below || measure.most.is_some_and(|most| value.number() > most.number())
        };
        if let Some(value) =
            sheet.measures.get_mut(&measure.id).filter(|value| beyond(value))
        {
            *value = honest;
        }
        if chance.below(10) == 0 {
            sheet.reported.push(measure.id.clone());
        }
    }
    let readings: Vec<String> = sheet.readings.keys().cloned().collect();
    if !readings.is_empty() && chance.below(10) == 0 {
        sheet.readings.remove(&one(&readings, chance));
    }
    if let Some(time) = &mut sheet.time {
        *time =
            TimeTaken { taken: q(&format!("{} s", 40 + chance.below(30))), held: None };
    }
}

fn random_people(kit: &Kit, sheet: &mut RunSheet, chance: &mut Chance) {
    let acts: Vec<String> =
        kit.standard().unsafe_acts.iter().map(|act| act.id.clone()).collect();
    match chance.below(40) {
        0 | 1 => sheet.unsafe_acts = acts,
        2 => drop(sheet.others_acts.insert(one(&acts, chance), "birch".into())),
        3 => drop(sheet.crew.pop_first()),
        4 | 5 => {
            let causes = [StopCause::Candidate, StopCause::Crew, StopCause::Equipment];
            let act = (chance.below(2) == 0).then(|| one(&acts, chance));
            let (by, why) = ("elm".into(), "A hose came loose".into());
            sheet.stop = Some(Stop { by, why, cause: one(&causes, chance), act });
        }
        6 | 7 => {
            sheet.void = Some(Void {
                cause: one(&[VoidCause::Weather, VoidCause::RealCall], chance),
                why: "The wind turned.".into(),
                at: (chance.below(4) > 0).then(|| "2026-11-14 10:31".to_owned()),
                agreed_by: (chance.below(4) > 0).then(|| "hazel".to_owned()),
                produced_acts: chance.below(2) == 0,
            });
        }
        8 | 9 => sheet.use_ = RunUse::Practice,
        10 => {
            for id in sheet.criticals.keys() {
                let officer = (chance.below(2) == 0).then(|| "hazel".to_owned());
                let settled = Settled { why: "The valve was tagged.".into(), officer };
                sheet.settled.insert(id.clone(), settled);
            }
        }
        _ => {}
    }
}

/// An honest sheet of a drill whose card knows no band: without its values.
pub(crate) fn without_values(kit: &Kit) -> RunSheet {
    let mut data = kit.data().clone();
    data.standard.drill.measures.clear();
    let plain = Kit::new(data).unwrap();
    let mut sheet = honest(&plain, "operator", "one");
    sheet.drill_revision = None;
    sheet
}
