//! What a run is told by where nobody has the drill, the rig or the revision that it names.
//!
//! An act that was seen is seen, also on a sheet whose drill is misspelled or whose revision nobody
//! kept (rule 24, and the precedence). Nothing else is ever told by these kits: which of them the
//! candidate was held to is not known.

use std::rc::Rc;

use super::kit::{Kit, RULES, standard};
use super::kits::{Kits, names};
use super::reading::KitFor;
use super::stands::runs_on;
use crate::course::{CriticalMark, Drill, Rig, RunSheet, Standard};
use crate::words::nearest;

/// Kits in place of the one that a run names, the nearest first, and what they are.
#[derive(Debug, Clone)]
pub struct Instead {
    /// All that the run may have been made for, today's first; one where it is a guess.
    pub kits: Vec<Rc<Kit>>,
    /// How near they are to what the run names.
    pub are: KitFor,
}

impl Kits<'_> {
    /// What an act on a sheet is told by, where it names a kit that nobody has, or none.
    pub fn instead(&self, run: &RunSheet) -> Option<Instead> {
        let (drill, guessed) = self.drill_of(run)?;
        let (rig, rig_guessed) = self.rig_of(run, &drill)?;
        let mut kits = Vec::new();
        let drills = self.drills_of(&drill, run.drill_revision.as_deref());
        let rigs = self.rigs_of(&rig, run.rig_revision.as_deref());
        for drill in &drills {
            let made = rigs
                .iter()
                .filter_map(|rig| self.earlier(drill.clone(), rig.clone()).ok());
            kits.extend(made);
        }
        let are = match guessed {
            KitFor::Own if rig_guessed => KitFor::Guessed,
            KitFor::Own => KitFor::OtherRevision,
            other => other,
        };
        // A guess is one, and not all its revisions.
        kits.truncate(if are == KitFor::OtherRevision { kits.len() } else { 1 });
        (!kits.is_empty()).then_some(Instead { kits, are })
    }

    /// The drill that a run means: by its name, by a name near it, by what is marked; and how sure
    /// that is.
    fn drill_of(&self, run: &RunSheet) -> Option<(String, KitFor)> {
        let course = self.course();
        let kept = course.kept.drills.values().any(|one| one.drill.id == run.drill);
        if kept || course.drill(&run.drill).is_some() {
            return Some((run.drill.clone(), KitFor::Own));
        }
        let ids = course.drills.iter().map(|drill| drill.id.as_str());
        if let Some(near) = nearest(&run.drill, ids) {
            return Some((near, KitFor::Guessed));
        }
        // Acts before steps: a step is called the same in many drills.
        let known = |drill: &&Drill| {
            let acts = drill.criticals.iter().filter(|one| marked(run, &one.id)).count();
            let steps = drill.steps.iter().filter(|one| run.marks.contains_key(&one.id));
            (acts, steps.count())
        };
        // The first of several that fit as well, so that the same sheet is told the same.
        let best = course.drills.iter().rev().max_by_key(known)?;
        let are = if known(&best) == (0, 0) { KitFor::Any } else { KitFor::Guessed };
        Some((best.id.clone(), are))
    }

    /// The rig that a run means, and whether it is a guess.
    fn rig_of(&self, run: &RunSheet, drill: &str) -> Option<(String, bool)> {
        let course = self.course();
        let kept = course.kept.rigs.values().any(|rig| rig.id == run.rig);
        if kept || course.rigs.contains_key(&run.rig) {
            return Some((run.rig.clone(), false));
        }
        let near = nearest(&run.rig, course.rigs.keys().map(String::as_str));
        let drill = course.drill(drill);
        let meant = |rig: &&Rig| drill.is_some_and(|drill| runs_on(rig, drill));
        let any = || {
            let all = || course.rigs.values();
            all().find(meant).or_else(|| all().next()).map(|rig| rig.id.clone())
        };
        near.or_else(any).map(|id| (id, true))
    }

    /// The revisions of a drill that a run may have been made for: the one that it names, else all
    /// that the department has, today's first.
    fn drills_of(
        &self,
        id: &str,
        given: Option<&str>,
    ) -> Vec<(Option<String>, Standard)> {
        let course = self.course();
        let today = course.drill(id).map(|drill| standard(course, drill));
        let hash = today.as_ref().and_then(|_| self.hash_of_drill(id));
        let today = today.map(|standard| (hash, standard));
        let kept = course.kept.drills.iter().filter(|(_, one)| {
            // Other rules say nothing by these (rule 39).
            one.drill.id == id && one.rules == RULES
        });
        let kept = kept.map(|(hash, one)| (Some(hash.clone()), one.clone()));
        named(today.into_iter().chain(kept).collect(), given)
    }

    /// The same of a rig.
    fn rigs_of(&self, id: &str, given: Option<&str>) -> Vec<(Option<String>, Rig)> {
        let course = self.course();
        let today = course.rigs.get(id).map(|rig| (self.hash_of_rig(id), rig.clone()));
        let kept = course.kept.rigs.iter().filter(|(_, rig)| rig.id == id);
        let kept = kept.map(|(hash, rig)| (Some(hash.clone()), rig.clone()));
        named(today.into_iter().chain(kept).collect(), given)
    }
}

/// The revision that is named, where it is among those that there are.
fn named<T: Clone>(
    all: Vec<(Option<String>, T)>,
    given: Option<&str>,
) -> Vec<(Option<String>, T)> {
    let is = |(hash, _): &&(Option<String>, T)| {
        hash.as_deref().zip(given).is_some_and(|(hash, given)| names(given, hash))
    };
    let found = all.iter().find(is).cloned();
    let mut all = all;
    // What is kept and still holds stands there twice.
    let mut seen = Vec::new();
    all.retain(|(hash, _)| {
        let first = !seen.contains(hash);
        seen.push(hash.clone());
        first
    });
    found.map_or(all, |one| vec![one])
}

/// Whether a critical is marked as having happened.
pub(super) fn marked(run: &RunSheet, id: &str) -> bool {
    let mark = run.criticals.get(id);
    matches!(mark, Some(CriticalMark::Yes | CriticalMark::Prevented))
}
