//! The leaf of whoever teaches a lesson.

use serde::Serialize;

use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::{Head, Side};
use crate::authoring::{Counted, counted, headings, of_lesson};
use crate::course::{Lesson, Pace, drill_name};
use crate::quantity::Quantity;

#[derive(Serialize)]
struct LeafView {
    minutes: String,
    /// Where those minutes come from; empty where the module states no pace.
    reckoned: String,
    objectives: Vec<String>,
    prepare: Vec<String>,
    props: Vec<String>,
    /// Number and words of a heading, what is said there.
    present: Vec<[String; 2]>,
    board: Vec<String>,
    apply: Vec<String>,
    evaluate: Vec<String>,
    /// What is asked, answer, reason.
    checks: Vec<[String; 3]>,
    misheard: Vec<(String, String)>,
    hazards: Vec<String>,
    drills: Vec<(String, String)>,
}

/// `staff/leaf-ID.html`.
pub(super) fn page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let missing = || PublishFault::Missing(id.to_owned());
    let lesson = desk.lesson(id).ok_or_else(missing)?;
    let shared = desk.sees(&[("all", "leaves"), ("all", "drills"), ("module", "")]);
    let leaf = shared.course.leaves.iter().find(|leaf| leaf.lesson == id);
    let leaf = leaf.ok_or_else(missing)?;
    let at = desk.lessons().iter().position(|[own, ..]| *own == id).unwrap_or(0) + 1;
    let heads = headings(lesson, at);
    let numbered = |heading: &String| {
        let head = heads.iter().find(|head| head.text == *heading);
        head.map_or_else(|| heading.clone(), |head| format!("{} {heading}", head.number))
    };
    let objective = |id: &String| Some(desk.objective(id)?.performance.clone());
    // Nothing names the drills of a lesson: they are those that ask for what it teaches.
    let asks = |drill: &&crate::course::Drill| {
        drill.objectives.iter().any(|one| lesson.objectives.contains(one))
    };
    let drills = shared.course.drills.iter().filter(asks).map(|drill| {
        let title = format!("{} {}", desk.number(&drill.id), drill_name(drill).0);
        (format!("../crew/drill-{}.html", drill.id), title)
    });
    let pace = shared.course.module.pace.as_ref();
    let view = LeafView {
        minutes: lesson.minutes.printed(),
        reckoned: pace.and_then(|pace| reckoned(desk, pace, lesson)).unwrap_or_default(),
        objectives: lesson.objectives.iter().filter_map(objective).collect(),
        prepare: leaf.prepare.clone(),
        props: leaf.props.clone(),
        present: leaf
            .present
            .iter()
            .map(|point| [numbered(&point.heading), point.says.clone()])
            .collect(),
        board: leaf.board.clone(),
        apply: leaf.apply.clone(),
        evaluate: leaf.evaluate.clone(),
        checks: lesson
            .checks
            .iter()
            .map(|one| [&one.asks, &one.answer, &one.because].map(String::clone))
            .collect(),
        misheard: leaf
            .misheard
            .iter()
            .map(|one| (one.hears.clone(), one.says.clone()))
            .collect(),
        hazards: leaf.hazards.clone(),
        drills: drills.collect(),
    };
    desk.render("leaf.html", &head(desk, lesson, at), &view)
}

fn head(desk: &Desk<'_>, lesson: &Lesson, at: usize) -> Head {
    let number = at.to_string();
    Head {
        title: lesson.title.clone(),
        kicker: desk.words.say("page.leaf.kicker", &[("number", &number)]),
        side: Side::Staff,
        cautions: lesson.cautions.clone(),
        kind: "leaf",
        next: vec![
            (format!("../crew/lesson-{}.html", lesson.id), desk.label("leaf.lesson")),
            ("coverage.html".to_owned(), desk.label("coverage.title")),
        ],
        ..Head::default()
    }
}

/// The sum in words: what there is of each and what one of it takes.
fn reckoned(desk: &Desk<'_>, pace: &Pace, lesson: &Lesson) -> Option<String> {
    let Counted { words, examples, drawings, checks } = counted(lesson);
    let texts = [
        ("words", words.to_string()),
        ("pace", pace.words.to_string()),
        ("examples", examples.to_string()),
        ("example", pace.example.printed()),
        ("drawings", drawings.to_string()),
        ("drawing", pace.drawing.printed()),
        ("checks", checks.to_string()),
        ("check", pace.check.printed()),
        ("minutes", minutes(of_lesson(pace, lesson)?)),
    ];
    let blanks: Vec<(&str, &str)> =
        texts.iter().map(|(name, text)| (*name, text.as_str())).collect();
    Some(desk.words.say("page.leaf.reckoned", &blanks))
}

/// Whole minutes as the module writes them.
fn minutes(count: i128) -> String {
    let text = format!("{count} min");
    Quantity::read(&text).map_or(text, |minutes| minutes.printed())
}
