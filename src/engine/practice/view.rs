//! What a page with an engine shows and keeps.

use std::collections::BTreeMap;

use serde::Serialize;

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

/// What comes of an event.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Turn {
    /// What is shown now; nothing when what is shown stays.
    pub view: Option<View>,
    /// What is stored, by key; `null` takes it out.
    pub store: BTreeMap<String, Option<String>>,
    /// A file for whoever uses the page: name and text.
    pub file: Option<(String, String)>,
}
