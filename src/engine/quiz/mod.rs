//! Questions with drawn numbers: papers, keys, practice sheets, proofs and marking.
//!
//! ```text
//! question + kit ─(Prepared::of)─► checked ─(variant, ticket)─► item for the paper + key
//!                                      └─(prove)─► usable variants, faults
//! ```
//!
//! Chance comes from a key of words (see [`Chance`]), never from clock or system. Wrong
//! choices are slips of the formula, never random numbers. Two papers of one seed are the
//! same; the seed stands on the key alone.

mod fault;
mod chance;
mod kit;
mod draw;
mod text;
mod asked;
mod choose;
mod deal;
mod order;
mod paper;
mod question;
mod variant;
mod sheet;
mod batch;
mod series;
mod guess;
mod strength;
mod proof;
mod round;
mod kept;
mod typed;
mod mark;
mod form;
mod results;
#[cfg(test)]
mod fixture;
#[cfg(test)]
mod properties;
#[cfg(test)]
mod batch_tests;
#[cfg(test)]
mod typed_tests;

pub use asked::CLOCK_AS_DECIMAL;
pub use batch::{Batch, Beside, Order, copy_seed};
pub use chance::{Chance, key};
pub use deal::never_drawn;
pub use fault::{AcceptedSlip, QuestionFault, Unusable};
pub use form::{Form, FormItem, Forms};
pub use guess::{chance_by_guessing, guesses};
pub use kept::{KeptProofs, question_hash};
pub use kit::Kit;
pub use mark::{Doubt, Marked, Outcome, Reversed};
pub use paper::{
    DrawnValue, Item, ItemKey, ItemKind, Key, Lettered, OrderReason, Paper, Purpose,
    WrongAnswer,
};
pub use proof::{Depth, FEWEST_VARIANTS, LARGEST_GRID, Proof, SAMPLE};
pub use question::Prepared;
pub use results::{Answered, PaperResult, RESULTS_FORMAT, Results, ease, marks_to_reach};
pub use series::{LARGEST_SERIES, Numbers, Series};
pub use sheet::{BadQuestion, PreparedSet, Sheet, form_code, seed_text};
pub use strength::{SEED_BITS, Strength, seed_strength, words_known};
pub use variant::{Ticket, Variant};

/// Version of the drawing rules: a part of every key, raised when the rules change.
pub const DRAW_VERSION: &str = "1";
