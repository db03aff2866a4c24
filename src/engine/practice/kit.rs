//! What a page carries: everything that its questions or its drill can reach.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::course::{
    Course, Draw, Drill, Objective, Question, QuestionKind, QuestionSet, Rig, answering,
};
use crate::formulas::{Library, Reach};
use crate::quantity::{Comma, System};
use crate::quiz;
use crate::scoring;
use crate::words::Words;

/// Version of the kit's form. An engine refuses a kit of another form.
pub const FORMAT: u32 = 1;

/// Sections of the words file that practice speaks with.
const WORDS: &[&str] = &[
    "quiz.clock-as-decimal",
    "quiz.point-moved",
    "quiz.basis.",
    "quiz.reversed",
    "quiz.typed.",
    "formula.",
    "board.",
    "unit.",
    "aloud.",
    "practice.",
    "page.status.",
    "page.comes-before",
    "page.line",
    "page.working",
    "page.holds-for",
    "page.source-is",
    "page.constant-used",
];

/// The kit of a page, as canonical JSON in it: for practice, or for a live run.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct PageKit {
    /// See [`FORMAT`].
    pub format: u32,
    /// For practice.
    pub practice: Option<PracticeKit>,
    /// For a live run: what it is scored with.
    pub run: Option<scoring::KitData>,
}

/// Everything that practice with a set of questions can reach. No place in a file, no seed
/// of a graded paper, no person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PracticeKit {
    /// Version of the drawing rules.
    pub rules: String,
    /// Id of the module: what a recruit has practised is kept under it.
    pub module: String,
    /// Id of the question set.
    pub set: String,
    /// Its title.
    pub title: String,
    /// Whether a calculator is allowed.
    pub calculator: bool,
    /// Units of the module.
    pub system: System,
    /// What a comma before three digits means in typed answers.
    #[serde(default, skip_serializing_if = "Comma::is_unfixed")]
    pub comma: Comma,
    /// Formulas, tables and constants with their sources.
    pub reach: Reach,
    /// Short forms of those sources, by id.
    pub sources: BTreeMap<String, String>,
    /// Rigs whose figures are used.
    pub rigs: BTreeMap<String, Rig>,
    /// Drills whose steps are put in order.
    pub drills: Vec<Drill>,
    /// The questions, in the author's order.
    pub questions: Vec<Question>,
    /// The objectives they serve.
    pub objectives: BTreeMap<String, Objective>,
    /// Headings of lessons that answer each question: as they are told, and their address; none where
    /// the lessons lie elsewhere.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub reread: BTreeMap<String, Vec<(String, String)>>,
    /// The sentences.
    pub words: Words,
}

impl PracticeKit {
    /// The same for a file that travels without the lessons' pages: headings are told, and lead nowhere.
    #[must_use]
    pub fn alone(mut self) -> Self {
        for (_, address) in self.reread.values_mut().flatten() {
            address.clear();
        }
        self
    }

    /// The kit of one set of a course.
    pub fn of(course: &Course, set: &QuestionSet, words: &Words) -> Self {
        let formulas = set.questions.iter().filter_map(|one| one.kind.formula());
        // No more than the questions reach: a page may be
        // fetched over a weak phone signal.
        let mut reach = course.library.reach(formulas);
        reach_conditions(&mut reach, course, set);
        let rigs = set.questions.iter().flat_map(rigs);
        let drills: BTreeSet<&str> = set.questions.iter().filter_map(drill).collect();
        let objective = |question: &Question| {
            let found = course.objectives.get(&question.objective)?;
            Some((question.objective.clone(), found.clone()))
        };
        let named = sources(&reach);
        Self {
            rules: quiz::DRAW_VERSION.to_owned(),
            module: course.module.id.clone(),
            set: set.id.clone(),
            title: set.title.clone(),
            calculator: set.calculator,
            system: course.module.units,
            comma: course.module.comma,
            sources: named
                .into_iter()
                .filter_map(|id| Some((id.to_owned(), course.sources.get(id)?.clone())))
                .collect(),
            reach: reach.clone(),
            rigs: rigs
                .filter_map(|id| Some((id.to_owned(), unsigned(course.rigs.get(id)?))))
                .collect(),
            drills: course
                .drills
                .iter()
                // Only drills that a question puts in order: a page for the crew carries
                // no key of another.
                .filter(|known| drills.contains(known.id.as_str()))
                .map(|drill| steps_only(drill, set))
                .collect(),
            reread: again(course, set),
            questions: set.questions.clone(),
            objectives: set.questions.iter().filter_map(objective).collect(),
            words: words.under(WORDS),
        }
    }
}

/// What answers the questions of a set.
fn again(course: &Course, set: &QuestionSet) -> BTreeMap<String, Vec<(String, String)>> {
    let of = |question: &Question| {
        let own = answering(&course.teaches, question);
        let own = own.map(|one| (one.said(), one.address.clone()));
        (question.id.clone(), own.collect::<Vec<_>>())
    };
    set.questions.iter().map(of).filter(|(_, found)| !found.is_empty()).collect()
}

/// A drill with the steps that the questions put in order, and what says their order.
fn steps_only(drill: &Drill, set: &QuestionSet) -> Drill {
    let asked: BTreeSet<&String> = set
        .questions
        .iter()
        .filter_map(|question| match &question.kind {
            QuestionKind::Order { drill: id, steps } if *id == drill.id => Some(steps),
            _ => None,
        })
        .flatten()
        .collect();
    let steps = drill.steps.iter().filter(|step| asked.contains(&step.id));
    Drill {
        steps: steps.cloned().collect(),
        // Those of the criticals too, which a crew's page does without.
        order: drill.orders(),
        given: Vec::new(),
        roles: Vec::new(),
        objectives: Vec::new(),
        cautions: Vec::new(),
        local: Vec::new(),
        criticals: Vec::new(),
        cues: Vec::new(),
        readings: Vec::new(),
        measures: Vec::new(),
        ..drill.clone()
    }
}

/// Constants that only a condition names.
fn reach_conditions(reach: &mut Reach, course: &Course, set: &QuestionSet) {
    let texts = set.questions.iter().flat_map(|question| &question.conditions);
    let words = texts
        .flat_map(|text| text.split(|c: char| !(c.is_ascii_alphanumeric() || c == '-')));
    let named: BTreeSet<&str> = words.collect();
    let missing = course.library.constants().iter().filter(|constant| {
        named.contains(constant.id.as_str())
            && !reach.constants.iter().any(|known| known.id == constant.id)
    });
    let missing: Vec<_> = missing.cloned().collect();
    reach.constants.extend(missing);
    // By their names, whichever question reaches them first: a kit is hashed.
    reach.constants.sort_by(|a, b| a.id.cmp(&b.id));
}

/// A rig without whoever checked it, or read and permitted what it holds.
fn unsigned(rig: &Rig) -> Rig {
    // Who checked a card is a person, and people stand on officers' pages alone.
    Rig { checked: None, agents: Vec::new(), ..rig.clone() }
}

fn sources(reach: &Reach) -> BTreeSet<&str> {
    let formulas = reach.formulas.iter().flat_map(|formula| &formula.sources);
    let constants = reach.constants.iter().map(|constant| &constant.source);
    formulas.chain(constants).map(|source| source.source.as_str()).collect()
}

fn rigs(question: &Question) -> impl Iterator<Item = &str> {
    let drawn = question.draws.iter().filter_map(|(_, draw)| match draw {
        Draw::FoamLineOf(id) => Some(id.as_str()),
        _ => None,
    });
    question.rig.as_deref().into_iter().chain(drawn)
}

fn drill(question: &Question) -> Option<&str> {
    match &question.kind {
        QuestionKind::Order { drill, .. } => Some(drill),
        _ => None,
    }
}

/// A practice kit with its formulas checked, ready to be asked.
#[derive(Debug, Clone)]
pub struct Opened {
    data: PracticeKit,
    library: Library,
    revision: String,
}

impl Opened {
    /// Checks the formulas of a kit of that revision: of the kit as it was written, so that no
    /// page writes it once more to know.
    pub fn new(data: PracticeKit, revision: String) -> Self {
        // A formula that has a fault is left out; the question that needs it then says so.
        let library = data.reach.library(&data.words);
        Self { data, library, revision }
    }

    /// Everything it holds.
    pub const fn data(&self) -> &PracticeKit {
        &self.data
    }

    /// 64 hexadecimal digits over the whole kit.
    pub fn revision(&self) -> &str {
        &self.revision
    }

    /// The formulas.
    pub const fn library(&self) -> &Library {
        &self.library
    }

    /// The sentences.
    pub const fn words(&self) -> &Words {
        &self.data.words
    }

    /// What the questions are drawn from.
    pub const fn quiz(&self) -> quiz::Kit<'_> {
        quiz::Kit {
            library: &self.library,
            rigs: &self.data.rigs,
            drills: self.data.drills.as_slice(),
            system: self.data.system,
            words: &self.data.words,
        }
    }

    /// How a comma in a typed answer is read.
    pub const fn comma(&self) -> Comma {
        self.data.comma
    }

    /// The question of that id.
    pub fn question(&self, id: &str) -> Option<&Question> {
        self.data.questions.iter().find(|question| question.id == id)
    }
}
