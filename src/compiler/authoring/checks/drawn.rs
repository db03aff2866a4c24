//! What is drawn for a drill's numbered sheets: that it can be drawn on every rig the drill is
//! for, and that its tables have values.

use super::super::explain::explain;
use super::super::library::within;
use super::{Checked, Spot};
use crate::course::{DrawnPlan, Drill, Reckoning, foam_outlets};
use crate::findings::{self, Code, Finding};
use crate::quiz;
use crate::quiz::QuestionFault;
use crate::scoring::{Kit, NoSheets, NoValue, drawn_sheets, empty_table, runs_on};
use crate::words::Words;

/// From this the one sheet is drawn that shows that there is one.
const TRIAL: &str = "trial";

pub(super) fn check(checked: &Checked<'_>) {
    // A fault elsewhere in drill, rig or formula would be told here once more.
    if checked.broken || findings::blocks(&checked.found.borrow()) {
        return;
    }
    let drawn = checked.course.drills.iter();
    let drawn = drawn.filter_map(|drill| Some((drill, drill.drawn.as_ref()?)));
    let drawn: Vec<(&Drill, &DrawnPlan)> = drawn.collect();
    if drawn.is_empty() {
        return;
    }
    let words = checked.course.face.words.clone();
    for (drill, plan) in drawn {
        let spot = checked.sheet("drills", &drill.id).at("drawn");
        for rig in checked.course.rigs.values().filter(|rig| runs_on(rig, drill)) {
            let Ok(kit) = Kit::of(checked.course, drill, rig, &words) else { continue };
            if !on_rig(checked, (&kit, plan), &words, &spot) {
                // The next rig would say the same of one and the same draw.
                break;
            }
        }
    }
}

fn on_rig(
    checked: &Checked<'_>,
    (kit, plan): (&Kit, &DrawnPlan),
    words: &Words,
    spot: &Spot<'_>,
) -> bool {
    let at = quiz::Kit::of(checked.course, words);
    let sheets = match drawn_sheets(kit, at, TRIAL, 1) {
        Ok(sheets) => sheets,
        Err(no) => {
            none(checked, &no, kit, spot);
            return false;
        }
    };
    let Some(sheet) = sheets.first() else { return true };
    let outlet = sheet.outlet.clone();
    let any = || foam_outlets(kit.rig()).next().map(|outlet| outlet.id.clone());
    let Some(outlet) = outlet.or_else(any) else { return true };
    // What cannot be worked with a figure that is most likely a slip follows from that.
    if checked.slip_in(checked.sheet("rigs", &kit.rig().id).file()) {
        return true;
    }
    for (index, table) in plan.tables.iter().enumerate() {
        let Some(why) = empty_table(kit, table, &outlet, &sheet.readings) else {
            continue;
        };
        let why = match why {
            NoValue::Reading(name) | NoValue::Figure(name) => name,
            NoValue::Unit => table.measure.clone(),
            // Nobody compared the card, or nobody knows its basis: the manual says it, and it is
            // written in (rule 20).
            NoValue::Unchecked => continue,
            NoValue::Formula(_) if kit.rig().basis() == Some(Reckoning::NotKnown) => {
                continue;
            }
            NoValue::Formula(says) => says,
        };
        let spot = spot.at("tables").at(index.to_string());
        let finding = Finding::at(Code::EmptyTable, spot.at("measure").place());
        let finding = finding.with("table", table.label.clone()).with("why", why);
        checked.note(finding.with("rig", kit.rig().title.clone()));
    }
    true
}

/// Why nothing can be drawn.
fn none(checked: &Checked<'_>, no: &NoSheets, kit: &Kit, spot: &Spot<'_>) {
    let NoSheets::Faults(faults) = no else {
        let finding = Finding::at(Code::NoSheet, spot.key());
        let finding = finding.with("rig", kit.rig().title.clone());
        checked.note(finding.with("drill", kit.drill().id.clone()));
        return;
    };
    let drill = &kit.drill().id;
    // The order to be refused is one of the draws under a name of its own.
    let draw = |name: &str| match spot.at("readings").at(name) {
        known if known.node().is_some() => known.key(),
        _ => spot.at("refused").at("order").key(),
    };
    let of = |code, name: &str| {
        let finding = Finding::at(code, draw(name)).with("name", name);
        finding.with("question", drill.clone())
    };
    for fault in faults {
        checked.note(match fault {
            QuestionFault::EmptyDraw(name) => of(Code::EmptyDraw, name),
            QuestionFault::EndlessDraw(name) => of(Code::EndlessDraw, name),
            QuestionFault::BadCondition(index, fault) => {
                let place = spot.at("where").at(index.to_string()).place();
                let place = within(place, fault.start, fault.end);
                explain(Finding::at(Code::BadCondition, place), &fault.kind)
            }
            _ => Finding::at(Code::NoSheet, spot.key())
                .with("rig", kit.rig().title.clone())
                .with("drill", drill.clone()),
        });
    }
}
