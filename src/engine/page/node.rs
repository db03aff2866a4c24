//! One element of a document, as plain data.
//!
//! A page's script turns nodes into elements one for one; the compiler writes the same nodes as
//! HTML. Neither knows a sentence or a rule: every text, every label and every event that a
//! touch sends stands in a node. A node's text comes before its children, so a text that
//! follows a child is a child of its own.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::{Deref, DerefMut};

use serde::Serialize;
use serde_json::Value;

/// One element.
///
/// It is handed on by its address: a page is made of hundreds of calls that take an element and
/// give it back, and moving all of it each time is a quarter of a page's engine.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Node(Box<Element>);

/// What an element is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Element {
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
    pub kids: Vec<Node>,
}

impl Deref for Node {
    type Target = Element;

    fn deref(&self) -> &Element {
        &self.0
    }
}

impl DerefMut for Node {
    fn deref_mut(&mut self) -> &mut Element {
        &mut self.0
    }
}

impl Node {
    /// An element without text.
    pub fn new(tag: &'static str) -> Self {
        Self::made(tag, Cow::Borrowed(""))
    }

    /// An element with text.
    pub fn text<'t>(tag: &'static str, text: impl Into<Cow<'t, str>>) -> Self {
        Self::made(tag, text.into())
    }

    // Written once, whatever the text is handed over as.
    #[inline(never)]
    fn made(tag: &'static str, text: Cow<'_, str>) -> Self {
        let (text, with) = (text.into_owned(), BTreeMap::new());
        Self(Box::new(Element { tag, text, with, act: None, kids: Vec::new() }))
    }

    /// A button that sends an event.
    pub fn button<'t>(text: impl Into<Cow<'t, str>>, act: Value) -> Self {
        Self::text("button", text).with("type", "button").acts(act)
    }

    /// With an attribute.
    #[must_use]
    pub fn with<'t>(self, name: &'static str, value: impl Into<Cow<'t, str>>) -> Self {
        self.having(name, value.into())
    }

    #[inline(never)]
    fn having(mut self, name: &'static str, value: Cow<'_, str>) -> Self {
        self.with.insert(name, value.into_owned());
        self
    }

    /// With a class.
    #[must_use]
    pub fn class<'t>(self, name: impl Into<Cow<'t, str>>) -> Self {
        self.with("class", name)
    }

    /// With the event it sends.
    #[must_use]
    #[inline(never)]
    pub fn acts(mut self, act: Value) -> Self {
        self.act = Some(act);
        self
    }

    /// With children.
    #[must_use]
    pub fn holding(mut self, kids: impl IntoIterator<Item = Self>) -> Self {
        for kid in kids {
            self.kids.push(kid);
        }
        self
    }
}
