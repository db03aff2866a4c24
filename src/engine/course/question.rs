//! Questions with drawn numbers.

use super::concentrate::FoamClass;
use super::draw::Draw;
use super::marking::{Feed, Tolerance};
use super::unit::PercentBasis;
use crate::quantity::Quantity;
use crate::wire::Book;
use crate::{cases, record, words};

record! {
    /// What is asked for.
    Ask {
        /// The formula and where its givens come from.
        feed: Feed = flat;
        /// Unit of the answer; left out, the formula's own.
        unit: Option<String> = may "unit" as UNIT, eg "gpm";
        /// Step to which the answer is rounded; left out, the formula's own.
        step: Option<Quantity> = may "step", eg "0.01 gpm";
    }
}

record! {
    /// An answer in words.
    OptionText {
        /// The answer.
        says: String = need "says", eg "Call for foam now.";
        /// Whether it is right; exactly one is.
        right: bool = may "right", or "no", eg "yes";
        /// Why it is right, or which slip it is.
        because: String = need "because", eg "The tank lasts four minutes more.";
    }
}

cases! {
    /// The kind of a question.
    QuestionKind by "kind" {
        /// A number with its unit is written.
        "number" Number {
            /// What is asked.
            ask: Ask = need "ask";
            /// Accepted deviation.
            tolerance: Tolerance = need "tolerance";
        },
        /// One of several values; the wrong ones are the formula's slips.
        "choice" Choice {
            /// What is asked.
            ask: Ask = need "ask";
            /// How many values are offered.
            choices: usize = need "choices", eg "4";
        },
        /// One of several sentences. What is asked is then worked on the key.
        "judge" Judge {
            /// Worked on the key, and its drawn values are in the text.
            ask: Option<Ask> = may "ask";
            /// The sentences.
            options: Vec<OptionText> = need "options";
        },
        /// Which verdict of the formula holds for these values.
        "verdict" Verdict {
            /// The formula.
            ask: Ask = need "ask";
        },
        /// Put steps of a drill in order; any order its rules allow is right.
        "order" Order {
            /// The drill.
            drill: String = need "drill" as refers("drill"), eg "flush";
            /// Steps, in the order of the drill; shuffled on the paper.
            steps: Vec<String> = need "steps" as refers("step"), eg "[air-off, foam-off]";
        },
    }
}

record! {
    /// One question.
    Question {
        /// Short name, unique in the module.
        id: String = need "question" as own("question"), eg "half-percent";
        /// Topic, for balance between papers: the formula family or a word of your own.
        topic: String = need "topic", eg "proportioning";
        /// Objective it serves.
        objective: String = need "objective" as refers("objective"), eg "flush";
        /// The text; a name in braces is a drawn value with its unit, or a line's title.
        text: String = need "text", eg "How much concentrate goes in each minute?";
        /// Rig whose figures it uses, if any.
        rig: Option<String> = may "rig" as refers("rig"), eg "engine-7";
        /// Outlet of that rig, when it is not drawn.
        outlet: Option<String> = may "outlet" as refers("outlet"), eg "crosslay-1";
        /// The foam whose tank and percents it takes, where the rig has more than one.
        class: Option<FoamClass> = may "class", eg "B";
        /// What a percent in it is a percent of, where no rig says so. It is printed behind the text; left out, it is that of the formula.
        basis: Option<PercentBasis> = may "basis", eg "solution";
        /// Drawn values by name, in your order.
        draws: Vec<(String, Draw)> = may "draw", eg "{percent: {of: [0.5 %, 1 %]}}";
        /// Conditions between drawn values, in the formula language.
        conditions: Vec<String> = may "where", eg "[first > second]";
        /// Marks on a paper, 1 to 3.
        marks: u32 = need "marks", eg "1";
        /// A sentence for the key.
        remark: Option<String> = may "remark", eg "Concentrate is always a small part of the flow.";
        /// Its kind with what that needs.
        kind: QuestionKind = flat;
    }
}

words! {
    /// A kind of questions, by its name.
    KindName {
        /// A number with its unit is written.
        "number" Number,
        /// One of several values.
        "choice" Choice,
        /// One of several sentences.
        "judge" Judge,
        /// Which verdict holds.
        "verdict" Verdict,
        /// Steps put in order.
        "order" Order,
    }
}

record! {
    /// So many questions of a topic, and if you like of a kind, on every graded paper.
    Share {
        /// The topic.
        topic: String = need "topic", eg "order";
        /// The kind; left out, any.
        kind: Option<KindName> = may "kind", eg "order";
        /// How many.
        questions: usize = need "questions", eg "2";
    }
}

record! {
    /// Questions that are printed together.
    QuestionSet {
        /// Short name; the file has it too.
        id: String = need "set" as own("set"), eg "ten-to-know";
        /// Name as it is printed.
        title: String = need "title", eg "Ten to know";
        /// A paragraph for the head of the paper.
        about: String = need "about", eg "What a pump operator is asked for at every foam job.";
        /// Whether a calculator is allowed.
        calculator: bool = need "calculator", eg "yes";
        /// Cautions of its task: one at least, three at most, because more are not read.
        cautions: Vec<String> = need "cautions" as refers("caution"),
            least 1 NoCautions, most 3 TooManyCautions, eg "[run-out]";
        /// Questions on one graded paper; left out, all of them.
        graded: Option<usize> = may "graded", eg "8";
        /// How many of which topic and kind each graded paper has, in place of their number: papers are then alike in both.
        blueprint: Vec<Share> = may "blueprint", eg "[{topic: order, questions: 2}]";
        /// Questions.
        questions: Vec<Question> = need "questions";
    }
}

/// Help of questions, but for what is drawn.
pub(super) const BOOKS: &[Book] = &[
    Ask::BOOK,
    OptionText::BOOK,
    Question::BOOK,
    KindName::BOOK,
    Share::BOOK,
    QuestionSet::BOOK,
];

impl QuestionKind {
    /// The formula that is worked for it.
    pub fn formula(&self) -> Option<&str> {
        let ask = match self {
            Self::Number { ask, .. }
            | Self::Choice { ask, .. }
            | Self::Verdict { ask } => Some(ask),
            Self::Judge { ask, .. } => ask.as_ref(),
            Self::Order { .. } => None,
        };
        ask.map(|ask| ask.feed.formula.as_str())
    }

    /// Its name.
    pub const fn name(&self) -> KindName {
        match self {
            Self::Number { .. } => KindName::Number,
            Self::Choice { .. } => KindName::Choice,
            Self::Judge { .. } => KindName::Judge,
            Self::Verdict { .. } => KindName::Verdict,
            Self::Order { .. } => KindName::Order,
        }
    }
}

impl Share {
    /// Whether a question counts to it.
    pub fn takes(&self, question: &Question) -> bool {
        let kind = self.kind.is_none_or(|kind| kind == question.kind.name());
        kind && self.topic == question.topic
    }
}

impl QuestionSet {
    /// How many questions a graded paper has.
    pub fn on_a_paper(&self) -> usize {
        let all = self.questions.len();
        if self.blueprint.is_empty() {
            return self.graded.unwrap_or(all).min(all);
        }
        self.blueprint.iter().map(|share| share.questions).sum::<usize>().min(all)
    }
}
