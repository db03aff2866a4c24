//! The fields of a group: asked for by name, the rest reported.

use std::cell::RefCell;
use std::collections::BTreeSet;

use super::desk::{BLANK, Desk};
use super::item::Item;
use super::node::{Key, Node, Shape};
use crate::findings::{Code, Finding, MOST_OF_A_FILE, Place};
use crate::words::nearest;

/// The fields of a group.
#[derive(Debug)]
pub struct Fields<'d> {
    pub(super) desk: &'d Desk,
    pub(super) file: &'d str,
    pub(super) entries: &'d [(Key, Node)],
    /// Where a missing field is told.
    pub(super) start: (usize, usize),
    pub(super) asked: RefCell<Vec<&'static str>>,
}

impl<'d> Item<'d> {
    /// The fields of a group; a field that stands twice is noted.
    pub fn fields(&self) -> Option<Fields<'d>> {
        match &self.node.shape {
            Shape::Map(fields) => {
                let found = Fields {
                    desk: self.desk,
                    file: self.file,
                    entries: fields,
                    start: self.node.mark(),
                    asked: RefCell::default(),
                };
                // Here and not when a field is asked for: a double of a key that nobody
                // knows is a double all the same.
                found.report_doubles();
                Some(found)
            }
            _ => {
                self.wrong("⟨wire.group⟩");
                None
            }
        }
    }
}

impl<'d> Fields<'d> {
    pub(super) fn report_doubles(&self) {
        // A set: a hostile file has as many keys as it likes.
        let mut earlier = BTreeSet::new();
        for (key, _) in self.entries {
            if !earlier.insert(key.text.as_str()) {
                let place = self.key_place(key);
                let finding = Finding::at(Code::DuplicateField, place);
                self.desk.note(finding.with("field", key.text.clone()));
            }
        }
    }

    fn key_place(&self, key: &Key) -> Place {
        Place { file: self.file.to_owned(), start: key.start, end: key.end }
    }

    /// Place of the first key: where a missing field is reported.
    pub fn head(&self) -> Place {
        Place { file: self.file.to_owned(), start: self.start.0, end: self.start.1 }
    }

    /// Place of a field's key, or of the head.
    pub fn key(&self, name: &str) -> Place {
        // The first of two with one name, as it is read; the second was told as a double.
        let found = self.entries.iter().find(|(key, _)| key.text == name);
        found.map_or_else(|| self.head(), |(key, _)| self.key_place(key))
    }

    /// Place of a field's value, or of the head.
    pub fn value(&self, name: &str) -> Place {
        let found = self.entries.iter().find(|(key, _)| key.text == name);
        found.map_or_else(
            || self.head(),
            |(_, node)| {
                let (start, end) = node.mark();
                Place { file: self.file.to_owned(), start, end }
            },
        )
    }

    /// The text of a field; empty where there is none.
    pub(super) fn said(&self, name: &str) -> &'d str {
        let found = self.entries.iter().find(|(key, _)| key.text == name);
        found.and_then(|(_, node)| node.text()).unwrap_or_default()
    }

    /// Notes a fault.
    pub fn note(&self, finding: Finding) {
        self.desk.note(finding);
    }

    /// Whether the field is there.
    pub fn has(&self, name: &str) -> bool {
        self.entries.iter().any(|(key, _)| key.text == name)
    }

    /// Whether it has no field at all.
    pub(super) const fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// A field of that name could stand here, though nobody reads it.
    pub(super) fn known(&self, name: &'static str) {
        if !self.has(name) {
            self.asked.borrow_mut().push(name);
        }
    }

    /// A field that may be left out.
    pub fn may(&self, name: &'static str) -> Option<Item<'d>> {
        // Noted whether it is there or not: what was asked for is what could have been
        // meant by a key that nobody knows.
        self.asked.borrow_mut().push(name);
        let (key, node) = self.entries.iter().find(|(key, _)| key.text == name)?;
        Some(Item { desk: self.desk, file: self.file, name: &key.text, node })
    }

    /// A field that must be there.
    pub fn need(&self, name: &'static str) -> Option<Item<'d>> {
        let found = self.may(name);
        if found.is_none() {
            let finding =
                Finding::at(Code::MissingField, self.head()).with("field", name);
            self.desk.note(finding);
        }
        found
    }

    /// A text that must be there; a draft prints a blank instead.
    pub fn need_text(&self, name: &'static str) -> Option<String> {
        // A draft prints a blank to be filled in by hand; a finished module has no such
        // hole.
        if self.desk.draft && !self.has(name) {
            let finding =
                Finding::at(Code::BlankInDraft, self.head()).with("field", name);
            self.desk.note(finding);
            self.asked.borrow_mut().push(name);
            return Some(BLANK.to_owned());
        }
        self.need(name)?.text()
    }

    /// A field that is there under a misspelled name is not missing as well.
    fn found_misspelled(&self, name: &str) {
        let place = Some(self.head());
        let missing = |finding: &Finding| {
            matches!(finding.code, Code::MissingField | Code::BlankInDraft)
                && finding.place == place
                && finding.blanks.iter().any(|(_, value)| value == name)
        };
        // A key with a slip in it is one fault: that the right one is missing follows
        // from it.
        self.desk.findings.borrow_mut().retain(|finding| !missing(finding));
    }

    /// Reports every field that nobody asked for.
    pub fn finish(&self) {
        let asked = self.asked.borrow();
        let mut free: Vec<&str> = Vec::new();
        for name in asked.iter().filter(|name| !self.has(name)) {
            // The key that chooses a group may be a field of it too.
            if !free.contains(name) {
                free.push(name);
            }
        }
        // Once for each name, however many keys come near it.
        let (mut found, mut others) = (BTreeSet::new(), 0);
        for (key, _) in self.entries {
            if asked.iter().any(|name| *name == key.text) {
                continue;
            }
            others += 1;
            // Of more than are ever told the one that is meant is not looked for.
            let meant = (others <= MOST_OF_A_FILE)
                .then(|| nearest(&key.text, free.iter().copied()))
                .flatten();
            if let Some(name) = &meant
                && found.insert(name.clone())
            {
                self.found_misspelled(name);
            }
            let all = || {
                if others <= MOST_OF_A_FILE { free.join(", or ") } else { String::new() }
            };
            let near = meant.unwrap_or_else(all);
            let finding = Finding::at(Code::UnknownField, self.key_place(key));
            self.desk.note(finding.with("field", key.text.clone()).with("nearest", near));
        }
    }
}
