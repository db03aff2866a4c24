//! What no rig of a module has is not printed: a page on eductors for a department without one
//! would send a crew looking for it.

use std::collections::{BTreeMap, BTreeSet};

use super::checks::feeds_of;
use crate::course::{Concentrate, Course, Drill, Face, NO_RIG, Rig, formula_for, has};
use crate::words::Words;

/// Leaves out the families and cautions of equipment that no rig has and nothing asks for. It
/// comes after the checks, which want to see all that is written.
pub(super) fn leave_out(course: &mut Course) {
    let asked = asked(course);
    let Course { rigs, families, cautions, cards, drills, lessons, sets, .. } = course;
    let fits = |needs: Option<&String>| {
        needs.is_none_or(|needs| rigs.values().any(|rig| has(rig, needs)))
    };
    // What a lesson, a drill or a set names stands there, whatever the rigs have.
    let drills = drills.iter().flat_map(|drill| &drill.cautions);
    let lessons = lessons.iter().flat_map(|lesson| &lesson.cautions);
    let sets = sets.iter().flat_map(|set| &set.cautions);
    let named: BTreeSet<&String> = drills.chain(lessons).chain(sets).collect();
    families.retain(|family| fits(family.needs.as_ref()) || asked.contains(&family.id));
    cautions.retain(|id, caution| {
        caution.general || fits(caution.needs.as_ref()) || named.contains(id)
    });
    let stays = |id: &String| cautions.contains_key(id);
    cards.cautions.retain(stays);
    for family in families {
        family.cautions.retain(stays);
    }
}

/// Families whose formulas something in the module asks.
fn asked(course: &Course) -> BTreeSet<String> {
    let formulas = feeds_of(course).flat_map(|feed| {
        let bases = course.rigs.values().map(Rig::basis);
        let chosen = bases.map(|basis| formula_for(&course.bases, &feed.formula, basis));
        chosen.chain([feed.formula.as_str()])
    });
    let formulas = formulas.filter_map(|id| course.library.formula(id));
    formulas.map(|formula| formula.family.clone()).collect()
}

/// The rigs, with what stands for none where a drill is done without; one that somebody wrote under
/// that name stays.
fn with_nowhere(drills: &[Drill], mut rigs: Vec<Rig>, words: &Words) -> Vec<Rig> {
    let without = drills.iter().any(Drill::without_rig);
    if without && !rigs.iter().any(|rig| rig.id == NO_RIG) {
        rigs.push(Rig::nowhere(words.get("page.no-rig")));
    }
    rigs
}

/// A rig with what its tanks and the containers of its eductors hold: a run is judged by it, and
/// its revision is made of it.
fn filled(mut rig: Rig, concentrates: &[Concentrate]) -> Rig {
    let in_tanks = rig.tanks.iter().filter_map(|tank| tank.concentrate.as_ref());
    let in_containers =
        rig.eductors.iter().filter_map(|eductor| eductor.product.as_ref());
    let held: Vec<&String> = in_tanks.chain(in_containers).collect();
    let mut agents: Vec<Concentrate> =
        concentrates.iter().filter(|one| held.contains(&&one.id)).cloned().collect();
    // By their names, and not as they stand in the files: the
    // rig's revision is made of them.
    agents.sort_by(|a, b| a.id.cmp(&b.id));
    rig.agents = agents;
    rig
}

/// The rigs with what stands for none, filled with what the products say.
pub(super) fn all_rigs(
    (drills, face): (&[Drill], &Face),
    rigs: Vec<Rig>,
    products: &[Concentrate],
) -> BTreeMap<String, Rig> {
    with_nowhere(drills, rigs, &face.words)
        .into_iter()
        .map(|rig| (rig.id.clone(), filled(rig, products)))
        .collect()
}
