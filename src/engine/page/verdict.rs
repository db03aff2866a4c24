//! A verdict: the result, a table of what decided it, a table of all the rest, what follows.
//!
//! A screen may fold the second table away and paper prints it; the nodes are the same.

use super::node::Node;
use crate::scoring::{Crew, Decision, Joint, Line, Rule, Verdict};
use crate::words::Words;

/// The outcome, its reason, and the points.
pub fn result(verdict: &Verdict, words: &Words) -> [Node; 3] {
    // A computed result is nobody's until an evaluator signs it.
    let unsigned = format!(" ({})", words.get("sheet.label.unsigned"));
    let outcome = Node::new("p").class("outcome").holding([
        Node::text("b", verdict.outcome_text.clone()),
        Node::text("span", unsigned),
    ]);
    let none = words.get("sheet.none-stated");
    let (earned, possible) = (verdict.earned.to_string(), verdict.possible.to_string());
    let points = words.say(
        "sheet.points",
        &[
            ("earned", &earned),
            ("possible", &possible),
            ("percent", verdict.percent.as_ref().unwrap_or(&none)),
            ("cut", verdict.cut.as_ref().unwrap_or(&none)),
        ],
    );
    [outcome, Node::text("p", verdict.reason.clone()), Node::text("p", points)]
}

/// The lines that speak against the run, what decides before what costs points.
pub fn against(verdict: &Verdict, words: &Words) -> Option<Node> {
    let mut lines: Vec<&Line> =
        lines(verdict).filter(|line| line.decision.against()).collect();
    // Lines of one weight stay in the order in which they were judged.
    lines.sort_by_key(|line| weight(line.decision));
    reasons(&lines, words.get("sheet.against"), words)
}

/// All other lines, in the order in which they were judged.
pub fn others(verdict: &Verdict, words: &Words) -> Option<Node> {
    let lines: Vec<&Line> =
        lines(verdict).filter(|line| !line.decision.against()).collect();
    let caption = others_count(lines.len(), words);
    reasons(&lines, caption, words)
}

fn others_count(count: usize, words: &Words) -> String {
    words.say("sheet.others", &[("count", &count.to_string())])
}

/// The result itself stands above the lines.
fn lines(verdict: &Verdict) -> impl Iterator<Item = &Line> {
    verdict.each().filter(|line| line.rule != Rule::Result)
}

/// How early a line is read: 0 is first.
const fn weight(decision: Decision) -> u8 {
    match decision {
        Decision::Refused => 0,
        Decision::Fails => 1,
        Decision::Unseen => 2,
        Decision::InPart => 3,
        Decision::Open | Decision::Costs => 4,
        Decision::Kept | Decision::NotShown | Decision::LeftOut | Decision::Noted => 5,
    }
}

fn reasons(lines: &[&Line], caption: String, words: &Words) -> Option<Node> {
    let head = ["rule", "sentence", "decision", "points"].map(|key| {
        // words: sheet.label.{rule|sentence|decision|points}
        Node::text("th", words.get(&format!("sheet.label.{key}"))).with("scope", "col")
    });
    let row = |line: &&Line| {
        let row = Node::new("tr").holding([
            Node::text("td", line.rule_text.clone()).class("so-rule"),
            Node::text("td", line.sentence.clone()),
            Node::text("td", line.decision_text.clone()).class("so-points"),
            Node::text("td", points(line, words)).class("so-points"),
        ]);
        if line.decision.against() { row.class("so-heavy") } else { row }
    };
    (!lines.is_empty()).then(|| {
        Node::new("table").class("so-marks so-reasons").holding([
            Node::text("caption", caption),
            Node::new("thead").holding([Node::new("tr").holding(head)]),
            Node::new("tbody").holding(lines.iter().map(row)),
        ])
    })
}

/// "2 of 3", with a true minus; nothing on a line without points.
fn points(line: &Line, words: &Words) -> String {
    if line.points == 0 && line.of == 0 {
        return String::new();
    }
    let points = line.points.to_string().replace('-', "\u{2212}");
    words.say("sheet.points-of", &[("points", &points), ("of", &line.of.to_string())])
}

/// The one result of a run that several evaluators watched, and in what they differ.
pub fn of_joint(joint: &Joint, words: &Words) -> Vec<Node> {
    let differ = joint.differences.iter().map(|text| Node::text("p", text.clone()));
    [
        Node::text("p", words.get("sheet.label.joint-result")).class("so-h"),
        Node::text("p", joint.outcome_text.clone()),
    ]
    .into_iter()
    .chain(differ)
    .collect()
}

/// The crew's result, apart from the candidate's.
pub fn of_crew(crew: &Crew, words: &Words) -> [Node; 3] {
    [
        Node::text("p", words.get("sheet.label.crew-result")).class("so-h"),
        Node::text("p", crew.outcome_text.clone()),
        Node::text("p", crew.reason.clone()),
    ]
}

/// What follows: remediation, retest, appeal, safe state.
pub fn follows(verdict: &Verdict, words: &Words) -> Vec<Node> {
    if verdict.next.is_empty() {
        return Vec::new();
    }
    let next = verdict.next.iter().map(|text| Node::text("li", text.clone()));
    vec![
        Node::text("p", words.get("sheet.label.next")).class("so-h"),
        Node::new("ul").class("so-next").holding(next),
    ]
}
