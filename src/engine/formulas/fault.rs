//! What can be wrong with a formula, as data. The place is a part of the formula and bytes
//! within it; whoever read the file knows where that part stands.

/// A part of a formula that has a text of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// The formula as a whole.
    Whole,
    /// Given of that index.
    Given(usize),
    /// Work line of that index.
    Work(usize),
    /// Metric work line of that index.
    WorkSi(usize),
    /// Answer of that index.
    Answer(usize),
    /// Condition of the verdict of that index.
    Verdict(usize),
    /// Figure in the sentence of the verdict of that index.
    Figure(usize),
    /// Condition under which the answer of that index has no figure.
    Endless(usize),
    /// Limits of the answer of that index.
    Sense(usize),
    /// Line within a slip.
    Slip(usize, usize),
    /// Metric line within a slip.
    SlipSi(usize, usize),
    /// Anything outside a formula: a question's condition.
    Outside,
}

/// What is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FaultKind {
    /// Line longer than 400 bytes.
    TooLong,
    /// Nested deeper than 32, or calls deeper than 4.
    TooDeep,
    /// Digits that are no number.
    BadNumber,
    /// A character the language does not have.
    StrayCharacter(char),
    /// Something else was expected here.
    Expected(&'static str),
    /// `name = value` is wanted.
    NoName,
    /// Mixed `and` and `or` without parentheses.
    MixedAndOr,
    /// A unit that does not exist, with the nearest.
    UnknownUnit(String, Option<String>),
    /// A name that does not exist, with the nearest.
    UnknownName(String, Option<String>),
    /// A list, table or formula that does not exist, with the nearest.
    UnknownCall(String, Option<String>),
    /// Sides that cannot be added or compared.
    Unlike(String, String),
    /// A percent beside a bare number.
    ShareWithPlain,
    /// A power that the dimension does not allow.
    BadPower(String),
    /// A function that takes only bare numbers got a quantity of that dimension.
    DependsOnUnit(String),
    /// The unit does not measure that dimension.
    WrongUnit(String, String),
    /// A root of something that is no square.
    NoRoot(String),
    /// A step of another dimension, or not above zero.
    BadStep,
    /// A condition where a number is wanted, or the other way round.
    NotANumber,
    /// A number where a condition is wanted.
    NotACondition,
    /// A choice without that word.
    UnknownWord(String, String),
    /// A temperature reading used as a step.
    Reading,
    /// 100 or 1/100 beside a percent.
    HundredTwice,
    /// A given of the called formula is missing.
    MissingGiven(String),
    /// Too many or too few things between the parentheses.
    WrongCount(String),
    /// Formulas that call each other in a circle.
    Circle(String),
    /// The same name twice.
    TwiceNamed(String),
    /// An answer, a slip or a verdict names a line that is not there.
    NoLine(String),
    /// Shown in a unit that does not measure the line.
    ShownWrong(String, String),
    /// Shown in steps that are not above zero.
    NoStep(String),
    /// A given whose least value is above its largest, or a choice without a word.
    NoRange(String),
    /// A constant, a table or a formula of the other system's modules alone.
    OtherSystem(String),
    /// Fewer than one source.
    NoSource,
}

/// A fault of a formula.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// The formula.
    pub formula: String,
    /// Its part.
    pub part: Part,
    /// First byte within the part's text.
    pub start: usize,
    /// One past the last byte; equal to `start` for the whole part.
    pub end: usize,
    /// What is wrong.
    pub kind: FaultKind,
}
