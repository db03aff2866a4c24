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
use super::finished::{Head, KEPT, carried_over};
use super::kit::{Live, LiveKit};
use super::log::{Entry, Event, Key, Log};
use super::next::Opening;
use super::sheet::sheets;
use super::show;
use super::state::{Phase, State};
use crate::fingerprint::{canonical, hex_hash};

/// What is stored: the open run, the kit it goes on with, the run that a second evaluator scores
/// again, the heads of finished runs, and the one list in which earlier releases kept those.
const NAMES: [&str; 5] = ["run", "kit", "first", "heads", "finished"];

/// The kit of the page, and the one that an open run holds on to.
#[derive(Debug)]
struct Kits {
    own: Live,
    held: Option<Live>,
    /// The hash of the text that `held` was read from.
    hash: String,
    /// What is said where the page carries another revision than the open run began with.
    said: Option<&'static str>,
}

impl Kits {
    const fn live(&self) -> &Live {
        match &self.held {
            Some(held) => held,
            None => &self.own,
        }
    }

    /// An open run goes on with the kit it began with, whatever the page carries by now.
    fn hold(&mut self, stored: Option<&String>) {
        let hash = stored.map(|text| hex_hash(text.as_bytes())).unwrap_or_default();
        if self.hash == hash {
            return;
        }
        if stored.is_none() || hash == self.own.revision() {
            (self.held, self.said, self.hash) = (None, None, hash);
            return;
        }
        let read = |text: &String| {
            let kit: LiveKit = from_text(text)?;
            Live::new(kit).ok().filter(Live::fits)
        };
        let held = stored.and_then(read);
        self.said = match &held {
            Some(held) if held.revision() == self.own.revision() => None,
            Some(_) => Some("newer"),
            // It goes on with the page's own, and that must be said.
            None => Some("unread"),
        };
        self.held = held.filter(|_| self.said.is_some());
        self.hash = hash;
    }
}

/// The open run: its log, and what the log comes to.
#[derive(Debug, Default)]
struct Run {
    log: Log,
    state: State,
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
    run: Run,
    first: Option<State>,
    heads: Vec<Head>,
    /// What is stored by now, by key.
    stored: BTreeMap<String, String>,
    refused: bool,
}

impl Panel {
    /// A sheet on which nothing was tapped yet.
    pub fn new(own: Live) -> Self {
        let hash = String::new();
        let kits = Kits { own, held: None, hash, said: None };
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

    fn text_key(&self, run: &str) -> String {
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
        self.shown(turn, &Event::Show, &given.at)
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
            return self.shown(turn, &Event::Show, &tap.at);
        }
        if tap.event == Event::Tick {
            let mut state = self.run.state.clone();
            state.span.on_to(&tap.at);
            turn.texts = show::texts(self.live(), &state);
            turn.asks = asks(&state);
            turn.of.clone_from(&self.run.log.id);
            return turn;
        }
        if tap.event == Event::Show {
            return self.shown(turn, &tap.event, &tap.at);
        }
        if self.kept("run").is_none() {
            // A run has its name from its first tap, not from when the page was opened.
            let log = opening(tap).fresh(self.kits.live());
            let id = std::mem::take(&mut self.run.log.id);
            self.run = Run::of(self.kits.live(), Log { id, ..log });
        }
        let another = self.take(&mut turn, tap);
        self.put(&mut turn, "run", canonical(&self.run.log).ok());
        self.shown(turn, if another { &Event::Show } else { &tap.event }, &tap.at)
    }

    /// Whether another run has taken the place of the open one.
    fn take(&mut self, turn: &mut Turn, tap: &Tap<Event>) -> bool {
        let (live, state) = (self.kits.live(), &self.run.state);
        let (log, done) = (&self.run.log, state.phase == Phase::Done);
        match &tap.event {
            Event::Print => turn.asks.push("print"),
            Event::Undo if can_undo(log, state) => self.run.undo(live, &tap.at),
            Event::File { run } => {
                let head = self.heads.iter().find(|head| head.id == *run);
                turn.fetch = head.map(|head| (head.name.clone(), self.text_key(run)));
            }
            Event::Forget { run } => self.forget(turn, run),
            Event::Rescue => turn.file = Some(file(live, log, state)),
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

    /// What else is stored when a run begins or is saved.
    fn after(&mut self, turn: &mut Turn, event: &Event) {
        let live = self.kits.live();
        match event {
            // The run goes on with this kit, whatever the page says when it is loaded again.
            Event::Begin => self.put(turn, "kit", canonical(live.data()).ok()),
            Event::Save => {
                let (name, text) = file(live, &self.run.log, &self.run.state);
                let state = &self.run.state;
                let title = show::title(live, state, &sheets(live, state));
                self.finish(turn, Head::of(name.clone(), title, &text), text.clone());
                // The oldest goes: its file was handed over when it was saved.
                while self.heads.len() > KEPT {
                    let oldest = self.heads.pop().map(|head| self.text_key(&head.id));
                    turn.store.extend(oldest.map(|key| (key, None)));
                }
                self.put(turn, "heads", canonical(&self.heads).ok());
                turn.file = Some((name, text));
            }
            _ => {}
        }
    }

    fn finish(&mut self, turn: &mut Turn, head: Head, text: String) {
        turn.store.insert(self.text_key(&head.id), Some(text));
        // The same run saved again is the same text: one entry.
        self.heads.retain(|known| known.id != head.id);
        self.heads.insert(0, head);
    }

    fn forget(&mut self, turn: &mut Turn, run: &str) {
        if self.heads.iter().any(|head| head.id == run) {
            self.heads.retain(|head| head.id != run);
            turn.store.insert(self.text_key(run), None);
            self.put(turn, "heads", canonical(&self.heads).ok());
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
    fn put(&mut self, turn: &mut Turn, name: &str, text: Option<String>) {
        let key = self.key(name);
        if self.stored.get(&key) == text.as_ref() {
            return;
        }
        match &text {
            Some(text) => self.stored.insert(key.clone(), text.clone()),
            None => self.stored.remove(&key),
        };
        turn.store.insert(key, text);
    }

    fn shown(&self, mut turn: Turn, event: &Event, at: &At) -> Turn {
        let live = self.kits.live();
        let mut state = self.run.state.clone();
        state.span.on_to(at);
        let refused_begin = *event == Event::Begin && state.phase == Phase::Declare;
        let desk = Desk {
            live,
            log: &self.run.log,
            state: &state,
            event,
            finished: &self.heads,
            first: self.first.as_ref(),
            notes: if refused_begin { show::missing(live, &state) } else { Vec::new() },
            refused: self.refused,
            of_kit: self.kits.said,
        };
        // Drawn anew, the field would lose the place of the cursor between two letters.
        let typed = match event {
            Event::Write { field, .. } => !show::redraws(field),
            Event::Press { key, .. } => *key != Key::On,
            _ => false,
        };
        turn.view = (!typed).then(|| show::view(&desk));
        turn.texts = show::texts(live, &state);
        turn.texts.extend(show::field::texts(live, &state, event));
        turn.asks.extend(asks(&state));
        turn.of.clone_from(&self.run.log.id);
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
