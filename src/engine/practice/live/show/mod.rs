//! The views of a live sheet.

mod ask;
mod by_hand;
mod criticals;
mod declare;
mod done;
pub(super) mod field;
mod of_number;
mod order;
mod over;
mod parts;
mod questions;
mod review;
mod run;
mod steps;
mod stopped;
mod watch;

use std::collections::BTreeMap;

use super::desk::Desk;
use super::kit::Live;
use super::log::Event;
use super::look::Look;
use super::sheet::Part;
use super::state::{FURTHER, Phase, State};
use super::told::what;
use crate::practice::view::{Node, View, does};
use parts::{clock, in_buttons};

/// What is shown now.
pub(super) fn view(desk: &Desk<'_>) -> View {
    let mut nodes = Vec::new();
    // words: live.{newer|unread}
    nodes.extend(desk.of_kit.map(|key| desk.note(key)));
    if desk.refused {
        nodes.push(desk.note("refused").holding([
            Node::new("br"),
            Node::button(desk.get("rescue"), does("rescue")).with("id", "rescue"),
        ]));
    }
    if !desk.notes.is_empty() {
        let lines = desk.notes.iter().map(|note| Node::text("p", note.clone()));
        let box_ = Node::new("div").with("class", "note").with("id", "notes");
        nodes.push(box_.with("role", "alert").with("tabindex", "-1").holding(lines));
    }
    let (mut body, mut focus) = match desk.state.phase {
        Phase::Declare => declare::view(desk),
        // What was on paper is copied from a list, not watched.
        Phase::Run if desk.state.later() => run::view(desk),
        Phase::Run if *desk.look == Look::Sheet => run::view(desk),
        Phase::Run => watch::view(desk),
        Phase::Stopped => stopped::view(desk),
        Phase::Review => ask::view(desk).unwrap_or_else(|| review::view(desk)),
        Phase::Done => done::view(desk),
    };
    watch::tell(&mut body, &mut nodes);
    nodes.extend(body);
    // A second tap is asked for, because a run that is thrown away cannot be taken back.
    if *desk.event == Event::Discard && desk.state.phase != Phase::Done {
        nodes.push(discard(desk));
        focus = Some("keep".into());
    } else if !desk.notes.is_empty() {
        focus = Some("notes".into());
    }
    View { nodes, says: says(desk), focus }
}

/// The question whether a run shall really go.
fn discard(desk: &Desk<'_>) -> Node {
    Node::new("div").with("class", "note").with("role", "alert").holding([
        Node::text("p", desk.get("discard-sure")),
        Node::new("p").with("class", "buttons").holding([
            Node::button(desk.get("discard-no"), does("show")).with("id", "keep"),
            Node::button(desk.get("discard-yes"), does("discard-all"))
                .with("id", "discard-all"),
        ]),
    ])
}

/// What a screen reader is told: the last entry of the log.
fn says(desk: &Desk<'_>) -> String {
    if *desk.event == Event::Show {
        // words: live.phase.{declare|run|stopped|review|done}
        return desk.get(&format!("phase.{}", phase(desk.state)));
    }
    let last = desk.log.entries.last();
    last.map(|entry| what(desk.live, &entry.event)).unwrap_or_default()
}

const fn phase(state: &State) -> &'static str {
    match state.phase {
        Phase::Declare => "declare",
        Phase::Run => "run",
        Phase::Stopped => "stopped",
        Phase::Review => "review",
        Phase::Done => "done",
    }
}

/// Whether what is shown changes with a field.
pub(super) fn redraws(field: &str) -> bool {
    ["rig", "outlet", "role", "later", "use", "mode", "stop.by"].contains(&field)
        || field.starts_with(FURTHER)
        || in_buttons(field)
        || (field.contains("/settled.") && field.ends_with(".officer"))
        || field.contains("/others.")
        || field == "attempt"
}

/// Whether a clock is told second by second.
pub(super) fn ticks(state: &State) -> bool {
    state.phase == Phase::Run && !state.later()
}

/// Texts that change without a tap.
pub(super) fn texts(live: &Live, state: &State) -> BTreeMap<String, String> {
    let mut texts = BTreeMap::new();
    if state.phase == Phase::Declare {
        texts.insert("begin".to_owned(), declare::begin_text(live, state));
    }
    if let Some(text) = clock(live, state) {
        texts.insert("clock".to_owned(), text);
    }
    texts
}

/// Title of a finished run.
pub(super) fn title(live: &Live, state: &State, parts: &[Part<'_>]) -> String {
    let outcomes: Vec<&str> =
        parts.iter().map(|part| part.verdict.outcome_text.as_str()).collect();
    let (outcomes, candidate) = (outcomes.join("; "), live.name(state.text("candidate")));
    let evaluator = live.name(state.text("evaluator"));
    let blanks = [
        ("run", state.text("run")),
        ("candidate", candidate),
        ("evaluator", evaluator),
        ("outcome", &outcomes),
    ];
    live.words().say("live.finished", &blanks)
}
