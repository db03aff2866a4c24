//! Rows of criticals and unsafe acts: did this happen?

use super::super::asked::{mode, own_criticals, steps_of};
use super::super::desk::Desk;
use super::super::filled::happened;
use super::field::line_as;
use super::parts::pressed;
use super::steps::{group, place, row_class};
use crate::course::{Critical, CriticalMark, UnsafeAct};
use crate::practice::view::{Node, doing, valued};
use crate::scoring::Kit;

/// Criticals of the candidate with their mark buttons.
pub(super) fn criticals(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    own_criticals(kit, desk.state)
        .map(|critical| critical_row(desk, kit, critical))
        .collect()
}

fn critical_row(desk: &Desk<'_>, kit: &Kit, critical: &Critical) -> Node {
    let part = desk.state.part();
    let mark = part.and_then(|part| part.criticals.get(&critical.id)).copied();
    let name = format!("c-{}", critical.id);
    let mut kids = vec![
        Node::new("p")
            .with("class", "act")
            .with("id", name)
            .holding([Node::text("b", critical.act.clone())]),
        Node::text("p", critical.reason.clone()).with("class", "sees"),
    ];
    kids.extend(linked(desk, kit, critical));
    // No keys: a mark would say that somebody watched for what cannot happen here.
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
    kids.push(critical_keys(desk, critical, shown));
    if part.is_some_and(|part| happened(part, &critical.id)) {
        kids.push(seen(desk, kit, &critical.id));
    }
    Node::new("li").with("class", row_class(mark.is_some())).holding(kids)
}

/// The answers to one critical.
pub(super) fn critical_keys(desk: &Desk<'_>, critical: &Critical, shown: bool) -> Node {
    let part = desk.state.part();
    let mark = part.and_then(|part| part.criticals.get(&critical.id)).copied();
    let name = format!("c-{}", critical.id);
    let button = |one: CriticalMark| {
        let act = doing(
            "critical",
            &[("critical", valued(&critical.id)), ("mark", valued(&one))],
        );
        let key = one.key();
        // words: live.critical-mark.{CriticalMark}
        pressed(desk.get(&format!("critical-mark.{key}")), act, mark == Some(one))
            .with("id", format!("c-{}-{key}", critical.id))
    };
    // What a mode cannot show can be seen happening, and cannot be seen not to happen.
    let marks = CriticalMark::ALL.iter().map(|(_, mark)| *mark).filter(|mark| {
        shown || matches!(mark, CriticalMark::Yes | CriticalMark::Prevented)
    });
    group(&name).holding(marks.map(button))
}

/// What was seen, at which step: without it the sheet cannot be signed (rule 6).
pub(super) fn seen(desk: &Desk<'_>, kit: &Kit, id: &str) -> Node {
    let field = format!("{}/happened.{id}", kit.drill().id);
    line_as(desk, &field, desk.get("what-seen"))
}

/// Numbers of the steps that speak for or against a critical.
pub(super) fn linked(desk: &Desk<'_>, kit: &Kit, critical: &Critical) -> Option<Node> {
    let mut steps: Vec<&str> = critical.links.iter().flat_map(steps_of).collect();
    let at = |id: &str| kit.drill().steps.iter().position(|step| step.id == id);
    // As the sheet numbers them, and not as the drill happens to link them.
    steps.sort_by_key(|id| at(id));
    steps.dedup();
    let numbers: Vec<String> = steps.into_iter().map(|id| place(kit, id)).collect();
    (!numbers.is_empty()).then(|| {
        let text = desk.say("linked", &[("steps", &numbers.join(", "))]);
        Node::text("p", text).with("class", "sees")
    })
}

/// Acts that are unsafe in every drill.
pub(super) fn acts(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let down = |id: &str| desk.state.part().is_some_and(|part| part.acts.contains(id));
    let row = |act: &UnsafeAct| {
        let event = doing("unsafe", &[("act", valued(&act.id))]);
        let button = pressed(act.act.clone(), event, down(&act.id));
        let told = down(&act.id).then(|| seen(desk, kit, &act.id));
        Node::new("li")
            .holding([button.with("id", format!("u-{}", act.id))])
            .holding(told)
    };
    kit.standard().unsafe_acts.iter().map(row).collect()
}
