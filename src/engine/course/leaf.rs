//! What whoever teaches a lesson has in the hand, and how long things take.

use crate::quantity::Quantity;
use crate::record;
use crate::wire::Book;

record! {
    /// How long teaching takes, by which a module's minutes are reckoned.
    Pace {
        /// Words that are told, shown and taken in each minute.
        words: u32 = need "words", eg "100";
        /// Time for a worked example.
        example: Quantity = need "example" as MINUTES, eg "2 min";
        /// Time for a drawing or a picture.
        drawing: Quantity = need "drawing" as MINUTES, eg "1 min";
        /// Time for a question at the end of a lesson or in its text.
        check: Quantity = need "check" as MINUTES, eg "2 min";
        /// Time for a question of the sets, when it is practiced once.
        question: Quantity = need "question" as MINUTES, eg "3 min";
        /// Time for one run of a drill, its talk before and after included.
        drill: Quantity = need "drill" as MINUTES, eg "25 min";
    }
}

record! {
    /// What is made of a heading when it is taught.
    Point {
        /// The heading of the lesson.
        heading: String = need "heading", eg "Air first, foam second";
        /// What is told or shown there.
        says: String = need "says", eg "Shut two valves on the table, in both orders.";
    }
}

record! {
    /// A wrong answer that is often heard, and what to say to it.
    Misheard {
        /// What is heard.
        hears: String = need "hears", eg "The gauge reads zero, so it is safe.";
        /// What is said to it.
        says: String = need "says", eg "Zero at the panel. What is behind the wye?";
    }
}

record! {
    /// The leaf of whoever teaches a lesson: one leaf, two sides at most.
    Leaf {
        /// The lesson.
        lesson: String = need "leaf" as refers("lesson"), eg "clearing";
        /// What is done before anybody comes in.
        prepare: Vec<String> = need "prepare", eg "[Read the lesson and the drill card.]";
        /// What lies at hand.
        props: Vec<String> = need "props", eg "[a length of hose, a bottle]";
        /// What is made of its headings, in their order.
        present: Vec<Point> = need "present";
        /// What is drawn on the board, line by line.
        board: Vec<String> = need "board", eg "[reading A then reading B]";
        /// What the learners do with it.
        apply: Vec<String> = need "apply", eg "[Three volumes of your own line.]";
        /// How it is found out whether it was learned.
        evaluate: Vec<String> = need "evaluate", eg "[Both questions of the lesson.]";
        /// Wrong answers and what to say to them.
        misheard: Vec<Misheard> = need "wrong-answers";
        /// What can hurt while it is practiced, and what keeps from it.
        hazards: Vec<String> = need "hazards", eg "[The floor gets wet.]";
    }
}

/// Help of the leaves and of the pace.
pub(super) const BOOKS: &[Book] = &[Pace::BOOK, Point::BOOK, Misheard::BOOK, Leaf::BOOK];
