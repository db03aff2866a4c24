//! What would have happened, and why: in the words of the critical, the step and the drill's caution.

use super::super::kit::Told;
use super::super::look::Look;
use super::super::state::Walk;
use super::{head, say};
use crate::practice::view::{Node, does};

/// Words shorter than that say nothing of a thing: "the", "with", "from".
const SAYS: usize = 5;

/// Words that a caution and an act have in common at least, before the one is told beside the other.
const ALIKE: usize = 2;

/// The view, and what is said of it.
pub(super) fn harm(look: &Look<'_>, walk: &Walk) -> (Vec<Node>, String) {
    let opened = look.opened;
    let harm = &walk.harm;
    let stop = &look.kit.drill().stop;
    let title = say(opened, "harm", &[("word", &stop.word)]);
    let chosen = say(opened, "chosen", &[("act", &harm.act)]);
    let mut nodes = vec![head(title.clone()), Node::text("p", chosen)];
    let mut said = vec![title];
    let mut texts = vec![harm.act.clone()];
    let mut known: Vec<&str> = Vec::new();
    for (critical, because) in &harm.broken {
        let own = look.kit.drill().criticals.iter().find(|one| one.id == *critical);
        let mut lines = Vec::new();
        if let Some(own) = own.filter(|own| !known.contains(&own.id.as_str())) {
            known.push(&own.id);
            lines.push(Node::text("b", own.act.clone()));
            let reason = say(opened, "why", &[("reason", &own.reason)]);
            lines.push(Node::text("p", reason.clone()));
            said.extend([own.act.clone(), reason]);
            texts.extend([own.act.clone(), own.reason.clone()]);
        } else if critical.is_empty() {
            said.push(because.clone());
        }
        lines.push(Node::text("p", because.clone()).class("soft"));
        nodes.push(Node::new("div").class("wrong").holding(lines));
    }
    let step = look.step(&harm.step);
    if let Some(hazard) = step.and_then(|step| step.hazard.as_ref()) {
        nodes.push(Node::text("p", say(opened, "hazard", &[("text", hazard)])));
        texts.push(hazard.clone());
    }
    if let Some(caution) = alike(&opened.data().cautions, &texts.join(" ")) {
        let head = Node::text("b", format!("{}. ", caution.headline));
        let rest = format!("{} {}", caution.hazard, caution.control);
        nodes
            .push(Node::new("p").class("note").holding([head, Node::text("span", rest)]));
    }
    let safe = stop.safe_state.iter().map(|line| Node::text("li", line.clone()));
    nodes.push(Node::text("p", say(opened, "safe", &[])));
    nodes.push(Node::new("ol").class("safe").holding(safe));
    nodes.push(Node::text("p", say(opened, "safe-on", &[])));
    let on = Node::button(say(opened, "go-on", &[]), does("on")).with("id", "on");
    nodes.push(Node::new("p").class("buttons").holding([on.class("first")]));
    (vec![Node::new("div").class("harm").holding(nodes)], said.join(" "))
}

/// The caution of the drill that speaks of the same as a text; nothing where none does.
fn alike<'c>(cautions: &'c [Told], text: &str) -> Option<&'c Told> {
    let words = words(text);
    let common = |one: &Told| {
        let own = self::words(&format!("{} {}", one.headline, one.hazard));
        own.into_iter().filter(|word| words.contains(word)).count()
    };
    let mut best: Option<(usize, &Told)> = None;
    for caution in cautions {
        let count = common(caution);
        // The first of equals stays: cautions stand in the author's order.
        if count >= ALIKE && best.is_none_or(|(most, _)| count > most) {
            best = Some((count, caution));
        }
    }
    best.map(|(_, caution)| caution)
}

/// The words of a text that say something, each once.
fn words(text: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for word in text.split(|letter: char| !letter.is_alphanumeric()) {
        let word = word.to_lowercase();
        if word.chars().count() >= SAYS && !found.contains(&word) {
            found.push(word);
        }
    }
    found
}
