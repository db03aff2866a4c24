//! What papers and sheets look at: their functions read a whole course, so here it is noted
//! what of it they can reach.

use super::desk::Desk;
use super::frame::Shared;
use crate::course::Course;

/// The questions of a set with all that they reach, and the frame of its cautions.
pub(super) fn questions<'c>(desk: &Desk<'c>, set: &str) -> &'c Shared<'c> {
    let shared = desk.sees(&[("set", set), ("reach", set), ("all", "sources")]);
    let found = shared.course.sets.iter().find(|other| other.id == set);
    desk.sees_frame(found.map_or(&[], |set| &set.cautions))
}

/// The same, drawn with the seed of the graded papers.
pub(super) fn graded<'c>(desk: &Desk<'c>, set: &str) -> &'c Shared<'c> {
    questions(desk, set);
    desk.sees(&[("seed", "")])
}

/// What every sheet is made of, whatever its drill and its rig.
const SHEET: [(&str, &str); 5] = [
    ("module", ""),
    ("all", "cautions"),
    ("all", "library"),
    ("all", "local"),
    ("all", "unsafe-acts"),
];

/// A drill on a rig.
pub(super) fn sheet<'c>(desk: &Desk<'c>, drill: &str, rig: &str) -> &'c Shared<'c> {
    desk.sees(&[("drill", drill), ("rig", rig)]);
    desk.sees(&SHEET)
}

/// A chain with all its drills on a rig.
pub(super) fn chain<'c>(desk: &Desk<'c>, id: &str, rig: &str) -> &'c Shared<'c> {
    let shared = desk.sees(&[("chain", id), ("rig", rig)]);
    drills_of(desk, shared.course, id);
    desk.sees(&SHEET)
}

fn drills_of(desk: &Desk<'_>, course: &Course, chain: &str) {
    let chain = course.chains.iter().find(|known| known.id == chain);
    for drill in chain.into_iter().flat_map(|chain| &chain.drills) {
        desk.drill(drill);
    }
}

/// A sheet with the names of somebody on the roster.
pub(super) fn due<'c>(desk: &Desk<'c>, index: usize) -> &'c Shared<'c> {
    let shared = desk.sees(&[("due", &index.to_string()), ("all", "people")]);
    match shared.course.roster.get(index) {
        Some(due) => sheet(desk, &due.drill, &due.rig),
        None => shared,
    }
}

/// The filled sheets of a run: it may be scored by a revision that is kept.
pub(super) fn run<'c>(desk: &Desk<'c>, id: &str) -> &'c Shared<'c> {
    let shared = desk.sees(&[("runs", id), ("all", "people"), ("all", "kept")]);
    let course = shared.course;
    for run in course.runs.iter().filter(|run| run.id == id) {
        sheet(desk, &run.drill, &run.rig);
        if let Some(chain) = &run.chain {
            desk.sees(&[("chain", chain)]);
            drills_of(desk, course, chain);
        }
    }
    shared
}
