//! The run itself: its watch, and the rows that are marked.

use serde_json::json;

use super::super::log::Event;
use super::super::panel::{Desk, can_undo};
use super::super::sheet::{mode, numbers, open_steps, own_criticals, own_steps};
use super::field::{NUMBERS, TIMES, after, id, label, lines, number};
use super::{focus_or_head, heading};
use crate::course::{Critical, CriticalMark, Mark, Step};
use crate::practice::view::Node;
use crate::scoring::Kit;

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
        Event::OutOfOrder { step } => Some(format!("m-{step}-order")),
        Event::Order { step } => Some(format!("o-{step}")),
        Event::Critical { critical, mark } => {
            Some(format!("c-{critical}-{}", mark.key()))
        }
        Event::Unsafe { act } => Some(format!("u-{act}")),
        Event::Undo => Some("undo".into()),
        Event::Start | Event::Finish | Event::Hold { .. } | Event::Release => {
            Some("watch".into())
        }
        Event::Turn { drill } => Some(format!("d-{drill}")),
        Event::Rescue => Some("rescue".into()),
        Event::Write { field, text } if field == "stop.cause" => {
            Some(format!("{}-{text}", id(field)))
        }
        Event::Write { field, .. } => Some(id(field)),
        Event::Press { field, .. } => Some(after(desk, field)),
        _ => None,
    };
    focus_or_head(pressed)
}

/// Steps, criticals, unsafe acts, numbers and notes of a drill.
pub(super) fn body(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let mut nodes = watch(desk, kit);
    if own_steps(Some(kit), desk.state).next().is_some() {
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
        let fields =
            numbers.iter().map(|(field, unit, label)| number(desk, field, unit, label));
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
    if kits.len() < 2 {
        return None;
    }
    let button = |kit: &Kit| {
        let drill = kit.drill();
        let act = json!({ "do": "turn", "drill": drill.id });
        pressed(drill.title.clone(), act, drill.id == desk.state.drill)
            .with("id", format!("d-{}", drill.id))
    };
    let group = Node::new("div").with("class", "buttons drills").with("role", "group");
    Some(group.with("aria-label", desk.get("drills")).holding(kits.iter().map(button)))
}

/// The watch, where the drill has a limit of time.
fn watch(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let Some(standard) = &kit.drill().time else { return Vec::new() };
    let Some(part) = desk.state.part() else { return Vec::new() };
    let watch = &part.watch;
    let mut keys = Vec::new();
    if watch.start.is_none() {
        let text = desk.say("start", &[("event", &standard.starts_at)]);
        keys.push(Node::button(text, json!({ "do": "start" })));
    } else if watch.runs() {
        let text = desk.say("finish", &[("event", &standard.stops_at)]);
        keys.push(Node::button(text, json!({ "do": "finish" })));
        if watch.is_held() {
            keys.push(Node::button(desk.get("release"), json!({ "do": "release" })));
        } else {
            keys.extend(standard.holds.iter().map(|why| {
                let act = json!({ "do": "hold", "why": why });
                Node::button(desk.say("hold", &[("why", why)]), act)
            }));
        }
    }
    let keys = keys.into_iter().map(|button| button.with("class", "wide-key"));
    let text = super::clock(desk.live, desk.state).unwrap_or_default();
    let mut nodes = vec![
        Node::text("h3", desk.get("watch")).with("id", "watch").with("tabindex", "-1"),
        Node::text("p", text)
            .with("class", "clock")
            .with("id", "clock")
            .with("role", "timer"),
        Node::new("p").with("class", "buttons").holding(keys),
    ];
    let loads = if watch.runs() { desk.state.span.loads } else { watch.loads.1 };
    if watch.loads.0 != loads {
        nodes.push(desk.note("clock-bridged"));
    }
    if desk.state.span.clock_set {
        nodes.push(desk.note("clock-set"));
    }
    nodes
}

/// A run on paper: everything done, then what was not.
fn paper_run(desk: &Desk<'_>, kit: &Kit) -> Node {
    let mut kids = vec![
        Node::text("p", desk.get("later-about")),
        Node::new("p").with("class", "buttons").holding([
            Node::button(desk.get("all-done"), json!({ "do": "rest", "mark": "done" }))
                .with("id", "all-done"),
            Node::button(
                desk.get("all-kept"),
                json!({ "do": "rest-criticals", "mark": "kept" }),
            )
            .with("id", "all-kept"),
        ]),
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
    let stop = Node::button(desk.get("stop"), json!({ "do": "stop" }))
        .with("id", "stop")
        .with("class", "stop");
    let end = Node::button(desk.get("end"), json!({ "do": "end" })).with("id", "end");
    Node::new("div").with("class", "bar").holding([stop, undo(desk), end])
}

pub(super) fn undo(desk: &Desk<'_>) -> Node {
    let undo = Node::button(desk.get("undo"), json!({ "do": "undo" }));
    let undo = undo.with("id", "undo").with("data-again", "yes");
    if can_undo(desk.log, desk.state) { undo } else { undo.with("aria-disabled", "true") }
}

/// Marks that can be tapped: "not applicable" follows from the rig alone.
fn tapped() -> impl Iterator<Item = Mark> {
    let all = Mark::ALL.iter().map(|(_, mark)| *mark);
    all.filter(|mark| *mark != Mark::NotApplicable)
}

/// The same of criticals.
fn tapped_critical() -> impl Iterator<Item = CriticalMark> {
    let all = CriticalMark::ALL.iter().map(|(_, mark)| *mark);
    all.filter(|mark| *mark != CriticalMark::NotApplicable)
}

/// A step's number in the drill, from 1.
pub(super) fn place(kit: &Kit, step: &str) -> String {
    let at = kit.drill().steps.iter().position(|known| known.id == step);
    at.map_or_else(String::new, |at| (at + 1).to_string())
}

/// Steps of the candidate with their mark buttons.
pub(super) fn steps(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let open: Vec<&str> = open_steps(desk.live, desk.state, &kit.drill().id)
        .map(|step| step.id.as_str())
        .collect();
    own_steps(Some(kit), desk.state)
        .map(|step| step_row(desk, kit, step, open.contains(&step.id.as_str())))
        .collect()
}

fn step_row(desk: &Desk<'_>, kit: &Kit, step: &Step, open: bool) -> Node {
    let part = desk.state.part();
    let mark = part.and_then(|part| part.marks.get(&step.id)).copied();
    let late = part.is_some_and(|part| part.out_of_order.contains(&step.id));
    let name = format!("s-{}", step.id);
    let act = Node::new("p")
        .with("class", "act")
        .with("id", name.clone())
        .holding([Node::text("b", format!("{}. {}", place(kit, &step.id), step.action))]);
    let mut kids = vec![act, Node::text("p", step.sees.clone()).with("class", "sees")];
    if let Some(radio) = &step.radio {
        let content = radio.content.join(", ");
        let said = desk.say("said", &[("content", &content)]);
        kids.push(Node::text("p", said).with("class", "sees"));
    }
    if !open {
        kids.push(Node::text("p", closed(desk, kit, step)).with("class", "closed"));
        return Node::new("li").with("class", "row").holding(kids);
    }
    let button = |one: Mark| {
        let (key, act) =
            (one.key(), json!({ "do": "mark", "step": step.id, "mark": one }));
        // words: live.mark.{Mark}
        pressed(desk.get(&format!("mark.{key}")), act, mark == Some(one))
            .with("id", format!("m-{}-{key}", step.id))
    };
    let order = json!({ "do": "out-of-order", "step": step.id });
    let order = pressed(desk.get("mark.out-of-order"), order, late)
        .with("id", format!("m-{}-order", step.id));
    let buttons = tapped().map(button).chain([order]);
    kids.push(group(&name).holding(buttons));
    let row = Node::new("li");
    row.with("class", if mark.is_some() { "row marked" } else { "row" }).holding(kids)
}

fn closed(desk: &Desk<'_>, kit: &Kit, step: &Step) -> String {
    match step.condition().lacks(kit.rig()) {
        Some(needs) => desk.say("not-on-rig", &[("needs", needs)]),
        None => desk.get("not-in-mode"),
    }
}

/// A group of mark buttons, named by what stands above it.
fn group(name: &str) -> Node {
    Node::new("div")
        .with("class", "marks")
        .with("role", "group")
        .with("aria-labelledby", name)
}

/// A button that stays down.
pub(super) fn pressed(text: String, act: serde_json::Value, down: bool) -> Node {
    Node::button(text, act).with("aria-pressed", if down { "true" } else { "false" })
}

/// Criticals of the candidate with their mark buttons.
pub(super) fn criticals(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    own_criticals(kit, desk.state)
        .map(|critical| critical_row(desk, kit, critical))
        .collect()
}

fn critical_row(desk: &Desk<'_>, kit: &Kit, critical: &Critical) -> Node {
    let mark =
        desk.state.part().and_then(|part| part.criticals.get(&critical.id)).copied();
    let name = format!("c-{}", critical.id);
    let mut kids = vec![
        Node::new("p")
            .with("class", "act")
            .with("id", name.clone())
            .holding([Node::text("b", critical.act.clone())]),
        Node::text("p", critical.reason.clone()).with("class", "sees"),
    ];
    if let Some(needs) = critical.condition().lacks(kit.rig()) {
        let text = desk.say("not-on-rig", &[("needs", needs)]);
        kids.push(Node::text("p", text).with("class", "closed"));
        return Node::new("li").with("class", "row").holding(kids);
    }
    let shown = mode(desk.state.text("mode"))
        .is_some_and(|mode| critical.condition().shown_in(mode));
    if !shown {
        kids.push(
            Node::text("p", desk.get("critical-not-in-mode")).with("class", "closed"),
        );
    }
    let button = |one: CriticalMark| {
        let act = json!({ "do": "critical", "critical": critical.id, "mark": one });
        let key = one.key();
        // words: live.critical-mark.{kept|missed|prompted|not-seen}
        pressed(desk.get(&format!("critical-mark.{key}")), act, mark == Some(one))
            .with("id", format!("c-{}-{key}", critical.id))
    };
    // What a mode cannot show can be seen happening, and cannot be seen kept.
    let marks = tapped_critical().filter(|mark| {
        shown || matches!(mark, CriticalMark::Missed | CriticalMark::Prompted)
    });
    kids.push(group(&name).holding(marks.map(button)));
    let row = Node::new("li");
    row.with("class", if mark.is_some() { "row marked" } else { "row" }).holding(kids)
}

/// Acts that are unsafe in every drill.
pub(super) fn acts(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let seen = |id: &str| desk.state.part().is_some_and(|part| part.acts.contains(id));
    let row = |act: &crate::course::UnsafeAct| {
        let event = json!({ "do": "unsafe", "act": act.id });
        let button = pressed(act.act.clone(), event, seen(&act.id));
        Node::new("li").holding([button.with("id", format!("u-{}", act.id))])
    };
    kit.standard().unsafe_acts.iter().map(row).collect()
}
