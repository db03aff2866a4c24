//! Rule 21: what a drill is for is not outweighed by points; and a line is no more than its card says.

use drillwright::course::{Mark, Mode};
use drillwright::scoring::{Kit, Outcome, runs_on, score};
use drillwright::stock;

use super::example::example;
use super::sheets::honest;

/// Every drill of the district on every rig and foam line that it is for.
fn kits() -> Vec<(Kit, String)> {
    let (course, words) = (example(), stock::words());
    let mut all = Vec::new();
    for drill in &course.drills {
        for rig in course.rigs.values().filter(|rig| runs_on(rig, drill)) {
            let kit = Kit::of(&course, drill, rig, &words).unwrap();
            let lines = rig.outlets.iter().filter(|line| line.foam);
            all.extend(lines.map(|line| (kit.clone(), line.id.clone())));
        }
    }
    all
}

/// The step left undone, alone or with everything after it: as one who stops half way, or who leaves
/// out what would rest on it.
#[test]
fn rule_21_what_the_drill_is_for_is_done_or_the_run_is_not_met() {
    let mut tried = 0;
    for (kit, outlet) in kits() {
        let steps = &kit.drill().steps;
        for (at, step) in steps.iter().enumerate().filter(|(_, step)| step.produces) {
            for rest in 0..steps.len() - at {
                let mut sheet = honest(&kit, &step.role, &outlet);
                if !sheet.marks.contains_key(&step.id) {
                    continue;
                }
                for other in steps.iter().skip(at).take(1 + rest) {
                    if other.role == step.role && sheet.marks.contains_key(&other.id) {
                        sheet.marks.insert(other.id.clone(), Mark::NotDone);
                        let of = kit.drill().measures.iter();
                        for measure in of.filter(|one| one.step == other.id) {
                            sheet.measures.remove(&measure.id);
                        }
                    }
                }
                let verdict = score(&kit, &sheet);
                let fine = matches!(
                    verdict.outcome,
                    Outcome::Met | Outcome::MetInPart | Outcome::WalkedThrough
                );
                assert!(!fine, "{} {}: {}", kit.drill().id, step.id, verdict.reason);
                tried += 1;
            }
        }
    }
    assert!(tried > 300, "{tried}");
}

/// Each example drill of a kind that makes something names the step.
#[test]
fn every_drill_says_what_it_is_for_but_the_inspection() {
    for drill in &example().drills {
        let named = drill.steps.iter().any(|step| step.produces);
        assert!(named || drill.id == "inspection", "{}", drill.id);
    }
}

/// An honest sheet is met on every foam line, with air or without; with foam on a line that has
/// none, or air on one that takes none, never.
#[test]
fn a_line_gives_what_its_card_says() {
    let (mut without_air, mut without_foam) = (0, 0);
    for (kit, outlet) in kits() {
        let line = kit.rig().outlet(&outlet).unwrap();
        if kit.rig().compressor.is_none() || kit.drill().id == "inspection" {
            continue;
        }
        let airs = kit.drill().steps.iter().any(|step| {
            step.needs.as_deref() == Some("compressor") && step.role == "operator"
        });
        let with_air = kit.rig().outlets.iter().find(|line| line.air).unwrap().id.clone();
        let sheet = honest(&kit, "operator", &with_air);
        if !airs || sheet.mode != Mode::TrainingFoam {
            continue;
        }
        if !line.air {
            let mut sheet = sheet.clone();
            sheet.outlet.clone_from(&outlet);
            let verdict = score(&kit, &sheet);
            assert_ne!(verdict.outcome, Outcome::Met, "{}", kit.drill().id);
            without_air += 1;
        }
        let plain = kit.rig().outlets.iter().find(|line| !line.foam).unwrap();
        let mut sheet = sheet;
        sheet.outlet.clone_from(&plain.id);
        let verdict = score(&kit, &sheet);
        assert_ne!(verdict.outcome, Outcome::Met, "{} on plain", kit.drill().id);
        without_foam += 1;
    }
    assert!(without_air > 1 && without_foam > 3, "{without_air}, {without_foam}");
}
