//! A drill beside the one of the library that it was made from: what is no longer in it of that which
//! decides. A department may well mean it, so that each is told, and nothing is refused.

use std::sync::LazyLock;

use super::{Checked, Spot};
use crate::authoring::yaml;
use crate::course::{Condition, Drill, Link, Mode};
use crate::findings::{Code, Finding};
use crate::scoring::runs_on;
use crate::stock;
use crate::wire::{Desk, read};

/// A drill was made from one of the library where it has three quarters of its steps, because with fewer
/// in common it is another drill, in which the same names may mean other things. Common practice of ours.
const SHARED: usize = 3;
/// The parts of which that share is told, because a share in whole numbers is the same on every machine.
const PARTS: usize = 4;

pub(super) fn check(checked: &Checked<'_>) {
    for drill in &checked.course.drills {
        let from = LIBRARY.iter().filter(|one| made_from(drill, one));
        // The very drill before one that was made of it, such as that of the other class.
        let from = from.max_by_key(|one| (one.id == drill.id, shared(drill, one)));
        if let Some(from) = from {
            let spot = checked.sheet("drills", &drill.id);
            let beside = Beside { checked, drill, from };
            beside.steps(&spot);
            beside.cues(&spot);
            beside.criticals(&spot);
        }
    }
}

/// Read once: they are the same for every module, and a preview reads its own at each save.
static LIBRARY: LazyLock<Vec<Drill>> = LazyLock::new(library);

/// The drills that travel inside the program. What of them cannot be read in this edition is held
/// against nothing.
fn library() -> Vec<Drill> {
    let texts = stock::library().into_iter();
    let drills = texts.filter(|(file, _)| file.starts_with("drills/"));
    let drill = |(file, text): (String, String)| {
        let node = yaml::read(&file, &text).ok()?;
        let desk = Desk::default();
        read::<Drill>(desk.item(&file, &node))
    };
    drills.filter_map(drill).collect()
}

fn shared(drill: &Drill, from: &Drill) -> usize {
    let own = |id: &String| drill.steps.iter().any(|step| step.id == *id);
    from.steps.iter().filter(|step| own(&step.id)).count()
}

fn made_from(drill: &Drill, from: &Drill) -> bool {
    shared(drill, from) * PARTS >= from.steps.len() * SHARED
}

/// A drill and the one that it was made from.
struct Beside<'b, 'c> {
    checked: &'b Checked<'c>,
    drill: &'b Drill,
    from: &'b Drill,
}

impl Beside<'_, '_> {
    fn note(&self, spot: &Spot<'_>, key: &str, (name, was): (&str, String)) {
        let field = spot.at(key);
        let place = if field.node().is_some() { field.place() } else { spot.place() };
        let finding = Finding::at(Code::LibrarySofter, place).with("name", name);
        let finding = finding.with("drill", self.from.title.clone());
        self.checked.note(finding.with("was", was));
    }

    /// Modes in which the other drill shows something and this one no longer does.
    fn no_more(&self, own: &Condition<'_>, from: &Condition<'_>) -> Option<String> {
        let lost = |mode: &&Mode| {
            self.from.condition().shown_in(**mode)
                && from.shown_in(**mode)
                && !own.shown_in(**mode)
        };
        let lost: Vec<&str> =
            self.drill.modes.iter().filter(lost).map(|mode| mode.word()).collect();
        (!lost.is_empty()).then(|| format!("modes: {}", lost.join(", ")))
    }

    fn steps(&self, spot: &Spot<'_>) {
        for from in &self.from.steps {
            let Some(step) = self.drill.steps.iter().find(|step| step.id == from.id)
            else {
                continue;
            };
            let own = spot.at("steps").entry("step", &step.id);
            if let Some(is) = from.is.filter(|is| step.is != Some(*is)) {
                self.note(&own, "is", (&step.id, format!("is: {}", is.word())));
            }
            if let Some(was) = self.no_more(&step.condition(), &from.condition()) {
                self.note(&own, "modes", (&step.id, was));
            }
            if let Some(cue) = from.cue.as_ref().filter(|_| step.cue.is_none()) {
                self.note(&own, "cue", (&step.id, format!("cue: {cue}")));
            }
        }
    }

    fn cues(&self, spot: &Spot<'_>) {
        let rigs = self.checked.course.rigs.values();
        let rigs: Vec<_> = rigs.filter(|rig| runs_on(rig, self.drill)).collect();
        for from in &self.from.cues {
            let Some(cue) = self.drill.cues.iter().find(|cue| cue.id == from.id) else {
                // What none of its rigs has is given on none of them.
                let given = rigs.iter().any(|rig| from.condition().lacks(rig).is_none());
                if given {
                    let was = format!("cue: {}", from.id);
                    self.note(spot, "cues", (&from.id, was));
                }
                continue;
            };
            let own = spot.at("cues").entry("cue", &cue.id);
            if let Some(was) = self.no_more(&cue.condition(), &from.condition()) {
                self.note(&own, "modes", (&cue.id, was));
            }
        }
    }

    fn criticals(&self, spot: &Spot<'_>) {
        for from in &self.from.criticals {
            let own = self.drill.criticals.iter().find(|one| one.id == from.id);
            let Some(critical) = own else { continue };
            let own = spot.at("criticals").entry("critical", &critical.id);
            if let Some(was) = self.no_more(&critical.condition(), &from.condition()) {
                self.note(&own, "modes", (&critical.id, was));
            }
            let left: Vec<String> = critical.links.iter().flat_map(atoms).collect();
            // Of what the drill still has; a step that is gone is seen to be gone.
            let links = from.links.iter().filter(|link| self.has(link));
            let lost: Vec<String> = links
                .flat_map(atoms)
                .filter(|atom| !left.contains(atom) && self.whole(atom))
                .collect();
            if !lost.is_empty() {
                self.note(&own, "links", (&critical.id, lost.join("; ")));
            }
        }
    }

    /// Whether the drill has what a link is of.
    fn has(&self, link: &Link) -> bool {
        let step = |id: &String| self.drill.steps.iter().any(|step| step.id == *id);
        match link {
            Link::Order { first, .. } => step(first),
            Link::Answer { cue, step: answer } => {
                step(answer) && self.drill.cues.iter().any(|one| one.id == *cue)
            }
            Link::Hold { step: held } => step(held),
            Link::Limit { measure, .. } => {
                self.drill.measures.iter().any(|one| one.id == *measure)
            }
            // A sentence, which each department writes for itself.
            Link::Free { .. } => false,
        }
    }

    /// Whether the later step of an order is there.
    fn whole(&self, atom: &str) -> bool {
        let then = atom.split_once(" > ").map(|(_, then)| then);
        then.is_none_or(|then| self.drill.steps.iter().any(|step| step.id == then))
    }
}

/// What a link holds, each pair of an order by itself.
fn atoms(link: &Link) -> Vec<String> {
    match link {
        Link::Order { first, then } => {
            then.iter().map(|then| format!("{first} > {then}")).collect()
        }
        Link::Answer { cue, step } => vec![format!("answers {cue}: {step}")],
        Link::Hold { step } => vec![format!("holds {step}")],
        Link::Limit { measure, .. } => vec![format!("limit {measure}")],
        Link::Free { .. } => Vec::new(),
    }
}
