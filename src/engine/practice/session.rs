//! A practice session: stored strings, then event + clock + chance → view + strings to store.

use std::collections::BTreeMap;

use serde::Serialize;

use super::ask::{Stored, Tap};
use super::code::{CodeFault, SessionCode};
use super::decode::from_text;
use super::events::events;
use super::history::History;
use super::kit::Opened;
use super::pad::pressed;
use super::plan::plan;
use super::show;
use super::table::{Session, TRIES, Table, variant};
use super::view::{Turn, View};
use crate::quiz::{Outcome, Variant};

/// Milliseconds of a day, 24 hours by definition: no leap second is counted.
const DAY: i64 = 86_400_000;

events! {
    /// What can happen in a page.
    Event {
        /// The page was opened, or must be drawn again.
        #[default]
        "show" Show,
        /// A new session.
        "start" Start,
        /// A session of one question, from a lesson.
        "only" Only {
            /// Its id.
            question: [String],
        },
        /// The session of a code.
        "code" Code {
            /// As typed.
            text: [String],
        },
        /// The answer changed; nothing is judged yet.
        "draft" Draft {
            /// The whole answer so far.
            text: [String],
        },
        /// A key of the keypad was touched.
        "press" Press {
            /// A digit, the decimal mark, the colon of minutes, or `back`.
            key: [String],
        },
        /// A step was touched: it is put at the end of the order, or taken out again.
        "pick" Pick {
            /// Its letter.
            letter: [String],
        },
        /// The answer is final.
        "answer" Answer,
        /// The working is wanted without an answer.
        "give-up" GiveUp,
        /// Other numbers of the same question.
        "again" Again,
        /// The next question.
        "on" On,
        /// The session is ended.
        "leave" Leave,
        /// What was practised, as a file.
        "export" Export,
        /// What was practised shall be deleted.
        "delete" Delete,
        /// It really shall.
        "delete-all" DeleteAll,
    }
}

/// Practice at work: the open session and what was practised, as they are stored by now.
#[derive(Debug)]
pub struct Practice {
    opened: Opened,
    history: History,
    session: Option<Session>,
    /// What is stored by now, by key.
    stored: BTreeMap<String, String>,
}

impl Practice {
    /// Practice with a kit; nothing is stored yet.
    pub const fn new(opened: Opened) -> Self {
        let history = History { count: 0, questions: BTreeMap::new() };
        Self { opened, history, session: None, stored: BTreeMap::new() }
    }

    /// The kit.
    pub const fn opened(&self) -> &Opened {
        &self.opened
    }

    /// Keys under which a page stores: what was practised in the whole module, and the open
    /// session of this set.
    pub fn keys(&self) -> [String; 2] {
        let data = self.opened.data();
        [
            format!("practice/{}", data.module),
            format!("practice/{}/{}/session", data.module, data.set),
        ]
    }

    /// Takes what is stored in place of what was known before.
    pub fn stored(&mut self, given: Stored) -> Turn {
        let [history, session] = self.keys();
        self.stored = given.stored;
        self.history = History::read(self.stored.get(&history).map(String::as_str));
        self.session = self.stored.get(&session).and_then(|text| from_text(text));
        self.turn(&Tap { at: given.at, chance: given.chance, ..Tap::default() })
    }

    /// Takes one event.
    pub fn tap(&mut self, tap: &Tap<Event>) -> Turn {
        // An answer is judged by the question it was read under: a slow phone may tap
        // when the next one stands there.
        if tap.of == self.of() {
            return self.turn(tap);
        }
        // It was meant for a question that is no longer open.
        self.turn(&Tap { at: tap.at.clone(), ..Tap::default() })
    }

    /// Which question is open.
    fn of(&self) -> String {
        let place = |session: &Session| {
            format!("{}/{}/{}", session.code, session.at, session.attempt)
        };
        self.session.as_ref().map(place).unwrap_or_default()
    }

    fn turn(&mut self, tap: &Tap<Event>) -> Turn {
        let mut table = Table {
            opened: &self.opened,
            history: std::mem::take(&mut self.history),
            session: self.session.take(),
            day: tap.at.wall.div_euclid(DAY),
            other_revision: false,
            note: None,
        };
        table.check_session();
        let mut turn = Turn { view: table.take(tap), ..Turn::default() };
        let Table { history, session, .. } = table;
        if let (Event::Press { .. }, Some(session)) = (&tap.event, &session) {
            // The keypad stays as it is under the finger; only the number changes.
            turn.texts.insert("answer".to_owned(), session.written.clone());
        }
        if tap.event == Event::Export {
            turn.file = Some((
                format!("practice-{}.json", self.opened.data().module),
                serde_json::to_string_pretty(&history).unwrap_or_default(),
            ));
        }
        let texts = [
            Some(&history).filter(|history| history.count > 0).map(text),
            session.as_ref().map(text),
        ];
        (self.history, self.session) = (history, session);
        for (key, text) in self.keys().into_iter().zip(texts) {
            turn.put(&mut self.stored, key, text);
        }
        turn.of = self.of();
        turn
    }
}

fn text(thing: &impl Serialize) -> String {
    serde_json::to_string(thing).unwrap_or_default()
}

impl Table<'_> {
    /// Drops a session whose questions are no longer these.
    fn check_session(&mut self) {
        let Some(session) = &self.session else { return };
        match SessionCode::read(self.opened, &session.code) {
            Ok((code, same)) => {
                let count = code.questions(self.opened).len();
                let fits = session.at <= count && (1..TRIES).contains(&session.attempt);
                self.other_revision = !same;
                if !fits {
                    self.session = None;
                }
            }
            Err(_) => {
                self.session = None;
                self.note = Some(self.opened.words().get("practice.session-gone"));
            }
        }
    }

    fn take(&mut self, tap: &Tap<Event>) -> Option<View> {
        match &tap.event {
            Event::Show | Event::Export => {}
            Event::Start => {
                let code = plan(self.opened, &self.history, self.day, &tap.chance);
                self.begin(&code);
            }
            Event::Only { question } => self.only(question, tap),
            Event::Code { text } => match SessionCode::read(self.opened, text) {
                Ok((code, same)) => {
                    self.other_revision = !same;
                    self.begin(&code);
                    if let Some(session) = &mut self.session {
                        // The code as it was typed keeps its revision.
                        session.code = crate::fingerprint::check_code(text)
                            .unwrap_or_else(|| session.code.clone());
                    }
                }
                Err(fault) => return Some(self.code_refused(fault, text)),
            },
            Event::Draft { text } => {
                if let Some(session) = self.session.as_mut().filter(|s| !s.judged) {
                    session.written.clone_from(text);
                }
                return None;
            }
            Event::Press { key } => {
                if let Some(session) = self.session.as_mut().filter(|s| !s.judged) {
                    session.written = pressed(&session.written, key);
                }
                return None;
            }
            Event::Pick { letter } => self.pick(letter),
            Event::Answer => return Some(self.answer()),
            Event::GiveUp => self.give_up(),
            Event::Again => {
                if let Some(session) = self.session.as_mut().filter(|s| s.judged) {
                    session.next_attempt();
                }
            }
            Event::On => self.on(),
            Event::Leave => self.session = None,
            Event::Delete => return Some(show::delete(self)),
            Event::DeleteAll => {
                // The session goes too: it would be stored again with the next tap.
                self.history = History::default();
                self.session = None;
                self.note = Some(self.opened.words().get("practice.deleted"));
            }
        }
        Some(show::view(self))
    }

    fn begin(&mut self, code: &SessionCode) {
        self.session = Some(Session {
            code: code.text(self.opened),
            attempt: 1,
            ..Session::default()
        });
    }

    /// A session of one question, unless it is the one that is open.
    fn only(&mut self, id: &str, tap: &Tap<Event>) {
        let code = plan(self.opened, &self.history, self.day, &tap.chance);
        let one = SessionCode::new(self.opened, &code.seed_values(), &[id]);
        let open = self.place().map(|(question, _)| question.id.clone());
        if open.as_deref() != Some(id) && !one.questions(self.opened).is_empty() {
            self.begin(&one);
        }
    }

    fn code_refused(&mut self, fault: CodeFault, typed: &str) -> View {
        // words: practice.code.{CodeFault}
        let key = format!("practice.code.{}", fault.key());
        self.note = Some(self.opened.words().say(&key, &[("code", typed.trim())]));
        show::view(self)
    }

    fn pick(&mut self, letter: &str) {
        let Some(session) = self.session.as_mut().filter(|s| !s.judged) else { return };
        let mut letters: Vec<&str> = session.written.split(' ').collect();
        letters.retain(|other| !other.is_empty());
        match letters.iter().position(|other| *other == letter) {
            Some(at) => {
                letters.remove(at);
            }
            None => letters.push(letter),
        }
        session.written = letters.join(" ");
    }

    fn answer(&mut self) -> View {
        let Some((marked, id)) = self.marked() else { return show::view(self) };
        let words = self.opened.words();
        self.note = match marked.outcome {
            Outcome::Blank => Some(words.get("practice.blank")),
            _ if marked.doubt.is_some() => marked.because, // Two readings, even both wrong.
            Outcome::Unreadable => marked.because,
            Outcome::Right | Outcome::Wrong => {
                self.count(&id, marked.outcome == Outcome::Right);
                None
            }
        };
        show::view(self)
    }

    fn give_up(&mut self) {
        let open = self.session.as_ref().is_some_and(|session| !session.judged);
        let id = self.place().map(|(question, _)| question.id.clone());
        if let Some(id) = id.filter(|_| open) {
            self.count(&id, false);
            if let Some(session) = &mut self.session {
                session.gave_up = true;
            }
        }
    }

    /// Counts an answer: once for a variant, and the first for the session.
    fn count(&mut self, id: &str, right: bool) {
        let Some(session) = self.session.as_mut().filter(|s| !s.judged) else { return };
        session.judged = true;
        // Only the first answer counts in the sum: a second try was made with the working
        // in sight.
        if session.first.len() <= session.at {
            session.first.push(right);
        }
        self.history.add(id, self.day, right);
    }

    fn on(&mut self) {
        if let Some(session) = self.session.as_mut().filter(|session| session.judged) {
            session.at += 1;
            session.attempt = 0;
            session.next_attempt();
        }
    }
}

impl Session {
    fn next_attempt(&mut self) {
        self.attempt = (self.attempt + 1).min(TRIES - 1);
        self.written = String::new();
        self.judged = false;
        self.gave_up = false;
    }
}

/// The questions of a code with their first variants, as the terminal shows them. The flag
/// tells whether the code comes from this revision of the kit.
pub fn listed(opened: &Opened, typed: &str) -> Result<(Vec<Variant>, bool), CodeFault> {
    let (code, same) = SessionCode::read(opened, typed)?;
    let questions = code.questions(opened);
    let variants = questions.iter().enumerate();
    let variants = variants.filter_map(|(at, q)| variant(opened, q, &code, at, 1));
    Ok((variants.collect(), same))
}
