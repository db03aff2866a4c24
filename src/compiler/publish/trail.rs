//! Where a page lies on the way through its drill: lesson, practice, walk, drill card, sign-off.
//!
//! The way is found by objectives: the first lesson that teaches what the drill asks for, the
//! set with the most questions on it, and the blank sheet of the first rig that the drill fits.

use super::desk::Desk;
use super::frame::{Here, Shared, Stop};

use super::sheet::page::crew_sheets;
use crate::course::{Course, Drill, Lesson, QuestionSet, drill_number, rig_code};
use crate::practice::walk::walks;

/// The pages of one drill's way.
#[derive(Debug, Clone, Default)]
pub(super) struct Way {
    /// File and title of each that there is.
    pub(super) lesson: Option<(String, String)>,
    pub(super) practice: Option<(String, String)>,
    pub(super) walk: Option<(String, String)>,
    pub(super) card: Option<(String, String)>,
    pub(super) sheet: Option<(String, String)>,
    /// File and rig of every blank sheet, that one among them.
    pub(super) sheets: Vec<(String, String)>,
}

/// The way through a drill.
pub(super) fn way(course: &Course, drill: &Drill) -> Way {
    let sheets = crew_sheets(course, drill);
    let first = sheets.first().map(|(file, _)| file.clone());
    Way {
        lesson: lesson_of(course, drill)
            .map(|lesson| (format!("lesson-{}.html", lesson.id), lesson.title.clone())),
        practice: set_of(course, drill)
            .map(|set| (format!("practice-{}.html", set.id), set.title.clone())),
        walk: walks(course, drill)
            .then(|| (format!("walk-{}.html", drill.id), drill.title.clone())),
        // Every drill has a card; the four others may be missing, and
        // their places then lead nowhere.
        card: Some((format!("drill-{}.html", drill.id), drill.title.clone())),
        sheet: first.map(|file| (file, drill.title.clone())),
        sheets,
    }
}

/// The first lesson that teaches one of the drill's objectives: an author lists the objective
/// first that the drill is about.
fn lesson_of<'c>(course: &'c Course, drill: &Drill) -> Option<&'c Lesson> {
    drill.objectives.iter().find_map(|objective| {
        course.lessons.iter().find(|lesson| lesson.objectives.contains(objective))
    })
}

/// The first set with the most questions on the drill's objectives.
fn set_of<'c>(course: &'c Course, drill: &Drill) -> Option<&'c QuestionSet> {
    let count = |set: &QuestionSet| {
        let own = set.questions.iter();
        own.filter(|question| drill.objectives.contains(&question.objective)).count()
    };
    let mut best: Option<(usize, &QuestionSet)> = None;
    for set in &course.sets {
        let found = count(set);
        // More, not as many: of equal sets the first stays, and none with nothing in common
        // is ever one.
        if found > best.map_or(0, |(most, _)| most) {
            best = Some((found, set));
        }
    }
    best.map(|(_, set)| set)
}

/// The drill that a lesson leads to: the first for which it is the lesson, or else the first
/// that asks for something it teaches.
pub(super) fn drill_of<'c>(course: &'c Course, lesson: &str) -> Option<&'c Drill> {
    let own = course
        .drills
        .iter()
        .find(|drill| lesson_of(course, drill).is_some_and(|found| found.id == lesson));
    let taught = || {
        let lesson = course.lesson(lesson)?;
        course.drills.iter().find(|drill| {
            drill.objectives.iter().any(|objective| lesson.objectives.contains(objective))
        })
    };
    // Its own drill first, so that going there and back ends where it began.
    own.or_else(taught)
}

impl<'c> Desk<'c> {
    /// The way through a drill, and this page's place on it.
    pub(super) fn trail(&self, drill: &str, here: Here) -> (Way, Vec<Stop>) {
        let shared = self.sees(&[("trail", drill)]);
        let Some(found) = shared.course.drill(drill) else { return Default::default() };
        let way = way(shared.course, found);
        let stops = stops(shared, &way, here);
        (way, stops)
    }

    /// The way that ends with a sheet, as seen from a folder from which `crew` leads to the crew's.
    pub(super) fn trail_from(&self, drill: &str, crew: &str) -> Vec<Stop> {
        from_afar(self.trail(drill, Here::Sheet).1, crew)
    }

    /// Number of a drill.
    pub(super) fn number(&self, drill: &str) -> String {
        drill_number(self.sees(&[("number", drill)]).course, drill)
    }

    /// Code of a rig on a form.
    pub(super) fn code(&self, rig: &str) -> String {
        rig_code(self.sees(&[("code", rig)]).course, rig)
    }

    /// The drill that a lesson leads to.
    pub(super) fn drill_after(&self, lesson: &str) -> Option<&'c Drill> {
        drill_of(self.sees(&[("drill-after", lesson)]).course, lesson)
    }
}

/// The way that ends with a sheet which is made beside the pages of a site. `crew` leads from its
/// folder to the crew's; without it nobody knows what lies near it, and nothing is linked.
pub(super) fn beside(
    shared: &Shared<'_>,
    drill: &Drill,
    crew: Option<&str>,
) -> Vec<Stop> {
    match crew {
        Some(crew) => {
            from_afar(stops(shared, &way(shared.course, drill), Here::Sheet), crew)
        }
        None => stops(shared, &Way::default(), Here::Sheet),
    }
}

fn from_afar(mut stops: Vec<Stop>, crew: &str) -> Vec<Stop> {
    for stop in stops.iter_mut().filter(|stop| !stop.file.is_empty()) {
        stop.file.insert_str(0, crew);
    }
    stops
}

fn stops(shared: &Shared<'_>, way: &Way, here: Here) -> Vec<Stop> {
    let at = match here {
        Here::Lesson => 0,
        Here::Walk => 2,
        Here::Card => 3,
        Here::Sheet => 4,
    };
    let all = [
        ("trail.lesson", &way.lesson),
        ("trail.practice", &way.practice),
        ("trail.walk", &way.walk),
        ("trail.card", &way.card),
        ("trail.sheet", &way.sheet),
    ];
    let all = all.into_iter().enumerate().map(|(place, (key, page))| Stop {
        // words: page.{trail.lesson|trail.practice|trail.walk|trail.card|trail.sheet}
        name: shared.label(key),
        file: page.as_ref().map(|(file, _)| file.clone()).unwrap_or_default(),
        class: match place {
            place if place < at => "been",
            place if place == at => "here",
            place if place == at + 1 => "next",
            _ => "",
        },
    });
    all.collect()
}
