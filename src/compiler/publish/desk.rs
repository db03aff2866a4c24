//! What a page sees of the course, with a note of everything that it asked for.
//!
//! A page is the same as last time when all that it asked for is: so the note, and not a
//! declaration beside it, decides whether it has to be made again. What papers and sheets ask
//! for stands in [`sees`](super::sees); how the key is made of it in [`key`](super::key).
//! `tests/desk.rs` changes every part of a module and holds both against the pages.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::fault::PublishFault;
use super::frame::{Head, Shared};
use crate::course::{
    Asked, Cards, Caution, Concentrate, Course, Drill, Family, Lesson, LocalTopic,
    Module, Objective, Rig, Term, UnsafeAct,
};
use crate::formulas::Library;
use crate::page::Wording;
use crate::quantity::Writing;
use crate::words::Words;

/// A page with what it asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Made {
    /// Its HTML.
    pub text: String,
    /// Parts of the module, by name in order: `drill:flush`, `all:cautions`.
    pub asked: Vec<String>,
    /// 64 hexadecimal digits over its kind, the program and those parts.
    pub key: String,
}

/// The desk of one page.
#[derive(Debug)]
pub(super) struct Desk<'c> {
    shared: &'c Shared<'c>,
    /// All words; every key has them in it.
    pub(super) words: &'c Words,
    asked: RefCell<BTreeSet<String>>,
}

impl<'c> Desk<'c> {
    pub(super) fn new(shared: &'c Shared<'c>) -> Self {
        Self { shared, words: shared.words, asked: RefCell::default() }
    }

    /// What was asked for, by name in order.
    pub(super) fn asked(self) -> Vec<String> {
        self.asked.into_inner().into_iter().collect()
    }

    fn note(&self, sort: &str, id: &str) {
        let mut asked = self.asked.borrow_mut();
        // A set and not a list: how often and in which order a page asks must not be in its
        // key.
        asked.insert(if id.is_empty() {
            sort.to_owned()
        } else {
            format!("{sort}:{id}")
        });
    }

    /// Hands out what all pages share, for a page that looks at these parts of the course and
    /// at no others.
    pub(super) fn sees(&self, parts: &[(&str, &str)]) -> &'c Shared<'c> {
        for (sort, id) in parts {
            self.note(sort, id);
        }
        self.shared
    }

    /// Numbers are printed as the module writes them while it stands. Every key has that in it.
    pub(super) fn writing(&self) -> Writing {
        self.shared.writing()
    }

    /// What documents speak with.
    pub(super) fn wording(&self) -> Wording<'c> {
        self.sees(&[("all", "sources")]).wording()
    }

    /// The head of the module.
    pub(super) fn module(&self) -> &'c Module {
        self.note("module", "");
        &self.shared.course.module
    }

    pub(super) fn drill(&self, id: &str) -> Option<&'c Drill> {
        // Noted whether it is there or not: a page that found nothing is another page once
        // there is something.
        self.note("drill", id);
        self.shared.course.drill(id)
    }

    pub(super) fn rig(&self, id: &str) -> Option<&'c Rig> {
        self.note("rig", id);
        self.shared.course.rigs.get(id)
    }

    pub(super) fn lesson(&self, id: &str) -> Option<&'c Lesson> {
        self.note("lesson", id);
        self.shared.course.lesson(id)
    }

    pub(super) fn family(&self, id: &str) -> Option<&'c Family> {
        self.note("family", id);
        self.shared.course.families.iter().find(|family| family.id == id)
    }

    pub(super) fn topic(&self, id: &str) -> Option<&'c LocalTopic> {
        self.note("topic", id);
        self.shared.course.topic(id)
    }

    pub(super) fn term(&self, id: &str) -> Option<&'c Term> {
        self.note("term", id);
        self.shared.course.terms.get(id)
    }

    pub(super) fn caution(&self, id: &str) -> Option<&'c Caution> {
        self.note("caution", id);
        self.shared.course.cautions.get(id)
    }

    pub(super) fn objective(&self, id: &str) -> Option<&'c Objective> {
        self.note("objective", id);
        self.shared.course.objectives.get(id)
    }

    pub(super) fn concentrate(&self, id: &str) -> Option<&'c Concentrate> {
        self.note("concentrate", id);
        self.shared.course.concentrates.get(id)
    }

    /// The bytes of a picture of the module.
    pub(super) fn picture(&self, file: &str) -> Option<&'c [u8]> {
        self.note("picture", file);
        self.shared.picture(file)
    }

    pub(super) fn cautions(&self) -> &'c BTreeMap<String, Caution> {
        self.note("all", "cautions");
        &self.shared.course.cautions
    }

    pub(super) fn terms(&self) -> &'c BTreeMap<String, Term> {
        self.note("all", "terms");
        &self.shared.course.terms
    }

    pub(super) fn concentrates(&self) -> &'c BTreeMap<String, Concentrate> {
        self.note("all", "concentrates");
        &self.shared.course.concentrates
    }

    pub(super) fn unsafe_acts(&self) -> &'c [UnsafeAct] {
        self.note("all", "unsafe-acts");
        &self.shared.course.unsafe_acts
    }

    /// Which formula a rig's percent basis asks for.
    pub(super) fn bases(&self) -> &'c [Asked] {
        self.note("all", "bases");
        &self.shared.course.bases
    }

    /// What rig cards work out.
    pub(super) fn cards(&self) -> &'c Cards {
        self.note("all", "cards");
        &self.shared.course.cards
    }

    /// Whether a rig of the module carries foam.
    pub(super) fn has_foam(&self) -> bool {
        self.note("has-foam", "");
        has_foam(self.shared.course)
    }

    pub(super) fn library(&self) -> &'c Library {
        self.note("all", "library");
        &self.shared.course.library
    }

    /// Id, file and title of every lesson, in the order of the module.
    pub(super) fn lessons(&self) -> Vec<[&'c str; 3]> {
        self.note("titles", "lessons");
        lessons(self.shared.course)
    }

    /// Set and title of the set that has a question.
    pub(super) fn set_of(&self, question: &str) -> Option<[&'c str; 2]> {
        self.note("set-of", question);
        set_of(self.shared.course, question)
    }

    /// A label of the theme.
    pub(super) fn label(&self, key: &str) -> String {
        // words: page.{desk.label(..)}
        self.shared.label(key)
    }

    /// One page: the frame and its own view under `page`.
    pub(super) fn render(
        &self,
        template: &str,
        head: &Head,
        view: &impl Serialize,
    ) -> Result<String, PublishFault> {
        self.sees_frame(&head.cautions).render(template, head, view)
    }

    /// What the frame of a page looks at.
    pub(super) fn sees_frame(&self, cautions: &[String]) -> &'c Shared<'c> {
        // Counted and not looked for, because each of them must be noted.
        let known = cautions.iter().filter(|id| self.caution(id).is_some()).count();
        if known == 0 {
            // The frame chooses one for a page without a task.
            self.note("all", "cautions");
        }
        self.sees(&[("module", "")])
    }
}

pub(super) fn has_foam(course: &Course) -> bool {
    course.rigs.values().any(Rig::foams)
}

pub(super) fn lessons(course: &Course) -> Vec<[&str; 3]> {
    let lessons = course.lessons.iter();
    lessons.map(|lesson| [&*lesson.id, &*lesson.file, &*lesson.title]).collect()
}

pub(super) fn set_of<'c>(course: &'c Course, question: &str) -> Option<[&'c str; 2]> {
    let mut sets = course.sets.iter();
    let set = sets.find(|set| set.questions.iter().any(|q| q.id == question))?;
    Some([&set.id, &set.title])
}
