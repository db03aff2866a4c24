//! One turn of a live sheet: what is stored and what happened → what is shown and stored.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::super::decode::from_text;
use super::super::view::View;
use super::event::{Event, Heard};
use super::file::file;
use super::kit::Live;
use super::log::{Entry, Log};
use super::sheet::sheets;
use super::show;
use super::state::{DECLARED, Phase, State};
use crate::fingerprint::canonical;

/// So many finished runs are kept in the browser.
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
    /// Whether the screen should stay on.
    pub awake: bool,
    /// Whether seconds should be told.
    pub ticks: bool,
    /// Whether the page's own kit is opened again: no run holds on to an earlier one.
    pub reopen: bool,
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
    let stored = |name: &str| heard.stored.get(&key(live, name));
    let mut log = Log::read(stored("run")).unwrap_or_else(|| fresh(live, heard));
    let mut finished: Vec<Finished> =
        stored("finished").and_then(|text| from_text(text)).unwrap_or_default();
    let mut out = LiveTurn::default();
    let mut state = log.replay(live);
    let mut notes = Vec::new();
    let mut discards = false;
    match &heard.event {
        Event::Show => {}
        Event::Tick => {
            state.span.on_to(&heard.at);
            out.texts = show::texts(live, &state);
            out.ticks = true;
            out.awake = true;
            return out;
        }
        Event::Undo => {
            if can_undo(&log, &state) {
                log.add(&heard.at, &Event::Undo);
            }
        }
        Event::File { at } => {
            out.file = finished.get(*at).map(|run| (run.name.clone(), run.text.clone()));
        }
        Event::Forget { at } => {
            if *at < finished.len() {
                finished.remove(*at);
                put(&mut out, live, "finished", &finished);
            }
        }
        Event::Rescue => out.file = Some(file(live, &log, &state)),
        Event::Discard => discards = state.phase != Phase::Done,
        Event::DiscardAll => {
            again(&mut out, live, &mut log, fresh(live, heard));
        }
        Event::Next if state.phase == Phase::Done => {
            let next = like(live, heard, &state, &["run", "candidate", "attempt"]);
            again(&mut out, live, &mut log, next);
            out.store.insert(key(live, "first"), None);
        }
        Event::Second if state.phase == Phase::Done => {
            put(&mut out, live, "first", &log);
            let left = ["evaluator", "qualification", "relation"];
            let mut next = like(live, heard, &state, &left);
            // It is the same run, at the time at which it was.
            let when = sheets(live, &state).into_iter().next();
            let when = when.map(|part| part.sheet.performed_at).unwrap_or_default();
            for (field, text) in [("later", "yes".to_owned()), ("performed-at", when)] {
                let field = field.to_owned();
                next.add(&heard.at, &Event::Write { field, text });
            }
            again(&mut out, live, &mut log, next);
        }
        event => {
            let entry = Entry { at: heard.at.clone(), event: event.clone() };
            if state.allows(live, event) {
                log.add(&entry.at, &entry.event);
                state = log.replay(live);
                after(&mut out, live, (&log, &state), &mut finished, event);
            } else if *event == Event::Begin {
                notes = show::missing(live, &state);
            }
        }
    }
    state = log.replay(live);
    if heard.event != Event::Show {
        put(&mut out, live, "run", &log);
    }
    state.span.on_to(&heard.at);
    let first = out.store.get(&key(live, "first")).cloned().flatten();
    let first = first.or_else(|| {
        stored("first").filter(|_| !out.store.contains_key(&key(live, "first"))).cloned()
    });
    let first = Log::read(first.as_ref()).map(|log| log.replay(live));
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
    let typed =
        matches!(&heard.event, Event::Write { field, .. } if !show::redraws(field));
    out.view = (!typed).then(|| show::view(&desk));
    out.texts = show::texts(live, &state);
    out.awake = matches!(state.phase, Phase::Run | Phase::Stopped);
    out.ticks = show::ticks(&state);
    out
}

/// What can be taken back: anything since the page of declarations, until the sheet is saved.
pub(super) fn can_undo(log: &Log, state: &State) -> bool {
    let last = log.last().map(|entry| &entry.event);
    let real = last.is_some_and(|event| !matches!(event, Event::Save | Event::Begin));
    real && matches!(state.phase, Phase::Run | Phase::Review)
}

/// What else is stored when a run begins or is saved.
fn after(
    out: &mut LiveTurn,
    live: &Live,
    (log, state): (&Log, &State),
    finished: &mut Vec<Finished>,
    event: &Event,
) {
    match event {
        // The run goes on with this kit, whatever the page says when it is loaded again.
        Event::Begin => put(out, live, "kit", live.data()),
        Event::Save => {
            let (name, text) = file(live, log, state);
            let title = show::title(live, state, &sheets(live, state));
            finished
                .insert(0, Finished { name: name.clone(), title, text: text.clone() });
            finished.truncate(KEPT);
            put(out, live, "finished", finished);
            out.file = Some((name, text));
        }
        _ => {}
    }
}

fn put(out: &mut LiveTurn, live: &Live, name: &str, thing: &impl Serialize) {
    out.store.insert(key(live, name), canonical(thing).ok());
}

/// Another run takes the place of this one.
fn again(out: &mut LiveTurn, live: &Live, log: &mut Log, next: Log) {
    *log = next;
    out.store.insert(key(live, "kit"), None);
    out.reopen = true;
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
