//! Walks that are done well to the end: all acts in the order of the drill, with right words and values.

use drillwright::course::{Course, Drill, Mark, Measure};
use drillwright::practice::walk::walks;
use drillwright::quantity::{Direction, Number, Quantity, find, show};
use drillwright::scoring::{Expected, Kit, expectation};
use drillwright::stock;
use serde_json::json;

use super::{Tab, agrees};

/// The right value as its instrument shows it.
fn shown(measure: &Measure, right: &Expected) -> String {
    let unit = find(&measure.unit).unwrap();
    let step = measure.resolution.in_unit(unit).unwrap().number();
    let ways = [Direction::Near, Direction::Down, Direction::Up];
    let values = ways.map(|way| show(Number::Exact(right.value), step, way).unwrap());
    let inside = values.iter().find(|shown| right.contains(shown.value)).unwrap();
    Quantity::new(inside.value, unit).printed()
}

/// Walks it as the drill wants it, and gives the sheet's marks back.
fn well(course: &Course, drill: &Drill, (rig, role): (&str, &str), seed: u64) -> Tab {
    let kit = Kit::of(course, drill, &course.rigs[rig], &stock::words()).unwrap();
    let mut tab = Tab::new(course, drill);
    tab.begin(rig, role, seed);
    for _ in 0..400 {
        if tab.has("another") {
            return tab;
        }
        assert!(
            !tab.has("on"),
            "{}: harm in a walk that is done well: {}",
            drill.id,
            tab.text()
        );
        on(&mut tab, &kit);
    }
    panic!("{} came to no end: {}", drill.id, tab.text());
}

/// The value that is asked now.
pub(super) fn asked(tab: &mut Tab, kit: &Kit) -> Option<(Measure, Expected)> {
    let (sheet, ..) = tab.walked();
    let on = kit.on_lines(&sheet.outlet, &sheet.further);
    let text = tab.text();
    let asked = on.drill().measures.iter().find(|one| {
        text.contains(&format!("{} (", one.label))
            && !sheet.measures.contains_key(&one.id)
    })?;
    let right = expectation(&on, asked, &sheet.outlet, &sheet.readings).unwrap();
    Some((asked.clone(), right))
}

/// One tap as the drill wants it.
pub(super) fn on(tab: &mut Tab, kit: &Kit) {
    if !tab.has("end") {
        let simple = ["aloud", "whole", "call-again"].into_iter().find(|id| tab.has(id));
        let event = match simple {
            Some(id) => json!({ "do": id }),
            None => {
                let (measure, right) =
                    asked(tab, kit).unwrap_or_else(|| panic!("{}", tab.text()));
                json!({ "do": "value", "text": shown(&measure, &right) })
            }
        };
        return tab.tap(&event, 0);
    }
    let (sheet, _, acts) = tab.walked();
    let on = kit.on_lines(&sheet.outlet, &sheet.further);
    let hurts = super::harmful(kit, &sheet);
    let precedence = drillwright::scoring::Precedence::of(&on.drill().orders());
    let due = |act: &&String| {
        let open = |id: &&String| sheet.marks.get(*id) == Some(&Mark::NotDone);
        let steps = on.drill().steps.iter().map(|step| &step.id);
        !hurts.contains(*act)
            && !steps.filter(open).any(|first| precedence.before(first, act))
    };
    // Answers to a cue first, then in the order of the drill.
    let steps = || on.drill().steps.iter().filter(|step| acts.contains(&step.id));
    let answers = steps().filter(|step| step.cue.is_some()).map(|step| &step.id);
    let answers: Vec<&String> = answers.filter(due).collect();
    let others = steps().map(|step| &step.id).find(due);
    match answers.first().copied().or(others) {
        Some(step) => tab.tap(&json!({ "do": "act", "step": step }), 0),
        None => tab.tap(&json!({ "do": "end" }), 0),
    }
}

fn all(course: &Course) {
    for drill in course.drills.iter().filter(|drill| walks(course, drill)) {
        for rig in course.rigs.values() {
            if !drillwright::scoring::runs_on(rig, drill) {
                continue;
            }
            for role in drill.roles.iter().filter(|role| role.scored) {
                for seed in 0..6 {
                    let mut tab = well(course, drill, (&rig.id, &role.id), seed);
                    let (sheet, verdict, _) = tab.walked();
                    let name = format!("{} on {}, {seed}", drill.id, rig.id);
                    assert_eq!(
                        verdict["outcome"], "walked-through",
                        "{name}: {}",
                        verdict["reason"]
                    );
                    let kit = Kit::of(course, drill, rig, &stock::words()).unwrap();
                    agrees(&kit, &sheet, verdict, &name);
                    let done = |mark: &Mark| *mark == Mark::Done;
                    assert!(sheet.marks.values().all(done), "{name}: {:?}", sheet.marks);
                    assert!(
                        tab.text().contains("Nothing was skipped"),
                        "{name}: {}",
                        tab.text()
                    );
                    // Every cue of the drill has come.
                    let given = sheet.cues.values().filter(|mark| mark.key() == "given");
                    assert_eq!(
                        given.count(),
                        sheet.cues.len(),
                        "{name}: {:?}",
                        sheet.cues
                    );
                }
            }
        }
    }
}

#[test]
fn a_walk_that_is_done_well_is_walked_through_and_never_met() {
    all(&crate::engine::example());
    all(&crate::metric::course());
    all(&crate::plain::course());
}

#[test]
fn the_next_walk_has_another_line_or_another_order() {
    let course = crate::engine::example();
    let drill = course.drill("startup").unwrap();
    let mut tab = well(&course, drill, ("engine-7", "operator"), 3);
    let (first, ..) = tab.walked();
    tab.tap(&json!({ "do": "another" }), 0);
    let (next, ..) = tab.walked();
    assert_ne!((&first.outlet, &first.readings), (&next.outlet, &next.readings));
    assert!(next.measures.is_empty() && next.happened.is_empty());
}

#[test]
fn cues_come_at_other_moments_in_other_walks() {
    let course = crate::engine::example();
    let drill = course.drill("startup").unwrap();
    let mut moments = std::collections::BTreeSet::new();
    for seed in 0..12 {
        let mut tab = well(&course, drill, ("engine-7", "operator"), seed);
        let (sheet, ..) = tab.walked();
        let drillwright::course::OrderSeen::Listed(done) = sheet.order_seen else {
            panic!()
        };
        let at = |step: &str| done.iter().position(|one| one == step);
        moments.insert((at("low-level"), at("lost-reset")));
    }
    assert!(moments.len() > 3, "{moments:?}");
}
