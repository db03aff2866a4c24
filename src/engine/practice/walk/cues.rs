//! When a cue comes, and when the radio is silent: at a moment that is drawn, and never where it could
//! not come.

use super::here::shown;
use super::look::Look;
use super::stands::Stands;
use super::state::Walk;
use crate::course::{Cue, Does, Link, Mode, Step};
use crate::scoring::{Standing, stands};

/// Steps that a cue waits at most beyond the first moment at which it can come.
const WAITS: u32 = 3;

impl Look<'_> {
    /// Steps that answer a cue, in the order of the drill.
    pub(super) fn answers(&self, walk: &Walk, cue: &str) -> Vec<&Step> {
        let steps = self.kit.drill().steps.iter();
        let own = steps.filter(|step| {
            step.role == walk.role
                && step.cue.as_deref() == Some(cue)
                && shown(&self.kit, step)
        });
        own.collect()
    }

    /// The order that a cue speaks and that must be refused; nothing where the cue is no order: something
    /// is shut or opened to answer it, or the drill draws no order for it.
    pub(super) fn ordered(&self, walk: &Walk, cue: &str) -> Option<String> {
        let refused = self.day(walk)?.refused?;
        let spoken = self.answers(walk, cue).iter().all(|step| step.is.is_none());
        (spoken && self.first_spoken() == Some(cue)).then(|| refused.printed())
    }

    /// The one cue that an order is drawn for: the first that only words answer, which a critical holds
    /// to its answer where there is one. A light that comes on is no order.
    fn first_spoken(&self) -> Option<&str> {
        let drill = self.kit.drill();
        let links = || drill.criticals.iter().flat_map(|one| &one.links);
        let held = |cue: &&Cue| {
            links()
                .any(|link| matches!(link, Link::Answer { cue: of, .. } if *of == cue.id))
        };
        let spoken = |cue: &&Cue| {
            let answers = drill.steps.iter();
            let mut answers =
                answers.filter(|step| step.cue.as_deref() == Some(cue.id.as_str()));
            answers.all(|step| step.is.is_none())
        };
        let all = || drill.cues.iter().filter(spoken);
        all().find(held).or_else(|| all().next()).map(|cue| cue.id.as_str())
    }

    /// What is heard or seen at a cue. An order is told by what is ordered: what the evaluator's sheet says
    /// of it would give away that it cannot be followed.
    pub(super) fn cue_said(&self, walk: &Walk, (cue, says): (&str, &str)) -> String {
        let words = self.opened.words();
        match self.ordered(walk, cue) {
            Some(order) => words.say("walk.order-spoken", &[("value", &order)]),
            None => words.say("walk.cue", &[("text", says)]),
        }
    }

    /// A cue that was given and to which not all was done yet.
    pub(super) fn unanswered(&self, walk: &Walk) -> Option<&Cue> {
        let given = self.kit.drill().cues.iter();
        let mut given = given.filter(|cue| walk.cues.contains(&cue.id));
        given.find(|cue| {
            self.answers(walk, &cue.id).iter().any(|step| !walk.is_done(&step.id))
        })
    }

    /// The cue that comes now; with `last` the drill is to end, and whatever can still come does.
    pub(super) fn cue(&self, walk: &Walk, last: bool) -> Option<&Cue> {
        // One after the other: a second one would hide whether the first was answered.
        let open = |cue: &String| {
            self.answers(walk, cue).iter().any(|step| !walk.is_done(&step.id))
        };
        if !last && walk.cues.iter().any(open) {
            return None;
        }
        let cues = self.kit.drill().cues.iter().filter(|cue| {
            stands(&self.kit, Mode::WalkThrough, cue.condition()) == Standing::Stands
                && !walk.cues.contains(&cue.id)
                && !self.answers(walk, &cue.id).is_empty()
        });
        let mut waiting: Vec<&Cue> = cues.collect();
        // Which of several comes first is drawn; the draw is the same until one has come.
        Self::chance(walk, "cues").shuffle(&mut waiting);
        waiting.into_iter().find(|cue| self.can_come(walk, cue, last))
    }

    /// Whether a cue can come: what its answer takes away is there, and the moment is past that was drawn.
    fn can_come(&self, walk: &Walk, cue: &Cue, last: bool) -> bool {
        let answers = self.answers(walk, &cue.id);
        let stands = Stands::of(self, walk);
        let there = answers.iter().all(|step| match step.is {
            // Air that was opened again after the cue is what the answer itself does.
            Some(Does::ShutsAir) => stands.air_on(),
            Some(Does::ConfirmsFoam) => stands.foam_on(),
            _ => true,
        });
        if !there {
            return false;
        }
        let Some(first) = answers.first() else { return false };
        let own: Vec<&Step> = self.kit.drill().steps.iter().collect();
        let place = own.iter().position(|step| step.id == first.id).unwrap_or_default();
        let counts = |step: &&&Step| {
            step.role == walk.role && step.cue.is_none() && shown(&self.kit, step)
        };
        let before = own.get(..place).unwrap_or_default();
        // The drill has begun to make what it is for; where it makes nothing, all that is written before.
        let produced = before.iter().rposition(|step| step.produces && counts(&step));
        let must = produced.map_or(before, |at| before.get(..=at).unwrap_or_default());
        let ready = must.iter().filter(counts).all(|step| walk.is_done(&step.id));
        let rest =
            own.iter().filter(counts).filter(|step| !walk.is_done(&step.id)).count();
        if last || rest == 0 {
            return ready || last;
        }
        let since = own.iter().skip(must.len()).filter(counts);
        let since = since.filter(|step| walk.is_done(&step.id)).count();
        let waits = Self::chance(walk, &format!("moment {}", cue.id)).below(WAITS);
        ready && since >= usize::try_from(waits).unwrap_or_default()
    }

    /// A cue that was given, is not answered, and may not be passed over: a critical says so.
    pub(super) fn pressing(&self, walk: &Walk) -> Option<&Cue> {
        let links = self.kit.drill().criticals.iter();
        let links: Vec<(&String, &String)> = links
            .filter(|one| one.role == walk.role)
            .filter(|one| one.condition().lacks(self.kit.rig()).is_none())
            .flat_map(|one| &one.links)
            .filter_map(|link| match link {
                Link::Answer { cue, step } => Some((cue, step)),
                _ => None,
            })
            .collect();
        let open = |cue: &&Cue| {
            walk.cues.contains(&cue.id)
                && links.iter().any(|(of, step)| {
                    **of == cue.id
                        && !walk.is_done(step)
                        && self.step(step).is_some_and(|step| shown(&self.kit, step))
                })
        };
        self.kit.drill().cues.iter().find(open)
    }

    /// Whether no answer comes to the radio call of a step: to one of the calls, the first time.
    pub(super) fn is_silent(&self, walk: &Walk, step: &Step) -> bool {
        let calls = self.kit.drill().steps.iter().filter(|one| {
            one.role == walk.role && one.radio.is_some() && shown(&self.kit, one)
        });
        let calls: Vec<&Step> = calls.collect();
        let at = Self::chance(walk, "silence").place(calls.len());
        !walk.silent && calls.get(at).is_some_and(|one| one.id == step.id)
    }
}
