//! What is written by hand after the run: steps left out with their reason, acts of others, and what
//! those took away (rules 14 and 35).

use super::super::asked::open_steps;
use super::super::desk::Desk;
use super::super::filled::{of_others, others_criticals, whose};
use super::field::{buttons, choice, line_as, people};
use super::steps::place;
use crate::course::{Critical, Mark, Step, UnsafeAct};
use crate::practice::view::Node;
use crate::scoring::Kit;

/// The fields, closed as long as nothing stands in them: most runs need none.
pub(super) fn by_hand(desk: &Desk<'_>) -> Option<Node> {
    let kit = desk.state.kit(desk.live)?;
    let drill = &kit.drill().id;
    let own = |prefix: &str| format!("{drill}/{prefix}.");
    let used = ["left-out", "others", "of-role", "taken"].map(own);
    let filled = desk.state.texts.iter().any(|(field, text)| {
        !text.is_empty() && used.iter().any(|start| field.starts_with(start))
    });
    let mut fields: Vec<Node> = kit
        .standard()
        .unsafe_acts
        .iter()
        .flat_map(|act| of_act(desk, kit, act))
        .collect();
    fields.extend(of_roles(desk, kit));
    fields.extend(undone(desk, kit).flat_map(|step| of_step(desk, kit, step)));
    let details = Node::new("details").with("id", "by-hand").holding([
        Node::text("summary", desk.get("by-hand")),
        Node::text("p", desk.get("by-hand-about")),
        Node::new("div").with("class", "fields").holding(fields),
    ]);
    Some(if filled { details.with("open", "open") } else { details })
}

/// Criticals of the other roles of the crew.
pub(super) fn of_roles(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    others_criticals(kit, desk.state).flat_map(|one| of_role(desk, kit, one)).collect()
}

/// Steps of the candidate that were not done, or not seen.
fn undone<'d>(desk: &Desk<'d>, kit: &'d Kit) -> impl Iterator<Item = &'d Step> {
    let marks = desk.state.part().map(|part| part.marks.clone()).unwrap_or_default();
    let role = desk.state.text("role").to_owned();
    let open = open_steps(desk.live, desk.state, &kit.drill().id);
    open.filter(move |step| {
        let done = matches!(marks.get(&step.id), Some(Mark::Done | Mark::Prompted));
        // The candidate's own alone: what another left out is on another sheet.
        step.role == role && !done
    })
}

/// Why a step was left out; and whether it was taken away, once an act of somebody else is told.
fn of_step(desk: &Desk<'_>, kit: &Kit, step: &Step) -> Vec<Node> {
    let drill = &kit.drill().id;
    let at = place(kit, &step.id);
    let blanks = [("step", at.as_str()), ("what", step.action.as_str())];
    let left_out = format!("{drill}/left-out.{}", step.id);
    let mut nodes = vec![line_as(desk, &left_out, desk.say("left-out", &blanks))];
    // Only what somebody else did can have taken it away (rule 35).
    if of_others(kit, desk.state) {
        let field = format!("{drill}/taken.{}", step.id);
        let label = desk.say("taken-away", &blanks);
        nodes.push(buttons(desk, &field, label, &answers(desk)));
    }
    nodes
}

/// Whose an unsafe act was, if it was not the candidate's.
fn of_act(desk: &Desk<'_>, kit: &Kit, act: &UnsafeAct) -> Vec<Node> {
    let drill = &kit.drill().id;
    let field = format!("{drill}/others.{}", act.id);
    let mut people = people(desk);
    // The candidate's own acts are marked as they are seen, and count against the run.
    people.retain(|(id, _)| id != desk.state.text("candidate"));
    let label = desk.say("of-others", &[("act", &act.act)]);
    let mut nodes = vec![choice(desk, &field, label, people)];
    if whose(kit, desk.state, &act.id).is_some() {
        nodes.push(seen(desk, drill, &act.id));
    }
    nodes
}

/// A critical of another role: it does not decide here, and is told.
fn of_role(desk: &Desk<'_>, kit: &Kit, critical: &Critical) -> Vec<Node> {
    let drill = &kit.drill().id;
    let field = format!("{drill}/of-role.{}", critical.id);
    let role = kit.drill().roles.iter().find(|role| role.id == critical.role);
    let role = role.map_or(critical.role.as_str(), |role| role.title.as_str());
    let label = desk.say("of-role", &[("role", role), ("act", &critical.act)]);
    let mut nodes = vec![buttons(desk, &field, label, &answers(desk))];
    if desk.state.text(&field) == "yes" {
        nodes.push(seen(desk, drill, &critical.id));
    }
    nodes
}

fn seen(desk: &Desk<'_>, drill: &str, id: &str) -> Node {
    line_as(desk, &format!("{drill}/happened.{id}"), desk.get("what-seen"))
}

/// No and yes.
pub(super) fn answers(desk: &Desk<'_>) -> [(String, String); 2] {
    // words: live.answer.{no|yes}
    ["no", "yes"].map(|one| (one.to_owned(), desk.get(&format!("answer.{one}"))))
}
