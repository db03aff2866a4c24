//! How the description of a field is told: in which units, in whose words.

use super::book::{Book, Books, Entry, field_key, sentence, thing_key};
use super::table::{Kind, Way, WordList};
use crate::quantity::System;
use crate::words::Words;

/// Units and words of whoever is told.
#[derive(Debug, Clone, Copy)]
pub struct Telling<'w> {
    /// The help of all fields.
    pub books: Books,
    /// The system in which examples are written.
    pub system: System,
    /// The words for what can be written.
    pub words: &'w Words,
}

impl Telling<'_> {
    /// The help sentence of a field: the department's own where it has one.
    pub(super) fn help(&self, table: &str, entry: &Entry) -> String {
        let own = self.words.find(&field_key(table, entry.key)).map(str::to_owned);
        own.unwrap_or_else(|| sentence(entry.help))
    }

    /// What a group of fields is.
    pub(super) fn about(&self, book: &Book) -> String {
        let own = self.words.find(&thing_key(book.name)).map(str::to_owned);
        own.unwrap_or_else(|| sentence(book.about))
    }

    /// An example in the units of the module.
    pub(super) fn eg(&self, eg: &str) -> String {
        self.system.example_text(eg).into_owned()
    }

    /// What stands under a key of `wire`, with one blank.
    pub(super) fn said(&self, key: &str, blank: (&str, &str)) -> String {
        // words: wire.{telling.said(..)}
        self.words.say(&format!("wire.{key}"), &[blank])
    }

    /// The words of a list.
    pub(super) fn words<'a>(&self, all: impl Iterator<Item = &'a str>) -> String {
        // The group that is left has no word that anybody could write.
        let all: Vec<&str> = all.filter(|word| !word.is_empty()).collect();
        self.words.say("wire.one-of", &[("words", &all.join(", "))])
    }

    /// A way of writing that has no kind of its own.
    pub(super) fn way(&self, key: &str) -> String {
        let (unit, eg) = (self.eg("gpm"), self.eg("0.1 %"));
        // words: wire.way.{*}
        self.words.say(&format!("wire.way.{key}"), &[("unit", &unit), ("eg", &eg)])
    }

    /// What a single value is, with an example or without.
    pub(super) fn one(&self, kind: Kind, such: bool) -> String {
        let words = self.words;
        let such = |kind: String, eg: &str| {
            if such {
                words.say("wire.such", &[("kind", &kind), ("eg", &self.eg(eg))])
            } else {
                kind
            }
        };
        match kind {
            Kind::Text => words.get("wire.text"),
            Kind::Name => words.get("wire.name"),
            Kind::Own(sort) => words.say("wire.own", &[("sort", &self.sort(sort))]),
            Kind::Refers(sort) => words.say("wire.refers", &[("sort", &self.sort(sort))]),
            Kind::Day => such(words.get("wire.day"), "2026-11-02"),
            Kind::Moment => such(words.get("wire.moment"), "2026-11-14 10:20"),
            Kind::Whole => words.get("wire.whole"),
            Kind::Word(WordList { words, .. }) => self.words(words.iter().copied()),
            Kind::Quantity(dimension, eg) => such(words.told(&dimension.told(), &[]), eg),
            Kind::Percent => such(words.get("wire.one.percent"), "0.5 %"),
            Kind::Figure => such(words.get("wire.figure"), "95 gpm"),
            Kind::Unit => such(words.get("wire.unit"), "gpm"),
            Kind::Group(_) => words.get("wire.group"),
            Kind::OneOf(_) => words.get("wire.groups"),
            Kind::Spelled(own) => {
                let ways: Vec<String> =
                    own.ways.iter().map(|way| spelled(way, self)).collect();
                ways.join(&words.get("wire.or"))
            }
        }
    }

    /// The sort of thing that a name stands for.
    pub fn sort(&self, sort: &str) -> String {
        let key = format!("wire.sort.{}", sort.replace(' ', "-"));
        // words: wire.sort.{*}
        self.words.find(&key).unwrap_or(sort).to_owned()
    }
}

/// One of the ways in which a value may be written.
fn spelled(way: &Way, telling: &Telling<'_>) -> String {
    match way {
        Way::Text(_, key) => telling.way(key),
        Way::ListOf(inner) => telling.said("list-of", ("one", &spelled(inner, telling))),
        Way::MapOf(inner) => telling.said("map-to", ("one", &spelled(inner, telling))),
        Way::Again => telling.words.get("wire.again"),
        Way::As(other) => telling.one(Kind::Spelled(other), true),
        Way::Anything => telling.words.get("wire.written"),
        Way::Group(_) => telling.words.get("wire.group"),
    }
}
