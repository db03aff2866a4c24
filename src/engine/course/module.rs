//! The head of a module and the register of local procedures.

use super::drill::Chain;
use super::leaf::Pace;
use super::lesson::Lesson;
use crate::quantity::{Comma, Quantity, System};
use crate::wire::Book;
use crate::{cases, record, words};

words! {
    /// The paper that sheets are laid out for.
    Paper {
        /// 8.5 by 11 inches.
        "letter" Letter,
        /// 210 by 297 millimetres.
        "a4" A4,
    }
}

record! {
    /// The share of points that meets a drill's standard, and whose rule that is.
    PassMark {
        /// A percent of the points that could be earned.
        value: Quantity = need "value" as PERCENT, eg "80 %";
        /// The local rule that sets it.
        // Read without it too, so that its absence is told as what it is:
        // a pass mark that is nobody's rule.
        source: String = may "source", or "", eg "order 3 of the training officer";
    }
}

record! {
    /// What a module says of itself.
    Module {
        /// Short name, used in file names and revision lines.
        id: String = need "module" as own("module"), eg "foam-basics";
        /// Title of the whole module.
        title: String = need "title", eg "Foam at the pump panel";
        /// The fire department it belongs to.
        department: String = need "department", eg "Example Fire District";
        /// What an invented module says about itself on every page.
        // No figure of a demonstration may be taken for one of a pumper.
        invented: Option<String> = may "invented", eg "INVENTED RIG - nothing here describes a real pumper";
        /// One paragraph for the index page.
        about: String = need "about", eg "How a pump operator brings a foam line up and clears it.";
        /// Who it is for.
        audience: String = need "audience", eg "Pump operators in their first year";
        /// Time it takes, in hours.
        hours: Quantity = need "hours" as HOURS, eg "6 h";
        /// How long teaching takes; where it is stated, minutes and hours are held against what is reckoned.
        pace: Option<Pace> = may "pace", since 2;
        /// What a learner must bring.
        prerequisites: Vec<String> = may "prerequisites", eg "[pump operation with plain water]";
        /// Units shown.
        units: System = need "units", eg "us";
        /// Paper printed on.
        paper: Paper = need "paper", eg "letter";
        /// What a comma before three digits means in typed answers; left out, 1,234 is refused. Where it
        /// is the decimal sign, every figure is printed with it.
        // No guess where it is left out: read the wrong way such a
        // figure is wrong by a thousand.
        comma: Comma = may "comma", eg "thousands";
        /// Pass mark of the drills with its local source.
        // May be open, but not left out: whoever writes that
        // it is not decided has looked.
        pass_mark: Option<PassMark> = need "pass-mark", nothing "not decided yet";
        /// Day after which a page says that it is due for review.
        // Laws on fluorine and listings of products change within a year or two.
        review_by: String = need "review-by" as DAY, eg "2027-06-30";
        /// The author's own edition.
        edition: String = need "edition", eg "2026-11";
    }
}

record! {
    /// The head of a module: what it says of itself, its lessons, and which files belong to it.
    Head {
        /// What it says of itself.
        module: Module = flat;
        /// Lessons in their order, each with the file of its text.
        lessons: Vec<Lesson> = need "lessons";
        /// Drills in their order; each has a file of its name.
        drills: Vec<String> = need "drills" as refers("drill"), eg "[flush]";
        /// Question sets in their order; each has a file of its name.
        sets: Vec<String> = need "sets" as refers("set"), eg "[ten-to-know]";
        /// Rigs; each has a file of its name.
        rigs: Vec<String> = need "rigs" as refers("rig"), eg "[engine-7]";
        /// Concentrates; each has a file of its name.
        concentrates: Vec<String> = need "concentrates" as refers("concentrate"), eg "[training-foam]";
        /// Narrated runs in their order; each has a file of its name.
        narrated: Vec<String> = may "narrated" as refers("narrated run"), since 2, eg "[second-look]";
        /// Chains of drills on one sheet.
        chains: Vec<Chain> = may "chains";
    }
}

record! {
    /// What a foam procedure must decide locally.
    Topic {
        /// Short name, by which the register answers it.
        id: String = need "topic" as own("topic"), eg "foam-order";
        /// Name as it is printed.
        title: String = need "title", eg "Who may order foam";
        /// The question that a local rule must answer.
        asks: String = need "asks", eg "Who may order foam, and with which words?";
        /// What a rig of the module must have for the question to arise.
        needs: Option<String> = may "needs" as NAME, eg "foam";
    }
}

cases! {
    /// What the department decided on a topic.
    Decision by "decision" {
        /// The rule in the department's words, who decided it and when.
        "" Decided {
            /// The rule itself; where there is none yet: not decided yet.
            rule: String = need "decision" as SAID, eg "The officer in charge orders foam.";
            /// Office or order that decided it.
            by: String = need "by", eg "Operations order 2";
            /// Day of that decision.
            on: String = need "on" as DAY, eg "2026-03-10";
        },
        /// A box to fill in by hand is printed.
        // A box, because any rule that we put in its place would
        // be taken for the department's.
        "not decided yet" NotDecidedYet,
    }
}

record! {
    /// One entry of the register of local procedures.
    LocalTopic {
        /// A topic that the trade asks for, or one of the department's own.
        id: String = need "topic" as own("topic"), eg "flush-discharge";
        /// Name as it is printed; the trade's topics have theirs.
        title: String = may "title", or "", eg "Where flush water goes";
        /// The question that a local rule must answer; the trade's topics have theirs.
        asks: String = may "asks", or "", eg "Where does the water of a flush go?";
        /// Days that the rule counts, where the program asks for them.
        days: Option<u32> = may "days", eg "30";
        /// What was decided.
        decision: Decision = flat;
    }
}

/// Help of a module's head and of its register.
pub(super) const BOOKS: &[Book] = &[
    Paper::BOOK,
    PassMark::BOOK,
    Module::BOOK,
    Head::BOOK,
    Topic::BOOK,
    LocalTopic::BOOK,
];
