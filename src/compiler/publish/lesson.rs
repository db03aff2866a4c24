//! A lesson page.

use serde::Serialize;

use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::html::html;
use super::markdown::{Links, render};
use super::practice;
use super::text::{LocalView, inputs, locals, system};
use crate::course::{Figures, Lesson};
use crate::page::{Working, refused, working};

#[derive(Serialize)]
pub(super) struct LessonView {
    minutes: String,
    objectives: Vec<(String, String, String, String)>,
    body_html: String,
    local: Vec<LocalView>,
    next: Vec<(String, String)>,
}

/// Whether a lesson lies among the other pages or travels alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lay {
    /// Its links lead to the other pages.
    Among,
    /// Its links lead nowhere; their words stay.
    Alone,
}

/// `lesson-ID.html`.
pub(super) fn page(shared: &Shared<'_>, id: &str) -> Result<String, PublishFault> {
    let lesson = shared.course.lesson(id);
    let lesson = lesson.ok_or_else(|| PublishFault::Missing(id.to_owned()))?;
    let view = view(shared, lesson, Lay::Among);
    shared.render("lesson.html", &head(shared, lesson), &view)
}

/// What the lesson's page says about itself.
pub(super) fn head(shared: &Shared<'_>, lesson: &Lesson) -> Head {
    let number = (place(shared, lesson) + 1).to_string();
    Head {
        title: lesson.title.clone(),
        kicker: shared.words.say("page.lesson-number", &[("number", &number)]),
        side: Side::Crew,
        cautions: lesson.cautions.clone(),
        unverified: false,
        kind: "lesson",
    }
}

fn place(shared: &Shared<'_>, lesson: &Lesson) -> usize {
    let mut lessons = shared.course.lessons.iter();
    lessons.position(|other| other.id == lesson.id).unwrap_or(0)
}

/// The lesson itself.
pub(super) fn view(shared: &Shared<'_>, lesson: &Lesson, lay: Lay) -> LessonView {
    let course = shared.course;
    let mut next = Vec::new();
    if lay == Lay::Among {
        if let Some(following) = course.lessons.get(place(shared, lesson) + 1) {
            let says =
                shared.words.say("page.next-lesson", &[("title", &following.title)]);
            next.push((format!("lesson-{}.html", following.id), says));
        }
        next.push((format!("send-{}.html", lesson.id), shared.label("lesson-to-send")));
        next.push(("index.html".to_owned(), shared.label("all-pages")));
    }
    let objective = |id: &String| {
        let objective = course.objectives.get(id)?;
        Some((
            objective.condition.clone(),
            objective.performance.clone(),
            objective.standard.clone(),
            objective.serves.clone().unwrap_or_default(),
        ))
    };
    LessonView {
        minutes: lesson.minutes.printed(),
        objectives: lesson.objectives.iter().filter_map(objective).collect(),
        body_html: render(&lesson.text, &Pieces { shared, lesson, lay }),
        local: locals(course, &lesson.local, shared.words),
        next,
    }
}

struct Pieces<'p> {
    shared: &'p Shared<'p>,
    lesson: &'p Lesson,
    lay: Lay,
}

impl Links for Pieces<'_> {
    fn link(&self, scheme: &str, id: &str) -> Option<(String, String)> {
        if self.lay == Lay::Alone {
            return (scheme == "question").then(|| (practice::here(id), String::new()));
        }
        let course = self.shared.course;
        match scheme {
            "term" => {
                let term = course.terms.get(id)?;
                Some((format!("glossary.html#{id}"), term.meaning.clone()))
            }
            "caution" => {
                let caution = course.cautions.get(id)?;
                Some((format!("cautions.html#{id}"), caution.control.clone()))
            }
            "drill" => {
                let drill = course.drill(id)?;
                Some((format!("drill-{id}.html"), drill.title.clone()))
            }
            "lesson" => {
                let by_file =
                    |file: &str| file.rsplit('/').next() == Some(&format!("{id}.md"));
                let is = |lesson: &&Lesson| lesson.id == id || by_file(&lesson.file);
                let lesson = course.lessons.iter().find(is)?;
                Some((format!("lesson-{}.html", lesson.id), lesson.title.clone()))
            }
            "question" => {
                let (set, _) = practice::question(self.shared, id)?;
                Some((practice::address(&set.id, id), set.title.clone()))
            }
            _ => None,
        }
    }

    fn table_name(&self) -> String {
        self.shared.label("table")
    }

    fn figure(&self, scheme: &str, id: &str, title: &str) -> Option<String> {
        if scheme == "question" {
            let alone = self.lay == Lay::Alone;
            return practice::asked_html(self.shared, id, title, alone);
        }
        let example = self.lesson.examples.iter().find(|example| example.id == id)?;
        let inputs = inputs(&example.feed, &Figures::new())?;
        let system = system(self.shared.course);
        let library = &self.shared.course.library;
        let title = if title.is_empty() { &example.title } else { title };
        match library.work(&example.feed.formula, &inputs, system) {
            Ok(worked) => {
                let of = Working { title, worked: &worked, founded: true };
                Some(html([&working(of, self.shared.wording())]))
            }
            // A figure outside a formula's range says so in its place.
            Err(fault) => Some(html([&refused(title, fault.say(self.shared.words))])),
        }
    }
}
