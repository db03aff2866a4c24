//! The sheets of a run as a page: of one candidate, of a crew, of a chain of drills.

use super::page::{
    chain_cautions, chain_of, form, form_beside, head, missing, render, trail as trail_of,
};
use crate::course::{Course, Drill, Kept, Person};
use crate::page::sheet::{self, ChainHead, House, ScoredRun};
use crate::publish::desk::Desk;
use crate::publish::fault::PublishFault;
use crate::publish::frame::{Shared, Side, Stop};
use crate::publish::trail;
use crate::scoring::{Kits, Outcome, Run, read_again, score_all};

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
        // The module's own runs bring no kit along: what they were
        // printed by is in the module or kept.
        let kit = kits.of(sheet, &Kept::default()).map_err(|_no| missing(id))?;
        let apart = kits.dated(&kit, sheet, None);
        let reading = kits.reading(sheet, &Kept::default());
        all.push((kit, sheet, apart, reading));
    }
    let runs: Vec<Run<'_>> = all
        .iter()
        .map(|(kit, sheet, apart, reading)| Run {
            reading: *reading,
            apart,
            ..Run::of(kit, sheet)
        })
        .collect();
    let verdicts = score_all(&runs);
    let scored: Vec<ScoredRun<'_>> = all
        .iter()
        .zip(&verdicts)
        .map(|((kit, sheet, ..), verdict)| ScoredRun { kit, sheet, verdict })
        .collect();
    then(&scored)
}

/// A filled sheet as the officers' index lists it.
#[derive(Debug)]
pub(in crate::publish) struct RunRow {
    pub(in crate::publish) date: String,
    pub(in crate::publish) candidate: String,
    pub(in crate::publish) drill: String,
    pub(in crate::publish) attempt: u32,
    pub(in crate::publish) outcome: Outcome,
    /// What decided it; empty for what needs no reason.
    pub(in crate::publish) decided: String,
    pub(in crate::publish) file: String,
}

/// One row for each candidate of each run.
pub(in crate::publish) fn run_rows(shared: &Shared<'_>) -> Vec<RunRow> {
    let people = &shared.course.people;
    let mut rows = Vec::new();
    for id in ids(shared.course) {
        let row = |run: &ScoredRun<'_>| RunRow {
            date: run.verdict.on.clone(),
            candidate: people.get(&run.sheet.candidate).map_or_else(
                || run.sheet.candidate.clone(),
                |person| person.name.clone(),
            ),
            drill: run.sheet.drill.clone(),
            attempt: run.sheet.attempt,
            outcome: run.verdict.outcome,
            decided: match run.verdict.outcome {
                Outcome::Met => String::new(),
                // Whatever is not met is told with what decided it.
                _ => run.verdict.reason.clone(),
            },
            file: format!("{}.html", name(id)),
        };
        // A run that cannot be scored is told by the findings; a row for it says nothing.
        let of_run = with_scored(shared, id, |runs| Ok(runs.iter().map(row).collect()));
        let of_run: Vec<RunRow> = of_run.unwrap_or_default();
        rows.extend(of_run);
    }
    rows
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
    desk: &Desk<'_>,
    id: &str,
) -> Result<String, PublishFault> {
    let shared = desk.run(id);
    with_scored(shared, id, |runs| {
        let kit = runs.first().map(|run| run.kit).ok_or_else(|| missing(id))?;
        let (drill, rig) = (kit.drill(), kit.rig());
        let (form, trail) = (form(desk, drill, rig), trail_of(desk, drill, Side::Staff));
        filled(shared, runs, (form, trail), lessons(shared, runs))
    })
}

/// The paragraphs that the candidates of a run read again, with their pages: the sheet tells them by
/// number, and beside it on a screen they are one touch away.
fn lessons(shared: &Shared<'_>, runs: &[ScoredRun<'_>]) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = Vec::new();
    let told = runs.iter().flat_map(|run| read_again(run.kit, run.verdict.each()));
    for said in told {
        let mut all = shared.course.teaches.iter();
        let Some(one) = all.find(|one| one.said() == said) else { continue };
        let label = shared.words.say("page.reread-link", &[("heading", said)]);
        let link = (format!("../crew/{}", one.address), label);
        if !found.contains(&link) {
            found.push(link);
        }
    }
    found
}

/// The filled sheets of a run: one for each candidate and each drill, with the head leaf of
/// its chain.
pub fn filled_page(
    shared: &Shared<'_>,
    runs: &[ScoredRun<'_>],
) -> Result<String, PublishFault> {
    let kit = runs.first().map(|run| run.kit).ok_or_else(|| missing("run"))?;
    let form = form_beside(shared, kit.drill(), kit.rig());
    let trail = trail::beside(shared, kit.drill(), None);
    // Nobody knows what lies near a sheet that is made beside a site: it tells numbers alone.
    filled(shared, runs, (form, trail), Vec::new())
}

fn filled(
    shared: &Shared<'_>,
    runs: &[ScoredRun<'_>],
    (form, trail): (String, Vec<Stop>),
    lessons: Vec<(String, String)>,
) -> Result<String, PublishFault> {
    let _numbers = shared.writing();
    let course = shared.course;
    let first = runs.first().ok_or_else(|| missing("run"))?;
    let title = title(shared, runs).ok_or_else(|| missing("run"))?;
    let chain = first.sheet.chain.as_ref().and_then(|id| chain_of(course, id));
    let drills: Vec<&Drill> = runs.iter().map(|run| run.kit.drill()).collect();
    let (kicker, cautions) = match chain {
        Some(_) => ("chain-run", chain_cautions(course, &drills)),
        None => ("run", first.kit.drill().cautions.clone()),
    };
    let mut head = head(shared, title, kicker, first.kit.rig(), &cautions);
    head.next.extend(lessons);
    // The sheets of a chain are those of several drills, and belong to the way of none.
    if chain.is_none() {
        (head.form, head.trail) = (form, trail);
    }
    let chain = chain.map(ChainHead::of);
    let house = House::of(course, &drills);
    let people: Vec<&Person> = course.people.values().collect();
    render(shared, &head, (&house, &people), |bench| sheet::filled(bench, chain, runs))
}
