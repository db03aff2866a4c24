//! The door of whoever learns: practice with a set of questions.

use serde_json::{Value, json};

use super::super::ask::{List, OfVariant, Open, Work, Written};
use super::super::drawing::draw;
use super::super::kit::{FORMAT, Opened, PracticeKit};
use super::super::session::{Practice, listed};
use super::door::{Answer, Door, complain, read, value, written};
use crate::fingerprint::hex_hash;
use crate::formulas::{Given, GivenKind, Input, Inputs, Library};
use crate::quantity::{Comma, Quantity};
use crate::quiz::{Purpose, Ticket, Variant};
use crate::words::Words;

/// Practice with the questions of one kit.
#[derive(Debug, Default)]
pub struct Questions {
    practice: Option<Practice>,
}

impl Door for Questions {
    fn words(&self) -> Option<&Words> {
        self.practice.as_ref().map(|one| one.opened().words())
    }

    fn comma(&self) -> Comma {
        self.practice.as_ref().map(|one| one.opened().comma()).unwrap_or_default()
    }

    fn answer(&mut self, name: &str, request: Value) -> Answer {
        match name {
            "open" => {
                let revision = hex_hash(written(&request, "/kit/practice")?.as_bytes());
                let Open { kit } = read(self.words(), request)?;
                self.open(kit.format, kit.practice, revision)
            }
            "draw" => {
                let from: OfVariant = read(self.words(), request)?;
                let variant = self.variant(&from)?;
                let key = if from.key { Some(variant.key()) } else { None };
                Ok(json!({ "item": value(variant.item())?, "key": value(&key)? }))
            }
            "mark" => {
                let from: OfVariant = read(self.words(), request)?;
                let variant = self.variant(&from)?;
                let opened = self.practice()?;
                let (comma, words) = (opened.comma(), opened.words());
                value(&variant.mark(&from.written, comma, words))
            }
            "list" => self.list(&read(self.words(), request)?),
            "work" => self.work(&read(self.words(), request)?),
            "stored" => {
                let stored = read(self.words(), request)?;
                value(&self.session()?.stored(stored))
            }
            "tap" => {
                let tap = read(self.words(), request)?;
                value(&self.session()?.tap(&tap))
            }
            "score" => Err(complain(self.words(), "no-run", &[])),
            other => Err(complain(self.words(), "bad-request", &[("reason", other)])),
        }
    }
}

impl Questions {
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
    fn open(
        &mut self,
        format: u32,
        kit: Option<PracticeKit>,
        revision: String,
    ) -> Answer {
        // Nothing of another kit stays: an answer from two kits would be nobody's.
        *self = Self::default();
        if format != FORMAT {
            let words = kit.as_ref().map(|kit| &kit.words);
            return Err(complain(words, "other-format", &[]));
        }
        self.practice = kit.map(|kit| Practice::new(Opened::new(kit, revision)));
        Ok(json!({
            "practice": self.practice.as_ref().map(|one| one.opened().revision()),
            "keys": self.practice.as_ref().map(Practice::keys),
        }))
    }

    /// The practice kit, or a sentence that there is none.
    fn practice(&self) -> Result<&Opened, String> {
        let practice = self.practice.as_ref().map(Practice::opened);
        practice.ok_or_else(|| complain(self.words(), "no-practice", &[]))
    }

    /// The session, likewise.
    fn session(&mut self) -> Result<&mut Practice, String> {
        let none = complain(self.words(), "no-practice", &[]);
        self.practice.as_mut().ok_or(none)
    }

    fn variant(&self, from: &OfVariant) -> Result<Variant, String> {
        let opened = self.practice()?;
        let no =
            || complain(self.words(), "no-question", &[("question", &from.question)]);
        let question = opened.question(&from.question).ok_or_else(no)?;
        let ticket = Ticket {
            purpose: Purpose::Practice,
            seed: &from.seed,
            attempt: from.attempt,
        };
        draw(opened, question, ticket).ok_or_else(no)
    }
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
