//! What all doors of an engine have in common: a request in JSON goes in, an answer comes out.

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use super::super::decode::Decode;
use crate::fingerprint::canonical_text;
use crate::quantity::{Comma, Writing};
use crate::words::Words;

/// An answer: what was asked for, or a plain sentence that says why not.
pub(super) type Answer = Result<Value, String>;

/// What a page asks: it holds one kit, and answers with it.
pub trait Door {
    /// The sentences of its kit; nothing while none is open.
    fn words(&self) -> Option<&Words>;

    /// How the module of its kit writes its numbers.
    fn comma(&self) -> Comma;

    /// Answers a request of that name.
    fn answer(&mut self, name: &str, request: Value) -> Result<Value, String>;

    /// Answers one request with canonical JSON: `{"done": …}`, or `{"fault": "a sentence"}`.
    fn call(&mut self, request: &[u8]) -> Vec<u8> {
        let _numbers = Writing::of(self.comma());
        let answer = match serde_json::from_slice::<Value>(request) {
            Ok(request) => {
                let name = request.get("ask").and_then(Value::as_str);
                let name = name.unwrap_or_default().to_owned();
                self.answer(&name, request)
            }
            Err(reason) => Err(unreadable(self.words(), &reason)),
        };
        let answer = match answer {
            Ok(done) => json!({ "done": done }),
            Err(fault) => json!({ "fault": fault }),
        };
        // One spelling, so that the engine in a page and the one in the terminal can be
        // compared byte for byte.
        canonical_text(&answer).unwrap_or_default().into_bytes()
    }
}

/// What a request holds beside its name.
pub(super) fn read<T: DeserializeOwned>(
    words: Option<&Words>,
    request: Value,
) -> Result<T, String> {
    T::deserialize(Decode(request)).map_err(|reason| unreadable(words, &reason))
}

fn unreadable(words: Option<&Words>, reason: &serde_json::Error) -> String {
    complain(words, "bad-request", &[("reason", &reason.to_string())])
}

/// A sentence of the engine in the words of the kit that is open.
pub(super) fn complain(
    words: Option<&Words>,
    key: &str,
    blanks: &[(&str, &str)],
) -> String {
    let none = Words::default();
    // words: practice.engine.{complain(_, ..)}
    words.unwrap_or(&none).say(&format!("practice.engine.{key}"), blanks)
}

pub(super) fn value(thing: &impl Serialize) -> Answer {
    serde_json::to_value(thing).map_err(|fault| fault.to_string())
}

/// A part of a request as canonical JSON: a kit as it was written.
pub(super) fn written(request: &Value, part: &str) -> Result<String, String> {
    let part = request.pointer(part).unwrap_or(&Value::Null);
    canonical_text(part).map_err(|fault| fault.to_string())
}
