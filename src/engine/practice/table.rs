//! The open session, and the table on which one event of it is worked out.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use super::code::SessionCode;
use super::history::History;
use super::kit::Opened;
use crate::course::Question;
use crate::quiz::{Marked, Prepared, Purpose, Ticket, Variant};

/// Variants of one question that one place of a session has: more than anybody misses one in a
/// row, so that every next try has other numbers.
pub(super) const TRIES: u32 = 64;

/// A session as it is stored: a string that only this room reads.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Session {
    /// Its code, with the list of questions.
    pub(super) code: String,
    /// Place in the list, from 0; the length of the list when it is done.
    pub(super) at: usize,
    /// Which variant of the question, from 1.
    pub(super) attempt: u32,
    /// The answer so far.
    pub(super) written: String,
    /// Whether it has been judged.
    pub(super) judged: bool,
    /// Whether the working was asked for instead.
    pub(super) gave_up: bool,
    /// Whether the first answer to each question was right.
    pub(super) first: Vec<bool>,
}

/// What one event is worked out with.
pub(super) struct Table<'t> {
    pub(super) opened: &'t Opened,
    pub(super) history: History,
    pub(super) session: Option<Session>,
    pub(super) day: i64,
    /// Whether the session's code comes from another revision of the kit.
    pub(super) other_revision: bool,
    /// A sentence for the top of the page.
    pub(super) note: Option<String>,
}

impl Table<'_> {
    /// The question of the session and its variant; nothing when the session is done.
    pub(super) fn place(&self) -> Option<(&Question, Variant)> {
        let session = self.session.as_ref()?;
        let (code, _) = SessionCode::read(self.opened, &session.code).ok()?;
        let question = code.questions(self.opened).get(session.at).copied()?;
        let variant = variant(self.opened, question, &code, session.at, session.attempt)?;
        Some((question, variant))
    }

    /// What is written, judged; with the question's id.
    pub(super) fn marked(&self) -> Option<(Marked, String)> {
        let session = self.session.as_ref()?;
        let (question, variant) = self.place()?;
        let marked =
            variant.mark(&session.written, self.opened.comma(), self.opened.words());
        Some((marked, question.id.clone()))
    }
}

/// The variant at a place of a session. Each place has a row of variants of its own, the same
/// ones for everybody who has the code.
pub(super) fn variant(
    opened: &Opened,
    question: &Question,
    code: &SessionCode,
    at: usize,
    attempt: u32,
) -> Option<Variant> {
    let seed = code.seed();
    // Rows do not overlap, so that the same question at two places has other numbers.
    let attempt = u32::try_from(at).ok()?.checked_mul(TRIES)?.checked_add(attempt)?;
    let ticket = Ticket { purpose: Purpose::Practice, seed: &seed, attempt };
    let prepared = Prepared::of(question, opened.quiz()).ok()?;
    prepared.variant(ticket, at + 1, &BTreeSet::new()).ok()
}
