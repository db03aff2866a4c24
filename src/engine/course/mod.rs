//! The checked module as plain data: what a training officer wrote, after every reference
//! has been followed and every quantity read.
//!
//! This room knows neither YAML nor places in a file; `authoring` builds it, `quiz`,
//! `scoring` and `publish` use it. Everything here serialises, because a page's kit and a
//! revision hash are made of it; decimals are strings ("0.5 %").
//!
//! Ids are plain strings of small letters, digits and hyphens. Lists keep the author's
//! order; maps are in the order of their keys.

mod basis;
mod card;
mod caution;
mod cited;
mod concentrate;
mod condition;
mod draw;
mod drawn;
mod drill;
mod family;
mod feed;
mod figures;
mod habits;
mod kept;
mod leaf;
mod lesson;
mod line;
mod look;
mod marking;
mod meant;
mod mode;
mod module;
mod naming;
mod named;
mod narrated;
mod question;
mod remediation;
mod repeats;
mod rig;
mod roster;
mod run;
mod spelled;
mod state;
mod teaches;
mod unit;

pub use basis::{Asked, Reckoning, formula_for};
pub use card::{CARD_NAMES, CardFor, CardLine, Cards};
pub use caution::{Caution, Signal, UnsafeAct, by_gravity};
pub use cited::{Cited, CitedBy};
pub use concentrate::{
    Allowed, Concentrate, Container, Evidence, Fluorine, FoamClass, Listing, NozzleWay,
    Permitted, SeenPaper,
};
pub use condition::{Condition, NEEDS, has};
pub use draw::{Draw, Drawn, Listed, Pool, Spread};
pub use drawn::{DayTable, DrawnOutlet, DrawnPlan, Levels, RefusedOrder};
pub use drill::{
    AgentUse, Chain, Does, Drill, ForRigs, Physical, Radio, Role, Step, StopPlan,
};
pub use family::{Axis, Chart, Curve, Each, Family};
pub use feed::{Names, NoSuchName, bound, inputs};
pub use figures::{
    FIGURE_NAMES, Figures, WhichFoam, differing, differing_tanks, eductor_figures,
    figure_means, foam_outlets, is_open, rig_figures,
};
pub use kept::{Kept, Standard, Withdrawn};
pub use leaf::{Leaf, Misheard, Pace, Point};
pub use lesson::{
    Lesson, LessonDrawing, Objective, SelfCheck, Shows, Term, WorkedExample, picture_kind,
};
pub use line::{AirSettings, Eductor, ForAir, LineUse, Outlet, Pipe};
pub use look::{Accent, Face, Look};
pub use marking::{
    Attempts, Critical, Cue, Expect, Feed, How, Link, Meaning, Measure, OrderRule,
    Reading, TimeStandard, Tolerance, Whose,
};
pub use meant::{MINUTES_LEFT, left_feed};
pub use mode::Mode;
pub use module::{Decision, Head, LocalTopic, Module, Paper, PassMark, Topic};
pub use named::{NameIn, Named, names_in};
pub use naming::{drill_name, drill_number, rig_code};
pub use narrated::{Announced, Heard, Narrated};
pub use question::{Ask, OptionText, Question, QuestionKind, QuestionSet};
pub use remediation::{Remediation, Remedy};
pub use repeats::{Repeats, at_outlet, outlet_of};
pub use rig::{
    CardCheck, Compressor, FoamSide, MarkIn, NO_RIG, PumpPlate, Resolution, ReturnPath,
    Rig, Supply, Tank, TankHistory, TankToPump,
};
pub use roster::Due;
pub use run::{
    CriticalMark, CueMark, Evaluator, Granted, Mark, PairSeen, Person, RunFile, RunSheet,
    RunUse, Settled, Stop, StopCause, Void, VoidCause,
};
pub use spelled::{Bind, Carried, Edge, Holders, OrderSeen, TimeTaken, Watch};
pub use state::{Air, DrillState, Foam, Line, Pump, Totals};
pub use teaches::{PartsTaught, Reread, Taught, Teaches, answering, reread};
pub use unit::{
    Capacity, ClassRange, Meter, MeterCounts, PercentBasis, Proportioner,
    ProportionerKind, Rating,
};

use std::collections::BTreeMap;

use crate::formulas::BOOKS as FORMULAS;
use crate::formulas::{Constant, ConstantChoice, Formula, Source, Table};
use crate::wire::{Books, Kind, Wire};

/// A thing that has files of its own.
#[derive(Debug, Clone, Copy)]
pub struct Thing {
    /// Its name, in the singular.
    pub name: &'static str,
    /// Its files: one for each, or one for all of them.
    pub file: &'static str,
    /// Whether the file is a list of such things.
    pub list: bool,
    /// What it is.
    pub kind: Kind,
}

impl Thing {
    /// Whether a file of one such thing may hold a list of them as well: runs of a day.
    pub fn may_list(&self) -> bool {
        self.name == "run"
    }
}

/// Every thing that has files of its own, in reading order.
pub const THINGS: &[Thing] = &[
    Thing { name: "drill", file: "drills/ID.yaml", list: false, kind: Drill::KIND },
    Thing { name: "rig", file: "rigs/ID.yaml", list: false, kind: Rig::KIND },
    Thing {
        name: "concentrate",
        file: "concentrates/ID.yaml",
        list: false,
        kind: Concentrate::KIND,
    },
    Thing { name: "person", file: "people.yaml", list: true, kind: Person::KIND },
    Thing { name: "run", file: "runs/ID.yaml", list: false, kind: RunFile::KIND },
    Thing {
        name: "narrated run",
        file: "narrated/ID.yaml",
        list: false,
        kind: Narrated::KIND,
    },
    Thing { name: "due sheet", file: "roster.yaml", list: true, kind: Due::KIND },
    list("caution", "cautions.yaml", Caution::KIND),
    list("unsafe act", "trade/unsafe-acts.yaml", UnsafeAct::KIND),
    list("objective", "objectives.yaml", Objective::KIND),
    list("term", "terms.yaml", Term::KIND),
    list("instructor leaf", "leaves.yaml", Leaf::KIND),
    list("paragraph that teaches", "teaches.yaml", Teaches::KIND),
    list("formula", "formulas/FAMILY.yaml", Formula::KIND),
    Thing { name: "table", file: "tables/ID.yaml", list: false, kind: Table::KIND },
    list("constant", "trade/constants.yaml", Constant::KIND),
    list("choice of a constant", "constants.yaml", ConstantChoice::KIND),
    list("source", "sources.yaml", Source::KIND),
    list("family", "families.yaml", Family::KIND),
    Thing { name: "module", file: "module.yaml", list: false, kind: Head::KIND },
    list("local procedure", "local.yaml", LocalTopic::KIND),
    list("topic", "trade/topics.yaml", Topic::KIND),
    Thing {
        name: "question set",
        file: "questions/ID.yaml",
        list: false,
        kind: QuestionSet::KIND,
    },
    list("asked figure", "trade/bases.yaml", Asked::KIND),
    Thing { name: "look", file: "theme/look.yaml", list: false, kind: Look::KIND },
    Thing { name: "rig card", file: "trade/cards.yaml", list: false, kind: Cards::KIND },
];

const fn list(name: &'static str, file: &'static str, kind: Kind) -> Thing {
    Thing { name, file, list: true, kind }
}

/// The help of all their fields.
pub const BOOKS: Books = Books(&[
    drill::BOOKS,
    state::BOOKS,
    repeats::BOOKS,
    drawn::BOOKS,
    marking::BOOKS,
    Expect::BOOKS,
    Link::BOOKS,
    rig::BOOKS,
    unit::BOOKS,
    line::BOOKS,
    concentrate::BOOKS,
    run::BOOKS,
    roster::BOOKS,
    narrated::BOOKS,
    spelled::BOOKS,
    remediation::BOOKS,
    caution::BOOKS,
    lesson::BOOKS,
    Shows::BOOKS,
    teaches::BOOKS,
    leaf::BOOKS,
    family::BOOKS,
    module::BOOKS,
    Decision::BOOKS,
    habits::BOOKS,
    look::BOOKS,
    question::BOOKS,
    QuestionKind::BOOKS,
    draw::BOOKS,
    Pool::BOOKS,
    card::BOOKS,
    basis::BOOKS,
    kept::BOOKS,
    FORMULAS[0],
    FORMULAS[1],
    FORMULAS[2],
    FORMULAS[3],
    FORMULAS[4],
    FORMULAS[5],
    // All but those of what a revision reaches, which nobody writes by hand.
    FORMULAS[7],
    FORMULAS[8],
]);

/// One checked module.
#[derive(Debug, Clone)]
pub struct Course {
    /// The head of `module.yaml`.
    pub module: Module,
    /// The register of local procedures, in the order of the register.
    pub local: Vec<LocalTopic>,
    /// Cautions of the trade library and of the module.
    pub cautions: BTreeMap<String, Caution>,
    /// Acts that are unsafe in every drill.
    pub unsafe_acts: Vec<UnsafeAct>,
    /// Objectives by id.
    pub objectives: BTreeMap<String, Objective>,
    /// Words of the trade that a lesson explains, by id.
    pub terms: BTreeMap<String, Term>,
    /// Rigs by id.
    pub rigs: BTreeMap<String, Rig>,
    /// Concentrates by id.
    pub concentrates: BTreeMap<String, Concentrate>,
    /// What whoever evaluates reads before: CommonMark; none where the module has none.
    pub guide: Option<String>,
    /// Leaves of whoever teaches.
    pub leaves: Vec<Leaf>,
    /// Which paragraph teaches what.
    pub teaches: Taught,
    /// Lessons in the order of `module.yaml`.
    pub lessons: Vec<Lesson>,
    /// Drills in the order of `module.yaml`.
    pub drills: Vec<Drill>,
    /// Chains of drills on one sheet.
    pub chains: Vec<Chain>,
    /// Question sets in the order of `module.yaml`.
    pub sets: Vec<QuestionSet>,
    /// Formulas, tables and constants: the trade library with the module's own.
    pub library: crate::formulas::Library,
    /// Short forms of all sources of the list, by id.
    pub sources: BTreeMap<String, String>,
    /// The list of sources itself, in full: the trade's and the module's own.
    pub references: Vec<Source>,
    /// What names a source of the list beside formulas, tables and constants.
    pub cited: Vec<Cited>,
    /// Families of formulas in the order of their pages.
    pub families: Vec<Family>,
    /// What rig cards work out.
    pub cards: Cards,
    /// Which formula a rig's percent basis asks for.
    pub bases: Vec<Asked>,
    /// Demonstration run sheets that belong to the module (`runs/`).
    pub runs: Vec<RunSheet>,
    /// Runs that are told and never were (`narrated/`), in the order of `module.yaml`.
    pub narrated: Vec<Narrated>,
    /// Invented or real people named by those run sheets, by id; never shown to the crew.
    pub people: BTreeMap<String, Person>,
    /// Sheets to be printed with names (`roster.yaml`); never for the crew's pages.
    pub roster: Vec<Due>,
    /// Earlier revisions of drills and rigs (`revisions/`).
    pub kept: Kept,
    /// Its words and its look.
    pub face: Face,
    /// Printed with watermark and blanks, because the author asked for a draft.
    pub draft: bool,
}

impl Course {
    /// The drill of that id.
    pub fn drill(&self, id: &str) -> Option<&Drill> {
        self.drills.iter().find(|drill| drill.id == id)
    }

    /// The lesson of that id.
    pub fn lesson(&self, id: &str) -> Option<&Lesson> {
        self.lessons.iter().find(|lesson| lesson.id == id)
    }

    /// The local procedure on a topic.
    pub fn topic(&self, id: &str) -> Option<&LocalTopic> {
        self.local.iter().find(|topic| topic.id == id)
    }

    /// The narrated run of that id.
    pub fn narrated(&self, id: &str) -> Option<&Narrated> {
        self.narrated.iter().find(|one| one.id == id)
    }

    /// The narrated run that a sheet is a marking of: its run, drill, candidate and role. A sheet of
    /// somebody else under that name is a run like any other, or an act of his could be hidden by a name.
    pub fn narrated_of(&self, sheet: &RunSheet) -> Option<&Narrated> {
        self.narrated.iter().find(|one| {
            let key = &one.key;
            (&key.id, &key.drill) == (&sheet.id, &sheet.drill)
                && (&key.candidate, &key.role) == (&sheet.candidate, &sheet.role)
        })
    }
}
