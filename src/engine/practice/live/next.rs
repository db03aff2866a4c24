//! The run that follows: a fresh one, the next candidate's, a second evaluator's, another role's.

use super::clock::At;
use super::kit::Live;
use super::last::LOCAL;
use super::log::{Entry, Event, Log};
use super::sheet::sheets;
use super::state::{DECLARED, FORM, MAY_DECLARE, State};
use crate::fingerprint::{canonical, hex_hash};

/// When a run is opened, and the chance it gets its name from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Opening<'o> {
    pub(super) at: &'o At,
    pub(super) chance: &'o [u8],
}

impl Opening<'_> {
    fn empty(self, live: &Live) -> Log {
        let mut of = canonical(self.at).unwrap_or_default().into_bytes();
        of.extend(self.chance);
        // 32 bits tell the runs of one browser apart.
        let id = hex_hash(&of).get(..8).unwrap_or_default().to_owned();
        Log { id, kit: live.revision().to_owned(), entries: Vec::new() }
    }

    fn write(self, log: &mut Log, field: &str, text: impl Into<String>) {
        let event = Event::Write { field: field.to_owned(), text: text.into() };
        log.add(Entry { at: self.at.clone(), event });
    }

    /// A run with a name that no other has: the date, the time, and four letters of chance.
    pub(super) fn fresh(self, live: &Live) -> Log {
        let mut log = self.empty(live);
        let letter = |byte: &u8| char::from(b'a' + byte.rem_euclid(26));
        // The minute stands before them, so that two phones would have to begin in the same
        // minute and then hit one of 456,976.
        let letters: String = self.chance.iter().take(4).map(letter).collect();
        let moment = self.at.minute();
        let moment: String = moment.chars().filter(char::is_ascii_digit).collect();
        self.write(&mut log, "run", format!("live-{moment}-{letters}x"));
        log
    }

    /// The next candidate, with everything else as declared.
    pub(super) fn next(self, live: &Live, state: &State) -> Log {
        let but =
            ["run", "candidate", "attempt", "completes", "granted.by", "granted.why"];
        self.like(live, state, &but)
    }

    /// The same run for a second evaluator, at the time at which it was.
    pub(super) fn second(self, live: &Live, state: &State) -> Log {
        let but = ["evaluator", "qualification", "qualified-on", "relation", "later"];
        let log = self.like(live, state, &but);
        self.afterwards(live, state, log)
    }

    /// The same run for another candidate of it: whoever was scored first is one of their crew.
    pub(super) fn other_role(self, live: &Live, state: &State) -> Log {
        let but = [
            "role",
            "candidate",
            "attempt",
            "completes",
            "granted.by",
            "granted.why",
            "later",
        ];
        let mut log = self.like(live, state, &but);
        let field = format!("crew.{}", state.text("role"));
        self.write(&mut log, &field, state.text("candidate"));
        // Where only one is left there is no choice.
        let scored = live.scored();
        let mut left = scored.iter().filter(|role| role.id != state.text("role"));
        if let (Some(role), None) = (left.next(), left.next()) {
            self.write(&mut log, "role", role.id.as_str());
            let candidate = state.text(&format!("crew.{}", role.id));
            self.write(&mut log, "candidate", candidate);
        }
        self.afterwards(live, state, log)
    }

    /// A run with the same declarations, but for some.
    fn like(self, live: &Live, state: &State, but: &[&str]) -> Log {
        let fresh = but.contains(&"run");
        let mut log = if fresh { self.fresh(live) } else { self.empty(live) };
        let crew = state.texts.keys().map(String::as_str);
        // Each numbered sheet is for one run (rule 30), and all sheets of that run name it.
        let goes_along = |field: &&str| {
            field.starts_with("crew.")
                || field.starts_with(LOCAL)
                || (!fresh && field.starts_with(FORM))
        };
        let crew = crew.filter(goes_along);
        let fields = DECLARED.iter().chain(MAY_DECLARE).copied();
        for field in fields.chain(crew) {
            if !but.contains(&field) && !state.text(field).is_empty() {
                self.write(&mut log, field, state.text(field));
            }
        }
        log
    }

    fn afterwards(self, live: &Live, state: &State, mut log: Log) -> Log {
        let when = sheets(live, state).into_iter().next();
        let when = when.map(|part| part.sheet.performed_at).unwrap_or_default();
        self.write(&mut log, "later", "yes");
        self.write(&mut log, "performed-at", when);
        log
    }
}
