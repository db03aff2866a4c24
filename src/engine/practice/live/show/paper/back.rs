//! The back: steps, order, stop, verdict, what follows, signatures.

use super::super::super::sheet::own_steps;
use super::super::step::place;
use super::Paper;
use super::parts::{block, cell, crossed, heading, table, tick};
use crate::course::{Mark, StopCause};
use crate::practice::view::Node;
use crate::scoring::{Outcome, Rule};

pub(super) fn nodes(paper: Paper<'_>) -> Vec<Node> {
    let mut nodes = vec![steps(paper), order(paper), stop(paper), verdict(paper)];
    let sheet = &paper.part.sheet;
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let after = paper.fields([
        ("void", 3, text(&sheet.void)),
        ("notes", 3, text(&sheet.notes)),
        ("remediation", 3, text(&sheet.remediation)),
        ("words", 3, text(&sheet.words)),
    ]);
    // Lines for signatures stay empty: a typed name is none.
    let signs = ["candidate-signs", "evaluator-signs", "safety-signs"];
    let signs = paper.fields(signs.map(|key| (key, 2, String::new())));
    nodes.push(block([
        after.with("class", "so-fields so-tall"),
        signs.with("class", "so-fields so-sign"),
    ]));
    let fine = [paper.get("label.seen-not-agreed")];
    let fine = fine.into_iter().chain(paper.part.verdict.next.iter().cloned());
    let fine: Vec<String> = fine.collect();
    nodes.push(Node::text("p", fine.join(" ")).with("class", "so-fine"));
    nodes
}

fn steps(paper: Paper<'_>) -> Node {
    let (kit, sheet) = (paper.part.kit, &paper.part.sheet);
    let boxes = Mark::ALL.iter().map(|(_, known)| known.key());
    let boxes = boxes.chain(["out-of-order".to_owned()]);
    // words: sheet.mark.{done|prompted|not-done|not-seen|not-applicable|out-of-order}
    let boxes = boxes.map(|key| ("so-mark", paper.get(&format!("mark.{key}"))));
    let head = [
        ("so-number", String::new()),
        ("so-act", paper.get("label.steps")),
        ("so-note", paper.get("label.sees")),
    ];
    let rows = own_steps(Some(kit), paper.desk.state).map(|step| {
        let mark = sheet.marks.get(&step.id);
        let boxes = Mark::ALL.iter().map(|(_, known)| crossed(mark == Some(known)));
        let late = crossed(sheet.out_of_order.contains(&step.id));
        Node::new("tr")
            .holding([
                cell("so-number", place(kit, &step.id)),
                cell("so-act", step.action.clone()),
                cell("so-note", step.sees.clone()),
            ])
            .holding(boxes)
            .holding([late])
    });
    table("so-marks so-steps", head.into_iter().chain(boxes), rows)
}

fn order(paper: Paper<'_>) -> Node {
    let (kit, sheet) = (paper.part.kit, &paper.part.sheet);
    let seen = sheet.order_seen.as_ref().map(|seen| {
        let places: Vec<String> = seen.iter().map(|step| place(kit, step)).collect();
        places.join(" ")
    });
    let seen = seen.unwrap_or_else(|| paper.get("order-not-written"));
    let again = format!("{} · {}", sheet.id, paper.name(&sheet.candidate));
    paper.fields([("order-seen", 4, seen), ("again", 2, again)])
}

fn stop(paper: Paper<'_>) -> Node {
    let stop = paper.part.sheet.stop.as_ref();
    let by = stop.map_or_else(|| paper.get("nobody"), |stop| paper.name(&stop.by));
    let why = stop.map(|stop| stop.why.clone()).unwrap_or_default();
    let cause = stop.map(|stop| stop.cause);
    let causes = StopCause::ALL.iter();
    let causes = causes.map(|(word, known)| (*word, cause == Some(*known)));
    let safe = paper.part.kit.drill().stop.safe_state.iter();
    let safe = safe.map(|line| tick(line.clone(), false));
    let causes = [paper.bold("cause")].into_iter().chain(paper.ticks("cause", causes));
    let safe = [paper.bold("safe")].into_iter().chain(safe);
    block([
        heading(paper.get("label.stop")),
        paper.fields([("stopped-by", 3, by), ("stopped-why", 3, why)]),
        Node::new("p").with("class", "so-row").holding(causes),
        Node::new("p").with("class", "so-row so-safe").holding(safe),
    ])
}

fn verdict(paper: Paper<'_>) -> Node {
    let verdict = &paper.part.verdict;
    let boxes = Outcome::ALL.iter().map(|known| (known.key(), verdict.outcome == *known));
    let mut kids = vec![
        heading(paper.get("label.verdict")),
        Node::new("p").holding([Node::text("b", verdict.outcome_text.clone())]),
        Node::new("p").with("class", "so-row").holding(paper.ticks("outcome", boxes)),
        Node::text("p", verdict.reason.clone()),
    ];
    let against = verdict
        .lines
        .iter()
        .filter(|line| line.rule != Rule::Result && line.decision.against());
    let against: Vec<Node> =
        against.map(|line| Node::text("li", line.sentence.clone())).collect();
    if !against.is_empty() {
        kids.push(Node::new("ul").with("class", "so-next").holding(against));
    }
    kids.push(Node::text("p", paper.get("label.verdict-note")).with("class", "so-fine"));
    Node::new("div").with("class", "so-block so-verdict").holding(kids)
}
