//! A department's own sentences, by the keys of the plain ones.

use std::collections::{BTreeMap, BTreeSet};

use super::own::WORDS;
use super::sentence::{SIGNALS, Wrong, is_safety, terms, wrong};
use crate::findings::{Code, Finding, Place};
use crate::stock;
use crate::wire::{Books, Desk, Item, Key, Node, Shape, field_key, sentence, thing_key};
use crate::words::{Words, nearest};

/// The key of the language of a page, which stands at the top of the file as `lang`.
const LANG: &str = "page.lang";

/// Groups of words of which each says another thing: what came out of a run, of a crew's, and marks.
const RESULTS: &[(&str, &str)] = &[
    ("scoring", "outcome"),
    ("scoring", "crew"),
    ("scoring", "mark"),
    ("scoring", "critical-mark"),
    ("live", "mark"),
    ("live", "critical-mark"),
];

/// Whether a key is one of a group, and no group itself.
fn of_group(key: &str, group: (&str, &str)) -> bool {
    let parts: Vec<&str> = key.split('.').collect();
    matches!(parts.as_slice(), [first, second, _] if (*first, *second) == group)
}

/// Whether two sentences say the same but for what is filled in.
fn same(one: &str, other: &str) -> bool {
    let bare = |text: &str| {
        let mut depth = 0_u32;
        let kept = text.chars().filter(|c| match c {
            '{' => {
                depth += 1;
                false
            }
            '}' => {
                depth = depth.saturating_sub(1);
                false
            }
            _ => depth == 0,
        });
        terms(&kept.collect::<String>())
    };
    bare(one) == bare(other) && !bare(one).is_empty()
}

/// Whether a sentence begins as the plain one of "met" does, or denies it, where the plain sentence of
/// its own key does otherwise.
fn as_met(plain: &str, own: &str) -> bool {
    let first =
        |text: &str, word: &str| terms(text).first().is_some_and(|first| first == word);
    let begins = |word: &str| first(own, word) != first(plain, word) && first(own, word);
    let says = |text: &str, word: &str| terms(text).iter().any(|one| one == word);
    // In the words of the plain sentences alone: what another language says so is not known here.
    begins("met")
        || (says(plain, "meet") && says(own, "met") && !says(own, "not"))
        || (first(plain, "met") && says(own, "not") && says(own, "meet"))
}

/// The plain words with the department's laid over them.
pub(super) fn read(desk: &Desk, node: Option<&Node>, books: Books) -> Words {
    let plain = stock::words();
    let Some(node) = node else { return plain };
    let helps = helps(books);
    let mut reader = Reader { desk, plain: &plain, helps: &helps, own: BTreeMap::new() };
    reader.group(node, "");
    // Behind all of them: two sentences can be held against each
    // other only when both are read.
    reader.signals();
    reader.results();
    let own = reader.own.into_iter().map(|(key, (said, _))| (key, said)).collect();
    plain.with(own)
}

/// Help sentences by key: of fields, `field.tank.usable`, and of what they stand in, `thing.tank`.
pub(super) fn helps(books: Books) -> BTreeMap<String, String> {
    let of = |book: &'static crate::wire::Book| {
        let entries = book.entries.iter().filter(|entry| !entry.key.is_empty());
        entries.map(|entry| (field_key(book.name, entry.key), sentence(entry.help)))
    };
    let about = |book: &crate::wire::Book| (thing_key(book.name), sentence(book.about));
    books.all().flat_map(of).chain(books.all().map(about)).collect()
}

struct Reader<'r> {
    desk: &'r Desk,
    plain: &'r Words,
    helps: &'r BTreeMap<String, String>,
    own: BTreeMap<String, (String, Place)>,
}

fn place(start: usize, end: usize) -> Place {
    Place { file: WORDS.to_owned(), start, end }
}

impl Reader<'_> {
    fn group(&mut self, node: &Node, above: &str) {
        let Shape::Map(entries) = &node.shape else {
            let item = Item { desk: self.desk, file: WORDS, name: above, node };
            item.wrong("⟨wire.group⟩");
            return;
        };
        let mut seen = BTreeSet::new();
        for (key, value) in entries {
            let full = match above {
                "" => key.text.clone(),
                above => format!("{above}.{}", key.text),
            };
            if !seen.insert(&key.text) {
                let finding =
                    Finding::at(Code::DuplicateField, place(key.start, key.end));
                self.desk.note(finding.with("field", full));
                continue;
            }
            match &value.shape {
                Shape::Text(said) if full == "lang" => self.lang(said, value),
                Shape::Text(said) => self.sentence(&full, said, (key, value)),
                // Nothing after the colon is a sentence that was emptied.
                Shape::Nothing if self.plain_of(&full).is_some() => {
                    self.sentence(&full, "", (key, value));
                }
                Shape::List(_) if self.plain_of(&full).is_some() => {
                    let item =
                        Item { desk: self.desk, file: WORDS, name: &full, node: value };
                    item.wrong("⟨wire.text⟩");
                }
                Shape::Map(_) if self.begins(&full) => self.group(value, &full),
                _ => self.unknown(&full, key),
            }
        }
    }

    fn plain_of(&self, key: &str) -> Option<&str> {
        self.plain.find(key).or_else(|| self.helps.get(key).map(String::as_str))
    }

    fn keys(&self) -> impl Iterator<Item = &str> {
        self.plain.keys().chain(self.helps.keys().map(String::as_str))
    }

    /// Whether a key is a group of keys.
    fn begins(&self, group: &str) -> bool {
        let begins =
            |key: &str| key.strip_prefix(group).is_some_and(|rest| rest.starts_with('.'));
        self.keys().any(begins)
    }

    fn unknown(&self, full: &str, key: &Key) {
        let near = nearest(full, self.keys()).unwrap_or_default();
        let finding = Finding::at(Code::WordUnknown, place(key.start, key.end));
        self.desk.note(finding.with("key", full).with("nearest", near));
    }

    fn sentence(&mut self, full: &str, said: &str, (key, value): (&Key, &Node)) {
        let Some(plain) = self.plain_of(full) else {
            self.unknown(full, key);
            return;
        };
        let (start, end) = value.mark();
        // An empty value has no letter to be marked; its key has.
        let at = if start < end { place(start, end) } else { place(key.start, key.end) };
        let finding =
            |code| Finding::at(code, at.clone()).with("key", full).with("plain", plain);
        let fault = match wrong(full, plain, said) {
            None => {
                self.own.insert(full.to_owned(), (said.to_owned(), at));
                return;
            }
            Some(Wrong::Empty) => finding(Code::WordEmpty),
            Some(Wrong::Safety | Wrong::Turned) => finding(Code::WordSafety),
            Some(Wrong::Broken) => finding(Code::WordBlanks).with("found", said),
            Some(Wrong::Blanks(found)) => {
                let found =
                    if found.is_empty() { "⟨word-blanks.none⟩" } else { &found };
                finding(Code::WordBlanks).with("found", found)
            }
        };
        self.desk.note(fault);
    }

    /// Two signal words that are one would let a danger be read as a notice.
    fn signals(&mut self) {
        for (at, key) in SIGNALS.iter().enumerate() {
            let Some((said, place)) = self.own.get(*key).cloned() else { continue };
            let other = SIGNALS.iter().enumerate().find(|(other, key)| {
                let own = self.own.get(**key).map(|(said, _)| said.as_str());
                let theirs = own.or_else(|| self.plain.find(key)).unwrap_or_default();
                // Nor may one take the plain word of another: whoever learned the four reads it so.
                let plain = self.plain.find(key).unwrap_or_default().to_lowercase();
                let said = said.to_lowercase();
                *other != at && (theirs.to_lowercase() == said || plain == said)
            });
            if other.is_some() {
                debug_assert!(is_safety(key), "a signal word is a word of safety");
                let plain = self.plain.get(key);
                let finding = Finding::at(Code::WordSafety, place);
                self.desk.note(finding.with("key", *key).with("plain", plain));
                self.own.remove(*key);
            }
        }
    }

    /// Words of what came out, and of marks, that say what another of them says: a run that did not
    /// meet its standard is never told as met, in any words (rule 36).
    fn results(&mut self) {
        for group in RESULTS {
            let keys = self.plain.keys().filter(|key| of_group(key, *group));
            let keys: Vec<String> = keys.map(str::to_owned).collect();
            for key in &keys {
                let Some((said, place)) = self.own.get(key).cloned() else { continue };
                let plain = self.plain.get(key);
                let other = keys.iter().filter(|other| *other != key).any(|other| {
                    let theirs = self.plain.find(other).unwrap_or_default();
                    let own = self.own.get(other).map(|(said, _)| said.as_str());
                    same(&said, own.unwrap_or(theirs)) || same(&said, theirs)
                });
                if other || as_met(&plain, &said) {
                    let finding = Finding::at(Code::WordSafety, place);
                    let finding = finding.with("key", key.as_str());
                    self.desk.note(finding.with("plain", plain));
                    self.own.remove(key);
                }
            }
        }
    }

    /// A language as pages name it: `es`, `pt-BR`. Readers aloud choose their voice by it.
    fn lang(&mut self, said: &str, value: &Node) {
        let mut parts = said.trim().split('-');
        let letters = |part: &str| part.chars().all(|c| c.is_ascii_alphabetic());
        // As in the standard of language tags: two or three letters, then parts of two to eight.
        let first =
            parts.next().is_some_and(|one| (2..=3).contains(&one.len()) && letters(one));
        let rest = |part: &str| {
            // As in that standard: a longer part would be none that a browser knows.
            (2..=8).contains(&part.len())
                && part.chars().all(|c| c.is_ascii_alphanumeric())
        };
        let (start, end) = value.mark();
        if first && parts.all(rest) {
            let said = said.trim().to_owned();
            self.own.insert(LANG.to_owned(), (said, place(start, end)));
            return;
        }
        let finding = Finding::at(Code::UnknownWord, place(start, end));
        let finding = finding.with("found", said).with("field", "lang");
        self.desk.note(finding.with("nearest", "lang: en-US, or es, or fr-CA"));
    }
}
