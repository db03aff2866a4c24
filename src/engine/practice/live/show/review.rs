//! After the run: the frozen sheet after a stop, then what is untouched, what contradicts itself,
//! the order, and what is said afterwards.

use serde_json::json;

use super::super::panel::Desk;
use super::super::sheet::{faults, open_steps, untouched};
use super::super::state::STOP;
use super::field::{buttons, choice, label, line, lines, people};
use super::heading;
use super::run;
use crate::course::{Mark, StopCause};
use crate::practice::view::Node;
use crate::scoring::Kit;

pub(super) fn view(desk: &Desk<'_>) -> (Vec<Node>, Option<String>) {
    let mut nodes = vec![heading(desk.get("review")), run::facts(desk)];
    nodes.extend(untouched_ones(desk));
    nodes.extend(faulty(desk));
    nodes.extend(run::drills(desk));
    if let Some(kit) = desk.state.kit(desk.live) {
        nodes.extend(order(desk, kit));
    }
    nodes.push(Node::text("h3", desk.get("after")));
    if desk.state.stopped {
        nodes.push(choice(desk, "stop.by", label(desk, "stop.by"), people(desk)));
        nodes.push(line(desk, "stop.why"));
    }
    let after = ["words", "remediation", "void"].map(|field| lines(desk, field));
    nodes.push(Node::new("div").with("class", "fields").holding(after));
    let save = Node::button(desk.get("save"), json!({ "do": "save" }));
    nodes.push(Node::text("p", desk.get("save-about")));
    nodes.push(
        Node::new("p").with("class", "buttons").holding([
            save.with("id", "save").with("class", "first"),
            Node::button(desk.get("back"), json!({ "do": "back" })).with("id", "back"),
            run::undo(desk),
            Node::button(desk.get("discard"), json!({ "do": "discard" }))
                .with("id", "discard"),
        ]),
    );
    if let Some(kit) = desk.state.kit(desk.live) {
        nodes.push(Node::text("h3", desk.get("again")));
        nodes.extend(run::body(desk, kit));
    }
    (nodes, run::focus(desk))
}

/// "4 untouched: not done, or not seen?"
fn untouched_ones(desk: &Desk<'_>) -> Vec<Node> {
    let (steps, criticals) = untouched(desk.live, desk.state);
    let mut nodes = Vec::new();
    let ask = |key: &str, count: usize, buttons: [Node; 2]| {
        let count = count.to_string();
        Node::new("div").with("class", "note").holding([
            Node::text("p", desk.say(key, &[("count", &count)]))
                .with("id", key.to_owned()),
            Node::new("p").with("class", "buttons").holding(buttons),
        ])
    };
    let rest = |what: &str, mark: &str, key: &str| {
        Node::button(desk.get(key), json!({ "do": what, "mark": mark }))
            .with("id", format!("{what}-{mark}"))
    };
    if !steps.is_empty() {
        let buttons = [
            rest("rest", "not-done", "rest-not-done"),
            rest("rest", "not-seen", "rest-not-seen"),
        ];
        nodes.push(ask("untouched", steps.len(), buttons));
    }
    if !criticals.is_empty() {
        let buttons = [
            rest("rest-criticals", "kept", "rest-kept"),
            rest("rest-criticals", "not-seen", "rest-not-seen"),
        ];
        nodes.push(ask("untouched-criticals", criticals.len(), buttons));
    }
    nodes
}

/// What keeps the sheet from being saved.
fn faulty(desk: &Desk<'_>) -> Option<Node> {
    let faults = faults(desk.live, desk.state);
    if faults.is_empty() {
        return None;
    }
    let items = faults.into_iter().map(|fault| Node::text("li", fault));
    Some(
        Node::new("div")
            .with("class", "note")
            .with("id", "faults")
            .holding([Node::text("p", desk.get("mend")), Node::new("ul").holding(items)]),
    )
}

/// The order, as the evaluator confirms it; or left as it was marked.
fn order(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let Some(part) = desk.state.part() else { return Vec::new() };
    if kit.drill().order.is_empty() {
        return Vec::new();
    }
    let button = |step: &crate::course::Step| {
        let at = part.order.iter().position(|known| *known == step.id);
        let place = at.map_or_else(String::new, |at| format!("({}) ", at + 1));
        let number = run::place(kit, &step.id);
        let text = format!("{place}{number}. {}", step.action);
        let act = json!({ "do": "order", "step": step.id });
        let button = run::pressed(text, act, at.is_some());
        Node::new("li").holding([button.with("id", format!("o-{}", step.id))])
    };
    let done = |step: &&crate::course::Step| {
        matches!(part.marks.get(&step.id), Some(Mark::Done | Mark::Prompted))
    };
    let steps =
        open_steps(desk.live, desk.state, &kit.drill().id).filter(done).map(button);
    let list = Node::new("ul").with("class", "rows acts").holding(steps);
    let open = part.as_printed || !part.order.is_empty();
    let mut details = Node::new("details").holding([
        Node::text("summary", desk.get("order")),
        Node::text("p", desk.get("order-about")),
        list,
    ]);
    if open {
        details = details.with("open", "open");
    }
    vec![details]
}

/// After the stop word: safe state first, then who, why and the cause.
pub(super) fn stopped(desk: &Desk<'_>) -> (Vec<Node>, Option<String>) {
    let mut nodes = vec![heading(desk.get("stopped")).with("class", "halt")];
    if let Some(kit) = desk.state.kit(desk.live) {
        let safe = kit.drill().stop.safe_state.iter();
        nodes.push(Node::text("p", desk.get("safe-state")));
        let items = safe.map(|one| Node::text("li", one.clone()));
        nodes.push(Node::new("ol").with("class", "safe").holding(items));
    }
    nodes.push(Node::text("p", desk.get("stopped-about")));
    let [by, why, cause] = STOP else { return (nodes, None) };
    let words = desk.live.words();
    let causes: Vec<(String, String)> = StopCause::ALL
        .iter()
        .map(|(one, cause)| {
            // words: scoring.cause.{StopCause}
            ((*one).to_owned(), words.get(&format!("scoring.cause.{}", cause.key())))
        })
        .collect();
    nodes.push(Node::new("div").with("class", "fields").holding([
        choice(desk, by, label(desk, by), people(desk)),
        line(desk, why),
        buttons(desk, cause, label(desk, cause), &causes),
    ]));
    nodes.push(
        Node::new("p").with("class", "buttons").holding([
            Node::button(desk.get("end-stopped"), json!({ "do": "end" }))
                .with("id", "end")
                .with("class", "first"),
            Node::button(desk.get("no-stop"), json!({ "do": "no-stop" }))
                .with("id", "no-stop"),
        ]),
    );
    (nodes, run::focus(desk))
}
