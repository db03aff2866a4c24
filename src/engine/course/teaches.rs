//! Which paragraph teaches what. It stands on the lessons' side, in a file of its own, because the
//! letters of a drill must not change when a lesson is written or moved.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::ops::{Deref, DerefMut};
use std::sync::OnceLock;

use super::question::Question;
use crate::record;
use crate::wire::Book;

record! {
    /// Parts of a drill that a heading teaches.
    PartsTaught {
        /// The drill.
        drill: String = need "drill" as refers("drill"), eg "flush";
        /// Steps, criticals and measured values; whatever of the drill has that name.
        parts: Vec<String> = need "parts", eg "[air-off, foam-off]";
    }
}

record! {
    /// A heading of a lesson with all that is taught under it.
    Teaches {
        /// The lesson.
        lesson: String = need "lesson" as refers("lesson"), eg "clearing";
        /// The heading, as it stands in the lesson.
        heading: String = need "heading", eg "Air first, foam second";
        /// Objectives that it serves.
        objectives: Vec<String> = may "objectives" as refers("objective"), eg "[flush]";
        /// What of which drill.
        drills: Vec<PartsTaught> = may "drills";
        /// Limits that stand in every drill.
        limits: Vec<String> = may "limits" as NAME, eg "[hose-test]";
        /// Acts that are unsafe in every drill.
        acts: Vec<String> = may "acts" as refers("unsafe act"), eg "[coupling]";
        /// Slips, by their formula; all of it.
        slips: Vec<String> = may "slips" as refers("formula"), eg "[flush-time]";
        /// Questions that it answers.
        questions: Vec<String> = may "questions" as refers("question"), eg "[least-time]";
        /// Number of the heading in the module; nothing where the lesson has no such heading.
        number: String = carried "number", or "";
        /// Page and place in it.
        address: String = carried "address", or "";
    }
}

record! {
    /// Headings under which a part of a drill is taught.
    Reread {
        /// A step, critical or measured value by its name; a limit of every drill as `limit.NAME`, an unsafe act as `act.NAME`.
        part: String = need "part", eg "bottle";
        /// The headings as they are told.
        headings: Vec<String> = need "headings", eg "[6.4 The flush]";
    }
}

impl Teaches {
    /// The heading as it is told on paper: number and words.
    pub fn said(&self) -> String {
        format!("{} {}", self.number, self.heading)
    }

    /// Names of what it teaches of a drill.
    fn parts<'t>(&'t self, drill: &'t str) -> impl Iterator<Item = &'t String> {
        let own = self.drills.iter().filter(move |one| one.drill == drill);
        own.flat_map(|one| &one.parts)
    }

    /// Whether it teaches something of a drill.
    pub fn of_drill(&self, drill: &str, name: &str) -> bool {
        self.parts(drill).any(|one| one == name)
    }
}

/// All headings that teach, with an index made when something is first looked for: a county asks ten
/// thousand questions of thousands of headings.
#[derive(Clone, Default)]
pub struct Taught {
    all: Vec<Teaches>,
    index: OnceLock<Index>,
}

/// Places in the list of headings. One without a number is in none of them, because there is no such
/// heading, which is told where it is written.
#[derive(Debug, Clone, Default)]
struct Index {
    /// By the drill of which they teach something.
    drills: BTreeMap<String, BTreeSet<usize>>,
    /// Those that teach what stands in every drill.
    every: BTreeSet<usize>,
    /// By the question that they name.
    questions: BTreeMap<String, BTreeSet<usize>>,
    /// By the formula whose slips they explain.
    slips: BTreeMap<String, BTreeSet<usize>>,
}

impl Index {
    fn of(all: &[Teaches]) -> Self {
        let mut index = Self::default();
        let put = |map: &mut BTreeMap<String, BTreeSet<usize>>, name: &String, at| {
            map.entry(name.clone()).or_default().insert(at);
        };
        for (at, one) in all.iter().enumerate().filter(|(_, one)| !one.number.is_empty())
        {
            one.drills.iter().for_each(|of| put(&mut index.drills, &of.drill, at));
            one.questions.iter().for_each(|name| put(&mut index.questions, name, at));
            one.slips.iter().for_each(|formula| put(&mut index.slips, formula, at));
            if !one.limits.is_empty() || !one.acts.is_empty() {
                index.every.insert(at);
            }
        }
        index
    }
}

impl Taught {
    fn index(&self) -> &Index {
        self.index.get_or_init(|| Index::of(&self.all))
    }

    /// Headings that teach something of a drill, by its name.
    pub fn of_drill<'t>(
        &'t self,
        drill: &'t str,
        name: &'t str,
    ) -> impl Iterator<Item = &'t Teaches> {
        self.at(self.index().drills.get(drill))
            .filter(move |one| one.of_drill(drill, name))
    }

    fn at<'t>(
        &'t self,
        places: Option<&'t BTreeSet<usize>>,
    ) -> impl Iterator<Item = &'t Teaches> {
        places.into_iter().flatten().filter_map(|at| self.all.get(*at))
    }
}

impl fmt::Debug for Taught {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.all.fmt(f)
    }
}

impl From<Vec<Teaches>> for Taught {
    fn from(all: Vec<Teaches>) -> Self {
        Self { all, index: OnceLock::new() }
    }
}

impl Deref for Taught {
    type Target = Vec<Teaches>;

    fn deref(&self) -> &Vec<Teaches> {
        &self.all
    }
}

impl DerefMut for Taught {
    fn deref_mut(&mut self) -> &mut Vec<Teaches> {
        // What is changed is looked through anew.
        self.index = OnceLock::new();
        &mut self.all
    }
}

/// What of a drill and of every drill is taught under which headings.
pub fn reread(all: &Taught, drill: &str) -> Vec<Reread> {
    let mut found: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let index = all.index();
    let own = index.drills.get(drill).into_iter().flatten();
    // In their order, whichever of the two they are.
    let places: BTreeSet<usize> = index.every.iter().chain(own).copied().collect();
    for one in all.at(Some(&places)) {
        let own = one.parts(drill).cloned();
        let limits = one.limits.iter().map(|limit| format!("limit.{limit}"));
        let acts = one.acts.iter().map(|act| format!("act.{act}"));
        for part in own.chain(limits).chain(acts) {
            found.entry(part).or_default().push(one.said());
        }
    }
    found.into_iter().map(|(part, headings)| Reread { part, headings }).collect()
}

/// Headings that answer a question: those that name it. Where none does, those that explain the slips
/// of its formula; where it is named nothing has to be guessed.
pub fn answering<'t>(
    all: &'t Taught,
    question: &Question,
) -> impl Iterator<Item = &'t Teaches> {
    let index = all.index();
    let by_slip = || index.slips.get(question.kind.formula()?);
    all.at(index.questions.get(&question.id).or_else(by_slip))
}

/// Help of the paragraphs that teach.
pub(super) const BOOKS: &[Book] = &[PartsTaught::BOOK, Reread::BOOK, Teaches::BOOK];
