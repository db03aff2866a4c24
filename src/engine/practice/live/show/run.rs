//! The run itself: its watch, and the rows that are marked.

use serde_json::json;

use super::super::asked::{asked_steps, cues, numbers, own_criticals};
use super::super::desk::{Desk, can_undo};
use super::super::log::Event;
use super::super::sheet::sheet;
use super::criticals::{acts, criticals};
use super::field::{NUMBERS, TIMES, after, id, label, lines, number};
use super::of_number::{as_manual, reported};
use super::parts::{clock, focus_or_head, heading, in_buttons, pressed};
use super::steps::{cue_rows, steps};
use crate::course::Mark;
use crate::practice::view::{Node, does, doing, valued};
use crate::scoring::{Kit, by_the_manual};

pub(super) fn view(desk: &Desk<'_>) -> (Vec<Node>, Option<String>) {
    let mut nodes = vec![heading(desk.get("run")), facts(desk)];
    let Some(kit) = desk.state.kit(desk.live) else { return (nodes, None) };
    nodes.extend(drills(desk));
    if desk.state.later() {
        nodes.push(paper_run(desk, kit));
    }
    nodes.extend(body(desk, kit));
    nodes.push(bar(desk));
    (nodes, focus(desk))
}

/// What the focus stays on.
pub(super) fn focus(desk: &Desk<'_>) -> Option<String> {
    let pressed = match desk.event {
        Event::Mark { step, mark } => Some(format!("m-{step}-{}", mark.key())),
        Event::Order { step } => Some(format!("o-{step}")),
        Event::Critical { critical, mark } => {
            Some(format!("c-{critical}-{}", mark.key()))
        }
        Event::Unsafe { act } => Some(format!("u-{act}")),
        Event::Cue { cue, mark } => Some(format!("q-{cue}-{}", mark.key())),
        Event::Begun { step, begun } => {
            Some(format!("b-{step}-{}", if *begun { "yes" } else { "no" }))
        }
        Event::Undone { step } => Some(format!("n-{step}")),
        Event::Reported { measure, yes } => {
            Some(format!("r-{measure}-{}", if *yes == Some(true) { "yes" } else { "no" }))
        }
        Event::AsPrinted => Some("as-printed".into()),
        Event::AsRecorded => Some("as-recorded".into()),
        Event::NotWatched => Some("not-watched".into()),
        Event::Pair { pair, seen } => Some(super::order::id(pair, *seen)),
        Event::Look { at } => Some(at.clone()),
        Event::Undo => Some("undo".into()),
        Event::Start | Event::Finish | Event::Hold { .. } | Event::Release => {
            Some("watch".into())
        }
        Event::Turn { drill } => Some(format!("d-{drill}")),
        Event::Rescue => Some("rescue".into()),
        Event::Write { field, text } if in_buttons(field) => {
            Some(format!("{}-{text}", id(field)))
        }
        Event::Write { field, .. } => Some(id(field)),
        Event::Press { field, .. } => Some(after(desk, field)),
        _ => None,
    };
    focus_or_head(pressed)
}

/// Cues, steps, criticals, unsafe acts, numbers and notes of a drill.
pub(super) fn body(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let mut nodes = watch(desk, kit);
    if cues(kit, desk.state).next().is_some() {
        nodes.push(Node::text("h3", desk.get("cues")));
        nodes.push(Node::new("ul").with("class", "rows").holding(cue_rows(desk, kit)));
    }
    if asked_steps(Some(kit), desk.state).next().is_some() {
        nodes.push(Node::text("h3", desk.get("steps")));
        nodes.push(Node::new("ol").with("class", "rows").holding(steps(desk, kit)));
    }
    if own_criticals(kit, desk.state).next().is_some() {
        nodes.push(Node::text("h3", desk.get("criticals")));
        nodes.push(Node::new("ul").with("class", "rows").holding(criticals(desk, kit)));
    }
    let numbers = numbers(kit, desk.state);
    if !numbers.is_empty() {
        let head = Node::text("h3", desk.get("numbers"));
        nodes.push(head.with("id", NUMBERS).with("tabindex", "-1"));
        let asked = by_the_manual(kit, &sheet(desk.live, desk.state, kit));
        let fields = numbers.iter().flat_map(|(field, unit, label)| {
            let reported = reported(desk, kit, field);
            let manual = as_manual(desk, kit, &asked, (field, label));
            [number(desk, field, unit, label)].into_iter().chain(reported).chain(manual)
        });
        nodes.push(Node::new("div").with("class", "fields").holding(fields));
    }
    nodes.push(Node::text("h3", desk.get("acts")));
    nodes.push(Node::new("ul").with("class", "rows acts").holding(acts(desk, kit)));
    nodes.push(lines(desk, "notes"));
    nodes
}

/// Who, on what, and how: one line.
pub(super) fn facts(desk: &Desk<'_>) -> Node {
    let state = desk.state;
    let words = desk.live.words();
    let rig = desk.live.kits(state.text("rig")).first();
    let rig = rig.map_or("", |kit| kit.rig().title.as_str());
    // words: scoring.use.{RunUse}
    let use_ = words.get(&format!("scoring.use.{}", state.text("use")));
    // words: scoring.mode.{Mode}
    let mode = words.get(&format!("scoring.mode.{}", state.text("mode")));
    let blanks = [
        ("candidate", desk.live.name(state.text("candidate"))),
        ("rig", rig),
        ("use", use_.as_str()),
        ("mode", mode.as_str()),
        ("run", state.text("run")),
    ];
    Node::text("p", desk.say("facts", &blanks)).with("class", "who")
}

/// The drills of a chain.
pub(super) fn drills(desk: &Desk<'_>) -> Option<Node> {
    let kits = desk.live.kits(desk.state.text("rig"));
    // One drill needs no key to turn to it, and the key would stand where a thumb looks for "stop".
    if kits.len() < 2 {
        return None;
    }
    let button = |kit: &Kit| {
        let drill = kit.drill();
        let act = doing("turn", &[("drill", valued(&drill.id))]);
        pressed(drill.title.clone(), act, drill.id == desk.state.drill)
            .with("id", format!("d-{}", drill.id))
    };
    let group = Node::new("div").with("class", "buttons drills").with("role", "group");
    Some(group.with("aria-label", desk.get("drills")).holding(kits.iter().map(button)))
}

/// Keys of the watch, where the drill has a limit of time.
pub(super) fn watch_keys(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let Some(standard) = &kit.drill().time else { return Vec::new() };
    let Some(part) = desk.state.part() else { return Vec::new() };
    let watch = &part.watch;
    let mut keys = Vec::new();
    if watch.start.is_none() {
        let text = desk.say("start", &[("event", &standard.starts_at)]);
        keys.push(Node::button(text, does("start")));
    } else if watch.runs() {
        let text = desk.say("finish", &[("event", &standard.stops_at)]);
        keys.push(Node::button(text, does("finish")));
        if watch.is_held() {
            keys.push(Node::button(desk.get("release"), does("release")));
        } else {
            keys.extend(standard.holds.iter().map(|why| {
                let act = doing("hold", &[("why", valued(&why))]);
                Node::button(desk.say("hold", &[("why", why)]), act)
            }));
        }
    }
    keys.into_iter().map(|button| button.with("class", "wide-key")).collect()
}

/// Keys of what must be said about the clocks.
pub(super) fn clock_notes(desk: &Desk<'_>, kit: &Kit) -> Vec<&'static str> {
    let Some(part) = desk.state.part().filter(|_| kit.drill().time.is_some()) else {
        return Vec::new();
    };
    let watch = &part.watch;
    let loads = if watch.runs() { desk.state.span.loads } else { watch.loads.1 };
    let told = [
        ("clock-bridged", watch.loads.0 != loads),
        ("clock-set", desk.state.span.clock_set),
    ];
    told.into_iter().filter(|(_, said)| *said).map(|(key, _)| key).collect()
}

/// The watch on the long page.
fn watch(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    if kit.drill().time.is_none() || desk.state.part().is_none() {
        return Vec::new();
    }
    let text = clock(desk.live, desk.state).unwrap_or_default();
    let mut nodes = vec![
        Node::text("h3", desk.get("watch")).with("id", "watch").with("tabindex", "-1"),
        Node::text("p", text)
            .with("class", "clock")
            .with("id", "clock")
            .with("role", "timer"),
        Node::new("p").with("class", "buttons").holding(watch_keys(desk, kit)),
    ];
    // words: live.{clock-bridged|clock-set}
    nodes.extend(clock_notes(desk, kit).into_iter().map(|key| desk.note(key)));
    nodes
}

/// A run on paper: everything done, then what was not.
fn paper_run(desk: &Desk<'_>, kit: &Kit) -> Node {
    let mut kids = vec![
        Node::text("p", desk.get("later-about")),
        Node::new("p").with("class", "buttons").holding([Node::button(
            desk.get("all-done"),
            json!({ "do": "rest", "mark": Mark::Done }),
        )
        .with("id", "all-done")]),
    ];
    if kit.drill().time.is_some() {
        let fields = TIMES.map(|field| {
            let name = format!("{}/{field}", kit.drill().id);
            number(desk, &name, "s", &label(desk, field))
        });
        kids.push(Node::new("div").with("class", "fields").holding(fields));
    }
    Node::new("div").with("class", "later").holding(kids)
}

/// Stop, undo and the end, always in reach of a thumb.
fn bar(desk: &Desk<'_>) -> Node {
    let stop = Node::button(desk.get("stop"), does("stop"))
        .with("id", "stop")
        .with("class", "stop");
    let end = Node::button(desk.get("end"), does("end")).with("id", "end");
    // A run on paper has no step to go back to.
    let back = (!desk.state.later())
        .then(|| Node::button(desk.get("to-step"), does("open")).with("id", "to-step"));
    Node::new("div")
        .with("class", "bar")
        .holding([stop, undo(desk)])
        .holding(back)
        .holding([end])
}

pub(super) fn undo(desk: &Desk<'_>) -> Node {
    let undo = Node::button(desk.get("undo"), does("undo"));
    // It may be tapped twice at the same place and meant twice; elsewhere a double tap is
    // a slip.
    let undo = undo.with("id", "undo").with("data-again", "yes");
    // It stays where it is: a bar whose buttons move is tapped wrongly.
    if can_undo(desk.log, desk.state) { undo } else { undo.with("aria-disabled", "true") }
}
