//! What a page sees of the course, with a note of everything that it asked for.
//!
//! A page is the same as last time when all that it asked for is: so the note, and not a
//! declaration beside it, decides whether it has to be made again. What an engine's function
//! reads of a whole course is noted by whoever hands the course out, see [`Desk::sees`];
//! `tests/cache.rs` changes every part of a module and holds both against the pages.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Debug;
use std::sync::{Mutex, PoisonError};

use serde::Serialize;

use super::fault::PublishFault;
use super::frame::{Head, Shared};
use super::plan::{PagePlan, blank_links_of};
use super::{index, send};
use crate::course::{
    Asked, Cards, Caution, Concentrate, Course, Drill, Family, Lesson, LocalTopic,
    Module, Objective, Rig, Term, UnsafeAct,
};
use crate::fingerprint::hex_hash;
use crate::formulas::Library;
use crate::page::Wording;
use crate::practice::PracticeKit;
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
        let known = cautions.iter().filter(|id| self.caution(id).is_some()).count();
        if known == 0 {
            // The frame chooses one for a page without a task.
            self.note("all", "cautions");
        }
        self.sees(&[("module", "")])
    }
}

fn lessons(course: &Course) -> Vec<[&str; 3]> {
    let lessons = course.lessons.iter();
    lessons.map(|lesson| [&*lesson.id, &*lesson.file, &*lesson.title]).collect()
}

fn set_of<'c>(course: &'c Course, question: &str) -> Option<[&'c str; 2]> {
    let mut sets = course.sets.iter();
    let set = sets.find(|set| set.questions.iter().any(|q| q.id == question))?;
    Some([&set.id, &set.title])
}

/// Hashes of parts, each made when a page first asks for it.
#[derive(Debug, Default)]
pub(super) struct Parts(Mutex<BTreeMap<String, String>>);

/// `Debug` prints every field of a plain value, in the order of its lists and keys; a derived
/// one leaves nothing out, as a form for files may.
fn of(value: &impl Debug) -> String {
    hex_hash(format!("{value:?}").as_bytes())
}

impl Shared<'_> {
    /// The key of a page that asked for these parts: equal keys, equal bytes. None when the
    /// program does not know a part, which another version of it may have.
    pub fn key(&self, plan: &PagePlan, asked: &[String]) -> Option<String> {
        let mut all = vec![
            format!("{plan:?}"),
            env!("CARGO_PKG_VERSION").to_owned(),
            self.part_hash("program")?,
            self.part_hash("words")?,
        ];
        for part in asked {
            all.push(format!("{part} {}", self.part_hash(part)?));
        }
        Some(hex_hash(all.join("\n").as_bytes()))
    }

    fn part_hash(&self, part: &str) -> Option<String> {
        let known = |parts: &Parts| {
            let known = parts.0.lock().unwrap_or_else(PoisonError::into_inner);
            known.get(part).cloned()
        };
        if let Some(hash) = known(&self.parts) {
            return Some(hash);
        }
        let hash = self.hash(part)?;
        let mut all = self.parts.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.insert(part.to_owned(), hash.clone());
        Some(hash)
    }

    /// The hash of a part as it is today; of what is not there as well, since a page may have
    /// found that out.
    fn hash(&self, part: &str) -> Option<String> {
        let course = self.course;
        let (sort, id) = part.split_once(':').unwrap_or((part, ""));
        let hash = match sort {
            "program" => crate::stock::fingerprint(),
            "words" => of(self.words),
            "seed" => of(&self.seed),
            "module" => of(&(&course.module, course.draft)),
            "drill" => of(&course.drill(id)),
            "rig" => of(&course.rigs.get(id)),
            "lesson" => of(&course.lesson(id)),
            "family" => of(&course.families.iter().find(|family| family.id == id)),
            "topic" => of(&course.topic(id)),
            "term" => of(&course.terms.get(id)),
            "caution" => of(&course.cautions.get(id)),
            "objective" => of(&course.objectives.get(id)),
            "concentrate" => of(&course.concentrates.get(id)),
            "chain" => of(&course.chains.iter().find(|chain| chain.id == id)),
            "set" => of(&course.sets.iter().find(|set| set.id == id)),
            "runs" => {
                let runs = course.runs.iter().filter(|run| run.id == id);
                of(&runs.collect::<Vec<_>>())
            }
            "due" => of(&id.parse::<usize>().ok().and_then(|at| course.roster.get(at))),
            // What a set's questions can reach: formulas, rigs, steps, objectives.
            "reach" => {
                let set = course.sets.iter().find(|set| set.id == id);
                of(&set.map(|set| PracticeKit::of(course, set, self.words)))
            }
            "kit-of-lesson" => {
                let lesson = course.lesson(id);
                let set = lesson.and_then(|lesson| send::lesson_set(course, lesson));
                of(&set.map(|set| PracticeKit::of(course, &set, self.words)))
            }
            "set-of" => of(&set_of(course, id)),
            "sheets-of-drill" => of(&blank_links_of(self, id, false)),
            "sheets-of-chain" => of(&blank_links_of(self, id, true)),
            "titles" if id == "lessons" => of(&lessons(course)),
            "index" => index::contents(self, id)?,
            "all" => self.hash_of_all(id)?,
            _ => return None,
        };
        Some(hash)
    }

    fn hash_of_all(&self, id: &str) -> Option<String> {
        let course = self.course;
        Some(match id {
            "cards" => of(&course.cards),
            "bases" => of(&course.bases),
            "cautions" => of(&course.cautions),
            "concentrates" => of(&course.concentrates),
            "drills" => of(&course.drills),
            "kept" => of(&course.kept),
            "library" => of(&course.library),
            "local" => of(&course.local),
            "people" => of(&course.people),
            "rigs" => of(&course.rigs),
            "sources" => of(&course.sources),
            "terms" => of(&course.terms),
            "unsafe-acts" => of(&course.unsafe_acts),
            _ => return None,
        })
    }
}

/// The hash of something that is put together from many parts and printed as it is.
pub(super) fn hash_of(value: &impl Debug) -> String {
    of(value)
}
