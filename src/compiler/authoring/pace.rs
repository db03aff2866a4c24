//! How long a lesson and a module take, reckoned from what is in them at the pace that the module
//! states: nobody knows it better than whoever has taught it once, and a guess that adds up is still
//! better than one that does not.

use pulldown_cmark::{Event, Options, Parser, Tag};

use crate::course::{Course, Lesson, Pace};
use crate::quantity::{Fraction, Quantity, find};

/// What of a lesson takes time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Counted {
    /// Words of its text.
    pub(crate) words: usize,
    /// Worked examples that it shows.
    pub(crate) examples: usize,
    /// Drawings and pictures.
    pub(crate) drawings: usize,
    /// Questions in its text and at its end.
    pub(crate) checks: usize,
}

/// Counts what is in a lesson.
pub(crate) fn counted(lesson: &Lesson) -> Counted {
    let mut found = Counted { checks: lesson.checks.len(), ..Counted::default() };
    for event in Parser::new_ext(&lesson.text, Options::ENABLE_TABLES) {
        match event {
            Event::Start(Tag::Link { dest_url, .. }) => {
                // A link of these sorts stands for the thing itself,
                // which is shown in its place.
                match dest_url.split_once(':').map(|(scheme, _)| scheme) {
                    Some("figure") => found.examples += 1,
                    Some("drawing") => found.drawings += 1,
                    Some("question") => found.checks += 1,
                    _ => {}
                }
            }
            Event::Start(Tag::Image { .. }) => found.drawings += 1,
            Event::Text(text) | Event::Code(text) => {
                found.words += text.split_whitespace().count();
            }
            _ => {}
        }
    }
    found
}

/// Minutes of so many things.
fn times(each: &Quantity, count: usize) -> Option<Fraction> {
    let each = each.in_unit(find("min")?)?.number();
    each.mul(Fraction::whole(i128::try_from(count).ok()?))
}

/// Whole minutes of a lesson, rounded up: nobody has ever been done early.
pub(crate) fn of_lesson(pace: &Pace, lesson: &Lesson) -> Option<i128> {
    let counted = counted(lesson);
    let words = i128::try_from(counted.words).ok()?;
    let mut all = Fraction::new(words, i128::from(pace.words))?;
    for (each, count) in [
        (&pace.example, counted.examples),
        (&pace.drawing, counted.drawings),
        (&pace.check, counted.checks),
    ] {
        all = all.add(times(each, count)?)?;
    }
    Some(-all.negated().floor())
}

/// Minutes of the whole module: lessons, each question practiced once, each drill run once.
pub(crate) fn of_module(pace: &Pace, course: &Course) -> Option<i128> {
    let mut all = Fraction::whole(0);
    for lesson in &course.lessons {
        all = all.add(Fraction::whole(of_lesson(pace, lesson)?))?;
    }
    let questions = course.sets.iter().map(|set| set.questions.len()).sum();
    all = all.add(times(&pace.question, questions)?)?;
    all = all.add(times(&pace.drill, course.drills.len())?)?;
    Some(-all.negated().floor())
}
