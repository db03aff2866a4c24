//! After saving: the verdict, the file, what comes next, and the differences of two
//! evaluators.

use serde_json::json;

use super::super::desk::Desk;
use super::super::finished::Head;
use super::super::sheet::{Part, sheets};
use super::parts::{focus_or_head, heading};
use crate::course::Person;
use crate::page::sheet::{self, Bench, ChainHead, ScoredRun};
use crate::page::verdict;
use crate::practice::view::Node;
use crate::scoring::{Line, Rule, Verdict};

pub(super) fn view(desk: &Desk<'_>) -> (Vec<Node>, Option<String>) {
    let parts = sheets(desk.live, desk.state);
    let mut nodes = vec![heading(desk.get("done")), super::run::facts(desk)];
    nodes.push(desk.note("unsigned"));
    for part in &parts {
        nodes.extend(judged(desk, &part.verdict));
    }
    if let Some(first) = desk.first {
        nodes.extend(differences(desk, &sheets(desk.live, first), &parts));
    }
    let second = desk.first.is_none().then(|| {
        Node::button(desk.get("second"), json!({ "do": "second" })).with("id", "second")
    });
    let role = (desk.live.scored().len() > 1).then(|| {
        Node::button(desk.get("role"), json!({ "do": "role" })).with("id", "role")
    });
    let keys = [
        Node::button(desk.get("file"), json!({ "do": "rescue" }))
            .with("id", "file-0")
            .with("class", "first"),
        Node::button(desk.get("print"), json!({ "do": "print" })).with("id", "print"),
        Node::button(desk.get("next"), json!({ "do": "next" })).with("id", "next"),
    ];
    nodes.push(
        Node::new("p")
            .with("class", "buttons")
            .holding(keys.into_iter().chain(role).chain(second)),
    );
    nodes.extend(finished(desk));
    nodes.push(paper(desk, &parts));
    (nodes, focus_or_head(None))
}

/// The verdict of one drill; what was as it should be is folded away.
fn judged(desk: &Desk<'_>, of: &Verdict) -> Vec<Node> {
    let words = desk.live.words();
    let mut nodes = vec![Node::text("h3", of.drill_title.clone())];
    nodes.extend(verdict::result(of, words));
    nodes.extend(verdict::against(of, words));
    nodes.extend(verdict::follows(of, words));
    nodes.extend(verdict::others(of, words).map(|others| {
        let summary = Node::text("summary", verdict::others_named(of, words));
        Node::new("details").holding([summary, others])
    }));
    nodes
}

/// The filled sheet as it is printed and signed.
fn paper(desk: &Desk<'_>, parts: &[Part<'_>]) -> Node {
    let data = desk.live.data();
    let people: Vec<&Person> = data.people.iter().collect();
    let bench = Bench { house: &data.house, people: &people, words: desk.live.words() };
    let chain = ChainHead { title: &data.title, about: &data.about };
    let runs = parts.iter().map(|part| {
        let Part { kit, sheet, verdict } = part;
        ScoredRun { kit, sheet, verdict }
    });
    let runs: Vec<ScoredRun<'_>> = runs.collect();
    let sides = sheet::filled(bench, data.chain.then_some(chain), &runs);
    Node::new("div").class("paper").holding(sides)
}

/// Where the two evaluators differ, line by line.
fn differences(desk: &Desk<'_>, first: &[Part<'_>], second: &[Part<'_>]) -> Vec<Node> {
    let mut rows = Vec::new();
    for part in second {
        let other = first.iter().find(|other| other.verdict.drill == part.verdict.drill);
        let Some(other) = other else { continue };
        let mut row = |label: &str, before: &str, now: &str| {
            if before != now {
                let cells = [label, before, now].map(|text| Node::text("td", text));
                rows.push(Node::new("tr").holding(cells));
            }
        };
        let (before, now) = (&other.verdict, &part.verdict);
        row(&now.drill_title, &before.outcome_text, &now.outcome_text);
        for line in &now.lines {
            let of =
                |known: &&Line| known.rule == line.rule && known.subject == line.subject;
            let same = before.lines.iter().find(of);
            // The outcome stands in a row of its own, and the others were declared, not seen.
            let counts = !matches!(line.rule, Rule::Result | Rule::Use | Rule::Attempt);
            if let Some(same) = same.filter(|_| counts) {
                row(&line.label, &same.seen, &line.seen);
            }
        }
    }
    let mut nodes =
        vec![Node::text("h3", desk.get("differences")).with("id", "differences")];
    if rows.is_empty() {
        nodes.push(Node::text("p", desk.get("no-differences")));
        return nodes;
    }
    let name = |parts: &[Part<'_>]| {
        let id = parts.first().map_or("", |part| part.sheet.evaluator.person.as_str());
        desk.live.name(id).to_owned()
    };
    let head = [desk.get("column.what"), name(first), name(second)];
    let head = head.map(|text| Node::text("th", text).with("scope", "col"));
    let table = Node::new("table").with("class", "grid").holding([
        Node::new("thead").holding([Node::new("tr").holding(head)]),
        Node::new("tbody").holding(rows),
    ]);
    nodes.push(Node::new("div").with("class", "wide").holding([table]));
    nodes
}

/// Runs that this browser still keeps.
pub(super) fn finished(desk: &Desk<'_>) -> Vec<Node> {
    if desk.finished.is_empty() {
        return Vec::new();
    }
    let row = |run: &Head| {
        Node::new("li").holding([
            Node::text("p", run.title.clone()),
            Node::new("p").with("class", "buttons").holding([
                Node::button(
                    desk.get("file-again"),
                    json!({ "do": "file", "run": run.id }),
                )
                .with("aria-label", desk.say("file-of", &[("run", &run.title)])),
                Node::button(
                    desk.get("forget"),
                    json!({ "do": "forget", "run": run.id }),
                )
                .with("aria-label", desk.say("forget-of", &[("run", &run.title)])),
            ]),
        ])
    };
    vec![Node::new("details").with("class", "finished").holding([
        Node::text("summary", desk.get("kept")),
        Node::text("p", desk.get("kept-about")),
        Node::new("ul").holding(desk.finished.iter().map(row)),
    ])]
}
