//! What lies over the step, one thing at a time: the list of criticals, the cautions, a number
//! with its keypad, and what is asked as it arises.

use super::super::asked::numbers;
use super::super::desk::Desk;
use super::super::look::Look;
use super::super::sheet::sheet;
use super::by_hand;
use super::criticals::{acts, criticals, seen};
use super::field::number;
use super::of_number::{as_manual, counters, reported};
use super::questions::contradictions;
use super::steps::{begun_keys, place};
use crate::course::{Caution, Drill, Signal};
use crate::practice::view::{Node, does, doing, valued};
use crate::scoring::{Kit, by_the_manual, prompts};
use crate::words::Words;

/// What lies over the step; nothing where the step is looked at.
pub(super) fn view(desk: &Desk<'_>, kit: &Kit) -> Option<Vec<Node>> {
    match desk.look {
        Look::Criticals => Some(vec![list(all_criticals(desk, kit))]),
        Look::Caution => Some(vec![list(caution_texts(desk))]),
        Look::Number(field) => of_number(desk, kit, field),
        Look::Question => of_question(desk),
        Look::Begun(step) => begun(desk, kit, |id| id == step),
        Look::Place(step) => placed(desk, kit, step),
        Look::Seen(critical) => what_was_seen(desk, kit, critical),
        _ => None,
    }
}

/// A list that scrolls by itself, so that nothing around it moves.
pub(super) fn list(kids: Vec<Node>) -> Node {
    Node::new("div").with("class", "list").holding(kids)
}

pub(super) fn head(text: String) -> Node {
    Node::text("h2", text).with("id", "head").with("tabindex", "-1")
}

/// The gravest cautions of the drill, or of a chain.
pub(super) fn cautions<'d>(desk: &Desk<'d>) -> Vec<&'d Caution> {
    let data = desk.live.data();
    let drills: Vec<&Drill> = data.drills.iter().map(|one| &one.drill).collect();
    data.house.gravest(&drills)
}

/// A signal word with its class.
pub(super) fn signal(signal: Signal, words: &Words) -> (String, &'static str) {
    let class = match signal {
        Signal::Danger => "sig danger",
        Signal::Warning => "sig warning",
        Signal::Caution => "sig caution",
        Signal::Notice => "sig notice",
    };
    (signal.said(words), class)
}

fn all_criticals(desk: &Desk<'_>, kit: &Kit) -> Vec<Node> {
    let mut nodes = vec![
        head(desk.get("criticals")),
        Node::text("p", desk.get("criticals-about")).with("class", "sees"),
        Node::new("ol").with("class", "rows").holding(criticals(desk, kit)),
        Node::text("h3", desk.get("acts")),
        Node::new("ul").with("class", "rows acts").holding(acts(desk, kit)),
    ];
    let others: Vec<Node> = by_hand::of_roles(desk, kit);
    if !others.is_empty() {
        nodes.push(Node::text("h3", desk.get("others")));
        nodes.push(Node::new("div").with("class", "fields").holding(others));
    }
    nodes
}

fn caution_texts(desk: &Desk<'_>) -> Vec<Node> {
    let mut nodes = vec![head(desk.get("cautions"))];
    for caution in cautions(desk) {
        let (word, class) = signal(caution.signal, desk.live.words());
        nodes.push(Node::new("p").holding([
            Node::text("strong", word).with("class", class),
            Node::text("b", format!(" {}. ", caution.headline)),
            Node::text("span", format!("{} ", caution.hazard)),
            Node::text("b", caution.control.clone()),
        ]));
    }
    // Wherever cautions stand in full, who decides stands under them.
    nodes.push(Node::text("p", desk.get("deference")).with("class", "need"));
    nodes
}

/// A number with its keypad, and what is asked about it.
fn of_number(desk: &Desk<'_>, kit: &Kit, field: &str) -> Option<Vec<Node>> {
    let all = numbers(kit, desk.state);
    let (field, unit, label) = all.iter().find(|(known, _, _)| known == field)?;
    let asked = by_the_manual(kit, &sheet(desk.live, desk.state, kit));
    let kids = [number(desk, field, unit, label)]
        .into_iter()
        .chain(counters(kit, field))
        .chain(reported(desk, kit, field))
        .chain(as_manual(desk, kit, &asked, (field, label)));
    let box_ = list(vec![head(label.clone())]).holding(kids);
    Some(vec![box_.with("class", "list of-number")])
}

fn of_question(desk: &Desk<'_>) -> Option<Vec<Node>> {
    let nodes = contradictions(desk);
    let open = nodes.first()?.with.get("id").is_some_and(|id| id == "question");
    open.then(|| {
        vec![list([head(desk.get("asked-now"))].into_iter().chain(nodes).collect())]
    })
}

/// Whether what must wait for a prompted step had begun by then: for the step that was touched,
/// or for the first that is looked for.
pub(super) fn begun(
    desk: &Desk<'_>,
    kit: &Kit,
    wanted: impl Fn(&str) -> bool,
) -> Option<Vec<Node>> {
    let prompts = prompts(kit, &sheet(desk.live, desk.state, kit));
    let (step, waits) = prompts.iter().find(|(id, _)| wanted(id))?;
    let text = desk.say("begun", &[("what", &waits.join("; "))]);
    Some(vec![
        list(vec![head(text), of(desk, kit, step)]),
        begun_keys(desk, step, "head").with("class", "keys of-answer"),
    ])
}

/// The step that a question is about.
fn of(desk: &Desk<'_>, kit: &Kit, step: &str) -> Node {
    let known = kit.drill().steps.iter().find(|known| known.id == step);
    let what = known.map_or("", |step| step.action.as_str());
    let at = place(kit, step);
    let text = desk.say("of-step", &[("step", &at), ("what", what)]);
    Node::text("p", text).with("class", "sees")
}

/// When a step was done that was first marked otherwise.
pub(super) fn placed(desk: &Desk<'_>, kit: &Kit, step: &str) -> Option<Vec<Node>> {
    // Once its place is told, nothing is asked any more.
    desk.state.part()?.unplaced.get(step)?;
    let keys = [("printed", false), ("late", true)].map(|(key, late)| {
        let act = doing("placed", &[("step", valued(&step)), ("late", valued(&late))]);
        // words: live.placed.{printed|late}
        Node::button(desk.get(&format!("placed.{key}")), act)
            .with("id", format!("placed-{key}"))
    });
    let group = Node::new("div").with("class", "keys of-answer").with("role", "group");
    Some(vec![
        list(vec![head(desk.get("placed.asked")), of(desk, kit, step)]),
        group.with("aria-labelledby", "head").holding(keys),
    ])
}

/// What was seen of a critical that happened: without it the sheet cannot be signed.
fn what_was_seen(desk: &Desk<'_>, kit: &Kit, critical: &str) -> Option<Vec<Node>> {
    let known = kit.drill().criticals.iter().find(|known| known.id == critical)?;
    let on = Node::button(desk.get("pad.on"), does("open")).with("id", "on");
    Some(vec![
        list(vec![
            head(known.act.clone()),
            Node::text("p", desk.get("seen-about")).with("class", "sees"),
            seen(desk, kit, critical),
        ]),
        Node::new("div").with("class", "keys of-answer").holding([on]),
    ])
}
