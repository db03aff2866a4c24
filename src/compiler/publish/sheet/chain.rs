//! Drills run one after the other: a head leaf with results per drill, then a leaf each.

use std::collections::BTreeMap;

use serde::Serialize;

use super::ScoredRun;
use super::blank::{labels, pages};
use super::values::Bench;
use super::view::{CautionLine, Field, SheetView, Tick};
use crate::course::{Caution, Chain, Course, Drill, Rig};
use crate::fingerprint::NotCanonical;
use crate::scoring::Kit;
use crate::words::Words;

/// One drill of a chain on its head leaf.
#[derive(Debug, Clone, Serialize)]
pub struct ChainRow {
    /// Title.
    pub title: String,
    /// Drill revision.
    pub revision: String,
    /// Page on which its own leaf begins.
    pub page: String,
    /// Outcome boxes.
    pub outcomes: Vec<Tick>,
}

/// The sheet of a chain.
#[derive(Debug, Clone, Serialize)]
pub struct ChainView {
    /// Labels by name, from `sheet.label`.
    pub label: BTreeMap<String, String>,
    /// Title.
    pub title: String,
    /// What it is for.
    pub about: String,
    /// Department and module.
    pub house: String,
    /// Rig-card revision and review date.
    pub revisions: Vec<String>,
    /// "page 1 of m".
    pub page: String,
    /// INVENTED RIG, UNVERIFIED, DRAFT.
    pub notices: Vec<String>,
    /// The same in a word or two, for the foot.
    pub short_notices: Vec<String>,
    /// Candidate, run, time.
    pub head: Vec<Field>,
    /// Practice or evaluation.
    pub uses: Vec<Tick>,
    /// Modes of the first drill.
    pub modes: Vec<Tick>,
    /// Evaluator, safety officer, stop word, watch.
    pub staff: Vec<Field>,
    /// What is read aloud about stopping.
    pub aloud: String,
    /// The three gravest cautions of its drills.
    pub cautions: Vec<CautionLine>,
    /// Sentence that stands on every sheet.
    pub fixed: String,
    /// Results per drill.
    pub rows: Vec<ChainRow>,
    /// Labels of the outcomes.
    pub outcomes: Vec<String>,
    /// Who stopped and why.
    pub stop: Vec<Field>,
    /// Causes of a stop.
    pub causes: Vec<Tick>,
    /// Safe state.
    pub safe: Vec<Tick>,
    /// Void, notes, remediation, words.
    pub after: Vec<Field>,
    /// Signatures.
    pub signatures: Vec<Field>,
    /// A leaf for each drill.
    pub sheets: Vec<SheetView>,
}

/// The sheet of a chain on a rig; nothing when none of its drills can be run on it.
pub fn chain(
    course: &Course,
    words: &Words,
    chain: &Chain,
    rig: &Rig,
) -> Result<Option<ChainView>, NotCanonical> {
    let drills = chain.drills.iter().filter_map(|id| course.drill(id));
    let drills: Vec<&Drill> = drills.filter(|drill| super::fits(drill, rig)).collect();
    let Some(first) = drills.first() else { return Ok(None) };
    let all = 1 + 2 * drills.len();
    let mut sheets = Vec::new();
    let mut rows = Vec::new();
    for (index, drill) in drills.iter().enumerate() {
        let mut sheet = super::blank(course, words, drill, rig)?;
        sheet.pages = pages(words, 2, 1 + 2 * index, Some(all));
        sheet.first = false;
        let revision = sheet.revisions.first().cloned();
        rows.push(ChainRow {
            title: drill.title.clone(),
            revision: revision.unwrap_or_default(),
            page: (2 + 2 * index).to_string(),
            outcomes: sheet.outcomes.clone(),
        });
        sheets.push(sheet);
    }
    let kit = Kit::of(course, first, rig, words)?;
    let front = Bench { course, words, kit: &kit }.sheet(None);
    let cautions = gravest(course, &drills);
    let mut view = head_leaf(words, chain, front, (rows, all));
    view.cautions = super::blank::cautions(course, &cautions);
    view.sheets = sheets;
    Ok(Some(view))
}

/// The head leaf of a chain that was run, with the result of each drill; nothing without one.
pub(super) fn filled_chain(
    course: &Course,
    words: &Words,
    chain: &Chain,
    runs: &[ScoredRun<'_>],
) -> Option<ChainView> {
    let all = 1 + 3 * runs.len();
    let views = runs.iter().map(|run| {
        let bench = Bench { course, words, kit: run.kit };
        bench.sheet(Some((run.sheet, run.verdict)))
    });
    let views: Vec<SheetView> = views.collect();
    let row = |(index, view): (usize, &SheetView)| ChainRow {
        title: view.title.clone(),
        revision: view.revisions.first().cloned().unwrap_or_default(),
        page: (2 + 3 * index).to_string(),
        outcomes: view.outcomes.clone(),
    };
    let rows: Vec<ChainRow> = views.iter().enumerate().map(row).collect();
    let drills: Vec<&Drill> = runs.iter().map(|run| run.kit.drill()).collect();
    let cautions = gravest(course, &drills);
    // Who stopped it, and what was written after it, stands with the drill it belongs to.
    let stopped = runs.iter().position(|run| run.sheet.stop.is_some()).unwrap_or(0);
    let front = views.get(stopped).or(views.first()).cloned()?;
    let mut view = head_leaf(words, chain, front, (rows, all));
    view.cautions = super::blank::cautions(course, &cautions);
    Some(view)
}

fn head_leaf(
    words: &Words,
    chain: &Chain,
    front: SheetView,
    (rows, all): (Vec<ChainRow>, usize),
) -> ChainView {
    let outcomes = front.outcomes.iter().map(|tick| tick.label.clone()).collect();
    ChainView {
        label: labels(words),
        title: chain.title.clone(),
        about: chain.about.clone(),
        house: front.house,
        revisions: front.revisions.into_iter().skip(1).collect(),
        page: pages(words, 1, 0, Some(all)).concat(),
        notices: front.notices,
        short_notices: front.short_notices,
        head: front.head,
        uses: front.uses,
        modes: front.modes,
        staff: front.staff,
        aloud: front.aloud,
        cautions: Vec::new(),
        fixed: front.fixed,
        rows,
        outcomes,
        stop: front.stop,
        causes: front.causes,
        safe: front.safe,
        after: front.after,
        signatures: front.signatures,
        sheets: Vec::new(),
    }
}

/// The three gravest cautions, the first drill's before the next one's.
fn gravest(course: &Course, drills: &[&Drill]) -> Vec<String> {
    let mut found: Vec<&Caution> = Vec::new();
    for id in drills.iter().flat_map(|drill| &drill.cautions) {
        if let Some(caution) = course.cautions.get(id)
            && !found.iter().any(|known| known.id == *id)
        {
            found.push(caution);
        }
    }
    found.sort_by_key(|caution| caution.signal);
    found.into_iter().take(3).map(|caution| caution.id.clone()).collect()
}
