//! A worked solution as it stands on a board: givens, lines, answer, and what it rests on.

use std::borrow::Cow;

use super::aloud;
use super::node::Node;
use super::wording::Wording;
use crate::formulas::{BoardLine, Worked};

/// A worked solution under a title.
#[derive(Debug, Clone, Copy)]
pub struct Working<'w> {
    /// Title.
    pub title: &'w str,
    /// What was worked.
    pub worked: &'w Worked,
    /// Whether its range and sources are told; a page that has them beside it does not.
    pub founded: bool,
}

/// The nodes of a worked solution.
pub fn working(of: Working<'_>, wording: Wording<'_>) -> Node {
    let Working { title, worked, founded } = of;
    let given = |label: &str, text: &str| {
        Node::new("div").holding([Node::text("dt", label), Node::text("dd", text)])
    };
    let givens = worked.givens.iter().map(|each| given(&each.label, &each.text));
    let verdicts = worked.verdicts.iter();
    let verdicts = verdicts.map(|says| Node::text("p", says.clone()).class("verdict"));
    figure(title)
        .holding([Node::new("dl").class("givens").holding(givens)])
        .holding([board(&worked.lines, wording), answers(worked)])
        .holding(verdicts)
        .holding([Node::text("p", basis(worked, founded, wording)).class("aside")])
}

/// In the place of a worked solution: why there is none.
pub fn refused<'t>(title: &str, says: impl Into<Cow<'t, str>>) -> Node {
    figure(title).holding([Node::text("p", says).class("verdict")])
}

fn figure(title: &str) -> Node {
    Node::new("figure").class("worked").holding([Node::text("figcaption", title)])
}

fn board(lines: &[BoardLine], wording: Wording<'_>) -> Node {
    let head = Node::new("tr").holding([
        Node::text("th", wording.get("line")).with("scope", "col"),
        Node::text("th", wording.get("working")).with("scope", "col"),
    ]);
    let row = |line: &BoardLine| {
        let sum = format!("= {} {} ", line.numbers, line.relation);
        let result = Node::text("b", line.result.clone());
        // What is read aloud stands beside what is seen: a reader of pages passes over signs.
        let seen = Node::new("span")
            .with("role", "img")
            .with("aria-label", aloud::line(line, wording.words))
            .holding([
                Node::text("span", format!("= {} ", line.words)).class("said"),
                Node::text("span", sum).class("sum").holding([result]),
            ]);
        let cell = Node::new("td").holding([seen]);
        let label = Node::text("th", line.label.clone()).with("scope", "row");
        Node::new("tr").holding([label, cell])
    };
    let table = Node::new("table").class("board").holding([
        Node::new("thead").holding([head]),
        Node::new("tbody").holding(lines.iter().map(row)),
    ]);
    // What is wider than the window scrolls by itself, by keyboard too.
    Node::new("div")
        .class("wide")
        .with("tabindex", "0")
        .with("role", "group")
        .with("aria-label", wording.get("working"))
        .holding([table])
}

fn answers(worked: &Worked) -> Node {
    let answer = |(at, answer): (usize, &crate::formulas::WorkedAnswer)| {
        let before = if at == 0 { "" } else { " · " };
        Node::text("span", format!("{before}{}: ", answer.label))
            .holding([Node::text("b", answer.text.clone())])
    };
    let answers = worked.answers.iter().enumerate().map(answer);
    Node::new("p").class("answer").holding(answers)
}

/// The formula with its basis, the constants used, its range and its sources.
fn basis(worked: &Worked, founded: bool, wording: Wording<'_>) -> String {
    let mut parts = vec![match &worked.basis {
        Some(basis) => format!("{}; {basis}.", worked.title),
        None => format!("{}.", worked.title),
    }];
    parts.extend(worked.constants.iter().map(|constant| {
        let source = wording.source(&constant.source);
        let blanks = [
            ("label", constant.label.as_str()),
            ("value", &constant.value),
            ("source", &source),
        ];
        // A value that its reader knows otherwise from a book is told with the book's beside it.
        match &constant.looked_up {
            Some(other) => {
                let [label, value, source] = blanks;
                let blanks = [label, value, source, ("other", other.as_str())];
                wording.say("constant-chosen", &blanks)
            }
            None => wording.say("constant-used", &blanks),
        }
    }));
    if founded {
        parts.push(format!("{} {}", wording.get("holds-for"), worked.range));
        let named: Vec<String> =
            worked.sources.iter().map(|each| wording.source(each)).collect();
        parts.push(format!("{} {}.", wording.get("source-is"), named.join("; ")));
    }
    parts.join(" ")
}
