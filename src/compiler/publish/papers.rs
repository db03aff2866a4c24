//! Several papers of one set with their keys, as pages of a folder of their own.

use std::collections::BTreeMap;

use serde::Serialize;

use super::assets::beside;
use super::fault::PublishFault;
use super::frame::{Shared, Side};
use super::quiz::{PaperView, head, key_of, marks, paper_of, paper_view};
use crate::quantity::{Direction, Fraction, Number, show};
use crate::quiz::{Batch, chance_by_guessing, guesses, marks_to_reach};

#[derive(Serialize)]
struct BatchView {
    facts: Vec<(String, String)>,
    about: Vec<String>,
    rows: Vec<[String; 4]>,
}

#[derive(Serialize)]
struct AllView {
    papers: Vec<PaperView>,
}

/// They lead back to the index of their own folder, which lies wherever the officer wants it.
const OWN: Side = Side::Staff;

/// The pages by file name: an index, each paper, each key, all papers in one page to print, and
/// the style sheet.
pub fn batch_pages(
    shared: &Shared<'_>,
    batch: &Batch,
) -> Result<BTreeMap<String, Vec<u8>>, PublishFault> {
    let _numbers = shared.writing();
    let mut pages = BTreeMap::new();
    let mut rows = Vec::new();
    let mut papers = Vec::new();
    for sheet in &batch.sheets {
        let copy = sheet.key.copy.unwrap_or(1).to_string();
        let paper = format!("paper-{copy}.html");
        let key = format!("key-{copy}.html");
        pages.insert(paper.clone(), paper_of(shared, sheet, OWN)?.into_bytes());
        pages.insert(key.clone(), key_of(shared, sheet, OWN)?.into_bytes());
        papers.push(paper_view(shared, sheet));
        rows.push([copy, sheet.paper.code.clone(), paper, key]);
    }
    let Some(first) = batch.sheets.first() else { return Ok(pages) };
    let view =
        BatchView { facts: facts(shared, batch), about: balance(shared, batch), rows };
    let index =
        shared.render("papers.html", &head(shared, first, "papers", "index"), &view)?;
    pages.insert("index.html".to_owned(), index.into_bytes());
    // All in one page too, so that one print makes the whole pile.
    let all = shared.render(
        "all-papers.html",
        &head(shared, first, "graded-paper", "paper"),
        &AllView { papers },
    )?;
    pages.insert("all-papers.html".to_owned(), all.into_bytes());
    pages.extend(beside(shared.course));
    Ok(pages)
}

fn facts(shared: &Shared<'_>, batch: &Batch) -> Vec<(String, String)> {
    let Some(first) = batch.sheets.first() else { return Vec::new() };
    let mut facts = vec![
        (shared.label("copies"), batch.sheets.len().to_string()),
        (shared.label("attempt"), first.key.attempt.to_string()),
        (shared.label("total"), marks(shared, first.paper.marks)),
    ];
    if let Some(pass) = &shared.course.module.pass_mark {
        let needed = marks_to_reach(first.paper.marks, &pass.value);
        let text = format!("{} – {}", pass.value.printed(), pass.source);
        facts.push((shared.label("pass-mark"), text));
        facts.push((shared.label("marks-to-reach"), marks(shared, needed)));
        let questions: Vec<(u32, Option<u32>)> =
            first.paper.items.iter().map(guesses).collect();
        let one_in = chance_by_guessing(&questions, needed)
            .filter(|chance| chance.signum() > 0)
            .and_then(|chance| Fraction::ONE.div(chance));
        let text = match one_in {
            Some(one_in) => {
                // Rounded down: the chance is not made smaller than it is.
                let count = one_in.floor().to_string();
                shared.words.say("page.one-paper-in", &[("count", &count)])
            }
            None => shared.label("never-by-guessing"),
        };
        facts.push((shared.label("by-guessing"), text));
    }
    facts
}

/// What the papers have in common and what they have not, in sentences.
pub fn balance(shared: &Shared<'_>, batch: &Batch) -> Vec<String> {
    let _numbers = shared.writing();
    let words = shared.words;
    let mut lines = vec![words.get("page.balanced-by-topic")];
    let (known, all) = (batch.known.to_string(), batch.questions.to_string());
    let blanks = [("known", known.as_str()), ("all", all.as_str())];
    lines.push(match batch.gap {
        None => words.get("page.difficulty-unknown"),
        Some(gap) => {
            let percent = gap.mul(Fraction::whole(100)).unwrap_or(gap);
            let tenth = Fraction::new(1, 10).unwrap_or(Fraction::ONE);
            // Rounded up: "at most" must hold for what is printed.
            let shown = show(Number::Exact(percent), tenth, Direction::Up);
            let gap = shown.map(|shown| shown.with_unit("%")).unwrap_or_default();
            let blanks = [&blanks[..], &[("gap", gap.as_str())]].concat();
            words.say("page.difficulty-known", &blanks)
        }
    });
    if batch.beside.is_empty() {
        lines.push(words.get("page.neighbours-apart"));
    }
    for one in &batch.beside {
        let (copy, next) = (one.copy.to_string(), (one.copy + 1).to_string());
        let blanks = [
            ("question", one.question.as_str()),
            ("name", one.name.as_str()),
            ("copy", copy.as_str()),
            ("next", next.as_str()),
        ];
        lines.push(words.say("page.neighbours-share", &blanks));
    }
    lines
}
