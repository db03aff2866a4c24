//! What stands in a walk: its steps, what could be done now, and what that would break.

use super::days::Day;
use super::here::{day, shown, steps};
use super::kit::{Opened, WalkRig};
use super::sheet::sheet;
use super::state::Walk;
use crate::course::{Measure, RunSheet, Step};
use crate::quiz::Chance;
use crate::scoring::{Broken, Kit, Past, Precedence, broken, expectation, past};

/// A walk on its kit.
#[derive(Debug)]
pub(super) struct Look<'l> {
    pub(super) opened: &'l Opened,
    pub(super) of_rig: &'l WalkRig,
    /// The kit as it stands on the outlets of the day.
    pub(super) kit: Kit,
    precedence: Precedence,
}

impl<'l> Look<'l> {
    /// Nothing where the page has no such rig any more.
    pub(super) fn of(opened: &'l Opened, walk: &Walk) -> Option<Self> {
        let of_rig = opened.rig(&walk.rig)?;
        let kit = opened.kit(&walk.rig)?;
        let day = day(of_rig, walk)?;
        let kit = kit.on_lines(&day.outlet, &day.further).into_owned();
        let precedence = Precedence::of(&kit.drill().orders());
        Some(Self { opened, of_rig, kit, precedence })
    }

    pub(super) fn day(&self, walk: &Walk) -> Option<&'l Day> {
        day(self.of_rig, walk)
    }

    pub(super) fn step(&self, id: &str) -> Option<&Step> {
        self.kit.drill().steps.iter().find(|step| step.id == id)
    }

    pub(super) fn sheet(&self, walk: &Walk) -> RunSheet {
        sheet(&self.kit, self.of_rig, walk)
    }

    /// What can be chosen: steps that were not done yet.
    pub(super) fn open(&self, walk: &Walk) -> Vec<&Step> {
        steps(&self.kit, walk).filter(|step| !walk.is_done(&step.id)).collect()
    }

    /// Whether everything that comes before a step was done, as far as it can be done at all.
    pub(super) fn is_due(&self, walk: &Walk, step: &Step) -> bool {
        self.missing(walk, step).is_none()
    }

    /// The first step that was not done and comes before this one.
    pub(super) fn missing(&self, walk: &Walk, step: &Step) -> Option<&Step> {
        self.kit.drill().steps.iter().find(|first| {
            let wanted = shown(&self.kit, first)
                && first.cue.as_ref().is_none_or(|cue| walk.cues.contains(cue));
            wanted
                && !walk.is_done(&first.id)
                && self.precedence.before(&first.id, &step.id)
        })
    }

    /// Why a step cannot be done at all by now: something without which it cannot be was not done.
    pub(super) fn impossible(&self, walk: &Walk, step: &Step) -> Option<(&Step, &str)> {
        let mut rules = self.kit.drill().order.iter();
        rules.find_map(|rule| {
            let first = self.step(&rule.first)?;
            let stops = rule.cannot
                && rule.then == step.id
                && shown(&self.kit, first)
                && !walk.is_done(&first.id);
            stops.then_some((first, rule.because.as_str()))
        })
    }

    /// What stands broken by now.
    pub(super) fn broken(&self, walk: &Walk) -> Vec<Broken> {
        broken(&self.kit, &self.sheet(walk))
    }

    /// What the values of the walk would go beyond at the rig.
    pub(super) fn past(&self, walk: &Walk) -> Past {
        past(&self.kit, &self.sheet(walk))
    }

    /// What an act breaks that was whole before it.
    pub(super) fn breaks(
        &self,
        walk: &Walk,
        step: &Step,
        before: &[Broken],
    ) -> Vec<Broken> {
        let mut after = walk.clone();
        after.done.push(step.id.clone());
        let mut found = self.broken(&after);
        found.retain(|one| !before.contains(one));
        found.dedup();
        found
    }

    /// What is broken as the walk stands, and was not told yet.
    pub(super) fn untold(&self, walk: &Walk) -> Vec<Broken> {
        let mut found = self.broken(walk);
        found.retain(|(critical, _)| !walk.happened.contains_key(critical));
        found
    }

    /// Values of a step that whoever walks has to say, and that were not said yet. What no figure of the
    /// day gives is not asked.
    pub(super) fn values(&self, walk: &Walk, step: &str) -> Vec<&Measure> {
        let Some(day) = self.day(walk) else { return Vec::new() };
        let measures = self.kit.drill().measures.iter();
        let asked = measures.filter(|one| {
            one.step == step
                && super::days::typed(one)
                && !walk.values.contains_key(&one.id)
                && expectation(&self.kit, one, &day.outlet, &day.readings).is_ok()
        });
        asked.collect()
    }

    /// Chance of this walk for one thing of it.
    pub(super) fn chance(walk: &Walk, what: &str) -> Chance {
        Chance::of(&["walk", what, &walk.seed, &walk.number.to_string()])
    }
}
