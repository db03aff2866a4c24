//! After saving: the verdict, the file, what comes next, and the differences of two
//! evaluators.

use super::super::desk::Desk;
use super::super::finished::Head;
use super::super::look::Look;
use super::super::sheet::{Part, sheets};
use super::parts::{focus_or_head, heading};
use crate::course::Person;
use crate::page::sheet::{self, Bench, ChainHead, ScoredRun};
use crate::page::verdict;
use crate::practice::view::{Node, does, doing, opens, valued};
use crate::scoring::{Line, Outcome, Rule, Verdict};

pub(super) fn view(desk: &Desk<'_>) -> (Vec<Node>, Option<String>) {
    let parts = sheets(desk.live, desk.state);
    let chain = parts.len() > 1;
    let mut nodes = Vec::new();
    for (at, part) in parts.iter().enumerate() {
        nodes.extend(judged(desk, &part.verdict, (at == 0, chain)));
    }
    if nodes.is_empty() {
        nodes.push(heading(desk.get("done")));
    }
    if let Some(first) = desk.first {
        nodes.extend(differences(desk, &sheets(desk.live, first), &parts));
    }
    nodes.push(super::run::facts(desk));
    nodes.push(desk.note("unsigned"));
    let print = Node::button(desk.get("print"), does("print"));
    nodes.push(print.with("id", "print").with("class", "first begin"));
    let second = desk
        .first
        .is_none()
        .then(|| Node::button(desk.get("second"), does("second")).with("id", "second"));
    let role = (desk.live.scored().len() > 1)
        .then(|| Node::button(desk.get("role"), does("role")).with("id", "role"));
    let keys = [
        Node::button(desk.get("file"), does("rescue")).with("id", "file-0"),
        Node::button(desk.get("next"), does("next")).with("id", "next"),
    ];
    let keys = keys.into_iter().chain(role).chain(second);
    nodes.push(Node::new("div").with("class", "two").holding(keys));
    for part in &parts {
        nodes.extend(every_line(desk, &part.verdict, chain));
    }
    nodes.extend(finished(desk));
    nodes.push(paper(desk, &parts));
    let asked = matches!(desk.look, Look::Forget(_) | Look::Erase);
    (nodes, if asked { Some("keep".to_owned()) } else { focus_or_head(None) })
}

/// The word of an outcome and how it is framed: full, double, dashed, or one line.
const fn framed(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::NotMet => "far not",
        Outcome::Met => "far met",
        Outcome::MetInPart => "far part",
        Outcome::WalkedThrough
        | Outcome::Stopped
        | Outcome::Incomplete
        | Outcome::Refused
        | Outcome::Void => "far other",
    }
}

/// The verdict of one drill, to be read from two metres: the word, the one reason, the points, and
/// what comes before a retest.
fn judged(desk: &Desk<'_>, of: &Verdict, (first, chain): (bool, bool)) -> Vec<Node> {
    let words = desk.live.words();
    // words: live.far.{Outcome}
    let word = desk.get(&format!("far.{}", of.outcome.key()));
    // Letters across decide how wide they may be; their height stays.
    let letters = word.split(' ').map(|part| part.chars().count()).max().unwrap_or(0);
    // Seven letters fill a narrow phone at full height. "Not met" stays in one line; longer results
    // would run out of the frame and break between words, so that the longest word counts.
    let letters = if word.chars().count() <= 7 { word.chars().count() } else { letters };
    let wide = match letters {
        0..=7 => "",
        8..=9 => " narrow",
        _ => " narrower",
    };
    let class =
        format!("{}{wide}{}", framed(of.outcome), if chain { " of-chain" } else { "" });
    let head = Node::new("h2").with("class", class);
    let head = if first { head.with("id", "head").with("tabindex", "-1") } else { head };
    let mut nodes = Vec::new();
    if chain {
        nodes.push(Node::text("h3", of.drill_title.clone()));
    }
    nodes.push(head.holding([Node::text("span", word)]));
    let [outcome, reason, points] = verdict::result(of, words);
    nodes.push(reason.with("class", "reason"));
    nodes.push(points.with("class", "bigfig"));
    nodes.push(outcome);
    nodes.extend(verdict::follows(of, words));
    nodes
}

/// What decided, and below it what was as it should be.
fn every_line(desk: &Desk<'_>, of: &Verdict, chain: bool) -> Option<Node> {
    let words = desk.live.words();
    let text = if chain {
        desk.say("every-line-of", &[("drill", &of.drill_title)])
    } else {
        desk.get("every-line")
    };
    let lines = verdict::against(of, words).into_iter().chain(verdict::others(of, words));
    let lines: Vec<Node> = lines.collect();
    (!lines.is_empty()).then(|| {
        let summary = Node::text("summary", text);
        Node::new("details").with("class", "every").holding([summary]).holding(lines)
    })
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
            let same = before.each().find(of);
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

/// Runs that this browser still keeps; first how many of them nobody took.
pub(super) fn finished(desk: &Desk<'_>) -> Vec<Node> {
    let mut nodes = Vec::new();
    let open = desk.finished.iter().filter(|run| !run.handed).count();
    if open > 0 {
        let text = desk.say("not-handed", &[("count", &open.to_string())]);
        nodes.push(Node::text("p", text).with("class", "note").with("id", "not-handed"));
    }
    if desk.finished.is_empty() {
        return nodes;
    }
    if let Look::Forget(run) = desk.look {
        nodes.extend(desk.finished.iter().find(|one| one.id == *run).map(|run| {
            let yes =
                doing("forget", &[("run", valued(&run.id)), ("sure", valued(&true))]);
            sure(desk, desk.say("forget-sure", &[("run", &run.title)]), yes)
        }));
    }
    if *desk.look == Look::Erase {
        let text = desk.say("erase-sure", &[("count", &open.to_string())]);
        nodes.push(sure(desk, text, does("erase")));
    }
    nodes.push(Node::new("div").with("class", "two").holding([
        Node::button(desk.get("hand-all"), does("hand-all")).with("id", "hand-all"),
        Node::button(desk.get("erase"), opens("erase")).with("id", "erase"),
    ]));
    let row = |run: &Head| {
        // words: live.{is-handed|is-not-handed}
        let told = desk.get(if run.handed { "is-handed" } else { "is-not-handed" });
        Node::new("li").holding([
            Node::text("p", run.title.clone()).holding([Node::text("b", told)]),
            Node::new("p").with("class", "buttons").holding([
                Node::button(
                    desk.get("file-again"),
                    doing("file", &[("run", valued(&run.id))]),
                )
                .with("aria-label", desk.say("file-of", &[("run", &run.title)])),
                Node::button(
                    desk.get("forget"),
                    doing("forget", &[("run", valued(&run.id))]),
                )
                .with("aria-label", desk.say("forget-of", &[("run", &run.title)])),
            ]),
        ])
    };
    nodes.push(Node::new("details").with("class", "finished").holding([
        Node::text("summary", desk.get("kept")),
        Node::text("p", desk.get("kept-about")),
        Node::new("ul").holding(desk.finished.iter().map(row)),
    ]));
    nodes
}

/// A second question, because nothing brings back what is gone.
fn sure(desk: &Desk<'_>, text: String, yes: serde_json::Value) -> Node {
    Node::new("div").with("class", "note").with("role", "alert").holding([
        Node::text("p", text),
        Node::new("p").with("class", "buttons").holding([
            Node::button(desk.get("sure-no"), does("open")).with("id", "keep"),
            Node::button(desk.get("sure-yes"), yes).with("id", "sure"),
        ]),
    ])
}
