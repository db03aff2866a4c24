//! The mark of an outcome: a box drawn in the page, so that no font decides what it looks like,
//! and never without its word beside it.

use crate::scoring::Outcome;

/// Class of a row with that outcome.
pub(super) const fn class(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Met => "met",
        Outcome::MetInPart => "part",
        Outcome::NotMet => "not",
        Outcome::WalkedThrough => "walked",
        Outcome::Stopped => "stopped",
        Outcome::Incomplete => "incomplete",
        Outcome::Refused => "refused",
        Outcome::Void => "void",
    }
}

/// The mark itself, 12 by 12. It is hidden from those who hear the page: the word says it.
pub(super) const fn svg(outcome: Outcome) -> &'static str {
    match outcome {
        // A double frame.
        Outcome::Met => {
            r#"<svg class="mk" viewBox="0 0 12 12" aria-hidden="true"><path d="M1 1h10v10H1zM3.5 3.5h5v5h-5z"/></svg>"#
        }
        // Half filled on the slant.
        Outcome::MetInPart => {
            r#"<svg class="mk" viewBox="0 0 12 12" aria-hidden="true"><path d="M1 1h10v10H1z"/><path class="solid" d="M1 1h10L1 11z"/></svg>"#
        }
        // Filled.
        Outcome::NotMet => {
            r#"<svg class="mk" viewBox="0 0 12 12" aria-hidden="true"><path class="solid" d="M1 1h10v10H1z"/><path d="M1 1h10v10H1z"/></svg>"#
        }
        // Two short strokes without a frame.
        Outcome::WalkedThrough => {
            r#"<svg class="mk" viewBox="0 0 12 12" aria-hidden="true"><path d="M3 10l2-8M7 10l2-8"/></svg>"#
        }
        // A heavy level bar across an empty frame.
        Outcome::Stopped => {
            r#"<svg class="mk" viewBox="0 0 12 12" aria-hidden="true"><path d="M1 1h10v10H1z"/><path class="solid" d="M1 4h10v4H1z"/></svg>"#
        }
        // A frame open at the right.
        Outcome::Incomplete => {
            r#"<svg class="mk" viewBox="0 0 12 12" aria-hidden="true"><path d="M11 1H1v10h10"/></svg>"#
        }
        // A frame crossed out: nothing was judged.
        Outcome::Refused => {
            r#"<svg class="mk" viewBox="0 0 12 12" aria-hidden="true"><path d="M1 1h10v10H1zM1 1l10 10M11 1L1 11"/></svg>"#
        }
        // A frame struck through.
        Outcome::Void => {
            r#"<svg class="mk" viewBox="0 0 12 12" aria-hidden="true"><path d="M1 1h10v10H1zM1 11L11 1"/></svg>"#
        }
    }
}
