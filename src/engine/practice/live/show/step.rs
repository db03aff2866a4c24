//! Rows that are marked: steps, criticals, unsafe acts.

use serde_json::json;

use super::super::sheet::{mode, open_steps, own_criticals, own_steps};
use super::super::turn::Desk;
use crate::course::{Critical, CriticalMark, Mark, Step};
use crate::practice::view::Node;
use crate::scoring::Kit;

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
        // words: live.critical-mark.{kept|missed|prompted|not-seen}
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
    kit.data().unsafe_acts.iter().map(row).collect()
}
