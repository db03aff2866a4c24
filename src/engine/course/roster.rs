//! Who is due: sheets that are printed with the names on them.

use std::collections::BTreeMap;

use super::run::Evaluator;
use super::spelled::Holders;
use crate::record;
use crate::wire::Book;

record! {
    /// A sheet to be run, as far as it is known before the day.
    Due {
        /// The drill.
        drill: String = need "drill" as refers("drill"), eg "flush";
        /// The rig.
        rig: String = need "rig" as refers("rig"), eg "engine-7";
        /// Who is scored.
        candidate: String = need "candidate" as refers("person"), eg "alder";
        /// Role the candidate is scored in.
        role: String = need "role" as refers("role"), eg "operator";
        /// Name that the run will have, if it is given out already.
        run: Option<String> = may "run" as NAME, eg "tv-2026-004";
        /// Attempt, from 1; left out while nobody knows.
        attempt: Option<u32> = may "attempt", eg "1";
        /// Everybody else by role.
        crew: BTreeMap<String, Holders> = may "crew", eg "{ nozzle: birch }";
        /// The evaluator; left out while nobody is named.
        evaluator: Option<Evaluator> = may "evaluator";
        /// Safety officer.
        safety_officer: Option<String> = may "safety-officer" as refers("person"), eg "elm";
    }
}

/// Help of all that a roster holds.
pub(super) const BOOKS: &[Book] = &[Due::BOOK];
