//! The register of findings: one line each.

use super::Grade::{self, LookAgain, MustFix, Note};

macro_rules! codes {
    ($($variant:ident $name:literal $grade:ident $doc:literal;)*) => {
        /// Which rule a finding comes from.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Code {
            $(#[doc = $doc] $variant,)*
        }

        /// Every code, in the order of the register.
        pub const ALL: &[Code] = &[$(Code::$variant,)*];

        impl Code {
            /// The name a person types after `why`.
            pub const fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)* }
            }

            /// How much it matters.
            pub const fn grade(self) -> Grade {
                match self { $(Self::$variant => $grade,)* }
            }
        }
    };
}

codes! {
    // The text of a file.
    NotUtf8 "not-utf8" MustFix "A file is not UTF-8 text.";
    FileTooLarge "file-too-large" MustFix "A file is larger than any lesson or drill should be.";
    LinkedFile "linked-file" LookAgain "A link in the module's folder, which is not followed.";
    NotYaml "not-yaml" MustFix "The YAML itself cannot be read.";
    UnreachableFile "unreachable-file" LookAgain "A file that no part of the module uses.";
    MissingFile "missing-file" MustFix "A file the module must have is not there.";
    // Fields and values.
    UnknownField "unknown-field" MustFix "A field that no sheet of this kind has.";
    BlankInDraft "blank-in-draft" LookAgain "A field left open in a draft, printed as a blank.";
    MissingField "missing-field" MustFix "A field that must be there is not.";
    DuplicateField "duplicate-field" MustFix "The same field twice.";
    WrongType "wrong-type" MustFix "A text where a list is wanted, or the like.";
    UnknownWord "unknown-word" MustFix "A value that is not among the allowed words.";
    UnknownUnit "unknown-unit" MustFix "A unit the tool does not know.";
    NoUnit "no-unit" MustFix "A quantity without its unit.";
    NotANumber "not-a-number" MustFix "A quantity whose number cannot be read.";
    WrongDimension "wrong-dimension" MustFix "A flow where a length is wanted, or the like.";
    BadId "bad-id" MustFix "An id that is not small letters, digits and hyphens.";
    BadDate "bad-date" MustFix "A date that is not in the calendar.";
    Empty "empty" MustFix "A field that is there but says nothing.";
    // Names.
    DuplicateId "duplicate-id" MustFix "Two things of one kind with one id.";
    UnknownId "unknown-id" MustFix "A reference to something that is not in the module.";
    IdNotFile "id-not-file" MustFix "A sheet whose id is not the name of its file.";
    // Rules of single sheets.
    NoCautions "no-cautions" MustFix "A drill, lesson or set without cautions.";
    TooManyCautions "too-many-cautions" MustFix "More than three cautions.";
    CriticalIncomplete "critical-incomplete" MustFix "A critical without role, act or reason.";
    TooManyCriticals "too-many-criticals" MustFix "More than five criticals.";
    WeightOutside "weight-outside" MustFix "A weight above 3.";
    TimeWithoutSource "time-without-source" MustFix "A time standard without a source.";
    // Formulas.
    BadFormula "bad-formula" MustFix "A line of a formula that cannot be computed.";
    ConstantUncited "constant-uncited" LookAgain "A constant outside every cited value.";
    // Questions and their draws.
    EmptyDraw "empty-draw" MustFix "A draw without a single value.";
    EndlessDraw "endless-draw" MustFix "A range of more steps than are drawn from.";
    NoDraw "no-draw" MustFix "No drawn values satisfy the conditions.";
    NoSuchBlank "no-such-blank" MustFix "A blank in a question's text that nothing fills.";
    AnswerUnit "answer-unit" MustFix "A unit or step the answer cannot be shown in.";
    AnswerOutside "answer-outside" MustFix "Drawn values that leave the formula's range.";
    TooFewVariants "too-few-variants" MustFix "Too few usable variants of a question.";
    ToleranceAdmitsSlip "tolerance-admits-slip" MustFix "A tolerance that takes a known mistake for right.";
    FewSlips "few-slips" MustFix "More choices than the formula has mistakes for.";
    ChoicesCollide "choices-collide" LookAgain "Two mistakes that always print the same value.";
    SlipNeverDistinct "slip-never-distinct" LookAgain "A mistake that is never told from the right answer.";
    RightAnswers "right-answers" MustFix "A judgement without exactly one right answer.";
    FewOptions "few-options" MustFix "Fewer than two answers to choose from.";
    FewVerdicts "few-verdicts" MustFix "A formula without two verdicts to choose from.";
    NoOrder "no-order" MustFix "Steps about whose order the drill says nothing.";
    // Rigs against themselves and their concentrates.
    PercentOutsideRig "percent-outside-rig" MustFix "A percent that the proportioner cannot give.";
    PercentOutsideLabel "percent-outside-label" MustFix "A percent that the label does not allow.";
    FlowOverRating "flow-over-rating" MustFix "A line that asks more than the proportioner delivers.";
    WrongClassTank "wrong-class-tank" MustFix "A concentrate of a class the proportioner is not set for.";
    RigUnchecked "rig-unchecked" Note "A rig card nobody has checked against plate and manual.";
    HoseNearLimit "hose-near-limit" LookAgain "Pump pressure near the service test of the hose.";
    HoseOverLimit "hose-over-limit" MustFix "Pump pressure above the service test of the hose.";
    UsableAboveNominal "usable-above-nominal" MustFix "More usable than the tank holds.";
    // Drills and chains.
    TimeOnSlowWork "time-on-slow-work" MustFix "A time standard on work that is never hurried.";
    OrderCircle "order-circle" MustFix "Order rules that no run can keep.";
    RecirculatesFoam "recirculates-foam" MustFix "Recirculation through a path after injection.";
    ChainDoesNotFit "chain-does-not-fit" MustFix "A drill that does not begin as the one before ends.";
    NoRunoffPlan "no-runoff-plan" MustFix "Foam on the ground without a plan for the runoff.";
    ToleranceTooFine "tolerance-too-fine" MustFix "A tolerance finer than the gauge shows.";
    // What formulas are fed with.
    UnknownFigure "unknown-figure" MustFix "A figure, reading or drawn value nobody gives.";
    UnknownGiven "unknown-given" MustFix "A given that the formula does not have.";
    MissingGiven "missing-given" MustFix "A given that the formula needs and nobody gives.";
    UnknownAnswer "unknown-answer" MustFix "An answer that the formula does not have.";
    // The module as a whole.
    ObjectiveUnused "objective-unused" LookAgain "An objective nobody teaches or assesses.";
    PassMarkWithoutSource "pass-mark-without-source" MustFix "A pass mark that is nobody's rule.";
    TopicUnanswered "topic-unanswered" MustFix "A topic of the trade list without an answer.";
    UnusedDraw "unused-draw" LookAgain "A drawn value that nothing uses.";
    GradedTooMany "graded-too-many" MustFix "More graded questions than the set has.";
    // The text of lessons.
    BrokenLink "broken-link" MustFix "A link that leads nowhere.";
    BrokenPicture "broken-picture" MustFix "A picture that is not there.";
    PictureWithoutWords "picture-without-words" MustFix "A picture without words for who cannot see it.";
    EmptyLesson "empty-lesson" MustFix "A lesson that teaches nothing.";
    // Run sheets.
    EvaluatorIsCandidate "evaluator-is-candidate" MustFix "A person who evaluates himself.";
    SafetyOfficerBusy "safety-officer-busy" MustFix "A safety officer with another task.";
    ValueNotShown "value-not-shown" MustFix "A value that the gauge cannot show.";
    CriticalNotApplicable "critical-not-applicable" MustFix "A critical set aside without its condition.";
    EnteredBeforePerformed "entered-before-performed" MustFix "A sheet entered before the run.";
}
