//! What is asked now: an act, words for the radio, a value.

use super::super::here::shown;
use super::super::look::Look;
use super::super::offer::{Act, offered};
use super::super::state::{Phase, Walk};
use super::now::needed;
use super::parts::{head, phrase};
use crate::course::{Radio, Step};
use crate::practice::view::{Node, does, doing, valued};

/// Calls of other steps that stand beside the right one, because three are read on a
/// phone without scrolling.
const OTHER_CALLS: usize = 2;

/// The question and what can be answered.
pub(super) fn ask(look: &Look<'_>, walk: &Walk) -> Vec<Node> {
    let step = look.step(&walk.step);
    match (walk.phase, step) {
        (Phase::Words, Some(step)) => words(look, walk, step),
        (Phase::Aloud, Some(step)) => aloud(look, step),
        (Phase::Silent, Some(step)) => silent(look, walk, step),
        (Phase::Value, Some(step)) => value(look, walk, step),
        _ => choose(look, walk),
    }
}

/// A key as wide as the line, for an act.
fn key(text: &str, id: &str, act: serde_json::Value) -> Node {
    Node::new("li").holding([Node::button(text, act).class("step").with("id", id)])
}

fn keys(all: Vec<Node>) -> Node {
    Node::new("ul").class("steps").holding(all)
}

fn choose(look: &Look<'_>, walk: &Walk) -> Vec<Node> {
    let opened = look.opened;
    let acts = offered(look, walk).acts;
    let key = |act: &Act| match act {
        Act::Step(id) => {
            let text = look.step(id).map_or(id.as_str(), |step| step.action.as_str());
            key(text, &format!("act-{id}"), doing("act", &[("step", valued(id))]))
        }
        Act::Ignore(cue) => {
            let text = match look.ordered(walk, cue) {
                Some(order) => phrase(opened, "accept", &[("value", &order)]),
                None => phrase(opened, "ignore", &[]),
            };
            key(&text, "ignore", doing("ignore", &[("cue", valued(cue))]))
        }
    };
    let mut nodes = vec![head(phrase(opened, "now", &[]))];
    // A cue stands there until all was done about it; an act in between would have wiped it away.
    if let Some(cue) = look.unanswered(walk) {
        let text = look.cue_said(walk, (&cue.id, &cue.says));
        if !walk.notes.contains(&text) {
            let text = phrase(opened, "still-open", &[("text", &text)]);
            nodes.push(Node::text("p", text).class("note").with("id", "still-open"));
        }
    }
    if acts.is_empty() {
        nodes.push(Node::text("p", phrase(opened, "nothing-left", &[])));
    } else {
        nodes.push(keys(acts.iter().map(key).collect()));
    }
    let end = Node::button(phrase(opened, "end", &[]), does("end")).with("id", "end");
    nodes.push(Node::new("p").class("buttons").holding([end]));
    nodes
}

fn doing_now(look: &Look<'_>, step: &Step) -> Node {
    let text = phrase(look.opened, "doing", &[("act", &step.action)]);
    Node::text("p", text).class("soft")
}

/// A call and its answer.
fn pair(radio: &Radio) -> String {
    format!("“{}” “{}”", radio.call, radio.answer)
}

fn words(look: &Look<'_>, walk: &Walk, step: &Step) -> Vec<Node> {
    let opened = look.opened;
    let Some(own) = &step.radio else { return Vec::new() };
    let mut chance = Look::chance(walk, &format!("words {}", step.id));
    let all = look.kit.drill().steps.iter();
    let others = all.filter_map(|one| Some((one, one.radio.as_ref()?)));
    // The same words beside themselves would be no choice.
    let others = others.filter(|(one, radio)| {
        shown(&look.kit, one) && (&radio.call, &radio.answer) != (&own.call, &own.answer)
    });
    let mut others: Vec<(&Step, &Radio)> = others.collect();
    chance.shuffle(&mut others);
    others.truncate(OTHER_CALLS);
    let mut nodes = vec![head(phrase(opened, "radio", &[])), doing_now(look, step)];
    nodes.push(Node::text("p", phrase(opened, "radio-about", &[])));
    if !others.is_empty() {
        others.push((step, own));
        chance.shuffle(&mut others);
        let call = |(one, radio): &(&Step, &Radio)| {
            let act = doing("say", &[("step", valued(&one.id))]);
            key(&pair(radio), &format!("say-{}", one.id), act)
        };
        nodes.push(keys(others.iter().map(call).collect()));
    }
    let aloud =
        Node::button(phrase(opened, "aloud", &[]), does("aloud")).with("id", "aloud");
    nodes.push(Node::new("p").class("buttons").holding([aloud]));
    nodes
}

fn aloud(look: &Look<'_>, step: &Step) -> Vec<Node> {
    let opened = look.opened;
    let Some(radio) = &step.radio else { return Vec::new() };
    let content = radio.content.join(", ");
    vec![
        head(phrase(opened, "compare", &[])),
        doing_now(look, step),
        Node::new("blockquote").class("radio").holding([
            Node::text("p", format!("“{}”", radio.call)),
            Node::text("p", format!("“{}”", radio.answer)),
        ]),
        Node::text("p", phrase(opened, "content", &[("text", &content)])),
        Node::new("p").class("buttons").holding([
            Node::button(phrase(opened, "whole", &[]), does("whole")).with("id", "whole"),
            Node::button(phrase(opened, "missed", &[]), does("missed"))
                .with("id", "missed"),
        ]),
    ]
}

fn silent(look: &Look<'_>, walk: &Walk, step: &Step) -> Vec<Node> {
    let opened = look.opened;
    let mut all = vec![
        key(&phrase(opened, "call-again", &[]), "call-again", does("call-again")),
        key(&phrase(opened, "take", &[]), "take", does("take")),
    ];
    Look::chance(walk, "silent keys").shuffle(&mut all);
    vec![
        head(phrase(opened, "silent", &[])),
        doing_now(look, step),
        Node::text("p", phrase(opened, "silent-about", &[])),
        keys(all),
    ]
}

fn value(look: &Look<'_>, walk: &Walk, step: &Step) -> Vec<Node> {
    let opened = look.opened;
    let asked = look.values(walk, &step.id);
    let Some(measure) = asked.first() else { return Vec::new() };
    let unit = crate::quantity::find(&measure.unit);
    let unit = unit.map_or_else(String::new, |unit| {
        let one = crate::quantity::Quantity::new(crate::quantity::Fraction::ONE, unit);
        one.unit_printed()
    });
    let label = phrase(opened, "value-in", &[("label", &measure.label), ("unit", &unit)]);
    let input = Node::new("input")
        .with("id", "value")
        .with("name", "text")
        .with("inputmode", "decimal")
        .with("autocomplete", "off")
        .with("value", walk.written.clone())
        .acts(doing("draft", &[]));
    let entry = Node::new("div")
        .class("entry")
        .holding([input, Node::text("span", unit).with("aria-hidden", "true")]);
    let check = Node::text("button", phrase(opened, "check", &[]))
        .with("type", "submit")
        .with("id", "check")
        .class("first");
    let give_up = Node::button(phrase(opened, "give-up", &[]), does("give-up"))
        .with("id", "give-up");
    let form = Node::new("form").acts(doing("value", &[])).holding([
        Node::text("label", label).with("for", "value"),
        entry,
        Node::new("p").class("buttons").holding([check, give_up]),
    ]);
    let mut nodes = vec![head(phrase(opened, "value", &[])), doing_now(look, step)];
    nodes.extend(needed(look, walk, measure));
    nodes.push(form);
    if !look.kit.rig().is_nowhere() {
        let card = format!("rig-{}.html", look.kit.rig().id);
        let card = Node::text("a", phrase(opened, "card", &[])).with("href", card);
        nodes.push(Node::new("p").holding([card]));
    }
    nodes
}
