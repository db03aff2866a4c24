//! A worked solution as nodes, and the sentence that names a source.

use std::collections::BTreeMap;

use super::view::Node;
use crate::formulas::{SourceRef, Status, Worked};
use crate::words::Words;

/// A worked solution as it stands on a board.
pub(super) fn working(
    worked: &Worked,
    words: &Words,
    sources: &BTreeMap<String, String>,
) -> Node {
    let figure = Node::new("figure").with("class", "worked");
    let given = |label: &str, text: &str| {
        Node::new("div").holding([Node::text("dt", label), Node::text("dd", text)])
    };
    let givens = worked.givens.iter().map(|each| given(&each.label, &each.text));
    let head = Node::new("tr").holding([
        Node::text("th", words.get("page.line")).with("scope", "col"),
        Node::text("th", words.get("page.working")).with("scope", "col"),
    ]);
    let lines = worked.lines.iter().map(|line| {
        let sum = format!("= {} {} ", line.numbers, line.relation);
        let cell = Node::new("td").holding([
            Node::text("span", format!("= {} ", line.words)).with("class", "said"),
            Node::text("span", sum)
                .with("class", "sum")
                .holding([Node::text("b", line.result.clone())]),
        ]);
        let label = Node::text("th", line.label.clone()).with("scope", "row");
        Node::new("tr").holding([label, cell])
    });
    let board = Node::new("table")
        .with("class", "board")
        .holding([Node::new("thead").holding([head]), Node::new("tbody").holding(lines)]);
    let wide = Node::new("div")
        .with("class", "wide")
        .with("tabindex", "0")
        .with("role", "group")
        .with("aria-label", words.get("page.working"));
    let answers = worked.answers.iter().map(|answer| {
        Node::text("p", format!("{}: ", answer.label))
            .with("class", "answer")
            .holding([Node::text("b", answer.text.clone())])
    });
    let verdicts = worked.verdicts.iter();
    let verdicts =
        verdicts.map(|says| Node::text("p", says.clone()).with("class", "verdict"));
    figure
        .holding([Node::text("figcaption", worked.title.clone())])
        .holding([Node::new("dl").with("class", "givens").holding(givens)])
        .holding([wide.holding([board])])
        .holding(answers)
        .holding(verdicts)
        .holding(
            [Node::text("p", founded(worked, words, sources)).with("class", "aside")],
        )
}

/// Basis, constants, range and sources of a working.
fn founded(worked: &Worked, words: &Words, sources: &BTreeMap<String, String>) -> String {
    let mut parts: Vec<String> = worked.basis.iter().map(|b| format!("{b}.")).collect();
    parts.extend(worked.constants.iter().map(|constant| {
        let source = source(&constant.source, words, sources);
        let blanks = [
            ("label", constant.label.as_str()),
            ("value", &constant.value),
            ("source", &source),
        ];
        words.say("page.constant-used", &blanks)
    }));
    parts.push(format!("{} {}", words.get("page.holds-for"), worked.range));
    let named: Vec<String> =
        worked.sources.iter().map(|each| source(each, words, sources)).collect();
    parts.push(format!("{} {}.", words.get("page.source-is"), named.join("; ")));
    parts.join(" ")
}

/// A source in words, with how well it is founded.
pub fn source(
    named: &SourceRef,
    words: &Words,
    titles: &BTreeMap<String, String>,
) -> String {
    let status = match named.status {
        Status::LookedUp => "looked-up",
        Status::Computed => "computed",
        Status::CommonPractice => "common-practice",
        Status::FromMemory => "from-memory",
    };
    let status = words.get(&format!("page.status.{status}"));
    let title = titles.get(&named.source).unwrap_or(&named.source);
    if title.to_lowercase() == status.to_lowercase() {
        return title.clone();
    }
    format!("{title} ({status})")
}
