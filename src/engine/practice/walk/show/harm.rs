//! What would have happened, and why: in the words of the critical, the step and the drill's caution.

use super::super::kit::Told;
use super::super::look::Look;
use super::super::state::Walk;
use super::parts::{head, phrase};
use crate::practice::view::{Node, does};

/// Words shorter than that say nothing of a thing: "the", "with", "from".
const SAYS: usize = 5;

/// Words that a caution and an act have in common at least, before the one is told beside the other:
/// because one alone is chance, as "water" is.
const ALIKE: usize = 2;

/// The view, and what is said of it.
pub(super) fn harm(look: &Look<'_>, walk: &Walk) -> (Vec<Node>, String) {
    let opened = look.opened;
    let harm = &walk.harm;
    let stop = &look.kit.drill().stop;
    let title = phrase(opened, "harm", &[("word", &stop.word)]);
    let chosen = phrase(opened, "chosen", &[("act", &harm.act)]);
    let mut nodes = vec![head(title.clone()), Node::text("p", chosen)];
    let mut said = vec![title];
    let mut texts = vec![harm.act.clone()];
    let mut known: Vec<&str> = Vec::new();
    for (id, because) in &harm.broken {
        if id.is_empty() {
            // A limit of every drill says all in its own sentence.
            said.push(because.clone());
            nodes.push(block([Node::text("p", because.clone())]));
        } else if !known.contains(&id.as_str()) {
            known.push(id);
            let own = look.kit.drill().criticals.iter().find(|one| one.id == *id);
            let Some(own) = own else { continue };
            let reason = phrase(opened, "why", &[("reason", &own.reason)]);
            said.extend([own.act.clone(), reason.clone()]);
            texts.extend([own.act.clone(), own.reason.clone()]);
            let head = [Node::text("b", own.act.clone()), Node::text("p", reason)];
            let all = harm.broken.iter().filter(|(of, _)| of == id);
            let lines =
                all.map(|(_, because)| Node::text("p", because.clone()).class("soft"));
            nodes.push(block(head.into_iter().chain(lines)));
        }
    }
    let step = look.step(&harm.step);
    if let Some(hazard) = step.and_then(|step| step.hazard.as_ref()) {
        nodes.push(Node::text("p", phrase(opened, "hazard", &[("text", hazard)])));
        texts.push(hazard.clone());
    }
    if let Some(caution) = alike(&opened.data().cautions, &texts.join(" ")) {
        let head = Node::text("b", format!("{}. ", caution.headline));
        let rest = format!("{} {}", caution.hazard, caution.control);
        nodes
            .push(Node::new("p").class("note").holding([head, Node::text("span", rest)]));
    }
    let safe = stop.safe_state.iter().map(|line| Node::text("li", line.clone()));
    nodes.push(Node::text("p", phrase(opened, "safe", &[])));
    nodes.push(Node::new("ol").class("safe").holding(safe));
    nodes.push(Node::text("p", phrase(opened, "safe-on", &[])));
    let on = Node::button(phrase(opened, "go-on", &[]), does("on")).with("id", "on");
    nodes.push(Node::new("p").class("buttons").holding([on.class("first")]));
    (vec![Node::new("div").class("harm").holding(nodes)], said.join(" "))
}

fn block(lines: impl IntoIterator<Item = Node>) -> Node {
    Node::new("div").class("wrong").holding(lines)
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
