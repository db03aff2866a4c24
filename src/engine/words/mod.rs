//! Every word that a reader of a page, a sheet or a message sees, by key.
//!
//! The words themselves stand in `themes/plain/words.yaml`; this room only fills their
//! blanks. It never makes up a sentence, and it knows no YAML: whoever opens the file
//! hands the entries in.

use std::borrow::Cow;
use std::collections::BTreeMap;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A key and its sentence.
pub type Entry = (Cow<'static, str>, Cow<'static, str>);

/// Sentences by dotted key, such as `finding.unknown-field.says`.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Words {
    /// In the order of the keys, which are looked up by halving.
    entries: Cow<'static, [Entry]>,
}

impl Words {
    /// Words from flat entries, key to sentence.
    pub fn new(entries: BTreeMap<String, String>) -> Self {
        let owned = |(key, sentence): (String, String)| (key.into(), sentence.into());
        Self { entries: entries.into_iter().map(owned).collect() }
    }

    /// Words that were listed when the program was built, in the order of their keys:
    /// taking them costs nothing at a start.
    pub const fn listed(entries: &'static [Entry]) -> Self {
        Self { entries: Cow::Borrowed(entries) }
    }

    /// The sentence under a key with its blanks filled.
    ///
    /// A blank is written `{name}`. A key that is not there comes back in angle brackets,
    /// so that a forgotten word is seen on the page and by the test that looks for it.
    pub fn say(&self, key: &str, blanks: &[(&str, &str)]) -> String {
        match self.find(key) {
            Some(sentence) => fill(sentence, blanks),
            // Not a panic and not an empty text: the page still stands, and the key shows
            // what to mend.
            None => format!("⟨{key}⟩"),
        }
    }

    /// The sentence under a key that has no blanks.
    pub fn get(&self, key: &str) -> String {
        self.say(key, &[])
    }

    /// The sentence under a key, or nothing when the file has none.
    pub fn find(&self, key: &str) -> Option<&str> {
        // The list is sorted when it is built, in the program or from a map, so a start
        // reads nothing.
        let at = self.entries.binary_search_by(|(known, _)| (**known).cmp(key)).ok()?;
        self.entries.get(at).map(|(_, sentence)| &**sentence)
    }

    /// The same with some sentences in the place of those under their keys.
    #[must_use]
    pub fn with(self, own: BTreeMap<String, String>) -> Self {
        if own.is_empty() {
            return self;
        }
        let entries = self.entries.iter();
        let mut all: BTreeMap<String, String> =
            entries.map(|(key, said)| (key.to_string(), said.to_string())).collect();
        all.extend(own);
        Self::new(all)
    }

    /// What a value says: one that names a key, `⟨kind.drill⟩`, says its sentence. So whoever
    /// finds a fault names what it is about, and the language is chosen where it is printed.
    pub fn told(&self, value: &str, blanks: &[(&str, &str)]) -> String {
        let key = value.strip_prefix('⟨').and_then(|rest| rest.strip_suffix('⟩'));
        match key.filter(|key| self.find(key).is_some()) {
            Some(key) => self.say(key, blanks),
            None => value.to_owned(),
        }
    }

    /// All keys in order.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.entries.iter().map(|(key, _)| &**key)
    }

    /// The words whose key starts with one of the prefixes: what a page's kit carries.
    #[must_use]
    pub fn under(&self, prefixes: &[&str]) -> Self {
        let wanted = |(key, _): &&Entry| prefixes.iter().any(|p| key.starts_with(p));
        Self { entries: self.entries.iter().filter(wanted).cloned().collect() }
    }
}

impl Serialize for Words {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.entries.iter().map(|(key, said)| (key, said)))
    }
}

impl<'de> Deserialize<'de> for Words {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        BTreeMap::deserialize(deserializer).map(Self::new)
    }
}

/// Fills `{name}` blanks in one pass, so that a filled-in text is never filled again.
pub fn fill(sentence: &str, blanks: &[(&str, &str)]) -> String {
    replaced(sentence, |name| Some(blanks.iter().find(|(blank, _)| *blank == name)?.1))
}

/// A text in which each pair of braces is replaced by what is known for it.
pub fn replaced<'t>(text: &'t str, known: impl Fn(&'t str) -> Option<&'t str>) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let found =
            after.split_once('}').and_then(|(inside, tail)| Some((known(inside)?, tail)));
        match found {
            Some((value, tail)) => {
                // What was put in is not looked through again: a value with braces in it is
                // only a value.
                out.push_str(value);
                rest = tail;
            }
            None => {
                out.push('{');
                // A brace of an author's own text stays as it is.
                rest = after;
            }
        }
    }
    out.push_str(rest);
    out
}

/// The known word that a mistyped one most likely means.
pub fn nearest<'a>(typed: &str, known: impl Iterator<Item = &'a str>) -> Option<String> {
    let distance = |word: &str| strsim::damerau_levenshtein(typed, word);
    let best = known.min_by_key(|word| distance(word))?;
    // One letter in three may be wrong: beyond that a suggestion is a guess, and a wrong one
    // sends an author off in another direction.
    let allowed = (typed.chars().count().max(3)).div_ceil(3);
    // Where no letter of it was written, nothing of it was meant: A is no slip for C.
    let own = distance(best) < typed.chars().count() || best.eq_ignore_ascii_case(typed);
    (own && distance(best) <= allowed).then(|| best.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_of_which_no_letter_was_written_is_not_meant() {
        let near = |typed| nearest(typed, ["A", "B", "flow"].into_iter());
        assert_eq!(near("C"), None);
        assert_eq!(near("a").as_deref(), Some("A"));
        assert_eq!(near("flwo").as_deref(), Some("flow"));
    }

    #[test]
    fn blanks_are_filled_once() {
        let words = Words::new(BTreeMap::from([("a".into(), "{x} and {y}, {z".into())]));
        assert_eq!(words.say("a", &[("x", "{y}"), ("y", "2")]), "{y} and 2, {z");
        assert_eq!(words.get("b"), "⟨b⟩");
    }
}
