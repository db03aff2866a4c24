//! A live sheet at work: it holds the open run, and answers each tap with what is shown and what
//! is to be stored.
//!
//! What is stored goes in once, when a page opens or another tab has stored something; a tap
//! brings nothing but itself. An engine that is started again has the same state from what is
//! stored: the state is what the log comes to, tap by tap or all at once.

use std::collections::BTreeMap;

use super::super::ask::{Stored, Tap};
use super::super::decode::from_text;
use super::super::view::Turn;
use super::clock::At;
use super::desk::{Desk, can_undo};
use super::file::file;
use super::finished::{Head, carried_over};
use super::kit::Live;
use super::kits::Kits;
use super::last::{Declared, candidate_of, kept, standing};
use super::log::{Entry, Event, Key, Log};
use super::look::{Look, after};
use super::next::Opening;
use super::sheet::sheets;
use super::show;
use super::state::{Phase, State};
use crate::fingerprint::canonical;

/// What is stored: the open run, the kit it goes on with, the run that a second evaluator scores
/// again, the heads of finished runs, the one list in which earlier releases kept those, and what
/// was declared for the last run.
const NAMES: [&str; 6] = ["run", "kit", "first", "heads", "finished", "last"];

/// The open run: its log, and what the log comes to.
#[derive(Debug, Default)]
pub(super) struct Run {
    pub(super) log: Log,
    pub(super) state: State,
    /// Before the last entry, which typing changes.
    before: State,
}

impl Run {
    fn of(live: &Live, log: Log) -> Self {
        let state = log.replay(live);
        let mut before = log.clone();
        before.entries.pop();
        Self { before: before.replay(live), log, state }
    }

    fn add(&mut self, live: &Live, at: &At, event: Event) {
        let entry = Entry { at: at.clone(), event };
        if self.log.add(entry.clone()) {
            self.state = self.before.clone();
        } else {
            self.before = self.state.clone();
        }
        self.state.span.on_to(at);
        self.state.apply(live, &entry);
    }

    /// What was taken back may have allowed what came after it: everything is gone through again.
    fn undo(&mut self, live: &Live, at: &At) {
        self.log.add(Entry { at: at.clone(), event: Event::Undo });
        self.before = self.state.clone();
        self.state = self.log.replay(live);
    }
}

/// A live sheet with its open run.
#[derive(Debug)]
pub struct Panel {
    kits: Kits,
    pub(super) run: Run,
    first: Option<State>,
    pub(super) heads: Vec<Head>,
    /// What is stored by now, by key.
    stored: BTreeMap<String, String>,
    refused: bool,
}

impl Panel {
    /// A sheet on which nothing was tapped yet.
    pub fn new(own: Live) -> Self {
        let kits = Kits::of(own);
        let (first, heads, stored) = (None, Vec::new(), BTreeMap::new());
        Self { kits, run: Run::default(), first, heads, stored, refused: false }
    }

    /// The kit that the open run goes on with.
    pub const fn live(&self) -> &Live {
        self.kits.live()
    }

    /// Keys of what a page hands in.
    pub fn keys(&self) -> Vec<String> {
        NAMES.map(|name| self.key(name)).to_vec()
    }

    fn key(&self, name: &str) -> String {
        let kit = self.kits.own.data();
        format!("drillwright/{}/live-{}/{name}", kit.module, kit.id)
    }

    pub(super) fn text_key(&self, run: &str) -> String {
        self.key(&format!("finished/{run}"))
    }

    fn kept(&self, name: &str) -> Option<&String> {
        self.stored.get(&self.key(name))
    }

    /// Takes what is stored in place of what was known before.
    pub fn stored(&mut self, given: Stored) -> Turn {
        let mut turn = Turn::default();
        self.stored = given.stored;
        self.refused = given.refused;
        let kit = self.key("kit");
        self.kits.hold(self.stored.get(&kit));
        let opening = Opening { at: &given.at, chance: &given.chance };
        let log = Log::read(self.kept("run"));
        let live = self.kits.live();
        let log = log.unwrap_or_else(|| opening.fresh(live));
        self.run = Run::of(live, log);
        self.first = Log::read(self.kept("first")).map(|log| log.replay(self.live()));
        self.heads =
            self.kept("heads").and_then(|text| from_text(text)).unwrap_or_default();
        self.carry_over(&mut turn);
        self.shown(turn, &Event::Show, &given.at, &Look::read(&given.look))
    }

    /// Finished runs as earlier releases stored them get a head and a key each.
    fn carry_over(&mut self, turn: &mut Turn) {
        let Some(runs) = self.kept("finished").and_then(|text| carried_over(text)) else {
            return;
        };
        for (head, text) in runs.into_iter().rev() {
            self.finish(turn, head, text);
        }
        self.put(turn, "heads", canonical(&self.heads).ok());
        self.put(turn, "finished", None);
    }

    /// Takes one tap. What cannot happen now changes nothing.
    pub fn tap(&mut self, tap: &Tap<Event>) -> Turn {
        let mut turn = Turn::default();
        // Two tabs of one browser may hold two runs; a mark must never go to the other
        // candidate.
        if tap.of != self.run.log.id {
            // It was meant for a run that is no longer open.
            return self.shown(turn, &Event::Show, &tap.at, &Look::Now);
        }
        if tap.event == Event::Tick {
            let mut state = self.run.state.clone();
            state.span.on_to(&tap.at);
            turn.texts = show::texts(self.live(), &state);
            turn.asks = asks(&state);
            turn.of.clone_from(&self.run.log.id);
            turn.look.clone_from(&tap.look);
            return turn;
        }
        let look = Look::read(&tap.look);
        if let Event::Open { .. } | Event::Show = tap.event {
            let state = &self.run.state;
            let look = after(self.live(), (state, state), &tap.event, &look);
            return self.shown(turn, &tap.event, &tap.at, &look);
        }
        if self.kept("run").is_none() {
            // A run has its name from its first tap, not from when the page was opened.
            let log = opening(tap).fresh(self.kits.live());
            let id = std::mem::take(&mut self.run.log.id);
            self.run = Run::of(self.kits.live(), Log { id, ..log });
        }
        if tap.event == Event::Erase {
            return self.erase(turn, tap);
        }
        let before = self.run.state.clone();
        let another = self.take(&mut turn, tap);
        self.put(&mut turn, "run", canonical(&self.run.log).ok());
        if another {
            return self.shown(turn, &Event::Show, &tap.at, &Look::Now);
        }
        let look = match &tap.event {
            Event::Forget { run, sure } => self.forget(&mut turn, run, *sure),
            event => after(self.live(), (&before, &self.run.state), event, &look),
        };
        self.shown(turn, &tap.event, &tap.at, &look)
    }

    /// Nothing is left of any run, and the page begins as on a new device.
    fn erase(&mut self, mut turn: Turn, tap: &Tap<Event>) -> Turn {
        if matches!(self.run.state.phase, Phase::Declare | Phase::Done) {
            self.stored.clear();
            self.heads.clear();
            self.first = None;
            self.kits.hold(None);
            self.run = Run::of(self.kits.live(), opening(tap).fresh(self.kits.live()));
            turn.asks.push("erase");
        }
        self.shown(turn, &Event::Show, &tap.at, &Look::Now)
    }

    /// Whether another run has taken the place of the open one.
    fn take(&mut self, turn: &mut Turn, tap: &Tap<Event>) -> bool {
        let (live, state) = (self.kits.live(), &self.run.state);
        let (log, done) = (&self.run.log, state.phase == Phase::Done);
        let declaring = state.phase == Phase::Declare;
        match &tap.event {
            Event::Print => turn.asks.push("print"),
            Event::Undo if can_undo(log, state) => self.run.undo(live, &tap.at),
            Event::File { .. }
            | Event::HandAll
            | Event::Together { .. }
            | Event::Rescue => {
                self.hand(turn, &tap.event);
            }
            Event::Same | Event::Who { .. } if declaring => self.at_once(tap),
            Event::DiscardAll => {
                let next = opening(tap).fresh(live);
                self.follow(turn, next);
                return true;
            }
            Event::Next | Event::Role | Event::Second if done => {
                let next = match &tap.event {
                    Event::Next => opening(tap).next(live, state),
                    Event::Second => opening(tap).second(live, state),
                    _ if live.scored().len() > 1 => opening(tap).other_role(live, state),
                    _ => return false,
                };
                let second = tap.event == Event::Second;
                self.first = second.then(|| state.clone());
                let first = second.then(|| canonical(log).ok()).flatten();
                self.put(turn, "first", first);
                self.follow(turn, next);
                return true;
            }
            Event::Press { field, key } => {
                let number = state.allows(live, &tap.event)
                    && show::field::has(live, state, field);
                let text = show::field::pressed(state.text(field), key);
                if number && text != state.text(field) {
                    let field = field.clone();
                    self.run.add(live, &tap.at, Event::Write { field, text });
                }
            }
            event if state.allows(live, event) => {
                self.run.add(live, &tap.at, event.clone());
                self.after(turn, event);
            }
            _ => {}
        }
        false
    }

    /// What was declared for the last run of this browser.
    fn last(&self) -> Declared {
        self.kept("last").and_then(|text| from_text(text)).unwrap_or_default()
    }

    /// Several declarations with one touch; each stands in the log as if it were written.
    fn at_once(&mut self, tap: &Tap<Event>) {
        let live = self.kits.live();
        let all = match &tap.event {
            Event::Who { candidate } => candidate_of(live, &self.run.state, candidate),
            _ => {
                let candidate = self.run.state.text("candidate");
                standing(live, &self.last(), candidate).into_iter().collect()
            }
        };
        for (field, text) in all {
            let event = Event::Write { field, text };
            if self.run.state.allows(live, &event) {
                self.run.add(live, &tap.at, event);
            }
        }
    }

    /// What else is stored when a run begins or is saved.
    fn after(&mut self, turn: &mut Turn, event: &Event) {
        let live = self.kits.live();
        match event {
            // The run goes on with this kit, whatever the page says when it is loaded again.
            Event::Begin => {
                let last = canonical(&kept(&self.run.state)).ok();
                self.put(turn, "kit", Some(live.text().to_owned()));
                self.put(turn, "last", last);
            }
            Event::Save => {
                let (name, text) = file(live, &self.run.log, &self.run.state);
                let state = &self.run.state;
                let title = show::title(live, state, &sheets(live, state));
                self.finish(turn, Head::of(name.clone(), title, &text), text.clone());
                self.drop_oldest(turn);
                turn.file = Some((name, text));
            }
            _ => {}
        }
    }

    /// Another run takes the place of this one, with the page's own kit.
    fn follow(&mut self, turn: &mut Turn, next: Log) {
        self.kits.hold(None);
        self.put(turn, "kit", None);
        let own = self.kits.live();
        self.run = Run::of(own, Log { kit: own.revision().to_owned(), ..next });
    }

    /// Has something stored under a key, unless it is stored there by now.
    pub(super) fn put(&mut self, turn: &mut Turn, name: &str, text: Option<String>) {
        let key = self.key(name);
        turn.put(&mut self.stored, key, text);
    }

    fn shown(&self, mut turn: Turn, event: &Event, at: &At, look: &Look) -> Turn {
        let live = self.kits.live();
        let mut state = self.run.state.clone();
        state.span.on_to(at);
        let desk = Desk {
            live,
            log: &self.run.log,
            state: &state,
            event,
            look,
            finished: &self.heads,
            first: self.first.as_ref(),
            last: self.last(),
            notes: Vec::new(),
            refused: self.refused,
            of_kit: self.kits.said,
        };
        // Drawn anew, the field would lose the place of the cursor between two letters.
        let typed = match event {
            // A gap that is filled in is none any more, and is shown as none.
            Event::Write { field, .. } => !show::redraws(field) && *look != Look::Gaps,
            Event::Press { key, .. } => *key != Key::On,
            _ => false,
        };
        turn.view = (!typed).then(|| show::view(&desk));
        turn.texts = show::texts(live, &state);
        turn.texts.extend(show::field::texts(live, &state, event));
        turn.asks.extend(asks(&state));
        turn.of.clone_from(&self.run.log.id);
        turn.look = look.text();
        turn
    }
}

fn opening(tap: &Tap<Event>) -> Opening<'_> {
    Opening { at: &tap.at, chance: &tap.chance }
}

fn asks(state: &State) -> Vec<&'static str> {
    let open = matches!(state.phase, Phase::Run | Phase::Stopped);
    let all = [("awake", open), ("ticks", show::ticks(state))];
    all.into_iter().filter(|(_, wanted)| *wanted).map(|(name, _)| name).collect()
}
