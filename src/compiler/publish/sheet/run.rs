//! The sheets of a run as a page: of one candidate, of a crew, of a chain of drills.

use serde::Serialize;

use super::chain::filled_chain;
use super::page::{chain_of, head, missing};
use super::view::SheetView;
use super::{ChainView, filled};
use crate::course::{Course, Kept, RunSheet};
use crate::publish::fault::PublishFault;
use crate::publish::frame::Shared;
use crate::scoring::{Kit, Kits, Verdict, crew, score};

/// A run with its verdict and the kit that gave it.
#[derive(Debug, Clone, Copy)]
pub struct ScoredRun<'r> {
    /// What it was scored by.
    pub kit: &'r Kit,
    /// What the evaluator saw.
    pub sheet: &'r RunSheet,
    /// Verdict.
    pub verdict: &'r Verdict,
}

/// All sheets of one run id.
#[derive(Debug, Serialize)]
struct RunView {
    /// Head leaf of a chain.
    chain: Option<ChainView>,
    sheets: Vec<SheetView>,
}

/// Ids of the course's own runs, each once.
pub(super) fn ids(course: &Course) -> Vec<&str> {
    let mut out: Vec<&str> = Vec::new();
    for run in &course.runs {
        if !out.contains(&run.id.as_str()) {
            out.push(&run.id);
        }
    }
    out
}

pub(super) fn name(id: &str) -> String {
    format!("run-{id}")
}

/// Does something with the scored runs of an id.
fn with_scored<T>(
    shared: &Shared<'_>,
    id: &str,
    then: impl FnOnce(&[ScoredRun<'_>]) -> Result<T, PublishFault>,
) -> Result<T, PublishFault> {
    let kits = Kits::new(shared.course, shared.words);
    let mut all = Vec::new();
    for sheet in shared.course.runs.iter().filter(|run| run.id == id) {
        let kit = kits.of(sheet, &Kept::default()).map_err(|_no| missing(id))?;
        let verdict = score(&kit, sheet);
        all.push((kit, sheet, verdict));
    }
    let scored: Vec<ScoredRun<'_>> = all
        .iter()
        .map(|(kit, sheet, verdict)| ScoredRun { kit, sheet, verdict })
        .collect();
    then(&scored)
}

/// File, title and note of each page of filled sheets.
pub(in crate::publish) fn run_links(
    shared: &Shared<'_>,
) -> Vec<(String, String, String)> {
    let link = |id: &str| {
        with_scored(shared, id, |runs| {
            let mut notes: Vec<&str> = Vec::new();
            for run in runs {
                let text = run.verdict.outcome_text.as_str();
                if !notes.contains(&text) {
                    notes.push(text);
                }
            }
            let title = title(shared, runs).ok_or_else(|| missing(id))?;
            Ok((format!("{}.html", name(id)), title, notes.join("; ")))
        })
    };
    ids(shared.course).into_iter().filter_map(|id| link(id).ok()).collect()
}

/// Drill or chain, and the run.
fn title(shared: &Shared<'_>, runs: &[ScoredRun<'_>]) -> Option<String> {
    let first = runs.first()?;
    let chain = first.sheet.chain.as_ref().and_then(|id| chain_of(shared.course, id));
    let drill = chain.map_or(&first.kit.drill().title, |chain| &chain.title);
    let blanks = [("drill", drill.as_str()), ("run", first.sheet.id.as_str())];
    Some(shared.words.say("sheet.run-title", &blanks))
}

/// The filled sheets of one of the module's own runs.
pub(in crate::publish) fn run_page(
    shared: &Shared<'_>,
    id: &str,
) -> Result<String, PublishFault> {
    with_scored(shared, id, |runs| filled_page(shared, runs))
}

/// The filled sheets of a run: one for each candidate and each drill, with the head leaf of
/// its chain.
pub fn filled_page(
    shared: &Shared<'_>,
    runs: &[ScoredRun<'_>],
) -> Result<String, PublishFault> {
    let (course, words) = (shared.course, shared.words);
    let first = runs.first().ok_or_else(|| missing("run"))?;
    let title = title(shared, runs).ok_or_else(|| missing("run"))?;
    let chain = first.sheet.chain.as_ref().and_then(|id| chain_of(course, id));
    let chain = chain.and_then(|chain| filled_chain(course, words, chain, runs));
    let before = usize::from(chain.is_some());
    let all = before + 3 * runs.len();
    let mut sheets = Vec::new();
    for (index, run) in runs.iter().enumerate() {
        let mut view = filled(course, words, run.kit, run.sheet, run.verdict);
        let sides = super::blank::pages(words, 3, before + 3 * index, Some(all));
        view.pages = sides;
        view.first = before == 0 && index == 0;
        let drill = |other: &&ScoredRun<'_>| other.sheet.drill == run.sheet.drill;
        let of_drill: Vec<&Verdict> =
            runs.iter().filter(drill).map(|other| other.verdict).collect();
        if let Some(crew) = crew(run.kit, &of_drill) {
            view.crew = vec![crew.outcome_text, crew.reason];
        }
        sheets.push(view);
    }
    let cautions: Vec<String> = chain.as_ref().map_or_else(
        || first.kit.drill().cautions.clone(),
        |chain| chain.cautions.iter().map(|one| one.id.clone()).collect(),
    );
    let kicker = if chain.is_some() { "chain-run" } else { "run" };
    let head = head(shared, title, kicker, first.kit.rig(), &cautions);
    shared.render("run-sheet.html", &head, &RunView { chain, sheets })
}
