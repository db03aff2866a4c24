//! What formula pages show: the example of a formula, and charts.

use super::{Checked, Spot};
use crate::course::{Chart, Figures};
use crate::findings::{Code, Finding};
use crate::formulas::{ExampleGiven, Formula, Input, Inputs, WorkFault};

pub(super) fn check(checked: &Checked<'_>) {
    let files = ["trade/formulas/", "formulas/"];
    let files = files.iter().flat_map(|folder| checked.folder(folder));
    for file in files {
        for entry in file.items() {
            let spot = entry.at("example");
            let id = entry.at("formula");
            let Some(id) = id.text().filter(|_| spot.node().is_some()) else { continue };
            if let Some(formula) = checked.course.library.formula(id)
                && let Err(fault) = example(checked, formula)
            {
                let given = fault.given.as_ref().map(|given| spot.at(given.clone()));
                let given = given.filter(|given| given.node().is_some());
                note(
                    checked,
                    &given.unwrap_or(spot),
                    id,
                    fault.say(&checked.course.face.words),
                );
            }
        }
    }
    for file in ["trade/families.yaml", "families.yaml"] {
        for family in checked.file(file).items() {
            let charts = family.at("charts");
            for chart in checked.course.families.iter().flat_map(|f| &f.charts) {
                let spot = charts.entry("chart", &chart.id);
                if spot.node().is_some() {
                    curves(checked, chart, &spot.at("curves"));
                }
            }
        }
    }
}

fn note(checked: &Checked<'_>, spot: &Spot<'_>, formula: &str, says: String) {
    let place = if spot.text().is_some() { spot.place() } else { spot.key() };
    let finding = Finding::at(Code::ExampleFails, place);
    checked.note(finding.with("formula", formula).with("says", says));
}

fn example(checked: &Checked<'_>, formula: &Formula) -> Result<(), WorkFault> {
    let system = checked.course.module.units;
    if !formula.holds_in(system) {
        return Ok(());
    }
    // With the figures that are written: a module need not have a rig with others.
    let inputs = formula.example(system, &Figures::new());
    checked.course.library.work(&formula.id, &inputs, system).map(|_| ())
}

/// Each curve has a value at the far end of its axis.
fn curves(checked: &Checked<'_>, chart: &Chart, spot: &Spot<'_>) {
    let system = checked.course.module.units;
    let none = Figures::new();
    let given = |(name, given): &(String, ExampleGiven)| {
        (name.clone(), given.input(system, &none))
    };
    for (curve, spot) in chart.curves.iter().zip(spot.items()) {
        let mut inputs: Inputs = curve.with.iter().map(given).collect();
        if let Some(end) = &chart.across.to {
            inputs.insert(curve.along.clone(), Input::Number(end.0.plain(system)));
        }
        // What is left to the rig is worked by either formula.
        let asked = checked.course.bases.iter().find(|asked| asked.id == curve.formula);
        let formulas = asked.map_or([&curve.formula, &curve.formula], |asked| {
            [&asked.solution, &asked.water]
        });
        let says = formulas.into_iter().find_map(|formula| {
            match checked.course.library.work(formula, &inputs, system) {
                Err(fault) => Some(fault.say(&checked.course.face.words)),
                Ok(worked) if worked.answer(curve.answer.as_deref()).is_none() => {
                    let answer = curve.answer.clone().unwrap_or_default();
                    let words = &checked.course.face.words;
                    Some(words.say("formula.no-answer", &[("answer", &answer)]))
                }
                Ok(_) => None,
            }
        });
        if let Some(says) = says {
            note(checked, &spot.at("formula"), &curve.formula, says);
        }
    }
}
