//! What a page with an engine shows and keeps.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::{Map, Value};

pub use crate::page::Node;

/// All that is shown.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct View {
    /// The elements.
    pub nodes: Vec<Node>,
    /// What a screen reader is told.
    pub says: String,
    /// The id of the element that gets the focus.
    pub focus: Option<String>,
}

/// What comes of a tap, or of what was stored.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Turn {
    /// What is shown now; nothing when what is shown stays.
    pub view: Option<View>,
    /// Texts that change within what is shown, by the id of their element.
    pub texts: BTreeMap<String, String>,
    /// What is stored, by key; `null` takes it out.
    pub store: BTreeMap<String, Option<String>>,
    /// A file for whoever uses the page: name and text.
    pub file: Option<(String, String)>,
    /// A file that is stored: its name, and the key of its text.
    pub fetch: Option<(String, String)>,
    /// Keys of stored texts that the page hands back together, for one file of them all.
    pub gather: Vec<String>,
    /// What the page is asked for: `awake`, the screen stays on; `ticks`, seconds are told;
    /// `print`; `erase`, all that is stored goes.
    pub asks: Vec<&'static str>,
    /// What is looked at of it. The page hands it back with whatever it asks.
    pub look: String,
    /// What is open. The page hands it back with each tap; one that was meant for something
    /// else does nothing.
    pub of: String,
}

impl Turn {
    /// Has something stored under a key. What is stored already is not written again, or another
    /// tab would be told of a change that is none.
    pub(super) fn put(
        &mut self,
        stored: &mut BTreeMap<String, String>,
        key: String,
        text: Option<String>,
    ) {
        if stored.get(&key) == text.as_ref() {
            return;
        }
        match &text {
            Some(text) => stored.insert(key.clone(), text.clone()),
            None => stored.remove(&key),
        };
        self.store.insert(key, text);
    }
}

/// What a node sends when it is touched: an event without fields.
pub(super) fn does(event: &str) -> Value {
    doing(event, &[])
}

/// The event that shows something over the page.
pub(super) fn opens(what: &str) -> Value {
    doing("open", &[("what", Value::from(what))])
}

/// An event with its fields.
// In one place, because each element of a page has such a thing.
#[inline(never)]
pub(super) fn doing(event: &str, fields: &[(&str, Value)]) -> Value {
    let mut act = Map::new();
    act.insert("do".to_owned(), Value::from(event));
    for (name, value) in fields {
        act.insert((*name).to_owned(), value.clone());
    }
    Value::Object(act)
}

/// A value of such a field.
pub(super) fn valued(value: &impl Serialize) -> Value {
    serde_json::to_value(value).unwrap_or_default()
}
