//! The one entrance: a request in JSON goes in, an answer in JSON comes out.
//!
//! A page, the terminal and the tests go through the same [`Engine::call`], so that none of
//! them can have a rule of its own.

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use super::ask::{List, OfVariant, Open, OpenLive, Score, Work, Written};
use super::decode::Decode;
use super::kit::{FORMAT, Opened, PageKit};
use super::live::{Live, LiveKit, Panel};
use super::session::{Practice, listed};
use crate::course::Question;
use crate::fingerprint::canonical;
use crate::formulas::{Given, GivenKind, Input, Inputs, Library};
use crate::quantity::{Comma, Quantity, Writing};
use crate::quiz::{Prepared, Purpose, Ticket, Variant};
use crate::scoring::{self, score};
use crate::words::Words;

/// An engine with the kit it was opened with.
#[derive(Debug, Default)]
pub struct Engine {
    practice: Option<Practice>,
    run: Option<scoring::Kit>,
    live: Option<Panel>,
}

/// An answer: what was asked for, or a plain sentence that says why not.
type Answer = Result<Value, String>;

impl Engine {
    /// Answers one request with canonical JSON: `{"done": …}`, or `{"fault": "a sentence"}`.
    pub fn call(&mut self, request: &[u8]) -> Vec<u8> {
        let answer = match serde_json::from_slice(request) {
            Ok(request) => self.answer(request),
            Err(reason) => Err(self.unreadable(&reason)),
        };
        let answer = match answer {
            Ok(done) => json!({ "done": done }),
            Err(fault) => json!({ "fault": fault }),
        };
        // One spelling, so that the engine in a page and the one in the terminal can be
        // compared byte for byte.
        canonical(&answer).unwrap_or_default().into_bytes()
    }

    /// As the opened module writes its numbers.
    fn comma(&self) -> Comma {
        let live = self.live.as_ref().map(|panel| panel.live().comma());
        let practice = self.practice.as_ref().map(|one| one.opened().comma());
        live.or(practice).unwrap_or_default()
    }

    fn answer(&mut self, request: Value) -> Answer {
        let _numbers = Writing::of(self.comma());
        let name = request.get("ask").and_then(Value::as_str).unwrap_or_default();
        match name.to_owned().as_str() {
            "open" if request.get("live").is_some() => {
                let OpenLive { live } = self.read(request)?;
                self.open_live(live)
            }
            "open" => {
                let open: Open = self.read(request)?;
                self.open(open.kit)
            }
            "draw" => {
                let from: OfVariant = self.read(request)?;
                let variant = self.variant(&from)?;
                let key = if from.key { Some(variant.key()) } else { None };
                Ok(json!({ "item": value(variant.item())?, "key": value(&key)? }))
            }
            "mark" => {
                let from: OfVariant = self.read(request)?;
                let variant = self.variant(&from)?;
                let opened = self.practice()?;
                let (comma, words) = (opened.comma(), opened.words());
                value(&variant.mark(&from.written, comma, words))
            }
            "score" => {
                let Score { sheet } = self.read(request)?;
                let kit = self.run.as_ref().ok_or_else(|| self.say("no-run", &[]))?;
                value(&score(kit, &sheet))
            }
            "list" => self.list(&self.read(request)?),
            "work" => self.work(&self.read(request)?),
            "stored" => {
                let stored = self.read(request)?;
                match (&mut self.live, &mut self.practice) {
                    (Some(live), _) => value(&live.stored(stored)),
                    (None, Some(practice)) => value(&practice.stored(stored)),
                    (None, None) => Err(self.say("no-practice", &[])),
                }
            }
            "tap" if self.live.is_some() => {
                let tap = self.read(request)?;
                value(&self.live.as_mut().map(|live| live.tap(&tap)))
            }
            "tap" => {
                let tap = self.read(request)?;
                let none = self.say("no-practice", &[]);
                value(&self.practice.as_mut().ok_or(none)?.tap(&tap))
            }
            other => Err(self.say("bad-request", &[("reason", other)])),
        }
    }

    /// What a request holds beside its name.
    fn read<T: DeserializeOwned>(&self, request: Value) -> Result<T, String> {
        T::deserialize(Decode(request)).map_err(|reason| self.unreadable(&reason))
    }

    fn unreadable(&self, reason: &serde_json::Error) -> String {
        self.say("bad-request", &[("reason", &reason.to_string())])
    }

    fn list(&self, asked: &List) -> Answer {
        let opened = self.practice()?;
        let (variants, same) = listed(opened, &asked.code).map_err(|fault| {
            // words: practice.code.{CodeFault}
            let key = format!("practice.code.{}", fault.key());
            opened.words().say(&key, &[("code", asked.code.trim())])
        })?;
        let note = (!same).then(|| opened.words().get("practice.code.other-revision"));
        let pair = |variant: &Variant| {
            Ok(json!({ "item": value(variant.item())?, "key": value(variant.key())? }))
        };
        let questions = variants.iter().map(pair).collect::<Result<Vec<_>, String>>()?;
        let title = &opened.data().title;
        Ok(json!({ "title": title, "note": note, "questions": questions }))
    }

    fn work(&self, asked: &Work) -> Answer {
        let opened = self.practice()?;
        let (library, words) = (opened.library(), opened.words());
        let inputs = inputs(library, &asked.formula, &asked.givens, words)?;
        match library.work(&asked.formula, &inputs, opened.data().system) {
            Ok(worked) => value(&worked),
            Err(fault) => Err(fault.say(words)),
        }
    }

    /// Takes a kit. What an earlier kit held is forgotten.
    fn open(&mut self, kit: PageKit) -> Answer {
        // Nothing of another kit stays: an answer from two kits would be nobody's.
        *self = Self::default();
        if kit.format != FORMAT {
            let words = kit.practice.as_ref().map(|kit| &kit.words);
            let words = words.or(kit.run.as_ref().map(|kit| &kit.words));
            let say = |words: &Words| words.get("practice.engine.other-format");
            return Err(words.map(say).unwrap_or_default());
        }
        let broken = |fault: crate::fingerprint::NotCanonical| fault.to_string();
        let practice = kit.practice.map(Opened::new).transpose().map_err(broken)?;
        self.practice = practice.map(Practice::new);
        self.run = kit.run.map(scoring::Kit::new).transpose().map_err(broken)?;
        Ok(json!({
            "practice": self.practice.as_ref().map(|one| one.opened().revision()),
            "keys": self.practice.as_ref().map(Practice::keys),
            "drill": self.run.as_ref().map(scoring::Kit::drill_revision),
            "rig": self.run.as_ref().map(scoring::Kit::rig_revision),
        }))
    }

    /// Takes the kit of a live sheet, likewise.
    fn open_live(&mut self, kit: LiveKit) -> Answer {
        *self = Self::default();
        if kit.format != FORMAT {
            return Err(kit.words.get("live.other-format"));
        }
        let live = Live::new(kit).map_err(|fault| fault.to_string())?;
        let panel = Panel::new(live);
        let opened = json!({ "live": panel.live().revision(), "keys": panel.keys() });
        self.live = Some(panel);
        Ok(opened)
    }

    /// The practice kit, or a sentence that there is none.
    fn practice(&self) -> Result<&Opened, String> {
        let practice = self.practice.as_ref().map(Practice::opened);
        practice.ok_or_else(|| self.say("no-practice", &[]))
    }

    fn variant(&self, from: &OfVariant) -> Result<Variant, String> {
        let opened = self.practice()?;
        let no = || self.say("no-question", &[("question", &from.question)]);
        let question = opened.question(&from.question).ok_or_else(no)?;
        let ticket = Ticket {
            purpose: Purpose::Practice,
            seed: &from.seed,
            attempt: from.attempt,
        };
        draw(opened, question, ticket).ok_or_else(no)
    }

    fn say(&self, key: &str, blanks: &[(&str, &str)]) -> String {
        let practice = self.practice.as_ref().map(|one| one.opened().words());
        let words = practice.or(self.run.as_ref().map(scoring::Kit::words));
        let words = words.or(self.live.as_ref().map(|panel| panel.live().words()));
        let none = Words::default();
        // words: practice.engine.{self.say(..)}
        words.unwrap_or(&none).say(&format!("practice.engine.{key}"), blanks)
    }
}

/// A variant of a question, or nothing when the question makes none.
pub(super) fn draw(
    opened: &Opened,
    question: &Question,
    ticket: Ticket<'_>,
) -> Option<Variant> {
    let prepared = Prepared::of(question, opened.quiz()).ok()?;
    prepared.variant(ticket, 1, &std::collections::BTreeSet::new()).ok()
}

fn value(thing: &impl Serialize) -> Answer {
    serde_json::to_value(thing).map_err(|fault| fault.to_string())
}

/// Givens as they are written → the inputs of a formula. What has no meaning for the formula
/// is handed on, so that the formula itself says so.
fn inputs(
    library: &Library,
    formula: &str,
    written: &std::collections::BTreeMap<String, Written>,
    words: &Words,
) -> Result<Inputs, String> {
    let givens = library.formula(formula).map_or(&[][..], |known| &known.givens);
    let mut inputs = Inputs::new();
    for (name, written) in written {
        let given = givens.iter().find(|given| given.name == *name);
        let input = match (given.map(|given| &given.kind), written) {
            // Only what the formula says decides how a text is read: "2" may be a number
            // or a word of a choice.
            (Some(GivenKind::Number { .. }), Written::Text(text)) => {
                Input::Number(number(given, text, words)?)
            }
            (_, Written::Text(word)) => Input::Word(word.clone()),
            (_, Written::Rows(rows)) => {
                let row = |row: &std::collections::BTreeMap<String, String>| {
                    let cell = |(column, text): (&String, &String)| {
                        Ok((column.clone(), number(given, text, words)?))
                    };
                    row.iter().map(cell).collect::<Result<_, String>>()
                };
                Input::Rows(rows.iter().map(row).collect::<Result<_, String>>()?)
            }
        };
        inputs.insert(name.clone(), input);
    }
    Ok(inputs)
}

fn number(given: Option<&Given>, text: &str, words: &Words) -> Result<Quantity, String> {
    let label = given.map_or("", |given| given.label.as_str());
    let wants = |_| words.say("formula.wants-number", &[("given", label)]);
    Quantity::read(text).map_err(wants)
}
