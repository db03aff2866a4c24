//! The register of findings: one line each.

use super::Grade::{self, LookAgain, MustFix};

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
}
