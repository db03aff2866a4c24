//! One turn of a live sheet: what is stored and what happened → what is shown and stored.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::super::decode::from_text;
use super::super::view::View;
use super::event::{Event, Heard, Key};
use super::file::file;
use super::kit::Live;
use super::log::Log;
use super::sheet::sheets;
use super::show;
use super::state::{DECLARED, Phase, State};
use crate::fingerprint::canonical;

/// So many finished runs are kept in the browser: more than an evening has, and within the few
/// megabytes that a browser gives a page.
const KEPT: usize = 30;

/// What comes of an event.
#[derive(Debug, Clone, Default, Serialize)]
pub struct LiveTurn {
    /// What is shown now; nothing when what is shown stays.
    pub view: Option<View>,
    /// Texts that change within what is shown, by the id of their element.
    pub texts: BTreeMap<String, String>,
    /// What is stored, by key; `null` takes it out.
    pub store: BTreeMap<String, Option<String>>,
    /// A file for whoever uses the page: name and text.
    pub file: Option<(String, String)>,
    /// What the page is asked for: `awake`, the screen stays on; `ticks`, seconds are told;
    /// `reopen`, its own kit is opened again, because no run holds on to an earlier one;
    /// `print`.
    pub asks: Vec<&'static str>,
}

/// A finished run that the browser still keeps.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Finished {
    pub(super) name: String,
    pub(super) title: String,
    pub(super) text: String,
}

/// All that a view is made from.
pub(super) struct Desk<'d> {
    pub(super) live: &'d Live,
    pub(super) log: &'d Log,
    pub(super) state: &'d State,
    pub(super) heard: &'d Heard,
    pub(super) finished: &'d [Finished],
    /// The run that a second evaluator scores apart.
    pub(super) first: Option<State>,
    /// Sentences above everything else.
    pub(super) notes: Vec<String>,
    /// Whether the run shall be thrown away.
    pub(super) discards: bool,
}

fn key(live: &Live, name: &str) -> String {
    let kit = live.data();
    format!("drillwright/{}/live-{}/{name}", kit.module, kit.id)
}

/// Keys of what is stored: the open run, the kit it goes on with, finished runs, and the run
/// that a second evaluator scores again.
pub fn keys(live: &Live) -> Vec<String> {
    ["run", "kit", "finished", "first"].map(|name| key(live, name)).to_vec()
}

/// One turn. What cannot happen now changes nothing.
pub fn turn(live: &Live, heard: &Heard) -> LiveTurn {
    let mut table = Table::new(live, heard);
    if heard.event == Event::Tick {
        let mut state = table.log.replay(live);
        state.span.on_to(&heard.at);
        table.out.texts = show::texts(live, &state);
        table.out.asks = asks(&state);
        return table.out;
    }
    table.take();
    if heard.event != Event::Show {
        table.put("run", &table.log.clone());
    }
    table.shown()
}

/// What one event is worked out with.
struct Table<'t> {
    live: &'t Live,
    heard: &'t Heard,
    log: Log,
    first: Option<Log>,
    finished: Vec<Finished>,
    notes: Vec<String>,
    discards: bool,
    out: LiveTurn,
}

impl<'t> Table<'t> {
    fn new(live: &'t Live, heard: &'t Heard) -> Self {
        let stored = |name: &str| heard.stored.get(&key(live, name));
        Self {
            live,
            heard,
            log: Log::read(stored("run")).unwrap_or_else(|| fresh(live, heard)),
            first: Log::read(stored("first")),
            finished: stored("finished")
                .and_then(|text| from_text(text))
                .unwrap_or_default(),
            notes: Vec::new(),
            discards: false,
            out: LiveTurn::default(),
        }
    }

    fn take(&mut self) {
        let (live, heard) = (self.live, self.heard);
        let state = self.log.replay(live);
        let done = state.phase == Phase::Done;
        match &heard.event {
            Event::Show | Event::Tick => {}
            Event::Print => self.out.asks.push("print"),
            Event::Undo if can_undo(&self.log, &state) => {
                self.log.add(&heard.at, &Event::Undo);
            }
            Event::File { at } => {
                let run = self.finished.get(*at);
                self.out.file = run.map(|run| (run.name.clone(), run.text.clone()));
            }
            Event::Forget { at } if *at < self.finished.len() => {
                self.finished.remove(*at);
                self.put("finished", &self.finished.clone());
            }
            Event::Rescue => self.out.file = Some(file(live, &self.log, &state)),
            Event::Discard => self.discards = !done,
            Event::DiscardAll => self.again(fresh(live, heard)),
            Event::Next if done => {
                self.again(like(live, heard, &state, &["run", "candidate", "attempt"]));
                self.first = None;
                self.out.store.insert(key(live, "first"), None);
            }
            Event::Second if done => {
                self.first = Some(self.log.clone());
                self.put("first", &self.log.clone());
                self.again(second(live, heard, &state));
            }
            Event::Role if done && live.scored().len() > 1 => {
                self.again(other_role(live, heard, &state));
                self.first = None;
                self.out.store.insert(key(live, "first"), None);
            }
            event @ Event::Press { field, key }
                if state.allows(live, event) && show::pad::has(live, &state, field) =>
            {
                let text = show::pad::pressed(state.text(field), key);
                if text != state.text(field) {
                    let field = field.clone();
                    self.log.add(&heard.at, &Event::Write { field, text });
                }
            }
            Event::Press { .. } => {}
            event if state.allows(live, event) => {
                self.log.add(&heard.at, event);
                self.after(event);
            }
            Event::Begin => self.notes = show::missing(live, &state),
            _ => {}
        }
    }

    /// What else is stored when a run begins or is saved.
    fn after(&mut self, event: &Event) {
        let live = self.live;
        match event {
            // The run goes on with this kit, whatever the page says when it is loaded again.
            Event::Begin => self.put("kit", live.data()),
            Event::Save => {
                let state = self.log.replay(live);
                let (name, text) = file(live, &self.log, &state);
                let title = show::title(live, &state, &sheets(live, &state));
                let run = Finished { name: name.clone(), title, text: text.clone() };
                self.finished.insert(0, run);
                self.finished.truncate(KEPT);
                self.put("finished", &self.finished.clone());
                self.out.file = Some((name, text));
            }
            _ => {}
        }
    }

    fn put(&mut self, name: &str, thing: &impl Serialize) {
        self.out.store.insert(key(self.live, name), canonical(thing).ok());
    }

    /// Another run takes the place of this one.
    fn again(&mut self, next: Log) {
        self.log = next;
        self.out.store.insert(key(self.live, "kit"), None);
        self.out.asks.push("reopen");
    }

    fn shown(self) -> LiveTurn {
        let Self { live, heard, log, first, finished, notes, discards, mut out } = self;
        let mut state = log.replay(live);
        state.span.on_to(&heard.at);
        let first = first.map(|log| log.replay(live));
        let desk = Desk {
            live,
            log: &log,
            state: &state,
            heard,
            finished: &finished,
            first,
            notes,
            discards,
        };
        let typed = match &heard.event {
            Event::Write { field, .. } => !show::redraws(field),
            Event::Press { key, .. } => *key != Key::On,
            _ => false,
        };
        out.view = (!typed).then(|| show::view(&desk));
        out.texts = show::texts(live, &state);
        out.texts.extend(show::pad::texts(live, &state, &heard.event));
        out.asks.extend(asks(&state));
        out
    }
}

fn asks(state: &State) -> Vec<&'static str> {
    let open = matches!(state.phase, Phase::Run | Phase::Stopped);
    let all = [("awake", open), ("ticks", show::ticks(state))];
    all.into_iter().filter(|(_, wanted)| *wanted).map(|(name, _)| name).collect()
}

/// What can be taken back: anything since the page of declarations, until the sheet is saved.
pub(super) fn can_undo(log: &Log, state: &State) -> bool {
    let last = log.last().map(|entry| &entry.event);
    let real = last.is_some_and(|event| !matches!(event, Event::Save | Event::Begin));
    real && matches!(state.phase, Phase::Run | Phase::Review)
}

/// A run with a name that no other has: the date, the time, and four letters of chance.
fn fresh(live: &Live, heard: &Heard) -> Log {
    let mut log = Log { kit: live.revision().to_owned(), entries: Vec::new() };
    let letters: String = heard
        .chance
        .iter()
        .take(4)
        .map(|byte| char::from(b'a' + byte.rem_euclid(26)))
        .collect();
    let moment: String = heard.at.minute().chars().filter(char::is_ascii_digit).collect();
    let text = format!("live-{moment}-{letters}x");
    log.add(&heard.at, &Event::Write { field: "run".into(), text });
    log
}

/// A run with the same declarations, but for some.
fn like(live: &Live, heard: &Heard, state: &State, but: &[&str]) -> Log {
    let mut log = if but.contains(&"run") {
        fresh(live, heard)
    } else {
        Log { kit: live.revision().to_owned(), entries: Vec::new() }
    };
    let crew = state.texts.keys().map(String::as_str).filter(|k| k.starts_with("crew."));
    for field in DECLARED.iter().copied().chain(crew) {
        if but.contains(&field) || state.text(field).is_empty() {
            continue;
        }
        let text = state.text(field).to_owned();
        log.add(&heard.at, &Event::Write { field: field.to_owned(), text });
    }
    log
}

/// The same run for a second evaluator, at the time at which it was.
fn second(live: &Live, heard: &Heard, state: &State) -> Log {
    let but = ["evaluator", "qualification", "relation", "later"];
    afterwards(live, heard, state, like(live, heard, state, &but))
}

/// The same run for another candidate of it: whoever was scored first is one of their crew.
fn other_role(live: &Live, heard: &Heard, state: &State) -> Log {
    let mut next = like(live, heard, state, &["role", "candidate", "attempt", "later"]);
    let field = format!("crew.{}", state.text("role"));
    let text = state.text("candidate").to_owned();
    next.add(&heard.at, &Event::Write { field, text });
    // Where only one is left there is no choice.
    let scored = live.scored();
    let mut left = scored.iter().filter(|role| role.id != state.text("role"));
    if let (Some(role), None) = (left.next(), left.next()) {
        let candidate = state.text(&format!("crew.{}", role.id)).to_owned();
        for (field, text) in [("role", role.id.clone()), ("candidate", candidate)] {
            next.add(&heard.at, &Event::Write { field: field.to_owned(), text });
        }
    }
    afterwards(live, heard, state, next)
}

fn afterwards(live: &Live, heard: &Heard, state: &State, mut next: Log) -> Log {
    let when = sheets(live, state).into_iter().next();
    let when = when.map(|part| part.sheet.performed_at).unwrap_or_default();
    for (field, text) in [("later", "yes".to_owned()), ("performed-at", when)] {
        next.add(&heard.at, &Event::Write { field: field.to_owned(), text });
    }
    next
}
