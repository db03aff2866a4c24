//! What was seen of one drill: marks, order, cues, and its watch.

use std::collections::{BTreeMap, BTreeSet};

use super::log::Event;
use crate::course::{CriticalMark, CueMark, Mark, PairSeen};

/// The watch of a drill, in milliseconds of the run's own time.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Watch {
    /// When the start event was.
    pub start: Option<i64>,
    /// When the stop event was.
    pub stop: Option<i64>,
    /// Delays: begin, end, why.
    pub holds: Vec<(i64, Option<i64>, String)>,
    /// Loadings of the page before the start and before the stop.
    pub loads: (u32, u32),
}

impl Watch {
    /// Milliseconds from start to stop, or to now.
    pub fn taken(&self, now: i64) -> Option<i64> {
        // Never below nothing, whatever a clock did between.
        Some(self.stop.unwrap_or(now).saturating_sub(self.start?).max(0))
    }

    /// Milliseconds that were held, of those.
    pub fn held(&self, now: i64) -> i64 {
        let end = self.stop.unwrap_or(now);
        let one = |(from, to, _): &(i64, Option<i64>, String)| {
            to.unwrap_or(end).min(end).saturating_sub(*from).max(0)
        };
        // A log from a broken clock must not end the run; the sum stays at its largest.
        self.holds.iter().map(one).fold(0, i64::saturating_add)
    }

    /// Whether a delay goes on.
    pub fn is_held(&self) -> bool {
        self.holds.last().is_some_and(|(_, to, _)| to.is_none())
    }

    /// Whether it runs.
    pub const fn runs(&self) -> bool {
        self.start.is_some() && self.stop.is_none()
    }
}

/// What is said about the order of the steps beside a list of them.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Told {
    /// Nothing yet: it counts as not watched, and is asked for.
    #[default]
    Nothing,
    /// It was that of the sheet.
    AsPrinted,
    /// It was that in which the steps were marked.
    AsRecorded,
    /// Nobody watched it.
    NotWatched,
}

/// What was seen of one drill.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Part {
    /// Marks by step.
    pub marks: BTreeMap<String, Mark>,
    /// The confirmed order.
    pub order: Vec<String>,
    /// What is said about it.
    pub told: Told,
    /// Steps done in the order in which they were marked while they were watched.
    pub recorded: Vec<String>,
    /// Steps done that were first marked otherwise, so that their place must be told.
    pub unplaced: BTreeSet<String>,
    /// The step or cue of which it is said that it came first, until it has its mark.
    pub first: Option<String>,
    /// Which of two steps came first, where the whole order was not watched.
    pub pairs: BTreeMap<String, PairSeen>,
    /// Whether what must wait for a step had begun when it was prompted.
    pub begun: BTreeMap<String, bool>,
    /// Steps that were undone before the end.
    pub undone: BTreeSet<String>,
    /// Cues.
    pub cues: BTreeMap<String, CueMark>,
    /// Measured values whose leaving their band was reported.
    pub reported: BTreeSet<String>,
    /// Those of which it is told that it was not.
    pub unreported: BTreeSet<String>,
    /// Marks by critical.
    pub criticals: BTreeMap<String, CriticalMark>,
    /// Unsafe acts seen.
    pub acts: BTreeSet<String>,
    /// The watch.
    pub watch: Watch,
}

impl Part {
    /// Whether anything is said about the order.
    pub(super) const fn order_is_told(&self) -> bool {
        !matches!(self.told, Told::Nothing) || !self.order.is_empty()
    }

    fn say(&mut self, told: Told) {
        self.told = if self.told == told { Told::Nothing } else { told };
        self.order.clear();
    }

    /// Older pages turned it round; today's say yes or no.
    fn report(&mut self, measure: &str, yes: Option<bool>) {
        match yes {
            None => toggle(&mut self.reported, measure),
            Some(yes) => {
                let (to, from) = if yes {
                    (&mut self.reported, &mut self.unreported)
                } else {
                    (&mut self.unreported, &mut self.reported)
                };
                from.remove(measure);
                to.insert(measure.to_owned());
            }
        }
    }

    /// A step goes to the end of the list, or out of it. One order is declared: a list that is
    /// begun is another one than the printed.
    fn list(&mut self, step: &str) {
        self.told = Told::Nothing;
        match self.order.iter().position(|known| known == step) {
            Some(at) => drop(self.order.remove(at)),
            None => self.order.push(step.to_owned()),
        }
    }

    /// A step that is done is recorded after those before it. One that had another mark before
    /// may have been done long ago: its place is asked for, never guessed.
    fn record(&mut self, step: &str, before: Option<Mark>, now: Mark) {
        self.first.take_if(|first| first == step);
        if !matches!(now, Mark::Done | Mark::Prompted) {
            self.recorded.retain(|known| known != step);
            self.unplaced.remove(step);
        } else if !self.recorded.iter().any(|known| known == step) {
            match before {
                None => self.recorded.push(step.to_owned()),
                Some(_) => drop(self.unplaced.insert(step.to_owned())),
            }
        }
    }

    /// The place of a step is told: last of all so far, or where it is printed.
    pub(super) fn place(&mut self, step: &str, late: bool, printed: &[&str]) {
        if !self.unplaced.remove(step) {
            return;
        }
        let at = |id: &str| printed.iter().position(|known| *known == id);
        let later = |known: &String| !late && at(known) > at(step);
        let place = self.recorded.iter().position(later);
        self.recorded.insert(place.unwrap_or(self.recorded.len()), step.to_owned());
    }
}

/// Takes one entry about the drill that is shown.
pub(super) fn see(part: &mut Part, event: &Event, (now, loads): (i64, u32)) {
    match event {
        Event::Mark { step, mark } => {
            let before = part.marks.insert(step.clone(), *mark);
            part.record(step, before, *mark);
            // A step that was not done has no place in an order (rule 7 e).
            if *mark == Mark::NotDone {
                part.order.retain(|known| known != step);
            }
        }
        // A second tap takes it back, as with every button that stays down.
        Event::AsPrinted => part.say(Told::AsPrinted),
        Event::AsRecorded => part.say(Told::AsRecorded),
        Event::NotWatched => (part.told, part.order) = (Told::NotWatched, Vec::new()),
        Event::First { step } => part.first = Some(step.clone()),
        Event::Pair { pair, seen } => {
            part.pairs.insert(pair.clone(), *seen);
        }
        Event::Begun { step, begun } => {
            part.begun.insert(step.clone(), *begun);
        }
        Event::Undone { step } => toggle(&mut part.undone, step),
        Event::Cue { cue, mark } => {
            part.cues.insert(cue.clone(), *mark);
            part.first.take_if(|first| first == cue);
        }
        Event::Reported { measure, yes } => part.report(measure, *yes),
        Event::Unsafe { act } => toggle(&mut part.acts, act),
        Event::Critical { critical, mark } => {
            part.criticals.insert(critical.clone(), *mark);
        }
        Event::Order { step } => part.list(step),
        Event::Start => {
            part.watch.start = Some(now);
            part.watch.loads = (loads, loads);
        }
        Event::Finish => {
            part.watch.stop = Some(now);
            part.watch.loads.1 = loads;
        }
        Event::Hold { why } => part.watch.holds.push((now, None, why.clone())),
        Event::Release => {
            if let Some((_, to, _)) = part.watch.holds.last_mut() {
                *to = Some(now);
            }
        }
        _ => {}
    }
}

fn toggle(set: &mut BTreeSet<String>, id: &str) {
    if !set.remove(id) {
        set.insert(id.to_owned());
    }
}
