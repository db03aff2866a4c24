//! After the run: what is untouched, what contradicts itself, the order, and what is said
//! afterwards.

use super::super::asked::run_kits;
use super::super::asked::{cues, untouched};
use super::super::desk::Desk;
use super::super::sheet::{faults, sheet};
use super::by_hand::by_hand;
use super::field::{choice, label, line, lines, people};
use super::order::order;
use super::parts::heading;
use super::questions::{contradictions, sentences};
use super::run;
use super::stopped::{stop_fields, void};
use crate::course::Mark;
use crate::practice::view::{Node, does, doing, valued};
use crate::scoring::hanging;

pub(super) fn view(desk: &Desk<'_>) -> (Vec<Node>, Option<String>) {
    let mut nodes = vec![heading(desk.get("review")), run::facts(desk)];
    nodes.extend(untouched_ones(desk));
    nodes.extend(cues_untouched(desk));
    nodes.extend(contradictions(desk));
    nodes.extend(sentences(desk));
    nodes.extend(faulty(desk));
    nodes.extend(run::drills(desk));
    nodes.extend(by_hand(desk));
    if let Some(kit) = desk.state.kit(desk.live) {
        nodes.extend(order(desk, kit));
    }
    nodes.push(Node::text("h3", desk.get("after")));
    if desk.state.stopped {
        let fields = Node::new("div").with("class", "fields");
        nodes.push(fields.holding(stop_fields(desk)));
    }
    let after = ["words", "remediation"].map(|field| lines(desk, field));
    let fields = Node::new("div").with("class", "fields");
    nodes.push(fields.holding(after).holding(remedy(desk)).holding(void(desk)));
    let save = Node::button(desk.get("save"), does("save"));
    nodes.push(Node::text("p", desk.get("save-about")));
    nodes.push(Node::new("p").with("class", "buttons").holding([
        save.with("id", "save").with("class", "first"),
        Node::button(desk.get("back"), does("back")).with("id", "back"),
        run::undo(desk),
        Node::button(desk.get("discard"), does("discard")).with("id", "discard"),
    ]));
    if let Some(kit) = desk.state.kit(desk.live) {
        nodes.push(Node::text("h3", desk.get("again")));
        nodes.extend(run::body(desk, kit));
    }
    (nodes, run::focus(desk))
}

/// Who gave the remediation and on which day: a retest rests on its day (rule 30).
fn remedy(desk: &Desk<'_>) -> [Node; 2] {
    let (by, on) = ("remediation-by", "remediation-on");
    let mut day = line(desk, on);
    for input in day.kids.iter_mut().filter(|kid| kid.tag == "input") {
        input.with.insert("type", "date".into());
    }
    [choice(desk, by, label(desk, by), people(desk)), day]
}

/// One mark for all steps that have none.
pub(super) fn rest_keys(desk: &Desk<'_>) -> [Node; 2] {
    [Mark::NotDone, Mark::NotSeen].map(|mark| {
        let key = mark.key();
        // words: live.rest.{not-done|not-seen}
        let text = desk.get(&format!("rest.{key}"));
        Node::button(text, doing("rest", &[("mark", valued(&mark))]))
            .with("id", format!("rest-{key}"))
    })
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
    if !steps.is_empty() {
        nodes.push(ask("untouched", steps.len(), rest_keys(desk)));
    }
    // Each is a question of its own: one touch for all would be an answer that nobody gave.
    if !criticals.is_empty() {
        let count = criticals.len().to_string();
        let text = desk.say("untouched-criticals", &[("count", &count)]);
        let note = Node::text("p", text).with("class", "note");
        nodes.push(note.with("id", "untouched-criticals"));
    }
    nodes
}

/// Cues without a mark: nothing rests on what nobody gave.
fn cues_untouched(desk: &Desk<'_>) -> Option<Node> {
    // After a stop nobody is asked for what could no longer come.
    let kit = desk.state.kit(desk.live).filter(|_| !desk.state.stopped)?;
    let part = desk.state.part()?;
    let open = cues(kit, desk.state).filter(|cue| !part.cues.contains_key(&cue.id));
    let open: Vec<&str> = open.map(|cue| cue.says.as_str()).collect();
    (!open.is_empty()).then(|| {
        let text = desk.say("untouched-cues", &[("cues", &open.join(" "))]);
        Node::text("p", text).with("class", "note").with("id", "untouched-cues")
    })
}

/// What keeps the sheet from being saved, and what keeps it from having a result.
fn faulty(desk: &Desk<'_>) -> Vec<Node> {
    let faults = faults(desk.live, desk.state);
    let list = |id: &str, head: String, faults: Vec<String>| {
        let items = faults.into_iter().map(|fault| Node::text("li", fault));
        Node::new("div")
            .with("class", "note")
            .with("id", id)
            .holding([Node::text("p", head), Node::new("ul").holding(items)])
    };
    let mut nodes = Vec::new();
    // What keeps it from being saved stands before what only leaves it open.
    if !faults.refusing.is_empty() {
        nodes.push(list("faults", desk.get("mend"), faults.refusing));
    }
    if !faults.asking.is_empty() {
        nodes.push(list("open", desk.get("open"), faults.asking));
    }
    let hanging = run_kits(desk.live, desk.state)
        .flat_map(|kit| hanging(kit, &sheet(desk.live, desk.state, kit)));
    let hanging: Vec<String> = hanging.collect();
    if !hanging.is_empty() {
        nodes.push(list("hanging", desk.get("hanging"), hanging));
    }
    nodes
}
