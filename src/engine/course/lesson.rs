//! Lessons, objectives and the words that lessons explain.

use super::concentrate::FoamClass;
use super::marking::Feed;
use super::unit::PercentBasis;
use crate::quantity::Quantity;
use crate::wire::Book;
use crate::{cases, record};

record! {
    /// What a learner will do, under which condition, how well.
    Objective {
        /// Short name.
        id: String = need "objective" as own("objective"), eg "flush";
        /// Under which condition: given what.
        condition: String = need "condition", eg "Given a pumper at a hydrant";
        /// What the learner will do.
        performance: String = need "performance", eg "the operator will flush the foam side";
        /// How well.
        standard: String = need "standard", eg "with no critical missed";
        /// Published requirement it serves, when the author names one.
        serves: Option<String> = may "serves", eg "order 4 of the training officer";
    }
}

record! {
    /// A word of the trade.
    Term {
        /// Short name, used in links that begin with term:.
        id: String = need "term" as own("term"), eg "eductor";
        /// The word itself.
        term: String = need "word", eg "eductor";
        /// What it means, in a sentence.
        meaning: String = need "means", eg "It draws concentrate into the line.";
        /// Other words for it, such as those of another region.
        also: Vec<String> = may "also", eg "[inductor]", since 2;
    }
}

record! {
    /// A formula worked inside a lesson, computed when the module is compiled.
    WorkedExample {
        /// Short name, used in links that begin with figure:.
        id: String = need "example" as own("example"), eg "half-percent";
        /// A line above the working.
        title: String = need "title", eg "A line of 125 gpm at one half of one percent";
        /// Rig whose figures and percent basis it takes, if any.
        rig: Option<String> = may "rig" as refers("rig"), eg "engine-7";
        /// Outlet of that rig.
        outlet: Option<String> = may "outlet" as refers("outlet"), eg "crosslay-1";
        /// The foam whose tank and percents it takes, where the rig has more than one.
        class: Option<FoamClass> = may "class", eg "B";
        /// What a percent in it is a percent of, where no rig says so; left out, it is that of the formula.
        basis: Option<PercentBasis> = may "basis", eg "solution";
        /// The formula and its givens.
        feed: Feed = flat;
    }
}

record! {
    /// A question that a reader asks himself at the end of a lesson; its answer is folded away on a
    /// page and stands at the end on paper.
    SelfCheck {
        /// Short name.
        id: String = need "check" as own("check"), eg "point-slipped";
        /// What is asked.
        asks: String = need "asks", eg "What stops the flow of foam first, and why?";
        /// The answer.
        answer: String = need "answer", eg "The percent goes to zero; then the line is flushed.";
        /// Why it is so, because an answer alone teaches nobody the next one.
        because: String = need "because", eg "Half a percent is five in a thousand.";
    }
}

cases! {
    /// What a drawing of a lesson shows; every figure on it is a rig's, a chain's or a worked example's.
    Shows by "shows" {
        /// The way of water and foam through a rig: meter, injection, outlets and ways back.
        "foam-path" FoamPath {
            /// The rig.
            rig: String = need "rig" as refers("rig"), eg "engine-7";
        },
        /// Its tanks with what is usable and where the marks are.
        "tanks" Tanks {
            /// The rig.
            rig: String = need "rig" as refers("rig"), eg "engine-7";
        },
        /// Minutes of water and foam on each foam line.
        "minutes" Minutes {
            /// The rig.
            rig: String = need "rig" as refers("rig"), eg "engine-7";
        },
        /// A line between two shut valves: what a gauge at the panel cannot see.
        "section" Section {
            /// The rig.
            rig: String = need "rig" as refers("rig"), eg "engine-7";
            /// The outlet.
            outlet: String = need "outlet" as refers("outlet"), eg "crosslay-1";
        },
        /// What one, two and three volumes of flush water leave of what a line held, from a worked example of
        /// the same lesson.
        "volumes" Volumes {
            /// The example: a flush of an outlet of a rig.
            example: String = need "example" as refers("example"), eg "three-volumes";
        },
        /// Hose that lies flat, or holds water, foam or air.
        "hose" Hose,
        /// The water counter with both readings, from a worked example of the same lesson.
        "counter" Counter {
            /// The example: one that works a percent from foam, water and flush.
            example: String = need "example" as refers("example"), eg "from-totals-a";
        },
        /// A chain of drills as one hose.
        "evolution" Evolution {
            /// The chain.
            chain: String = need "chain" as refers("chain"), eg "whole-evolution";
        },
    }
}

record! {
    /// A drawing that a lesson's text calls.
    LessonDrawing {
        /// Short name, used in links that begin with drawing:.
        id: String = need "drawing" as own("drawing"), eg "foam-way";
        /// What is drawn.
        shows: Shows = flat;
    }
}

record! {
    /// One lesson.
    Lesson {
        /// Short name.
        id: String = need "lesson" as own("lesson"), eg "why-percent";
        /// Name as it is printed.
        title: String = need "title", eg "What a percent is a share of";
        /// File of its text, relative to the module.
        file: String = need "file" as FILE, eg "lessons/why-percent.md";
        /// Time it takes.
        minutes: Quantity = need "minutes" as MINUTES, eg "45 min";
        /// Objectives it teaches.
        objectives: Vec<String> = need "objectives" as refers("objective"), eg "[flush]";
        /// Cautions of its task: one at least, three at most, because more are not read.
        cautions: Vec<String> = need "cautions" as refers("caution"),
            least 1 NoCautions, most 3 TooManyCautions, eg "[slug-flow]";
        /// Local topics it touches.
        local: Vec<String> = may "local" as refers("topic"), eg "[volumes]";
        /// Worked examples that its text calls.
        examples: Vec<WorkedExample> = may "examples";
        /// Drawings that its text calls.
        drawings: Vec<LessonDrawing> = may "drawings", since 2;
        /// Questions at its end, with answer and reason.
        checks: Vec<SelfCheck> = may "checks", since 2;
        /// Whether a page is made of it that can be sent by itself, its practice in it: half a megabyte.
        send: bool = may "send", or "no", eg "yes", since 2;
        /// Its text: CommonMark with tables.
        text: String = carried "text", or "";
    }
}

/// Help of lessons, objectives and terms.
pub(super) const BOOKS: &[Book] = &[
    Objective::BOOK,
    Term::BOOK,
    WorkedExample::BOOK,
    SelfCheck::BOOK,
    LessonDrawing::BOOK,
    Lesson::BOOK,
];

/// What browsers and printers show everywhere, with the name that an address knows it by.
const PICTURES: [(&str, &str); 6] = [
    ("svg", "image/svg+xml"),
    ("png", "image/png"),
    ("jpg", "image/jpeg"),
    ("jpeg", "image/jpeg"),
    ("gif", "image/gif"),
    ("webp", "image/webp"),
];

/// The kind of a picture by the name of its file, such as `pictures/panel.svg`; nothing where
/// no page can show it.
pub fn picture_kind(file: &str) -> Option<&'static str> {
    // The name becomes an address and a file of the site, where it has to mean the same on
    // every system: no blanks, no letters that are spelled in several ways, nothing hidden.
    let safe = |part: &str| {
        let letter = |b: u8| b.is_ascii_alphanumeric() || b"-_.".contains(&b);
        // What a file system holds with room to spare: the name gets a folder before it and, while
        // it is staged, an ending behind it.
        (1..=100).contains(&part.len())
            && !part.starts_with('.')
            && part.bytes().all(letter)
    };
    let name = file.strip_prefix("pictures/")?;
    let (_, ending) = name.rsplit_once('.').filter(|_| name.split('/').all(safe))?;
    let known = |(known, _): &&(&str, &str)| ending.eq_ignore_ascii_case(known);
    PICTURES.iter().find(known).map(|(_, kind)| *kind)
}

#[cfg(test)]
mod tests {
    use super::picture_kind;

    #[test]
    fn pictures_have_safe_names_in_their_folder() {
        for (file, kind) in [
            ("pictures/panel.svg", "image/svg+xml"),
            ("pictures/rigs/IMG_0042.JPG", "image/jpeg"),
            ("pictures/a-1.b.webp", "image/webp"),
        ] {
            assert_eq!(picture_kind(file), Some(kind), "{file}");
        }
        for file in [
            "panel.svg",
            "pictures/",
            "pictures/panel",
            "pictures/.svg",
            "pictures/../module.svg",
            "pictures//panel.svg",
            "pictures/a b.png",
            "pictures/a\\b.png",
            "pictures/c:a.png",
            "pictures/p\u{e4}.png",
            "pictures/page.html",
            "pictures/panel.svg/",
            "picturess/panel.svg",
        ] {
            assert_eq!(picture_kind(file), None, "{file}");
        }
    }
}
