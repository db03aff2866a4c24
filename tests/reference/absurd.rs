//! Nothing that no fire ground has ever seen is answered: whatever the formula says of its own
//! sense, a pressure no pump gives, a hose no engine carries, a share above the whole are refused.

use std::collections::BTreeMap;

use drillwright::formulas::{Input, Inputs};
use drillwright::quantity::{Dimension, Kind, Quantity};

use super::extremes::inputs;
use super::random::systems;
use super::read;

fn q(text: &str) -> Quantity {
    Quantity::read(text).unwrap()
}

/// The most that an answer of a dimension may be, and where it may be more, with the reason.
const MOST: &[(Dimension, &str)] = &[
    // Hydraulic platforms and forest pumps reach 600 psi; hose is tested to 800 psi at most.
    (Dimension::PRESSURE, "800 psi"),
    // The longest relays of large hose.
    (Dimension::LENGTH, "30000 ft"),
    // The largest industrial pumps.
    (Dimension::FLOW, "20000 gpm"),
    // Endless or a mistake: no run lasts a day.
    (Dimension::TIME, "24 h"),
    // The reaction of the largest monitors of industry.
    (Dimension::FORCE, "5000 lbf"),
];

/// Answers that may be more, by formula and answer.
const MORE: &[(&str, &str, &str)] = &[
    ("noise-time", "niosh", "a low level is borne for more than a day"),
    ("noise-time", "osha", "a low level is borne for more than a day"),
    (
        "pump-pressure-limit",
        "caution",
        "nine tenths of a hose that was tested to 1000 psi",
    ),
];

#[test]
fn no_formula_answers_with_what_cannot_be() {
    let library = read::library();
    let mut worst: BTreeMap<String, String> = BTreeMap::new();
    for formula in library.formulas() {
        for system in systems(formula) {
            for inputs in inputs(&library, formula, *system) {
                let Ok(worked) = library.work(&formula.id, &inputs, *system) else {
                    continue;
                };
                for answer in &worked.answers {
                    let Some(number) = answer.number else { continue };
                    let allowed = MORE
                        .iter()
                        .any(|(id, name, _)| *id == formula.id && *name == answer.name);
                    let unit = drillwright::quantity::find(&answer.unit);
                    let Some(unit) = unit.filter(|_| !allowed) else { continue };
                    let caps = MOST.iter().filter(|(dimension, _)| {
                        unit.kind == Kind::Amount && *dimension == unit.dimension
                    });
                    let over = caps
                        .into_iter()
                        .any(|(_, most)| number.compare(q(most).base()).is_gt());
                    let share = unit.kind == Kind::Share
                        && number.compare(q("1000 %").base()).is_gt();
                    if over || share {
                        worst.insert(
                            format!("{} {}", formula.id, answer.name),
                            format!("{} from {:?}", answer.text, told(&inputs)),
                        );
                    }
                }
            }
        }
    }
    let told: Vec<String> = worst.iter().map(|(k, v)| format!("{k}: {v}")).collect();
    assert!(worst.is_empty(), "\n{}", told.join("\n"));
}

fn told(inputs: &Inputs) -> Vec<String> {
    let one = |(name, input): (&String, &Input)| match input {
        Input::Number(quantity) => format!("{name} {}", quantity.printed()),
        other => format!("{name} {other:?}"),
    };
    inputs.iter().map(one).collect()
}
