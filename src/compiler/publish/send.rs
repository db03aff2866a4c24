//! A lesson with its practice as one file that can be sent: style, script, engine and kit stand in
//! it, and it leads nowhere, because its neighbours do not travel with it.

use serde::Serialize;

use super::assets::style;
use super::base64::base64;
use super::desk::Desk;
use super::fault::PublishFault;
use super::frame::Head;
use super::lesson::{Lay, LessonView, head, view};
use super::practice::kit_html;
use crate::course::{Course, Lesson, QuestionSet};
use crate::fingerprint::sha256;
use crate::practice::{FORMAT, PageKit, PracticeKit};
use crate::theme::Theme;

#[derive(Serialize)]
struct SendView {
    #[serde(flatten)]
    lesson: LessonView,
    policy: String,
    style_html: String,
    kit_html: String,
    engine_html: String,
    start_html: String,
    script_html: String,
}

/// The questions of a lesson: those that serve its objectives, and those that its text calls.
/// Nothing where there are none.
pub fn lesson_set(course: &Course, lesson: &Lesson) -> Option<QuestionSet> {
    let own = |question: &&crate::course::Question| {
        lesson.objectives.contains(&question.objective)
            || lesson.text.contains(&format!("](question:{})", question.id))
    };
    let all = course.sets.iter().flat_map(|set| &set.questions);
    let questions: Vec<_> = all.filter(own).cloned().collect();
    (!questions.is_empty()).then(|| QuestionSet {
        id: format!("lesson-{}", lesson.id),
        title: lesson.title.clone(),
        about: String::new(),
        // Questions of several sets in one: what one of them allows is allowed.
        calculator: course.sets.iter().any(|set| set.calculator),
        cautions: lesson.cautions.clone(),
        graded: None,
        blueprint: Vec::new(),
        questions,
    })
}

/// `send-ID.html`.
pub(super) fn page(desk: &Desk<'_>, id: &str) -> Result<String, PublishFault> {
    let shared = desk.sees(&[("module", ""), ("kit-of-lesson", id)]);
    let course = shared.course;
    let lesson = desk.lesson(id).ok_or_else(|| PublishFault::Missing(id.to_owned()))?;
    let kit = match lesson_set(course, lesson) {
        Some(set) => {
            let kit = PracticeKit::of(course, &set, shared.words).alone();
            kit_html(&PageKit { format: FORMAT, practice: Some(kit), run: None })?
        }
        None => String::new(),
    };
    let text = |name: &str| Theme::of(course).file(name).to_owned();
    let (engine, start) = (text("engine-practice.js"), text("start.js"));
    let (script, style) = (text("page.js"), style(course));
    // It may be opened anywhere: nothing runs but its own script and
    // style, and nothing is asked of any place.
    let policy = format!(
        "default-src 'none'; script-src '{}' '{}' '{}' 'wasm-unsafe-eval'; style-src '{}'; \
         img-src data:; base-uri 'none'; form-action 'none'",
        source_hash(&engine),
        source_hash(&start),
        source_hash(&script),
        source_hash(&style)
    );
    let view = SendView {
        lesson: view(desk, lesson, Lay::Alone),
        policy,
        style_html: style,
        kit_html: kit,
        engine_html: engine,
        start_html: start,
        script_html: script,
    };
    // Its neighbours do not travel with it.
    let head = Head { trail: Vec::new(), next: Vec::new(), ..head(desk, lesson) };
    desk.render("send.html", &head, &view)
}

/// A text as a policy names it: `sha256-` and its hash in base 64.
fn source_hash(text: &str) -> String {
    format!("sha256-{}", base64(&sha256(text.as_bytes())))
}
