//! What a reader of the crew's pages can look for: the list of passages behind the search page.
//!
//! It holds what is printed on the crew's pages and nothing else: no person, no seed, no key. The
//! page works from a folder without a server, so the list is a script that the page loads.

use serde::Serialize;
use serde_json::json;

use super::desk::Desk;
use super::family::of_family;
use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::markdown::passages;
use crate::course::{Course, drill_name};
use crate::practice::walk::walks;

/// The list beside the pages.
const FILE: &str = "crew/find.js";

/// The list says no more than this of a passage: it is read on the page that it leads to.
const MOST_LETTERS: usize = 280;

/// In the order in which they are shown: what may hurt somebody comes first, then what is done.
const KINDS: [&str; 5] = ["caution", "step", "term", "lesson", "formula"];

#[derive(Serialize)]
struct SearchView {
    /// Names of the kinds, as the list numbers them.
    kinds: Vec<String>,
}

/// `search.html`.
pub(super) fn page(desk: &Desk<'_>) -> Result<String, PublishFault> {
    let head = Head {
        title: desk.label("find.title"),
        kicker: desk.label("reference"),
        side: Side::Crew,
        kind: "search",
        ..Head::default()
    };
    // words: page.find.{caution|step|term|lesson|formula}
    let kinds = KINDS.map(|kind| desk.label(&format!("find.{kind}"))).to_vec();
    desk.render("search.html", &head, &SearchView { kinds })
}

/// One passage: number of its kind, title, page, text.
type Passage = (usize, String, String, String);

/// The list, as a script.
pub fn find(shared: &Shared<'_>) -> (String, Vec<u8>) {
    let _numbers = shared.writing();
    let course = shared.course;
    // The numbers of the passages are places in the list of kinds.
    let mut all: Vec<Passage> = Vec::new();
    all.extend(cautions(course));
    all.extend(steps(course));
    all.extend(walked(shared));
    all.extend(course.terms.values().map(|term| {
        let page = format!("glossary.html#{}", term.id);
        (2, term.term.clone(), page, term.meaning.clone())
    }));
    all.extend(lessons(course));
    all.extend(formulas(shared));
    let rows = all.into_iter().map(|(kind, title, page, text)| {
        let text = short(&text);
        json!([kind, title, page, text]).to_string()
    });
    let rows: Vec<String> = rows.collect();
    let script = format!("globalThis.passages = [\n{}\n];\n", rows.join(",\n"));
    (FILE.to_owned(), script.into_bytes())
}

fn cautions(course: &Course) -> impl Iterator<Item = Passage> {
    let mut known: Vec<_> = course.cautions.values().collect();
    // Who looks for a word finds the gravest caution that has it first.
    known.sort_by_key(|caution| caution.signal);
    known.into_iter().map(|caution| {
        let page = format!("cautions.html#{}", caution.id);
        let text = format!("{} {}", caution.hazard, caution.control);
        (0, caution.headline.clone(), page, text)
    })
}

fn steps(course: &Course) -> impl Iterator<Item = Passage> {
    course.drills.iter().flat_map(|drill| {
        let (lead, _) = drill_name(drill);
        drill.steps.iter().enumerate().map(move |(at, step)| {
            let number = at + 1;
            let page = format!("drill-{}.html#step-{number}", drill.id);
            let text = format!("{} {}", step.action, step.why);
            (1, format!("{lead} {number}"), page, text)
        })
    })
}

/// A drill that can be walked through, by what its candidate is told to do.
fn walked<'s>(shared: &'s Shared<'_>) -> impl Iterator<Item = Passage> + 's {
    let course = shared.course;
    let drills = course.drills.iter().filter(move |drill| walks(course, drill));
    drills.map(|drill| {
        let (lead, _) = drill_name(drill);
        let title = shared.words.say("page.walk.found", &[("drill", &lead)]);
        (1, title, format!("walk-{}.html", drill.id), drill.task.clone())
    })
}

fn lessons(course: &Course) -> impl Iterator<Item = Passage> {
    course.lessons.iter().flat_map(|lesson| {
        passages(&lesson.text).into_iter().map(|passage| {
            let file = format!("lesson-{}.html", lesson.id);
            let (title, page) = match passage.heading {
                Some((id, heading)) => {
                    (format!("{}: {heading}", lesson.title), format!("{file}#{id}"))
                }
                None => (lesson.title.clone(), file),
            };
            (3, title, page, passage.text)
        })
    })
}

fn formulas<'s>(shared: &'s Shared<'_>) -> impl Iterator<Item = Passage> + 's {
    shared.course.families.iter().flat_map(move |family| {
        of_family(shared, family).map(move |formula| {
            let page = format!("family-{}.html#{}", family.id, formula.id);
            (4, formula.title.clone(), page, family.title.clone())
        })
    })
}

/// A text cut between two words.
fn short(text: &str) -> String {
    let Some((end, _)) = text.char_indices().nth(MOST_LETTERS) else {
        return text.to_owned();
    };
    let cut = text.get(..end).unwrap_or_default();
    let whole = cut.rsplit_once(' ').map_or(cut, |(before, _)| before);
    format!("{whole} …")
}
