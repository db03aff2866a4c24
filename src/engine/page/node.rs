//! One element of a document, as plain data.
//!
//! A page's script turns nodes into elements one for one; the compiler writes the same nodes as
//! HTML. Neither knows a sentence or a rule: every text, every label and every event that a
//! touch sends stands in a node. A node's text comes before its children, so a text that
//! follows a child is a child of its own.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;

/// One element.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Node {
    /// Its tag.
    pub tag: &'static str,
    /// Its text; before its children.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub text: String,
    /// Its attributes; `value` and `checked` set what a field holds.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub with: BTreeMap<&'static str, String>,
    /// What is sent when a button is pressed, a form is sent, or a field is changed; a field
    /// adds its value as `text`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub act: Option<Value>,
    /// What stands inside.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub kids: Vec<Self>,
}

impl Node {
    /// An element without text.
    pub fn new(tag: &'static str) -> Self {
        let (text, with) = (String::new(), BTreeMap::new());
        Self { tag, text, with, act: None, kids: Vec::new() }
    }

    /// An element with text.
    pub fn text(tag: &'static str, text: impl Into<String>) -> Self {
        Self { text: text.into(), ..Self::new(tag) }
    }

    /// A button that sends an event.
    pub fn button(text: impl Into<String>, act: Value) -> Self {
        Self::text("button", text).with("type", "button").acts(act)
    }

    /// With an attribute.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: impl Into<String>) -> Self {
        self.with.insert(name, value.into());
        self
    }

    /// With a class.
    #[must_use]
    pub fn class(self, name: impl Into<String>) -> Self {
        self.with("class", name)
    }

    /// With the event it sends.
    #[must_use]
    pub fn acts(mut self, act: Value) -> Self {
        self.act = Some(act);
        self
    }

    /// With children.
    #[must_use]
    pub fn holding(mut self, kids: impl IntoIterator<Item = Self>) -> Self {
        self.kids.extend(kids);
        self
    }
}
