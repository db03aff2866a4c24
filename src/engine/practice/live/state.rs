//! The state of a live run: what its log comes to.

use std::collections::{BTreeMap, BTreeSet};

use super::clock::{At, Span};
use super::kit::Live;
use super::log::{Entry, Event};
use super::sheet;
use crate::course::{CriticalMark, Mark};
use crate::scoring::Kit;

/// Where a run stands.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Phase {
    /// Use, mode, people and weather are being declared.
    #[default]
    Declare,
    /// It is run.
    Run,
    /// Somebody stopped it.
    Stopped,
    /// The sheet is looked through before it is saved.
    Review,
    /// It is saved.
    Done,
}

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
    /// Steps out of order.
    pub out_of_order: BTreeSet<String>,
    /// The confirmed order.
    pub order: Vec<String>,
    /// Marks by critical.
    pub criticals: BTreeMap<String, CriticalMark>,
    /// Unsafe acts seen.
    pub acts: BTreeSet<String>,
    /// The watch.
    pub watch: Watch,
}

/// A run.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct State {
    /// Where it stands.
    pub phase: Phase,
    /// Its time.
    pub span: Span,
    /// Everything written, by field; what belongs to a drill stands under `DRILL/field`.
    pub texts: BTreeMap<String, String>,
    /// The drill that is shown.
    pub drill: String,
    /// What was seen, by drill.
    pub parts: BTreeMap<String, Part>,
    /// When the run began.
    pub began: Option<At>,
    /// When it was saved.
    pub saved: Option<At>,
    /// Whether it was stopped.
    pub stopped: bool,
}

/// Fields that are declared before the start.
pub(super) const DECLARED: &[&str] = &[
    "run",
    "rig",
    "outlet",
    "use",
    "mode",
    "role",
    "candidate",
    "attempt",
    "evaluator",
    "qualification",
    "relation",
    "safety-officer",
    "weather",
    "light",
    "stop-word",
    "later",
    "performed-at",
];

/// What is asked after a stop.
pub(super) const STOP: &[&str] = &["stop.by", "stop.why", "stop.cause"];

impl State {
    /// Nothing is declared yet but what there is no choice about.
    pub fn new(live: &Live) -> Self {
        let mut state = Self::default();
        let mut set = |field: &str, text: Option<&str>| {
            if let Some(text) = text {
                state.texts.insert(field.to_owned(), text.to_owned());
            }
        };
        let mut rigs = live.rigs();
        let only = rigs.next().filter(|_| rigs.next().is_none());
        set("rig", only.map(|rig| rig.id.as_str()));
        if let [role] = live.scored().as_slice() {
            set("role", Some(role.id.as_str()));
        }
        let first = live.data().drills.first().map(|standard| &standard.drill);
        set("stop-word", first.map(|drill| drill.stop.word.as_str()));
        set("attempt", Some("1"));
        state
    }

    /// What stands in a field.
    pub fn text(&self, field: &str) -> &str {
        self.texts.get(field).map_or("", |text| text.trim())
    }

    /// What was seen of the drill that is shown.
    pub fn part(&self) -> Option<&Part> {
        self.parts.get(&self.drill)
    }

    /// The kit of the drill that is shown.
    pub fn kit<'l>(&self, live: &'l Live) -> Option<&'l Kit> {
        live.kit(self.text("rig"), &self.drill)
    }

    /// Whether the run was on paper and is typed in.
    pub fn later(&self) -> bool {
        self.text("later") == "yes"
    }

    /// Whether this may happen now. What may not leaves no entry.
    pub fn allows(&self, live: &Live, event: &Event) -> bool {
        use Event as E;
        let (run, review) = (self.phase == Phase::Run, self.phase == Phase::Review);
        match event {
            E::Write { field, .. } | E::Press { field, .. } => self.may_write(field),
            E::Begin => {
                self.phase == Phase::Declare && sheet::missing(live, self).is_empty()
            }
            E::Turn { drill } => {
                (run || review) && live.kit(self.text("rig"), drill).is_some()
            }
            E::Mark { step, mark } => {
                let stands = *mark != Mark::NotApplicable && self.stands(live, step);
                (run || review) && stands
            }
            E::OutOfOrder { step } => (run || review) && self.stands(live, step),
            E::Order { step } => review && self.stands(live, step),
            E::Critical { critical, mark } => {
                let known = self.kit(live).is_some_and(|kit| {
                    let mut of = kit.drill().criticals.iter();
                    let role = self.text("role");
                    let fits = |c: &&crate::course::Critical| c.id == *critical;
                    of.find(fits).is_some_and(|c| {
                        c.role == role && c.condition().lacks(kit.rig()).is_none()
                    })
                });
                (run || review) && known && *mark != CriticalMark::NotApplicable
            }
            E::Unsafe { act } => {
                let kit = self.kit(live);
                let known =
                    |kit: &Kit| kit.standard().unsafe_acts.iter().any(|a| a.id == *act);
                (run || review) && kit.is_some_and(known)
            }
            E::Start => {
                run && self.timed(live) && !self.watch(|watch| watch.start.is_some())
            }
            E::Finish => run && self.watch(Watch::runs),
            E::Hold { .. } => run && self.watch(|w| w.runs() && !w.is_held()),
            E::Release => run && self.watch(|watch| watch.runs() && watch.is_held()),
            E::Stop => run,
            E::End => run || (self.phase == Phase::Stopped && self.stop_is_told()),
            E::NoStop => self.phase == Phase::Stopped,
            E::Back => review,
            E::Rest { mark } => {
                let known = matches!(mark, Mark::NotDone | Mark::NotSeen);
                (review && known)
                    || ((run || review) && self.later() && *mark == Mark::Done)
            }
            E::RestCriticals { mark } => {
                let known = matches!(mark, CriticalMark::Kept | CriticalMark::NotSeen);
                (review || run && self.later()) && known
            }
            E::Save => review && sheet::faults(live, self).is_empty(),
            _ => false,
        }
    }

    fn may_write(&self, field: &str) -> bool {
        let declared = DECLARED.contains(&field) || field.starts_with("crew.");
        let of_part = field.split_once('/').is_some_and(|(drill, name)| {
            self.parts.contains_key(drill) && !name.is_empty()
        });
        let of_stop = STOP.contains(&field);
        let after = ["remediation", "words", "void", "notes"].contains(&field);
        match self.phase {
            Phase::Declare => declared,
            Phase::Run => of_part || field == "notes",
            Phase::Stopped => of_stop,
            Phase::Review => of_part || after || (of_stop && self.stopped),
            Phase::Done => false,
        }
    }

    fn watch(&self, holds: impl Fn(&Watch) -> bool) -> bool {
        self.part().is_some_and(|part| holds(&part.watch))
    }

    fn timed(&self, live: &Live) -> bool {
        self.kit(live).is_some_and(|kit| kit.drill().time.is_some())
    }

    /// Whether a step of the candidate can be seen on this rig in this mode.
    fn stands(&self, live: &Live, step: &str) -> bool {
        sheet::open_steps(live, self, &self.drill).any(|open| open.id == step)
    }

    /// Takes one entry of the log; what is not allowed changes nothing.
    pub(super) fn apply(&mut self, live: &Live, entry: &Entry) -> bool {
        if !self.allows(live, &entry.event) {
            return false;
        }
        let now = self.span.now;
        match &entry.event {
            Event::Write { field, text } => self.write(field, text),
            Event::Begin => self.begin(live, &entry.at),
            Event::Turn { drill } => self.drill.clone_from(drill),
            Event::Stop => (self.phase, self.stopped) = (Phase::Stopped, true),
            Event::NoStop => (self.phase, self.stopped) = (Phase::Run, false),
            Event::End => self.phase = Phase::Review,
            Event::Back if self.stopped => self.phase = Phase::Stopped,
            Event::Back => self.phase = Phase::Run,
            Event::Save => {
                self.phase = Phase::Done;
                self.saved = Some(entry.at.clone());
            }
            Event::Rest { mark } => {
                for (drill, step) in sheet::untouched(live, self).0 {
                    self.part_mut(&drill).marks.insert(step, *mark);
                }
            }
            Event::RestCriticals { mark } => {
                for (drill, critical) in sheet::untouched(live, self).1 {
                    self.part_mut(&drill).criticals.insert(critical, *mark);
                }
            }
            seen => {
                let loads = self.span.loads;
                let drill = self.drill.clone();
                see(self.part_mut(&drill), seen, (now, loads));
            }
        }
        true
    }

    /// Whether who, why and cause of the stop are told, and the sheet can be looked through.
    fn stop_is_told(&self) -> bool {
        STOP.iter().all(|field| !self.text(field).is_empty())
    }

    fn write(&mut self, field: &str, text: &str) {
        // A text that fills a whole sheet of paper is long enough.
        let text: String = text.chars().take(2000).collect();
        if field == "rig" && self.text("rig") != text {
            self.texts.remove("outlet");
        }
        self.texts.insert(field.to_owned(), text);
    }

    fn begin(&mut self, live: &Live, at: &At) {
        self.phase = Phase::Run;
        self.began = Some(at.clone());
        for kit in live.kits(self.text("rig")) {
            self.parts.insert(kit.drill().id.clone(), Part::default());
        }
        let first = live.kits(self.text("rig")).first();
        self.drill = first.map(|kit| kit.drill().id.clone()).unwrap_or_default();
    }

    fn part_mut(&mut self, drill: &str) -> &mut Part {
        self.parts.entry(drill.to_owned()).or_default()
    }
}

/// What was seen of one drill.
fn see(part: &mut Part, event: &Event, (now, loads): (i64, u32)) {
    match event {
        Event::Mark { step, mark } => {
            part.marks.insert(step.clone(), *mark);
            if *mark == Mark::NotDone {
                part.order.retain(|known| known != step);
            }
        }
        Event::OutOfOrder { step } => toggle(&mut part.out_of_order, step),
        Event::Unsafe { act } => toggle(&mut part.acts, act),
        Event::Critical { critical, mark } => {
            part.criticals.insert(critical.clone(), *mark);
        }
        Event::Order { step } => {
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
