//! The frozen sheet after a stop, and what makes a run void.

use super::super::desk::Desk;
use super::super::state::{STOP, VOID};
use super::field::{buttons, choice, label, line, officers, people};
use super::parts::heading;
use super::run;
use crate::course::{StopCause, VoidCause};
use crate::practice::view::{Node, does};
use crate::scoring::stop_acts;

/// After the stop word: safe state first, then who, why and the cause.
pub(super) fn view(desk: &Desk<'_>) -> (Vec<Node>, Option<String>) {
    let mut nodes = vec![heading(desk.get("stopped")).with("class", "halt")];
    if let Some(kit) = desk.state.kit(desk.live) {
        let safe = kit.drill().stop.safe_state.iter();
        nodes.push(Node::text("p", desk.get("safe-state")));
        let items = safe.map(|one| Node::text("li", one.clone()));
        nodes.push(Node::new("ol").with("class", "safe").holding(items));
    }
    nodes.push(Node::text("p", desk.get("stopped-about")));
    nodes.push(Node::new("div").with("class", "fields").holding(stop_fields(desk)));
    nodes.push(
        Node::new("p").with("class", "buttons").holding([
            Node::button(desk.get("end-stopped"), does("end"))
                .with("id", "end")
                .with("class", "first"),
            Node::button(desk.get("no-stop"), does("no-stop")).with("id", "no-stop"),
        ]),
    );
    (nodes, run::focus(desk))
}

/// Who stopped it, why, the cause; and the act where the candidate was the cause (rule 32).
pub(super) fn stop_fields(desk: &Desk<'_>) -> Vec<Node> {
    let [by, why, cause] = STOP else { return Vec::new() };
    let words = desk.live.words();
    let causes: Vec<(String, String)> = StopCause::ALL
        .iter()
        .map(|(one, cause)| {
            // words: scoring.cause.{StopCause}
            ((*one).to_owned(), words.get(&format!("scoring.cause.{}", cause.key())))
        })
        .collect();
    let mut nodes = vec![
        choice(desk, by, label(desk, by), people(desk)),
        line(desk, why),
        buttons(desk, cause, label(desk, cause), &causes),
    ];
    let own = desk.state.text(cause) == StopCause::Candidate.word();
    if let Some(kit) = desk.state.kit(desk.live).filter(|_| own) {
        let acts = stop_acts(kit, desk.state.text("role"));
        nodes.push(choice(desk, "stop.act", label(desk, "stop.act"), acts));
    }
    nodes
}

/// What made the run void: cause, why, who agreed, and whether the cause produced the acts that
/// were seen (rule 33).
pub(super) fn void(desk: &Desk<'_>) -> Vec<Node> {
    let [cause, why, agreed, produced] = VOID;
    let words = desk.live.words();
    let none = (String::new(), desk.get("not-void"));
    let causes = VoidCause::ALL.iter().map(|(one, cause)| {
        // words: scoring.void-cause.{VoidCause}
        let text = words.get(&format!("scoring.void-cause.{}", cause.key()));
        ((*one).to_owned(), text)
    });
    let causes: Vec<(String, String)> = [none].into_iter().chain(causes).collect();
    let mut nodes = vec![buttons(desk, cause, label(desk, cause), &causes)];
    if desk.state.text(cause).is_empty() {
        return nodes;
    }
    // words: live.answer.{no|yes}
    let answers = ["no", "yes"];
    let answers = answers.map(|one| (one.to_owned(), desk.get(&format!("answer.{one}"))));
    nodes.push(line(desk, why));
    nodes.push(choice(desk, agreed, label(desk, agreed), officers(desk)));
    nodes.push(buttons(desk, produced, label(desk, produced), &answers));
    nodes
}
