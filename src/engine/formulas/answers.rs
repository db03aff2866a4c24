//! What a formula says in the end: answers with their limits, verdicts, and the slips that
//! lead elsewhere.

use super::sourced::SourceRef;
use crate::quantity::{Direction, Quantity, System};
use crate::wire::Book;
use crate::{record, words};

record! {
    /// Figures beyond which an answer is no figure to work with. Both limits are one physical
    /// range, whatever units they are written in.
    Sense {
        /// Least value that makes sense.
        least: Option<Quantity> = may "least", eg "1 psi";
        /// Largest such value.
        most: Option<Quantity> = may "most", eg "600 psi";
        /// What an answer beyond it means at the panel.
        says: String = need "says", prose, eg "No fire pump gives so much.";
        /// Where the limit comes from.
        source: SourceRef = flat, prose;
    }
}

record! {
    /// When an answer has no figure at all, because what it counts does not come to an end.
    Endless {
        /// Condition.
        when: String = need "when", eg "drain <= 0 gpm";
        /// What is printed where the figure would stand.
        says: String = need "says", prose, eg "does not end";
    }
}

record! {
    /// A line that is an answer, and how it is rounded.
    Answer {
        /// The line's name.
        name: String = need "answer" as NAME, eg "foam";
        /// In words.
        label: String = need "label", prose, eg "concentrate flow";
        /// Step and unit; in a metric module those of si, where it stands.
        shown: Quantity = need "shown", eg "0.01 gpm";
        /// Step and unit in metric modules.
        shown_si: Quantity = may "shown-si", like "shown", eg "0.1 L/min";
        /// Safe direction.
        round: Direction = may "round", or "near", eg "down";
        /// Whether it is shown as minutes and seconds; the step is then 1 s.
        clock: bool = may "clock", or "no", eg "yes";
        /// Limits beyond which it is refused.
        sense: Vec<Sense> = may "sense";
        /// When it has no figure.
        endless: Option<Endless> = may "endless";
    }
}

record! {
    /// Words that hold when a condition does.
    Verdict {
        /// Condition.
        when: String = need "when", eg "demand > 5 gpm";
        /// What it means; the word figure between braces stands for the figure.
        says: String = need "says", prose, eg "The unit does not hold it.";
        /// Whether the formula then has no answer at all ("not known").
        refuses: bool = may "refuses", or "no", eg "yes";
        /// A value that the sentence prints.
        figure: Option<String> = may "figure", eg "foam / use";
        /// Step and unit of the figure; in a metric module those of si, where it stands. A whole second is shown as min:s.
        shown: Option<Quantity> = may "shown", eg "1 s";
        /// The same in metric modules.
        shown_si: Option<Quantity> = may "shown-si", like "shown", eg "1 s";
    }
}

words! {
    /// What sort of mistake a slip is.
    SlipKind {
        /// Percent of water taken for percent of solution, or the other way round.
        "other-basis" OtherBasis,
        /// Decimal point or missing hundred.
        "power-of-ten" PowerOfTen,
        /// Anything else.
        "method" Method,
    }
}

record! {
    /// A named mistake: lines or givens written differently.
    Slip {
        /// Short name within the formula.
        id: String = need "slip" as own("slip"), eg "point-moved";
        /// Kind.
        kind: SlipKind = may "kind", or "method", eg "power-of-ten";
        /// The units of the modules in which it is made; left out where it is made in both.
        only: Option<System> = may "only", eg "us";
        /// Lines, each a name with its other value, that replace the work or a given.
        lines: Vec<String> = need "lines", eg "[foam = percent * flow * 10]";
        /// The same in metric modules, where the slip is made with other figures.
        lines_si: Vec<String> = may "lines-si", eg "[field = 10 kPa * (height as m)]";
        /// One sentence of feedback.
        says: String = need "says", prose, eg "The point has moved by one place.";
        /// The same in metric modules.
        says_si: Option<String> = may "says-si", prose, eg "The length was left out.";
    }
}

impl Slip {
    /// Whether it is made in modules of these units.
    pub fn made_in(&self, system: System) -> bool {
        system.has(self.only)
    }

    /// The feedback in a module of these units.
    pub fn feedback(&self, system: System) -> &str {
        match (system, &self.says_si) {
            (System::Si | System::SiBar, Some(says)) => says,
            _ => &self.says,
        }
    }

    /// The lines in a module of these units.
    pub(super) fn written(&self, system: System) -> &[String] {
        // A slip that is made with the same figures in both is written once.
        if system.is_metric() && !self.lines_si.is_empty() {
            &self.lines_si
        } else {
            &self.lines
        }
    }
}

/// Help of what a formula says in the end.
pub(super) const BOOKS: &[Book] = &[
    Sense::BOOK,
    Endless::BOOK,
    Answer::BOOK,
    Verdict::BOOK,
    Slip::BOOK,
    SlipKind::BOOK,
];
