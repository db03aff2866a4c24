//! A lesson page.

use serde::Serialize;

use super::fault::PublishFault;
use super::frame::{Head, Shared, Side};
use super::markdown::{Links, render};
use super::practice;
use super::text::{LocalView, inputs, locals, system};
use crate::course::{Figures, Lesson};

#[derive(Serialize)]
struct LessonView {
    minutes: String,
    objectives: Vec<(String, String, String, String)>,
    body_html: String,
    local: Vec<LocalView>,
    next: Vec<(String, String)>,
}

/// `lesson-ID.html`.
pub(super) fn page(shared: &Shared<'_>, id: &str) -> Result<String, PublishFault> {
    let course = shared.course;
    let lesson = course.lesson(id).ok_or_else(|| PublishFault::Missing(id.to_owned()))?;
    let figures = Pieces { shared, lesson };
    let at = course.lessons.iter().position(|other| other.id == id).unwrap_or(0);
    let mut next = Vec::new();
    if let Some(following) = course.lessons.get(at + 1) {
        let says = shared.words.say("page.next-lesson", &[("title", &following.title)]);
        next.push((format!("lesson-{}.html", following.id), says));
    }
    next.push(("index.html".to_owned(), shared.label("all-pages")));
    let objective = |id: &String| {
        let objective = course.objectives.get(id)?;
        Some((
            objective.condition.clone(),
            objective.performance.clone(),
            objective.standard.clone(),
            objective.serves.clone().unwrap_or_default(),
        ))
    };
    let view = LessonView {
        minutes: lesson.minutes.printed(),
        objectives: lesson.objectives.iter().filter_map(objective).collect(),
        body_html: render(&lesson.text, &figures),
        local: locals(course, &lesson.local, shared.words),
        next,
    };
    let number = (at + 1).to_string();
    let head = Head {
        title: lesson.title.clone(),
        kicker: shared.words.say("page.lesson-number", &[("number", &number)]),
        side: Side::Crew,
        cautions: lesson.cautions.clone(),
        unverified: false,
        kind: "lesson",
    };
    shared.render("lesson.html", &head, &view)
}

struct Pieces<'p> {
    shared: &'p Shared<'p>,
    lesson: &'p Lesson,
}

impl Links for Pieces<'_> {
    fn link(&self, scheme: &str, id: &str) -> Option<(String, String)> {
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
            return practice::asked_html(self.shared, id, title);
        }
        let example = self.lesson.examples.iter().find(|example| example.id == id)?;
        let inputs = inputs(&example.feed, &Figures::new())?;
        let system = system(self.shared.course);
        let library = &self.shared.course.library;
        let title = if title.is_empty() { &example.title } else { title };
        match library.work(&example.feed.formula, &inputs, system) {
            Ok(worked) => super::worked::html(self.shared, title, &worked).ok(),
            // A figure outside a formula's range says so in its place.
            Err(fault) => {
                let view = [title.to_owned(), fault.say(self.shared.words)];
                self.shared.part("refused.html", &view).ok()
            }
        }
    }
}
