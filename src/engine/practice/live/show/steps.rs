//! Rows of cues and steps, each with its marks.

use super::super::asked::{asked_steps, cues, must_hold, open_steps};
use super::super::desk::Desk;
use super::super::sheet::sheet;
use super::parts::pressed;
use crate::course::{Cue, CueMark, Mark, Step};
use crate::practice::view::{Node, doing, valued};
use crate::scoring::{Kit, prompts};

/// Cues that can be given, each with "given" and "not given".
pub(super) fn cue_rows(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let row = |cue: &Cue| {
        let set = desk.state.part().and_then(|part| part.cues.get(&cue.id)).copied();
        let name = format!("q-{}", cue.id);
        let says = Node::new("p").holding([Node::text("b", cue.says.clone())]);
        let kids = [says.with("id", name), cue_keys(desk, cue)];
        Node::new("li").with("class", row_class(set.is_some())).holding(kids)
    };
    cues(kit, desk.state).map(row).collect()
}

/// Given, or not.
pub(super) fn cue_keys(desk: &Desk<'_>, cue: &Cue) -> Node {
    let set = desk.state.part().and_then(|part| part.cues.get(&cue.id)).copied();
    let button = |(_, one): &(&str, CueMark)| {
        let (key, act) = (
            one.key(),
            doing("cue", &[("cue", valued(&cue.id)), ("mark", valued(&one))]),
        );
        // words: live.cue-mark.{CueMark}
        pressed(desk.get(&format!("cue-mark.{key}")), act, set == Some(*one))
            .with("id", format!("q-{}-{key}", cue.id))
    };
    group(&format!("q-{}", cue.id)).holding(CueMark::ALL.iter().map(button))
}

/// A mark that is set is told by more than its button.
pub(super) const fn row_class(marked: bool) -> &'static str {
    if marked { "row marked" } else { "row" }
}

/// Marks that can be tapped: "not applicable" follows from the rig alone.
fn tapped() -> impl Iterator<Item = Mark> {
    let all = Mark::ALL.iter().map(|(_, mark)| *mark);
    all.filter(|mark| *mark != Mark::NotApplicable)
}

/// A step's number in the drill, from 1.
pub(super) fn place(kit: &Kit, step: &str) -> String {
    let at = kit.drill().steps.iter().position(|known| known.id == step);
    at.map_or_else(String::new, |at| (at + 1).to_string())
}

/// Steps that the candidate's sheet asks for, with their mark buttons.
pub(super) fn steps(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let open: Vec<&str> = open_steps(desk.live, desk.state, &kit.drill().id)
        .map(|step| step.id.as_str())
        .collect();
    let prompts = prompts(kit, &sheet(desk.live, desk.state, kit));
    asked_steps(Some(kit), desk.state)
        .map(|step| {
            let waits = prompts.get(&step.id).map_or(&[][..], Vec::as_slice);
            step_row(desk, kit, step, (open.contains(&step.id.as_str()), waits))
        })
        .collect()
}

fn step_row(
    desk: &Desk<'_>,
    kit: &Kit,
    step: &Step,
    (open, waits): (bool, &[String]),
) -> Node {
    let part = desk.state.part();
    let mark = part.and_then(|part| part.marks.get(&step.id)).copied();
    let name = format!("s-{}", step.id);
    let act = Node::new("p")
        .with("class", "act")
        .with("id", name.clone())
        .holding([Node::text("b", format!("{}. {}", place(kit, &step.id), step.action))]);
    let mut kids = vec![act, Node::text("p", step.sees.clone()).with("class", "sees")];
    if step.role != desk.state.text("role") {
        let role = kit.drill().roles.iter().find(|role| role.id == step.role);
        let role = role.map_or(step.role.as_str(), |role| role.title.as_str());
        let text = desk.say("of-another", &[("role", role)]);
        kids.push(Node::text("p", text).with("class", "closed"));
    }
    if let Some(radio) = &step.radio {
        let content = radio.content.join(", ");
        let said = desk.say("said", &[("content", &content)]);
        kids.push(Node::text("p", said).with("class", "sees"));
    }
    if step.produces {
        kids.push(Node::text("p", desk.get("produces")).with("class", "sees"));
    }
    if let Some(text) = closed(desk, kit, step, open) {
        kids.push(Node::text("p", text).with("class", "closed"));
    }
    if !open {
        return Node::new("li").with("class", "row").holding(kids);
    }
    let button = |one: Mark| {
        let (key, act) = (
            one.key(),
            doing("mark", &[("step", valued(&step.id)), ("mark", valued(&one))]),
        );
        // words: live.mark.{Mark}
        pressed(desk.get(&format!("mark.{key}")), act, mark == Some(one))
            .with("id", format!("m-{}-{key}", step.id))
    };
    kids.push(group(&name).holding(tapped().map(button)));
    kids.extend(begun(desk, step, waits));
    let done = matches!(mark, Some(Mark::Done | Mark::Prompted));
    if done && must_hold(kit, desk.state, &step.id) {
        let down = part.is_some_and(|part| part.undone.contains(&step.id));
        let act = doing("undone", &[("step", valued(&step.id))]);
        let button = pressed(desk.get("undone"), act, down);
        kids.push(Node::new("p").with("class", "buttons").holding([
            button.with("id", format!("n-{}", step.id)).with("aria-describedby", name),
        ]));
    }
    Node::new("li").with("class", row_class(mark.is_some())).holding(kids)
}

/// Whether what must wait for a prompted step had begun by then.
fn begun(desk: &Desk<'_>, step: &Step, waits: &[String]) -> Vec<Node> {
    if waits.is_empty() {
        return Vec::new();
    }
    let name = format!("b-{}", step.id);
    let text = desk.say("begun", &[("what", &waits.join("; "))]);
    vec![
        Node::text("p", text).with("id", name.clone()),
        begun_keys(desk, &step.id, &name),
    ]
}

/// No and yes, whether it had begun.
pub(super) fn begun_keys(desk: &Desk<'_>, step: &str, name: &str) -> Node {
    let told = desk.state.part().and_then(|part| part.begun.get(step)).copied();
    let button = |(begun, key): (bool, &str)| {
        let act = doing("begun", &[("step", valued(&step)), ("begun", valued(&begun))]);
        // words: live.answer.{no|yes}
        pressed(desk.get(&format!("answer.{key}")), act, told == Some(begun))
            .with("id", format!("b-{step}-{key}"))
    };
    group(name).holding([(false, "no"), (true, "yes")].map(button))
}

/// Why a step cannot be marked; or why its mark says nothing.
fn closed(desk: &Desk<'_>, kit: &Kit, step: &Step, open: bool) -> Option<String> {
    if let Some(needs) = step.condition().lacks(kit.rig()) {
        return Some(desk.say("not-on-rig", &[("needs", needs)]));
    }
    let known = |id: &String| kit.drill().cues.iter().find(|cue| cue.id == *id);
    let cue = step.cue.as_ref().and_then(known);
    if let Some(needs) = cue.and_then(|cue| cue.condition().lacks(kit.rig())) {
        return Some(desk.say("not-on-rig", &[("needs", needs)]));
    }
    let cue = step.cue.as_ref().and_then(|id| {
        let cue = cues(kit, desk.state).find(|cue| cue.id == *id)?;
        let set = desk.state.part().and_then(|part| part.cues.get(id)).copied();
        match set {
            Some(CueMark::Given) => None,
            Some(CueMark::NotGiven) => Some(("cue-not-given", cue)),
            None => Some(("cue-first", cue)),
        }
    });
    match cue {
        // words: live.{cue-not-given|cue-first}
        Some((key, cue)) => Some(desk.say(key, &[("cue", &cue.says)])),
        None => (!open).then(|| desk.get("not-in-mode")),
    }
}

/// A group of mark buttons, named by what stands above it.
pub(super) fn group(name: &str) -> Node {
    Node::new("div")
        .with("class", "marks")
        .with("role", "group")
        .with("aria-labelledby", name)
}
