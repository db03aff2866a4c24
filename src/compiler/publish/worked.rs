//! A worked solution as it stands on a page.

use serde::Serialize;

use super::fault::PublishFault;
use super::frame::Shared;
use crate::formulas::{SourceRef, Worked};

#[derive(Serialize)]
struct WorkedView<'w> {
    title: &'w str,
    formula: &'w str,
    basis: &'w str,
    givens: Vec<(&'w str, &'w str)>,
    lines: Vec<LineView<'w>>,
    answers: Vec<(&'w str, &'w str)>,
    verdicts: &'w [String],
    constants: Vec<String>,
    range: &'w str,
    sources: Vec<String>,
    bare: bool,
}

#[derive(Serialize)]
struct LineView<'w> {
    label: &'w str,
    words: &'w str,
    numbers: &'w str,
    relation: &'w str,
    result: &'w str,
}

/// HTML of a worked solution under a title.
pub(super) fn html(
    shared: &Shared<'_>,
    title: &str,
    worked: &Worked,
) -> Result<String, PublishFault> {
    shared.part("worked.html", &view(shared, title, worked))
}

/// The same without range and sources, for a page that has them beside it.
pub(super) fn board_html(
    shared: &Shared<'_>,
    title: &str,
    worked: &Worked,
) -> Result<String, PublishFault> {
    let mut view = view(shared, title, worked);
    view.bare = true;
    shared.part("worked.html", &view)
}

fn view<'w>(shared: &Shared<'_>, title: &'w str, worked: &'w Worked) -> WorkedView<'w> {
    let givens = worked.givens.iter();
    WorkedView {
        title,
        formula: &worked.title,
        basis: worked.basis.as_deref().unwrap_or_default(),
        givens: givens.map(|given| (given.label.as_str(), given.text.as_str())).collect(),
        lines: worked
            .lines
            .iter()
            .map(|line| LineView {
                label: &line.label,
                words: &line.words,
                numbers: &line.numbers,
                relation: line.relation,
                result: &line.result,
            })
            .collect(),
        answers: worked
            .answers
            .iter()
            .map(|answer| (answer.label.as_str(), answer.text.as_str()))
            .collect(),
        verdicts: &worked.verdicts,
        constants: worked
            .constants
            .iter()
            .map(|constant| {
                let source = source(shared, &constant.source);
                let blanks = [
                    ("label", constant.label.as_str()),
                    ("value", &constant.value),
                    ("source", &source),
                ];
                shared.words.say("page.constant-used", &blanks)
            })
            .collect(),
        range: &worked.range,
        sources: worked
            .sources
            .iter()
            .map(|source_ref| source(shared, source_ref))
            .collect(),
        bare: false,
    }
}

/// A source in words, with how well it is founded.
pub(super) fn source(shared: &Shared<'_>, source: &SourceRef) -> String {
    crate::practice::source(source, shared.words, &shared.course.sources)
}
