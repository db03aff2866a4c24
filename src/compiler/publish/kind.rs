//! The kinds of pages.

use super::frame::Side;

/// The kinds of pages.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PageKind {
    /// Index of the crew's folder.
    CrewIndex,
    /// Index of the officers' folder.
    StaffIndex,
    /// A lesson.
    Lesson(String),
    /// A lesson with its practice as one file.
    Send(String),
    /// A drill card.
    DrillCard(String),
    /// A rig card.
    RigCard(String),
    /// Concentrates.
    Concentrates,
    /// Figures on which publishers differ.
    Figures,
    /// Every source in full, with what rests on it.
    Sources,
    /// A family of formulas.
    Family(String),
    /// Terms.
    Glossary,
    /// All cautions.
    Cautions,
    /// Every field of the module's files.
    Fields,
    /// The leaf of whoever teaches a lesson.
    Leaf(String),
    /// The guide of whoever evaluates.
    Guide,
    /// A narrated run, to be read aloud and marked.
    Narrated(String),
    /// The sheet to mark it on.
    NarratedSheet(String),
    /// Its key.
    NarratedKey(String),
    /// What is taught where, and what is not.
    Coverage,
    /// Search over the crew's pages.
    Search,
    /// The walk of a drill in the page.
    Walk(String),
    /// Practice in the page, for a set.
    Practise(String),
    /// A practice sheet: set and number.
    Practice(String, u32),
    /// A graded paper.
    GradedPaper(String),
    /// Its key.
    Key(String),
    /// A blank sign-off sheet: drill and rig.
    Blank(String, String),
    /// A blank sheet of a chain: chain and rig.
    Chain(String, String),
    /// A blank sheet with names on it, by its place on the roster.
    Due(usize),
    /// The live sheet of a drill.
    Live(String),
    /// The live sheet of a chain.
    LiveChain(String),
    /// The filled sheet of a run.
    Run(String),
}

/// A page to be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PagePlan {
    /// Path in the site.
    pub path: String,
    /// What it is.
    pub kind: PageKind,
}

impl PagePlan {
    /// The folder it lies in.
    pub(super) fn side(&self) -> Side {
        match self.path.split_once('/') {
            Some(("keys", _)) => Side::Keys,
            Some(("staff", _)) => Side::Staff,
            _ => Side::Crew,
        }
    }
}

pub(super) fn crew(name: &str, kind: PageKind) -> PagePlan {
    PagePlan { path: format!("crew/{name}.html"), kind }
}

pub(super) fn staff(name: &str, kind: PageKind) -> PagePlan {
    PagePlan { path: format!("staff/{name}.html"), kind }
}

/// Papers and their keys lie apart from all else, so that whoever publishes the officers' pages
/// publishes no key with them.
pub(super) fn keys(name: &str, kind: PageKind) -> PagePlan {
    PagePlan { path: format!("keys/{name}.html"), kind }
}
