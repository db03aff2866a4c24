//! A lesson page.

use std::collections::BTreeSet;
use std::ops::Range;

use serde::Serialize;

use super::card::Card;
use super::desk::Desk;
use super::drawing::{Drawing, flow_path};
use super::fault::PublishFault;
use super::frame::{Head, Here, Side, Stop};
use super::html::{escape, html};
use super::markdown::{Links, Named, render};
use super::pictures::whole;
use super::placed::{fed, placed};
use super::practice;
use super::text::{LocalView, locals};
use crate::course::{Lesson, SelfCheck, drill_name, picture_kind};
use crate::page::{Working, refused, working};

#[derive(Serialize)]
pub(super) struct LessonView {
    minutes: String,
    objectives: Vec<(String, String, String, String)>,
    body_html: String,
    checks: Vec<CheckView>,
    local: Vec<LocalView>,
    /// The way of foam through the rig that the lesson reckons with.
    flow: Option<FlowView>,
}

/// A question of the reader to himself.
#[derive(Serialize)]
struct CheckView {
    number: usize,
    asks: String,
    answer: String,
    because: String,
}

#[derive(Serialize)]
struct FlowView {
    title: String,
    drawing: Drawing,
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
pub(super) fn page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let lesson = desk.lesson(id);
    let lesson = lesson.ok_or_else(|| PublishFault::Missing(id.to_owned()))?;
    let view = view(desk, lesson, Lay::Among);
    desk.render("lesson.html", &head(desk, lesson), &view)
}

/// What the lesson's page says about itself.
pub(super) fn head(desk: &Desk<'_>, lesson: &Lesson) -> Head {
    let number = (place(desk, lesson) + 1).to_string();
    let trail = match desk.drill_after(&lesson.id) {
        Some(drill) => desk.trail(&drill.id, Here::Lesson).1,
        None => Vec::new(),
    };
    let trail: Vec<Stop> = trail
        .into_iter()
        .map(|stop| match stop.class {
            // The page itself, though the drill may have a lesson before it.
            "here" => Stop { file: format!("lesson-{}.html", lesson.id), ..stop },
            _ => stop,
        })
        .collect();
    Head {
        form: desk.words.say("page.form.lesson", &[("number", &number)]),
        trail,
        next: next(desk, lesson),
        title: lesson.title.clone(),
        kicker: desk.words.say("page.lesson-number", &[("number", &number)]),
        side: Side::Crew,
        cautions: lesson.cautions.clone(),
        unverified: false,
        kind: "lesson",
        ..Head::default()
    }
}

fn place(desk: &Desk<'_>, lesson: &Lesson) -> usize {
    let mut lessons = desk.lessons().into_iter();
    lessons.position(|[id, ..]| id == lesson.id).unwrap_or(0)
}

/// Practice first: what was read is tried before the next thing is read.
fn next(desk: &Desk<'_>, lesson: &Lesson) -> Vec<(String, String)> {
    let mut next = Vec::new();
    if let Some(drill) = desk.drill_after(&lesson.id) {
        let way = desk.trail(&drill.id, Here::Lesson).0;
        next.extend(way.practice.map(|(file, set)| {
            (file, desk.words.say("page.practise-it", &[("set", &set)]))
        }));
        let (title, file) = (drill_name(drill).0, format!("drill-{}.html", drill.id));
        next.push((file, desk.words.say("page.drill-card-of", &[("title", &title)])));
    }
    if let Some([id, _, title]) = desk.lessons().get(place(desk, lesson) + 1) {
        let says = desk.words.say("page.next-lesson", &[("title", title)]);
        next.push((format!("lesson-{id}.html"), says));
    }
    // Last, because it is for somebody else than who reads here.
    if lesson.send {
        next.push((format!("send-{}.html", lesson.id), desk.label("lesson-to-send")));
    }
    next
}

/// The lesson itself.
pub(super) fn view(desk: &Desk<'_>, lesson: &Lesson, lay: Lay) -> LessonView {
    let objective = |id: &String| {
        let objective = desk.objective(id)?;
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
        body_html: render(&lesson.text, &Pieces { desk, lesson, lay }),
        checks: lesson.checks.iter().enumerate().map(check).collect(),
        local: locals(desk, &lesson.local),
        flow: flow(desk, lesson),
    }
}

fn check((at, check): (usize, &SelfCheck)) -> CheckView {
    CheckView {
        number: at + 1,
        asks: check.asks.clone(),
        answer: check.answer.clone(),
        because: check.because.clone(),
    }
}

/// The first rig that one of the lesson's examples is worked on. A lesson that places drawings has said
/// itself what is to be seen beside which paragraph.
fn flow(desk: &Desk<'_>, lesson: &Lesson) -> Option<FlowView> {
    if !lesson.drawings.is_empty() {
        return None;
    }
    let mut rigs = lesson.examples.iter().filter_map(|example| example.rig.as_ref());
    let rig = rigs.find_map(|id| desk.rig(id))?;
    let drawing = flow_path(Card { desk, rig });
    Some(FlowView { title: rig.title.clone(), drawing })
}

/// A drawing among the paragraphs, its title before how it is read.
fn drawn(drawing: &Drawing, title: &str) -> String {
    let mut out = format!("<figure class=\"drawn\">{}<figcaption><b>", drawing.svg_html);
    escape(title, &mut out);
    out.push_str("</b><br>");
    escape(&drawing.caption, &mut out);
    out.push_str("</figcaption></figure>\n");
    out
}

/// Earlier places first, of one place the longer.
const fn first(range: &Range<usize>) -> (usize, usize) {
    (range.start, usize::MAX - range.end)
}

/// Where a word stands in a text as a word of its own, in any letters.
fn place_of(word: &str, text: &str) -> Option<Range<usize>> {
    let small = |letter: char| letter.to_ascii_lowercase();
    let bound = |letter: Option<char>| !letter.is_some_and(char::is_alphanumeric);
    let mut starts = text.char_indices().map(|(at, _)| at);
    starts.find_map(|at| {
        // Letter by letter as they stand: a text in small letters may be longer than in others.
        let mut rest = text.get(at..)?.chars();
        let mut own = word.chars();
        let whole =
            own.all(|own| rest.next().is_some_and(|one| small(one) == small(own)));
        let end = text.len() - rest.as_str().len();
        let free = bound(text.get(..at)?.chars().next_back()) && bound(rest.next());
        (whole && free).then_some(at..end)
    })
}

struct Pieces<'p> {
    desk: &'p Desk<'p>,
    lesson: &'p Lesson,
    lay: Lay,
}

impl Links for Pieces<'_> {
    fn link(&self, scheme: &str, id: &str) -> Option<(String, String)> {
        if self.lay == Lay::Alone {
            // A lesson that is sent alone has no other page to link to; its questions are in
            // the file itself.
            return (scheme == "question").then(|| (practice::here(id), String::new()));
        }
        let desk = self.desk;
        match scheme {
            "term" => {
                let term = desk.term(id)?;
                Some((format!("glossary.html#{id}"), term.meaning.clone()))
            }
            "caution" => {
                let caution = desk.caution(id)?;
                Some((format!("cautions.html#{id}"), caution.control.clone()))
            }
            "drill" => {
                let drill = desk.drill(id)?;
                Some((format!("drill-{id}.html"), drill.title.clone()))
            }
            "lesson" => {
                let by_file =
                    |file: &str| file.rsplit('/').next() == Some(&format!("{id}.md"));
                let is = |[known, file, _]: &[&str; 3]| *known == id || by_file(file);
                let [id, _, title] = desk.lessons().into_iter().find(is)?;
                Some((format!("lesson-{id}.html"), title.to_owned()))
            }
            "question" => {
                let [set, title] = desk.set_of(id)?;
                Some((practice::address(set, id), title.to_owned()))
            }
            _ => None,
        }
    }

    fn picture(&self, file: &str) -> Option<String> {
        let bytes = self.desk.picture(file)?;
        picture_kind(file)?;
        match self.lay {
            Lay::Among => Some(file.to_owned()),
            // Its neighbours do not travel with it.
            Lay::Alone => whole(file, bytes),
        }
    }

    fn term(&self, text: &str, linked: &BTreeSet<String>) -> Option<Named> {
        // A lesson that is sent alone has no glossary beside it.
        if self.lay == Lay::Alone {
            return None;
        }
        let own = &self.lesson.text;
        let open = self.desk.terms().values().filter(|term| {
            // What the author links himself stands where he wants it.
            !linked.contains(&term.id) && !own.contains(&format!("](term:{})", term.id))
        });
        let found = open.filter_map(|term| {
            let words = std::iter::once(&term.term).chain(&term.also);
            let first =
                words.filter_map(|word| place_of(word, text)).min_by_key(first)?;
            Some((first, term))
        });
        // The earliest; of two that begin together the longer one: "tank to pump" is no "tank".
        let (range, term) = found.min_by_key(|(range, _)| first(range))?;
        let link = (format!("glossary.html#{}", term.id), term.meaning.clone());
        Some(Named { id: term.id.clone(), range, link })
    }

    fn number(&self) -> Option<usize> {
        Some(place(self.desk, self.lesson) + 1)
    }

    fn table_name(&self) -> String {
        self.desk.label("table")
    }

    fn figure(&self, scheme: &str, id: &str, title: &str) -> Option<String> {
        if scheme == "question" {
            let alone = self.lay == Lay::Alone;
            return practice::asked_html(self.desk, id, title, alone);
        }
        if scheme == "drawing" {
            return placed(self.desk, self.lesson, id)
                .map(|drawing| drawn(&drawing, title));
        }
        let example = self.lesson.examples.iter().find(|example| example.id == id)?;
        let inputs = fed(self.desk, example)?;
        let system = self.desk.module().units;
        let library = self.desk.library();
        let title = if title.is_empty() { &example.title } else { title };
        match library.work(&example.feed.formula, &inputs, system) {
            Ok(worked) => {
                let of = Working { title, worked: &worked, founded: true };
                Some(html([&working(of, self.desk.wording())]))
            }
            // A figure outside a formula's range says so in its place.
            Err(fault) => Some(html([&refused(title, fault.say(self.desk.words))])),
        }
    }
}
