//! A path into a file, for places and names.

use super::super::tree::Trees;
use crate::findings::Place;
use crate::wire::{Node, Shape};

/// A value that may be there.
#[derive(Debug, Clone)]
pub(super) struct Spot<'t> {
    trees: &'t Trees,
    file: String,
    path: Vec<String>,
}

impl<'t> Spot<'t> {
    pub(super) fn of(trees: &'t Trees, file: String) -> Self {
        Self { trees, file, path: Vec::new() }
    }

    pub(super) fn file(&self) -> &str {
        &self.file
    }

    /// The value under a key or an index.
    pub(super) fn at(&self, part: impl Into<String>) -> Self {
        let mut deeper = self.clone();
        deeper.path.push(part.into());
        deeper
    }

    /// The entry of a list whose `key` has that value.
    pub(super) fn entry(&self, key: &str, id: &str) -> Self {
        let is = |item: &Node| item.child(key).and_then(Node::text) == Some(id);
        let found = match self.node().map(|node| &node.shape) {
            Some(Shape::List(items)) => items.iter().position(is),
            _ => None,
        };
        // An entry that is not there has a path all the same, with the
        // place of what stands above it.
        found.map_or_else(|| self.at(id), |index| self.at(index.to_string()))
    }

    pub(super) fn node(&self) -> Option<&'t Node> {
        let top = self.trees.get(&self.file)?;
        self.path.iter().try_fold(top, |node, part| node.child(part))
    }

    pub(super) fn text(&self) -> Option<&'t str> {
        self.node()?.text()
    }

    /// Entries of a list; nothing else has any.
    pub(super) fn items(&self) -> Vec<Self> {
        match self.node().map(|node| &node.shape) {
            Some(Shape::List(items)) => {
                (0..items.len()).map(|index| self.at(index.to_string())).collect()
            }
            _ => Vec::new(),
        }
    }

    /// Keys of a group.
    pub(super) fn keys(&self) -> Vec<&'t str> {
        match self.node().map(|node| &node.shape) {
            Some(Shape::Map(fields)) => {
                fields.iter().map(|(key, _)| key.text.as_str()).collect()
            }
            _ => Vec::new(),
        }
    }

    /// The scalars of a list.
    pub(super) fn texts(&self) -> Vec<String> {
        self.items().iter().filter_map(Self::text).map(str::to_owned).collect()
    }

    /// What the entries of a list have under a key.
    pub(super) fn ids(&self, key: &str) -> Vec<String> {
        let ids = self.items();
        ids.iter().filter_map(|item| item.at(key).text()).map(str::to_owned).collect()
    }

    pub(super) fn place(&self) -> Place {
        let path: Vec<&str> = self.path.iter().map(String::as_str).collect();
        self.trees.place(&self.file, &path)
    }

    /// Place of the key that leads here.
    pub(super) fn key(&self) -> Place {
        let path: Vec<&str> = self.path.iter().map(String::as_str).collect();
        self.trees.key_place(&self.file, &path)
    }
}
