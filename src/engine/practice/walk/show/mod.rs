//! The views of a walk.

mod parts;
mod ask;
mod end;
mod harm;
mod now;

use self::parts::{head, phrase};
use super::here::roles;
use super::kit::Opened;
use super::look::Look;
use super::state::{Phase, Walk};
use crate::practice::view::{Node, View, does, doing, valued};

/// Before a walk: what it is, and on which rig, in which role.
pub(super) fn home(opened: &Opened, note: Option<&str>) -> View {
    let many = roles(opened).count() > 1;
    let mut nodes = vec![head(phrase(opened, "home", &[]))];
    nodes.extend(note.map(|note| Node::text("p", note.to_owned()).class("note")));
    nodes.push(Node::text("p", opened.drill().task.clone()));
    nodes.push(Node::text("p", phrase(opened, "about", &[])));
    nodes.push(Node::text("p", phrase(opened, "no-result", &[])).class("aside"));
    let mut keys = Vec::new();
    for one in &opened.data().rigs {
        for role in roles(opened) {
            let blanks = [("rig", one.rig.title.as_str()), ("role", &role.title)];
            let text = match (one.rig.is_nowhere(), many) {
                (false, false) => phrase(opened, "begin", &blanks),
                (false, true) => phrase(opened, "begin-as", &blanks),
                (true, false) => phrase(opened, "begin-alone", &[]),
                (true, true) => phrase(opened, "begin-alone-as", &blanks),
            };
            let of = [("rig", valued(&one.rig.id)), ("role", valued(&role.id))];
            let key = Node::button(text, doing("begin", &of));
            // One filled key a page: the first thing to do.
            let key = if keys.is_empty() { key.class("first") } else { key };
            keys.push(key.with("id", format!("begin-{}-{}", one.rig.id, role.id)));
        }
    }
    nodes.push(Node::new("p").class("buttons").holding(keys));
    let says = note.map(str::to_owned).unwrap_or_default();
    View { nodes, says, focus: Some("head".to_owned()) }
}

/// The view of an open walk.
pub(super) fn walk(look: &Look<'_>, walk: &Walk) -> View {
    let opened = look.opened;
    let (nodes, says) = match walk.phase {
        Phase::Done => end::end(look, walk),
        Phase::Harm => harm::harm(look, walk),
        _ => {
            let mut nodes = notes(walk);
            nodes.extend(ask::ask(look, walk));
            let nodes = vec![
                Node::new("div").class("asks-now").holding(nodes),
                Node::new("div").class("stands-now").holding(now::now(look, walk)),
            ];
            (nodes, walk.notes.join(" "))
        }
    };
    let leave = Node::button(phrase(opened, "leave", &[]), does("leave"))
        .with("id", "leave")
        .class("plain");
    let mut nodes = nodes;
    nodes.push(Node::new("p").class("leave").holding([leave]));
    View { nodes, says, focus: Some("head".to_owned()) }
}

/// What has just happened, above the next question.
fn notes(walk: &Walk) -> Vec<Node> {
    let lines = walk.notes.iter().map(|note| Node::text("p", note.clone()));
    let lines: Vec<Node> = lines.collect();
    if lines.is_empty() {
        return Vec::new();
    }
    vec![Node::new("div").class("told").with("id", "told").holding(lines)]
}
