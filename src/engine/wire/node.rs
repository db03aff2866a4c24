//! What a file says, as a tree that remembers where everything stands.

use crate::findings::Place;

/// A value and its bytes in the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Node {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
    /// What it is.
    pub shape: Shape,
}

/// A key of a map.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Key {
    /// The key itself.
    pub text: String,
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

/// What a value is. A scalar stays as it is written, because only its field knows whether
/// `0.10` is a number, `no` a word and `2026-11-02` a date.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shape {
    /// A scalar, as it is written.
    Text(String),
    /// Nothing after the colon.
    Nothing,
    /// A list.
    List(Vec<Node>),
    /// Fields in the author's order; a key may stand twice.
    Map(Vec<(Key, Node)>),
}

impl Node {
    /// The value under a key or an index.
    pub fn child(&self, part: &str) -> Option<&Self> {
        match &self.shape {
            Shape::Map(fields) => {
                // The first of two equal keys: the second has been told.
                fields.iter().find(|(key, _)| key.text == part).map(|(_, node)| node)
            }
            Shape::List(items) => items.get(part.parse::<usize>().ok()?),
            _ => None,
        }
    }

    /// What is underlined: a scalar as a whole, of a map its first key, of a list its first
    /// entry. The keys of a table stand in its head; then it is the first value.
    pub fn mark(&self) -> (usize, usize) {
        match &self.shape {
            Shape::Map(fields)
                if fields.first().is_some_and(|(key, _)| key.start < self.start) =>
            {
                fields.first().map_or((self.start, self.end), |(_, value)| value.mark())
            }
            Shape::Map(fields) => fields
                .first()
                .map_or((self.start, self.end), |(key, _)| (key.start, key.end)),
            Shape::List(items) => {
                items.first().map_or((self.start, self.end), Self::mark)
            }
            _ => (self.start, self.end),
        }
    }

    /// The scalar's text.
    pub fn text(&self) -> Option<&str> {
        match &self.shape {
            Shape::Text(text) => Some(text),
            _ => None,
        }
    }

    /// Place of a value in its file: `&["steps", "2", "role"]`. What is not there gives the
    /// place of the nearest thing above it: the first key of a map, or the whole of a scalar.
    pub fn place(&self, file: &str, path: &[&str]) -> Place {
        let mut node = self;
        for part in path {
            match node.child(part) {
                Some(child) => node = child,
                // What is missing cannot be underlined; what it is missing from can.
                None => break,
            }
        }
        let (start, end) = node.mark();
        Place { file: file.to_owned(), start, end }
    }

    /// Place of the key of a field; of the value where it stands in a list.
    pub fn key_place(&self, file: &str, path: &[&str]) -> Place {
        let Some((last, above)) = path.split_last() else {
            return self.place(file, path);
        };
        let mut node = self;
        for part in above {
            match node.child(part) {
                Some(child) => node = child,
                None => return self.place(file, path),
            }
        }
        if let Shape::Map(fields) = &node.shape
            && let Some((key, _)) = fields.iter().find(|(key, _)| key.text == *last)
        {
            return Place { file: file.to_owned(), start: key.start, end: key.end };
        }
        self.place(file, path)
    }
}
