//! Which paragraph teaches what. It stands on the lessons' side, in a file of its own, because the
//! letters of a drill must not change when a lesson is written or moved.

use std::collections::BTreeMap;

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

    /// Whether it answers a question, by its name or by the formula whose slips it explains.
    pub fn answers(&self, question: &Question) -> bool {
        let formula = question.kind.formula();
        self.questions.contains(&question.id)
            || formula
                .is_some_and(|formula| self.slips.iter().any(|slip| slip == formula))
    }
}

/// What of a drill and of every drill is taught under which headings.
pub fn reread(all: &[Teaches], drill: &str) -> Vec<Reread> {
    let mut found: BTreeMap<String, Vec<String>> = BTreeMap::new();
    // Without a number there is no such heading, which is told where it is written.
    for one in all.iter().filter(|one| !one.number.is_empty()) {
        let own = one.parts(drill).cloned();
        let limits = one.limits.iter().map(|limit| format!("limit.{limit}"));
        let acts = one.acts.iter().map(|act| format!("act.{act}"));
        for part in own.chain(limits).chain(acts) {
            found.entry(part).or_default().push(one.said());
        }
    }
    found.into_iter().map(|(part, headings)| Reread { part, headings }).collect()
}

/// Headings that answer a question, those that name it first: what is about it alone is read before
/// what is about its formula.
pub fn answering<'t>(
    all: &'t [Teaches],
    question: &'t Question,
) -> impl Iterator<Item = &'t Teaches> {
    let numbered = || all.iter().filter(|one| !one.number.is_empty());
    let named = |one: &&Teaches| one.questions.contains(&question.id);
    let by_slip = move |one: &&Teaches| !named(one) && one.answers(question);
    // Where a question is named nothing has to be guessed from its formula.
    let any = numbered().any(|one| named(&one));
    numbered().filter(named).chain(numbered().filter(move |one| !any && by_slip(one)))
}

/// Help of the paragraphs that teach.
pub(super) const BOOKS: &[Book] = &[PartsTaught::BOOK, Reread::BOOK, Teaches::BOOK];
