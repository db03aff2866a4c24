//! What a run sheet shows of single steps: whether one was done, and which of two came first.
//!
//! Silence is no evidence. Every question here can be answered "nobody knows", and what rests on
//! such an answer is asked about, never taken as well or as badly done.

use super::kit::Kit;
use super::stands::{Standing, stands};
use crate::course::{CueMark, Mark, OrderSeen, PairSeen, RunSheet, Step};

/// Which of two steps came first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Came {
    /// The one that has to.
    InOrder,
    /// The other.
    Reversed,
    /// Asked, and nobody saw it.
    NotSeen,
    /// The sheet does not say.
    Unsaid,
}

/// A sheet on its kit.
#[derive(Clone, Copy)]
pub(super) struct Evidence<'e> {
    pub(super) kit: &'e Kit,
    pub(super) sheet: &'e RunSheet,
}

impl<'e> Evidence<'e> {
    /// The step of that name.
    pub(super) fn step(self, id: &str) -> Option<&'e Step> {
        self.kit.drill().steps.iter().find(|step| step.id == id)
    }

    /// Whether the step can be shown in this run. What answers a cue that was not given was
    /// not shown (rule 13).
    pub(super) fn standing(self, step: &Step) -> Standing {
        let standing = stands(self.kit, self.sheet.mode, step.condition());
        match &step.cue {
            Some(cue) if standing == Standing::Stands => self.cue_standing(cue),
            _ => standing,
        }
    }

    /// Whether a cue was given; where rig or mode have none, that it was not.
    pub(super) fn cue_standing(self, id: &str) -> Standing {
        let cue = self.kit.drill().cues.iter().find(|cue| cue.id == id);
        let Some(cue) = cue else { return Standing::NotInMode };
        match stands(self.kit, self.sheet.mode, cue.condition()) {
            Standing::Stands if !self.given(id) => Standing::NotInMode,
            standing => standing,
        }
    }

    /// Whether a cue was given; without a word it was not.
    pub(super) fn given(self, cue: &str) -> bool {
        self.sheet.cues.get(cue) == Some(&CueMark::Given)
    }

    /// The mark of a step. What somebody else's act took away was not seen, however it was
    /// marked (rule 35): it never costs, and never earns.
    pub(super) fn mark(self, id: &str) -> Option<Mark> {
        let taken = self.sheet.took_away.iter().any(|step| step == id);
        let marked = self.sheet.marks.get(id).copied();
        if taken { Some(Mark::NotSeen) } else { marked }
    }

    /// Whether a step counts as not done for how it was done: it was performed, and somebody says
    /// why it has no points. What had to wait for it, or could not be without it, was done after
    /// something that happened (rule 7 g).
    pub(super) fn badly(self, step: &Step) -> bool {
        let settled = self.sheet.settled.get(&step.id);
        let told = settled.is_some_and(|settled| !settled.why.trim().is_empty());
        told && self.mark(&step.id) == Some(Mark::NotDone)
    }

    /// Whether a step was performed, well or badly; nothing where nobody saw it.
    pub(super) fn performed(self, step: &Step) -> Option<bool> {
        if self.badly(step) { Some(true) } else { self.done(step) }
    }

    /// Whether a step was done; nothing where nobody saw it. What somebody left out by hand was
    /// not done. A step of another role that has no mark here was done where it stands in a list:
    /// whoever writes it down has seen it, and "as printed" says nothing of a single step.
    pub(super) fn done(self, step: &Step) -> Option<bool> {
        match self.mark(&step.id) {
            Some(Mark::Done | Mark::Prompted) => Some(true),
            Some(Mark::NotDone | Mark::NotApplicable) => Some(false),
            Some(Mark::NotSeen) => None,
            None if step.role != self.sheet.role => match &self.sheet.order_seen {
                OrderSeen::Listed(steps) => steps.contains(&step.id).then_some(true),
                OrderSeen::AsPrinted | OrderSeen::NotWatched => None,
            },
            None => None,
        }
    }

    /// Whether a step was done after a prompt.
    pub(super) fn prompted(self, id: &str) -> bool {
        self.mark(id) == Some(Mark::Prompted)
    }

    /// Where a step stands in the order that was seen.
    pub(super) fn place(self, id: &str) -> Option<usize> {
        match &self.sheet.order_seen {
            OrderSeen::NotWatched => None,
            OrderSeen::AsPrinted => {
                self.kit.drill().steps.iter().position(|step| step.id == id)
            }
            OrderSeen::Listed(steps) => steps.iter().position(|step| step == id),
        }
    }

    /// Which of two steps that were both done came first (rule 12).
    pub(super) fn came(self, first: &str, then: &str) -> Came {
        if let (Some(before), Some(after)) = (self.place(first), self.place(then)) {
            return if before < after { Came::InOrder } else { Came::Reversed };
        }
        self.pair(first, then)
    }

    /// What the sheet says of one pair, whichever of the two it names first.
    pub(super) fn pair(self, first: &str, then: &str) -> Came {
        let said = |first: &str, then: &str| {
            self.sheet.pairs.get(&format!("{first} > {then}")).copied()
        };
        match (said(first, then), said(then, first)) {
            (Some(PairSeen::Reversed), _) | (_, Some(PairSeen::Seen)) => Came::Reversed,
            (Some(PairSeen::Seen), _) | (_, Some(PairSeen::Reversed)) => Came::InOrder,
            (Some(PairSeen::NotSeen), _) | (_, Some(PairSeen::NotSeen)) => Came::NotSeen,
            (None, None) => Came::Unsaid,
        }
    }
}
