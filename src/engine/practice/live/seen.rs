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

/// What was seen of one drill.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Part {
    /// Marks by step.
    pub marks: BTreeMap<String, Mark>,
    /// The confirmed order.
    pub order: Vec<String>,
    /// Whether it was that of the sheet.
    pub as_printed: bool,
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
    /// Marks by critical.
    pub criticals: BTreeMap<String, CriticalMark>,
    /// Unsafe acts seen.
    pub acts: BTreeSet<String>,
    /// The watch.
    pub watch: Watch,
}

/// Takes one entry about the drill that is shown.
pub(super) fn see(part: &mut Part, event: &Event, (now, loads): (i64, u32)) {
    match event {
        Event::Mark { step, mark } => {
            part.marks.insert(step.clone(), *mark);
            // A step that was not done has no place in an order (rule 7 e).
            if *mark == Mark::NotDone {
                part.order.retain(|known| known != step);
            }
        }
        Event::AsPrinted => {
            // A second tap takes it back, as with every button that stays down.
            part.as_printed = !part.as_printed;
            part.order.clear();
        }
        Event::NotWatched => {
            part.as_printed = false;
            part.order.clear();
        }
        Event::Pair { pair, seen } => {
            part.pairs.insert(pair.clone(), *seen);
        }
        Event::Begun { step, begun } => {
            part.begun.insert(step.clone(), *begun);
        }
        Event::Undone { step } => toggle(&mut part.undone, step),
        Event::Cue { cue, mark } => {
            part.cues.insert(cue.clone(), *mark);
        }
        Event::Reported { measure } => toggle(&mut part.reported, measure),
        Event::Unsafe { act } => toggle(&mut part.acts, act),
        Event::Critical { critical, mark } => {
            part.criticals.insert(critical.clone(), *mark);
        }
        // One order is declared: a list that is begun is another one than the printed.
        Event::Order { step } => {
            part.as_printed = false;
            match part.order.iter().position(|known| known == step) {
                Some(at) => drop(part.order.remove(at)),
                None => part.order.push(step.clone()),
            }
        }
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
