//! Values → JSON by their tables, with keys as in files; and the one spelling of it that hashes
//! are made of.

use serde_json::{Map, Value as Json};

use super::read::{beside, implied};
use super::table::{Cases, Field, Kind, Layout, Need, Table};
use super::thing::Wire;
use super::value::Value;
use crate::fingerprint::{NotCanonical, canonical_text, hex_hash};

/// How much of a thing is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// All that reads back to the same thing.
    Whole,
    /// The same thing, however it was written: what is absent, empty, or equal to what it is
    /// when left out, is not in it.
    Canonical,
    /// The same without what only tells: what somebody is held to.
    Held,
}

/// A thing as JSON.
pub fn json<T: Wire>(thing: &T, form: Form) -> Json {
    plain(&thing.give_there(), T::KIND, form)
}

/// The canonical form of a thing: RFC 8785 text. With [`Form::Held`] fields that are prose are
/// left out.
pub fn canonical<T: Wire>(thing: &T, form: Form) -> Result<String, NotCanonical> {
    canonical_text(&json(thing, form))
}

/// The revision of a thing: 64 hexadecimal digits over what somebody is held to by it.
///
/// An optional field that a later program adds is absent in everything that was written before,
/// and what is absent is in no canonical form: so the program changes no revision.
pub fn revision<T: Wire>(thing: &T) -> Result<String, NotCanonical> {
    Ok(hex_hash(canonical(thing, Form::Held)?.as_bytes()))
}

fn plain(value: &Value, kind: Kind, form: Form) -> Json {
    match (value, kind) {
        (Value::Nothing, _) => Json::Null,
        (Value::Text(text), _) => Json::String(text.clone()),
        (Value::Whole(number), _) => Json::from(*number),
        (Value::Quantity(quantity), _) => Json::String(quantity.to_string()),
        (Value::List(items), _) => {
            Json::Array(items.iter().map(|item| plain(item, kind, form)).collect())
        }
        (Value::Map(entries), _) => {
            let entry =
                |(key, value): &(String, Value)| (key.clone(), plain(value, kind, form));
            Json::Object(entries.iter().map(entry).collect())
        }
        (Value::Pairs(entries), _) => {
            let entry = |(key, value): &(String, Value)| {
                Json::Object(Map::from_iter([(key.clone(), plain(value, kind, form))]))
            };
            Json::Array(entries.iter().map(entry).collect())
        }
        (Value::Group(values), Kind::Group(table)) => {
            let mut out = Map::new();
            fill(&mut out, table(), values, form);
            Json::Object(out)
        }
        (Value::Case(word, values), Kind::OneOf(cases)) => {
            let mut out = Map::new();
            chosen(&mut out, cases(), word, values, form);
            Json::Object(out)
        }
        (Value::Group(_) | Value::Case(..), _) => Json::Null,
    }
}

fn fill(out: &mut Map<String, Json>, table: &Table, values: &[Value], form: Form) {
    for (field, value) in table.fields.iter().zip(values) {
        if form == Form::Held && field.prose {
            continue;
        }
        // What repeats its neighbour is left out, whichever way the author wrote it: one
        // thing, one hash.
        if field.like.is_some_and(|key| beside(table, values, key) == Some(value)) {
            continue;
        }
        match (field.need, field.kind, value) {
            (Need::Flat, Kind::Group(inner), Value::Group(values)) => {
                fill(out, inner(), values, form);
            }
            (Need::Flat, Kind::OneOf(cases), Value::Case(word, values)) => {
                chosen(out, cases(), word, values, form);
            }
            (Need::Flat, ..) => {}
            _ => {
                if let Some(written) = written(field, value, form) {
                    out.insert(field.key.to_owned(), written);
                }
            }
        }
    }
}

fn chosen(
    out: &mut Map<String, Json>,
    cases: &Cases,
    word: &str,
    values: &[Value],
    form: Form,
) {
    let Some(case) = cases.of.iter().find(|case| case.word == word) else { return };
    if let Some(by) = cases.by.filter(|_| !word.is_empty()) {
        out.insert(by.to_owned(), Json::String(word.to_owned()));
    }
    fill(out, case.table, values, form);
}

/// What is written under a key; nothing where the field is left out.
fn written(field: &Field, value: &Value, form: Form) -> Option<Json> {
    // Said or left out it is the same thing, so it has one form.
    if field.or.is_some() && *value == implied(field) {
        return None;
    }
    let written = match value {
        // The reader asks for it, so that what was written can be read again.
        Value::Nothing if form == Form::Whole && field.need == Need::Must => {
            match (field.nothing, field.layout) {
                (Some(said), _) => Json::String(said.to_owned()),
                (None, Layout::List) => Json::Array(Vec::new()),
                (None, Layout::Map | Layout::MapOf(_)) => Json::Object(Map::new()),
                (None, Layout::One) => return None,
            }
        }
        Value::Nothing => return None,
        value => plain(value, field.kind, form),
    };
    let empty = match &written {
        Json::Null => true,
        Json::String(text) => text.is_empty(),
        Json::Array(items) => items.is_empty(),
        Json::Object(fields) => fields.is_empty(),
        _ => false,
    };
    // An empty field says nothing, and a later program that adds it must find the old
    // hash.
    (form == Form::Whole || !empty).then_some(written)
}

#[cfg(test)]
#[expect(
    unreachable_pub,
    dead_code,
    reason = "the macro makes types for the whole crate, with their help"
)]
mod tests {
    use super::*;
    use crate::record;
    use crate::wire::from_json;

    record! {
        /// A thing as a program knows it today.
        Before {
            /// Its name.
            id: String = need "thing" as own("thing"), eg "one";
            /// Its parts.
            parts: Vec<String> = may "parts", eg "[a, b]";
        }
    }

    record! {
        /// The same thing as a later program knows it.
        After {
            /// Its name.
            id: String = need "thing" as own("thing"), eg "one";
            /// Its parts.
            parts: Vec<String> = may "parts", eg "[a, b]";
            /// A field more.
            more: Option<String> = may "more", since 2, eg "x";
            /// A choice more.
            heated: bool = may "heated", or "no", since 2, eg "yes";
            /// A list more.
            others: Vec<String> = may "others", since 2, eg "[c]";
        }
    }

    #[test]
    fn a_new_optional_field_changes_no_revision_and_old_files_read() {
        let before = Before { id: "one".into(), parts: vec!["a".into()] };
        let after: After = from_json(&json(&before, Form::Whole)).unwrap();
        assert_eq!(revision(&before).unwrap(), revision(&after).unwrap());
        let again: After = from_json(&json(&after, Form::Whole)).unwrap();
        assert_eq!(again, after);
        // Saying what is so when nothing is said is the same thing.
        let said = serde_json::json!({"thing": "one", "parts": ["a"], "heated": "no", "others": []});
        let said: After = from_json(&said).unwrap();
        assert_eq!(
            canonical(&said, Form::Held).unwrap(),
            canonical(&before, Form::Held).unwrap()
        );
        // Something said is another thing.
        let other = After { heated: true, ..after };
        assert_ne!(revision(&before).unwrap(), revision(&other).unwrap());
        // What a later program wrote is not read as if the field were not there.
        assert!(from_json::<Before>(&json(&other, Form::Whole)).is_err());
    }
}
