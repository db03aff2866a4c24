//! The register of findings: one line each.

use super::grade::Grade::{self, LookAgain, MustFix, Note};

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
    HiddenSign "hidden-sign" MustFix "A sign that nobody sees and that steers a terminal or turns a text round.";
    MoreFindings "more-findings" Note "A file has more findings than are told.";
    TooMuch "too-much" MustFix "A file repeats, nests or holds more than is read.";
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
    CommaUnclear "comma-unclear" MustFix "A comma or a point that may set thousands apart or stand before a decimal.";
    NotANumber "not-a-number" MustFix "A quantity whose number cannot be read.";
    WrongDimension "wrong-dimension" MustFix "A flow where a length is wanted, or the like.";
    BadId "bad-id" MustFix "An id that is not small letters, digits and hyphens.";
    BadDate "bad-date" MustFix "A date that is not in the calendar.";
    Empty "empty" MustFix "A field that is there but says nothing.";
    // A department's own face.
    WordUnknown "word-unknown" MustFix "A sentence under a key that the program does not ask for.";
    WordEmpty "word-empty" MustFix "A sentence that says nothing in the place of one that does.";
    WordSafety "word-safety" MustFix "A sentence of safety that says next to nothing, or a signal word that is another's.";
    WordBlanks "word-blanks" MustFix "A sentence whose blanks are not those that are filled.";
    LookColor "look-color" MustFix "A color that is none.";
    LookPale "look-pale" MustFix "A color that cannot be read on the ground of the pages.";
    LogoUnsafe "logo-unsafe" MustFix "A logo that does more than draw, or is too large.";
    // Names.
    DuplicateId "duplicate-id" MustFix "Two things of one kind with one id.";
    UnknownId "unknown-id" MustFix "A reference to something that is not in the module.";
    IdNotFile "id-not-file" MustFix "A sheet whose id is not the name of its file.";
    // Rules of single sheets.
    NoCautions "no-cautions" MustFix "A drill, lesson or set without cautions.";
    TooManyCautions "too-many-cautions" MustFix "More than three cautions.";
    CriticalIncomplete "critical-incomplete" MustFix "A critical without role, act or reason.";
    FoamNotPermitted "foam-not-permitted" MustFix "A mode that discharges what is not permitted.";
    ContainersNotPermitted "containers-not-permitted" MustFix "A mode that discharges containers of which nobody says what they hold.";
    CriticalUnlinked "critical-unlinked" MustFix "A critical that nothing on the sheet can show.";
    TooManyCriticals "too-many-criticals" MustFix "More than five criticals.";
    WeightOutside "weight-outside" MustFix "A weight above 3.";
    TimeWithoutSource "time-without-source" MustFix "A time standard without a source.";
    // Formulas.
    BadFormula "bad-formula" MustFix "A line of a formula that cannot be computed.";
    ExampleFails "example-fails" MustFix "An example or a chart that the formula cannot work.";
    SourceUntraced "source-untraced" LookAgain "A source that nobody can look up, and that does not say so.";
    SourceUnlisted "source-unlisted" LookAgain "What reads like the name of a source and is none.";
    ConstantUncited "constant-uncited" LookAgain "A constant outside every cited value.";
    // Questions and their draws.
    EmptyDraw "empty-draw" MustFix "A draw without a single value.";
    EndlessDraw "endless-draw" MustFix "A range of more steps than are drawn from.";
    NoDraw "no-draw" MustFix "No drawn values satisfy the conditions.";
    AnswerUnit "answer-unit" MustFix "A unit or step the answer cannot be shown in.";
    AnswerOutside "answer-outside" MustFix "Drawn values that leave the formula's range.";
    TooFewVariants "too-few-variants" MustFix "Too few usable variants of a question.";
    ToleranceAdmitsSlip "tolerance-admits-slip" MustFix "A tolerance that takes a known mistake for right.";
    ChoicesCollide "choices-collide" LookAgain "Two mistakes that always print the same value.";
    SlipNeverDistinct "slip-never-distinct" LookAgain "A mistake that is never told from the right answer.";
    FewOptions "few-options" MustFix "Fewer than two answers to choose from.";
    FewVerdicts "few-verdicts" MustFix "A formula without two verdicts to choose from.";
    NotRound "not-round" MustFix "An odd figure in a set without calculator.";
    NoOrder "no-order" MustFix "Steps about whose order the drill says nothing.";
    // Rigs and concentrates.
    RigUnchecked "rig-unchecked" Note "A rig card that nobody compared with plate and manual.";
    UsableAboveNominal "usable-above-nominal" MustFix "More usable than the tank holds.";
    WrongClassTank "wrong-class-tank" MustFix "A concentrate of a class the unit is not set up for.";
    PercentOutsideRig "percent-outside-rig" MustFix "A preset outside the range of the unit.";
    PresetOffStep "preset-off-step" MustFix "A preset between two steps of the panel.";
    PercentOutsideLabel "percent-outside-label" MustFix "A preset the label does not allow.";
    FlowOverRating "flow-over-rating" LookAgain "A preset that takes more than the rating on a line.";
    HoseNearLimit "hose-near-limit" LookAgain "A pump pressure near the test of the hose.";
    HoseOverLimit "hose-over-limit" MustFix "A pump pressure above the test of the hose.";
    CoefficientUncited "coefficient-uncited" LookAgain "A friction coefficient outside every published one.";
    FigureNotStated "figure-not-stated" MustFix "A figure that a card must state, or say that there is none.";
    FigureOpen "figure-open" Note "A figure that nobody has looked up.";
    CautionSoftened "caution-softened" MustFix "A caution of the library under a milder signal word.";
    NozzleText "nozzle-text" LookAgain "A nozzle in words that differs from its figures.";
    FigureUnusual "figure-unusual" LookAgain "A figure far from what is usual.";
    FiguresContradict "figures-contradict" MustFix "Two figures of which one cannot be right.";
    WayOutTooLong "way-out-too-long" LookAgain "A tank that does not last the way out.";
    MarkLate "mark-late" LookAgain "A mark that leaves no time to withdraw.";
    CheckTooLong "check-too-long" LookAgain "A card whose check holds for more than a year.";
    HoseTestOld "hose-test-old" LookAgain "A hose whose service test was more than a year old.";
    HoseNotForAir "hose-not-for-air" LookAgain "Air on hose that is not marked for it.";
    AirAboveCompressor "air-above-compressor" LookAgain "Lines that take more air than there is.";
    EvidenceOld "evidence-old" LookAgain "Evidence that is older than what is in the tank.";
    FluorineByWord "fluorine-by-word" LookAgain "A label's word for evidence.";
    NoHolding "no-holding" MustFix "Class B foam for training without a holding.";
    // Drills.
    ShortTooLong "short-too-long" LookAgain "A short name that is not short.";
    NoRunoffPlan "no-runoff-plan" MustFix "Training foam without a plan for the water.";
    TimeOnSlowWork "time-on-slow-work" MustFix "A time standard on work that is never hurried.";
    RecirculatesFoam "recirculates-foam" MustFix "A way round that is fed after injection.";
    OrderCircle "order-circle" MustFix "Order rules that no run can keep.";
    ToleranceTooFine "tolerance-too-fine" MustFix "A deviation that the instrument cannot show.";
    ValueUnsaid "value-unsaid" LookAgain "A value that does not say what it is, and is taken for what it most likely is.";
    ReadingUnsaid "reading-unsaid" MustFix "A limit of every drill that no reading lets be held.";
    AirUntold "air-untold" LookAgain "A drill that works the air, and no step says so.";
    ScriptedWorks "scripted-works" LookAgain "A role marked as spoken that does more.";
    RoleUncritical "role-uncritical" LookAgain "A role with a result and no act that can fail it.";
    RepeatsApart "repeats-apart" MustFix "A value that does not repeat as its step does.";
    RepeatsAlone "repeats-alone" MustFix "A value that repeats where its step does not.";
    OutletOnce "outlet-once" LookAgain "A value by the outlet's figures, of the first outlet alone.";
    RepeatsBoth "repeats-both" MustFix "A value that repeats and is one for all outlets.";
    LinkUnshown "link-unshown" LookAgain "A critical of which no link can show anything.";
    LibrarySofter "library-softer" LookAgain "Less than the drill of the library that it was made from.";
    LimitNever "limit-never" LookAgain "A limit or an outcome that no value is beyond.";
    LimitWide "limit-wide" LookAgain "A band as wide as the value itself.";
    OrderBackwards "order-backwards" MustFix "An order against the drill's own steps.";
    NothingWeighs "nothing-weighs" MustFix "A role with a result and no step that counts.";
    StepUnshown "step-unshown" LookAgain "A step or a cue that only a walk-through shows.";
    NothingProduced "nothing-produced" LookAgain "A drill of which nothing has to be done.";
    OutcomeUncritical "outcome-uncritical" LookAgain "What a drill is about, and it fails nobody.";
    NoSecondReader "no-second-reader" LookAgain "A refill or a sum that nobody reads a second time.";
    LinksFree "links-free" LookAgain "A role whose criticals rest on a word alone.";
    LinkCannot "link-cannot" LookAgain "A critical's link that the drill says cannot be broken.";
    CriticalsElsewhere "criticals-elsewhere" LookAgain "A rig on which no critical of a role stands.";
    NeedsNowhere "needs-nowhere" Note "What needs a part that no rig of the drill has.";
    ExpectedConstant "expected-constant" LookAgain "A value held against the same figure on every day.";
    FewWeigh "few-weigh" LookAgain "Points that a few of many steps bring.";
    MetNever "met-never" LookAgain "A drill that can be met in no mode.";
    MetLater "met-later" Note "A drill that stands on plain water and has steps for foam.";
    SupplyUntold "supply-untold" LookAgain "A change to a supply, and no step shuts tank to pump.";
    MetByWords "met-by-words" MustFix "A walk-through that is to meet a drill.";
    MetUnseen "met-unseen" LookAgain "A drill that is to be met in a mode that cannot show it.";
    TriesMany "tries-many" LookAgain "More tries than a standard has.";
    SaysNothing "says-nothing" MustFix "A caution, an act or a reason of a word or two.";
    ActOfRig "act-of-rig" LookAgain "What is set or said, written as the rig's.";
    NoSheet "no-sheet" MustFix "Draws of a drill that make no numbered sheet on a rig.";
    EmptyTable "empty-table" MustFix "A table of a numbered sheet without a value.";
    ChainDoesNotFit "chain-does-not-fit" MustFix "A drill that cannot follow the one before it.";
    LessonsOnly "lessons-only" MustFix "A formula for lessons on a drill sheet.";
    // What formulas are fed with.
    UnknownAnswer "unknown-answer" MustFix "An answer that the formula does not have.";
    UnknownGiven "unknown-given" MustFix "A given that the formula does not have.";
    MissingGiven "missing-given" MustFix "A given of the formula without a value.";
    UnknownFigure "unknown-figure" MustFix "A figure that nothing of the module has.";
    OtherMeaning "other-meaning" MustFix "A figure of the same dimension that stands for something else.";
    RateNotListed "rate-not-listed" MustFix "A rate below what the product is listed for.";
    TimeNotListed "time-not-listed" MustFix "A time of application below every listing of a product without fluorine.";
    DrawOutsideFormula "draw-outside-formula" MustFix "A value for which the formula does not hold.";
    WhichFoam "which-foam" MustFix "A figure of one of two foams, and nobody says of which.";
    SecondWaterTank "second-water-tank" LookAgain "A water tank that is in no figure.";
    DrillOnNoRig "drill-on-no-rig" LookAgain "A drill that no rig of the module is one for.";
    WhichTank "which-tank" MustFix "A figure of one of several tanks of a foam, and nobody says of which.";
    ClassNotOnRig "class-not-on-rig" MustFix "A class of foam that the rig does not have.";
    OtherBasis "other-basis" MustFix "A formula of the basis that the rig does not have.";
    BasisUnsaid "basis-unsaid" LookAgain "A basis that nobody chose, in a module whose rigs have both.";
    BasisContradicts "basis-contradicts" MustFix "A question's basis that is not its formula's or its rig's.";
    BasisWithoutRig "basis-without-rig" MustFix "A formula that a rig chooses, and no rig.";
    // Questions.
    BadCondition "bad-condition" MustFix "A condition that cannot be computed.";
    UnknownBlank "unknown-blank" MustFix "A blank in a question's text that nothing fills.";
    UnusedDraw "unused-draw" LookAgain "A drawn value that nothing uses.";
    RightOptions "right-options" MustFix "No right answer, or more than one.";
    ChoicesCannotBeFilled "choices-cannot-be-filled" MustFix "More choices than the formula has slips.";
    GradedTooMany "graded-too-many" MustFix "More graded questions than the set has.";
    BlueprintCannotBeFilled "blueprint-cannot-be-filled" MustFix "A blueprint that wants more than the set has.";
    GradedNotBlueprint "graded-not-blueprint" MustFix "A number of questions that is not the blueprint's.";
    QuestionNeverDrawn "question-never-drawn" LookAgain "A question that stands on no graded paper.";
    // Lessons.
    BrokenLink "broken-link" MustFix "A link that leads nowhere.";
    OldFigure "old-figure" LookAgain "A number that a card had, and has no more.";
    BrokenPicture "broken-picture" MustFix "A picture that is not there.";
    PictureName "picture-name" MustFix "A picture whose folder, name or kind no page can show.";
    PictureWithoutWords "picture-without-words" MustFix "A picture without words for those who cannot see it.";
    EmptyLesson "empty-lesson" MustFix "A lesson without a text.";
    TaughtNowhere "taught-nowhere" LookAgain "Something of a drill that no lesson teaches.";
    AnsweredNowhere "answered-nowhere" LookAgain "A question that no paragraph answers.";
    // The module as a whole.
    LessonMinutes "lesson-minutes" LookAgain "Minutes of a lesson that what is in it does not take.";
    ModuleHours "module-hours" LookAgain "Hours of a module that what is in it does not take.";
    ObjectiveUnused "objective-unused" LookAgain "An objective that nothing teaches or assesses.";
    PassMarkWithoutSource "pass-mark-without-source" MustFix "A pass mark that is nobody's rule.";
    PassMarkLow "pass-mark-low" LookAgain "A pass mark that leaving out every second step passes.";
    TopicUnanswered "topic-unanswered" MustFix "A topic of the trade's list without an entry.";
    OtherUnits "other-units" MustFix "A figure or a question in the units of the other system.";
    UnitsSaid "units-said" LookAgain "A sentence in the units of the other system.";
    PressuresMixed "pressures-mixed" LookAgain "Pressures in kPa and in bar in one module.";
    // Run sheets.
    EvaluatorIsCandidate "evaluator-is-candidate" MustFix "A candidate who evaluates himself.";
    SafetyOfficerBusy "safety-officer-busy" MustFix "A safety officer with another office.";
    ValueNotShown "value-not-shown" MustFix "A value that the instrument cannot show.";
    EnteredBeforePerformed "entered-before-performed" MustFix "A run entered before it was performed.";
    FutureDate "future-date" MustFix "A run on a day that is still to come.";
    StopBeforeStart "stop-before-start" MustFix "A watch that stopped before it was started.";
    StepTwice "step-twice" MustFix "A step that stands twice in an order.";
    RunOpen "run-open" LookAgain "A run sheet that leaves open, or contradicts, what decides.";
    RunContradicts "run-contradicts" MustFix "A run sheet that contradicts itself or its drill.";
    OtherRevision "other-revision" MustFix "A run of a revision that nobody kept.";
    RevisionNotNamed "revision-not-named" LookAgain "A run that does not say what it was made for.";
    RevisionUndated "revision-undated" LookAgain "Other content than what is kept, of the same day.";
    OldMark "old-mark" MustFix "A mark of the older rules on a critical.";
    RevisionBroken "revision-broken" MustFix "A kept revision that is not what it says.";
    NamelessColumn "nameless-column" MustFix "A cell of a table under no name.";
    OpenQuotation "open-quotation" MustFix "A cell of a table whose quotation marks never close.";
    RoleUnnamed "role-unnamed" MustFix "A role of a drill that steps name otherwise.";
    // Narrated runs.
    RunNarrated "run-narrated" LookAgain "A sheet of a narrated run among the runs.";
    KeyPerson "key-person" MustFix "Somebody of the department in a narrated run.";
    KeyUnheard "key-unheard" MustFix "A mark of a key that no paragraph gives a reason for.";
    KeyAnnounced "key-announced" MustFix "A key that scoring makes something else of.";
    HeardUnmarked "heard-unmarked" LookAgain "A paragraph of a narration that no mark rests on.";
    HeardEarlier "heard-earlier" MustFix "A paragraph of a narration that is before the one above it.";
    // Sheets of answers.
    NoColumn "no-column" MustFix "A column that a sheet of answers must have.";
    ColumnTwice "column-twice" MustFix "Two columns of one name.";
    ColumnUnknown "column-unknown" LookAgain "A column that nothing reads.";
    RowLength "row-length" MustFix "A row with more or fewer cells than the first row.";
    NoPerson "no-person" MustFix "Answers of nobody.";
    UnknownForm "unknown-form" MustFix "A form code that no paper has.";
    PersonTwice "person-twice" MustFix "Two papers of one set for one person.";
    AnswerUnreadable "answer-unreadable" MustFix "An answer of two readings, one of them right.";
    AnswerNotOnPaper "answer-not-on-paper" LookAgain "A letter that is not on the paper.";
    // Answers about a module that is begun.
    AnswerUnfit "answer-unfit" MustFix "An answer of which no module can be made.";
}
