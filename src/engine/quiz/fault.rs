//! What can be wrong with a question, as data; whoever read the file knows the places.

use crate::formulas::{self, WorkFault};

/// Why a question, or some of its variants, cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum QuestionFault {
    /// A rig that is not in the module.
    NoRig(String),
    /// An outlet that the rig does not have.
    NoOutlet(String),
    /// A drill that is not in the module.
    NoDrill(String),
    /// A step that the drill does not have.
    NoStep(String),
    /// A draw without a single value: a range that ends before it starts, a step that is not
    /// above zero, an empty list, a rig without a foam line, units that do not fit together.
    EmptyDraw(String),
    /// A range of more steps than are ever drawn from.
    EndlessDraw(String),
    /// A condition that cannot be read: its index, and the fault with its place.
    BadCondition(usize, Box<formulas::Fault>),
    /// A given is bound to a name that neither the draws nor the rig have.
    NoSuchName {
        /// The given of the formula.
        given: String,
        /// The name.
        name: String,
    },
    /// A blank in the text that nothing fills.
    NoSuchBlank(String),
    /// The formula has no answer of that name.
    NoSuchAnswer(String),
    /// The answer cannot be shown in the unit or step that is asked for.
    WrongUnit(String),
    /// The formula has no answer for some drawn values: outside its range, negative, not known.
    Unworkable {
        /// Drawn values of the first such variant.
        drawn: String,
        /// Why.
        why: Box<WorkFault>,
        /// In how many of the variants looked at.
        count: usize,
    },
    /// No drawn values satisfy the conditions.
    NoDraw,
    /// Too few variants can be used.
    FewVariants {
        /// How many can.
        usable: usize,
        /// How many there must be.
        wanted: usize,
    },
    /// The tolerance takes a known wrong method for right.
    AcceptsSlip(Box<AcceptedSlip>),
    /// A slip whose answer is never told from the right one.
    NeverDistinct {
        /// The slip.
        slip: String,
        /// What it says.
        says: String,
    },
    /// Two slips that print the same value in every variant.
    SlipsCollide(String, String),
    /// More choices are asked for than the formula has slips for.
    FewSlips {
        /// Wrong choices wanted.
        wanted: usize,
        /// Slips there are.
        has: usize,
    },
    /// A judgement needs exactly one right answer, and has this many.
    RightAnswers(usize),
    /// Fewer answers to choose from than two.
    FewOptions(usize),
    /// No rule of the drill says anything about the order of these steps.
    NoOrder,
    /// A figure of a set without calculator that is not round.
    NotRound {
        /// The figure.
        found: String,
        /// Drawn values of the first such variant.
        drawn: String,
        /// In how many of the variants looked at.
        count: usize,
    },
    /// A formula without two verdicts to choose from.
    FewVerdicts(usize),
}

/// A wrong method that a tolerance takes for right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AcceptedSlip {
    /// The slip.
    pub slip: String,
    /// What it says.
    pub says: String,
    /// Drawn values of the first such variant.
    pub drawn: String,
    /// The right answer there.
    pub right: String,
    /// What the slip gives there.
    pub wrong: String,
    /// In how many of the variants looked at.
    pub count: usize,
}

/// Why one draw makes no variant. Counted by the proof; another draw is taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unusable {
    /// A condition does not hold.
    Condition,
    /// The formula has no answer.
    Unworkable(Box<WorkFault>),
    /// The tolerance would accept these slips, by id.
    AcceptsSlip(Vec<String>),
    /// Fewer distinct wrong choices are left than are wanted.
    FewChoices(usize),
    /// The answer is zero or has no printable value.
    NoAnswer,
    /// None or several verdicts hold.
    Verdicts(usize),
    /// The question itself is at fault.
    Question(Box<QuestionFault>),
}
