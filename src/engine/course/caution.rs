//! Cautions and the acts that are unsafe in every drill.

use crate::wire::Book;
use crate::words::Words;
use crate::{record, words};

words! {
    /// Signal words as ANSI Z535.4 defines them.
    Signal {
        /// Will kill or gravely injure if not avoided.
        "DANGER" Danger,
        /// Could kill or gravely injure.
        "WARNING" Warning,
        /// Could injure lightly or moderately.
        "CAUTION" Caution,
        /// Damage and practice, not injury.
        "NOTICE" Notice,
    }
}

impl Signal {
    /// As pages and sheets say it. A standard fixes these words for one language; another has its
    /// own.
    pub fn said(self, words: &Words) -> String {
        words.get(match self {
            Self::Danger => "signal.danger",
            Self::Warning => "signal.warning",
            Self::Caution => "signal.caution",
            Self::Notice => "signal.notice",
        })
    }
}

record! {
    /// One hazard with its control.
    Caution {
        /// Short name.
        id: String = need "caution" as own("caution"), eg "hose-whip";
        /// How grave.
        signal: Signal = need "signal", eg "WARNING";
        /// A few words for the foot of every sheet.
        headline: String = need "headline", eg "A line under pressure whips.";
        /// What can happen, in a sentence.
        hazard: String = need "hazard", eg "A loose line can strike whoever stands near.";
        /// What to do, in a sentence or two.
        control: String = need "control", eg "Hold the nozzle before the line is charged.";
        /// Where the fact comes from.
        // Needed, as every rule's is: a hazard without a source would be a claim of ours.
        source: String = need "source", prose, eg "common practice";
        /// What a rig must have for it to be of any use; left out, nothing.
        // The caution of a rig stands on that rig's sheets
        // alone; of too many none is read.
        needs: Option<String> = may "needs" as NAME, prose, eg "compressor";
        /// Whether it stands on pages that have no task of their own.
        general: bool = may "general", or "no", prose, eg "yes";
    }
}

record! {
    /// An act that fails a run in every drill.
    UnsafeAct {
        /// Short name.
        id: String = need "act" as own("unsafe act"), eg "no-helmet";
        /// The act, as seen.
        act: String = need "says", eg "Works at the panel without a helmet.";
        /// Why it is unsafe.
        reason: String = need "reason", prose, eg "A burst line strikes the head.";
        /// Source, or "common practice".
        source: String = need "source", prose, eg "common practice";
    }
}

/// Help of cautions and unsafe acts.
pub(super) const BOOKS: &[Book] = &[Caution::BOOK, Signal::BOOK, UnsafeAct::BOOK];

/// Cautions with the gravest first, wherever an author wrote it; among equals as written.
pub fn by_gravity(mut cautions: Vec<&Caution>) -> Vec<&Caution> {
    cautions.sort_by_key(|caution| caution.signal);
    cautions
}
