//! The officers' index: who is due, the runs as a table, paper, and keys apart from it.

use std::collections::BTreeMap;

use serde::Serialize;

use super::frame::Shared;
use super::mark;
use super::sheet::drawn::drawn_links;
use super::sheet::due::due_rows;
use super::sheet::page::blank_of_rig;
use super::sheet::run::{RunRow, run_rows};
use crate::course::drill_name;
use crate::scoring::Outcome;

/// Below so many runs a percentage says more than is known, so boxes are shown instead: one of
/// thirty is three percent, and one run more or less must not change what is read.
const ENOUGH: usize = 30;

#[derive(Debug, Serialize)]
pub(super) struct StaffView {
    /// File, number and short name of each live sheet.
    live: Vec<[String; 3]>,
    /// Name, drill, rig, file.
    due: Vec<[String; 4]>,
    filters: Vec<[String; 3]>,
    runs: Vec<RunView>,
    not_met: Vec<Tally>,
    blank: Vec<BlankView>,
    /// Numbered sheets: file, drill, rig.
    numbered: Vec<(String, String, String)>,
    /// What an instructor teaches by: page and title.
    teaching: Vec<(String, String)>,
    /// Title, paper, key.
    papers: Vec<[String; 3]>,
    /// Whether the binder was made.
    binder: bool,
}

#[derive(Debug, Serialize)]
struct RunView {
    date: String,
    candidate: String,
    drill: String,
    attempt: String,
    outcome: String,
    class: &'static str,
    mark_html: &'static str,
    decided: String,
    file: String,
    /// Names of the filters that it passes.
    has: String,
}

#[derive(Debug, Serialize)]
struct Tally {
    drill: String,
    marks_html: String,
    count: String,
}

#[derive(Debug, Serialize)]
struct BlankView {
    title: String,
    stamp: String,
    links: Vec<(String, String)>,
}

pub(super) fn view(shared: &Shared<'_>) -> StaffView {
    let course = shared.course;
    let mut rows = run_rows(shared);
    // The newest first; among those of a day as they were read.
    rows.sort_by(|a, b| b.date.cmp(&a.date));
    let papers = course.sets.iter().map(|set| {
        let paper = format!("../keys/paper-{}.html", set.id);
        [set.title.clone(), paper, format!("../keys/key-{}.html", set.id)]
    });
    StaffView {
        live: super::live::links(shared),
        due: due_rows(shared),
        filters: filters(shared, &rows),
        not_met: not_met(shared, &rows),
        runs: rows.into_iter().map(|row| run(shared, row)).collect(),
        blank: blank(shared),
        numbered: drawn_links(shared),
        teaching: teaching(shared),
        papers: papers.collect(),
        binder: shared.binder,
    }
}

/// Pages for whoever teaches.
fn teaching(shared: &Shared<'_>) -> Vec<(String, String)> {
    let course = shared.course;
    // In the order of the lessons, by their numbers.
    let lessons = course.lessons.iter().enumerate();
    let with_leaf = lessons
        .filter(|(_, lesson)| course.leaves.iter().any(|leaf| leaf.lesson == lesson.id));
    let leaves = with_leaf.map(|(at, lesson)| {
        let number = (at + 1).to_string();
        let blanks = [("number", number.as_str()), ("title", &lesson.title)];
        let title = shared.words.say("page.leaf.of", &blanks);
        (format!("leaf-{}.html", lesson.id), title)
    });
    let coverage = ("coverage.html".to_owned(), shared.label("coverage.title"));
    let guide = ("evaluator.html".to_owned(), shared.label("guide.title"));
    let guide = course.guide.as_ref().map(|_| guide);
    let narrated = super::narrated::links(shared);
    guide.into_iter().chain(narrated).chain([coverage]).chain(leaves).collect()
}

/// What the filters of the table are called in its rows.
fn passes(row: &RunRow) -> Vec<String> {
    let mut has = vec!["all".to_owned()];
    if matches!(row.outcome, Outcome::NotMet) {
        has.push("not-met".to_owned());
    }
    // Both wait for somebody: a question to be answered, a sheet to be mended.
    if matches!(row.outcome, Outcome::Incomplete | Outcome::Refused) {
        has.push("open".to_owned());
    }
    has.push(format!("drill-{}", row.drill));
    has
}

/// All, not met, open, and each drill that has runs.
fn filters(shared: &Shared<'_>, rows: &[RunRow]) -> Vec<[String; 3]> {
    let count = |name: &str| {
        rows.iter().filter(|row| passes(row).iter().any(|had| had == name)).count()
    };
    let mut names = vec![
        ("all".to_owned(), shared.label("staff.all")),
        ("not-met".to_owned(), shared.label("staff.not-met-filter")),
        ("open".to_owned(), shared.label("staff.open-filter")),
    ];
    for drill in &shared.course.drills {
        names.push((format!("drill-{}", drill.id), drill_name(drill).0));
    }
    let filters = names.into_iter().filter_map(|(name, title)| {
        let count = count(&name);
        (count > 0).then(|| [name, title, count.to_string()])
    });
    filters.collect()
}

fn run(shared: &Shared<'_>, row: RunRow) -> RunView {
    let drill = shared.course.drill(&row.drill);
    RunView {
        has: passes(&row).join(" "),
        drill: drill.map_or_else(|| row.drill.clone(), |drill| drill_name(drill).0),
        date: row.date,
        candidate: row.candidate,
        attempt: row.attempt.to_string(),
        // words: page.staff.out.{Outcome}
        outcome: shared.label(&format!("staff.out.{}", row.outcome.key())),
        class: mark::class(row.outcome),
        mark_html: mark::svg(row.outcome),
        decided: row.decided,
        file: row.file,
    }
}

/// One box a run, of drills that somebody did not meet; those with the most of them first.
fn not_met(shared: &Shared<'_>, rows: &[RunRow]) -> Vec<Tally> {
    let mut by_drill: BTreeMap<&str, Vec<Outcome>> = BTreeMap::new();
    for row in rows {
        by_drill.entry(&row.drill).or_default().push(row.outcome);
    }
    let bad = |outcomes: &[Outcome]| {
        outcomes.iter().filter(|one| matches!(one, Outcome::NotMet)).count()
    };
    let mut all: Vec<(&str, Vec<Outcome>)> = by_drill
        .into_iter()
        .filter(|(_, outcomes)| bad(outcomes) > 0 && outcomes.len() < ENOUGH)
        .collect();
    // What most did not meet is talked about first.
    all.sort_by_key(|(_, outcomes)| std::cmp::Reverse(bad(outcomes)));
    let tally = |(id, outcomes): (&str, Vec<Outcome>)| {
        let drill = shared.course.drill(id);
        let blanks =
            [("not", bad(&outcomes).to_string()), ("all", outcomes.len().to_string())];
        let blanks: Vec<(&str, &str)> =
            blanks.iter().map(|(k, v)| (*k, v.as_str())).collect();
        Tally {
            drill: drill.map_or_else(|| id.to_owned(), |drill| drill_name(drill).0),
            marks_html: outcomes.iter().map(|one| mark::svg(*one)).collect(),
            count: shared.words.say("page.staff.of", &blanks),
        }
    };
    all.into_iter().map(tally).collect()
}

/// Blank sheets, a paragraph for each rig.
fn blank(shared: &Shared<'_>) -> Vec<BlankView> {
    let rigs = shared.course.rigs.values();
    rigs.map(|rig| BlankView {
        title: rig.title.clone(),
        stamp: if rig.verified() {
            String::new()
        } else {
            shared.label("unverified-short")
        },
        links: blank_of_rig(shared, rig),
    })
    .filter(|view| !view.links.is_empty())
    .collect()
}
