//! One file of YAML as a tree that remembers where everything stands. The compiler's build script
//! includes this file too, so that the trade library is read once, by the reader of all the others.

use std::fmt;

use serde::Deserialize;
use serde::de::{Deserializer, MapAccess, SeqAccess, Visitor};
use serde_yaml::{Location, Spanned};

use super::bounded::{MOST_NAMES, given_up, reading, too_much};
use super::unreadable::unreadable;
use crate::findings::{Code, Finding, Place, visible};
use crate::wire::{Key, Node, Shape};

/// A value before its place in bytes is known.
#[derive(Debug)]
enum Raw {
    Text(String),
    /// A number or a boolean: the file's own spelling is taken.
    AsWritten,
    Nothing,
    List(Vec<Spanned<Self>>),
    Map(Vec<(Spanned<String>, Spanned<Self>)>),
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(AnyValue)
    }
}

struct AnyValue;

impl<'de> Visitor<'de> for AnyValue {
    type Value = Raw;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("any YAML value")
    }

    fn visit_str<E>(self, text: &str) -> Result<Raw, E> {
        Ok(Raw::Text(text.to_owned()))
    }

    // By its own spelling: 0.10 and 0.1 are one number to YAML and two readings of a
    // gauge, and `yes` is a word of ours.
    fn visit_bool<E>(self, _: bool) -> Result<Raw, E> {
        Ok(Raw::AsWritten)
    }

    fn visit_i64<E>(self, _: i64) -> Result<Raw, E> {
        Ok(Raw::AsWritten)
    }

    fn visit_u64<E>(self, _: u64) -> Result<Raw, E> {
        Ok(Raw::AsWritten)
    }

    fn visit_i128<E>(self, _: i128) -> Result<Raw, E> {
        Ok(Raw::AsWritten)
    }

    fn visit_u128<E>(self, _: u128) -> Result<Raw, E> {
        Ok(Raw::AsWritten)
    }

    fn visit_f64<E>(self, _: f64) -> Result<Raw, E> {
        Ok(Raw::AsWritten)
    }

    fn visit_unit<E>(self) -> Result<Raw, E> {
        Ok(Raw::Nothing)
    }

    fn visit_none<E>(self) -> Result<Raw, E> {
        Ok(Raw::Nothing)
    }

    fn visit_some<D: Deserializer<'de>>(self, inner: D) -> Result<Raw, D::Error> {
        Raw::deserialize(inner)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Raw, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = seq.next_element()? {
            items.push(item);
        }
        Ok(Raw::List(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Raw, A::Error> {
        let mut fields = Vec::new();
        while let Some(key) = map.next_key()? {
            fields.push((key, map.next_value()?));
        }
        Ok(Raw::Map(fields))
    }
}

/// Reads one file; a fault of the YAML itself is one finding.
pub(crate) fn read(file: &str, text: &str) -> Result<Node, Finding> {
    if text.trim().is_empty() {
        let place = Place { file: file.to_owned(), start: 0, end: 0 };
        return Err(Finding::at(Code::Empty, place).with("field", file));
    }
    match serde_yaml::from_str_with_options::<Spanned<Raw>>(text, reading()) {
        Ok(raw) => match wide(&raw) {
            None => Ok(settle(raw, text)),
            Some(location) => {
                let (start, end) = bytes(location, text);
                Err(given_up("names", Place { file: file.to_owned(), start, end }))
            }
        },
        Err(error) => {
            let error = error.without_snippet();
            let place = error.location().map_or((0, 0), |location| bytes(location, text));
            if let Some(what) = too_much(error) {
                let place = Place { file: file.to_owned(), start: place.0, end: place.1 };
                // words: too-much.{repeated|nested|values}
                let says = format!("⟨too-much.{what}⟩");
                return Err(Finding::at(Code::TooMuch, place).with("says", says));
            }
            // Without the place that the reader adds: a finding
            // tells its own, and in one line.
            let reason = error.to_string();
            let reason = reason.split(" at line").next().unwrap_or_default().to_owned();
            let reason = reason.lines().next().unwrap_or_default().to_owned();
            Err(unreadable(file, text, place, &reason))
        }
    }
}

/// Where a group has more names than are read of one.
fn wide(raw: &Spanned<Raw>) -> Option<Location> {
    match &raw.value {
        Raw::List(items) => items.iter().find_map(wide),
        Raw::Map(fields) => match fields.get(MOST_NAMES) {
            Some((key, _)) => Some(key.referenced),
            None => fields.iter().find_map(|(_, value)| wide(value)),
        },
        Raw::Text(_) | Raw::AsWritten | Raw::Nothing => None,
    }
}

fn bytes(location: Location, text: &str) -> (usize, usize) {
    let span = location.span();
    let known = span.byte_offset().zip(span.byte_len());
    if let Some((start, length)) = known {
        let start = usize::try_from(start).unwrap_or(0).min(text.len());
        let end = (start + usize::try_from(length).unwrap_or(0)).min(text.len());
        return (start, end);
    }
    // Of some faults the reader knows line and column alone.
    let line = usize::try_from(location.line()).unwrap_or(1).saturating_sub(1);
    let column = usize::try_from(location.column()).unwrap_or(1).saturating_sub(1);
    let before: usize = text.split_inclusive('\n').take(line).map(str::len).sum();
    let rest = text.get(before..).unwrap_or_default();
    let shift: usize = rest.chars().take(column).map(char::len_utf8).sum();
    ((before + shift).min(text.len()), (before + shift).min(text.len()))
}

fn settle(raw: Spanned<Raw>, text: &str) -> Node {
    let (start, mut end) = bytes(raw.referenced, text);
    let written = || text.get(start..end).unwrap_or_default().trim().to_owned();
    let shape = match raw.value {
        Raw::Text(value) => Shape::Text(visible(&value).into_owned()),
        Raw::AsWritten => Shape::Text(written()),
        Raw::Nothing => Shape::Nothing,
        Raw::List(items) => {
            let items: Vec<Node> =
                items.into_iter().map(|item| settle(item, text)).collect();
            end = items.last().map_or(end, |last| last.end.max(end));
            Shape::List(items)
        }
        Raw::Map(fields) => {
            let fields: Vec<(Key, Node)> = fields
                .into_iter()
                .map(|(key, value)| {
                    let (start, end) = bytes(key.referenced, text);
                    let name = visible(&key.value).into_owned();
                    (Key { text: name, start, end }, settle(value, text))
                })
                .collect();
            end = fields.last().map_or(end, |(_, last)| last.end.max(end));
            Shape::Map(fields)
        }
    };
    // A scalar's mark ends with its last letter, not with the blanks behind it.
    if matches!(shape, Shape::Text(_)) {
        let trimmed = text.get(start..end).unwrap_or_default().trim_end();
        end = start + trimmed.len();
    }
    Node { start, end, shape }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_and_spellings_are_kept() {
        let text = "a: 0.10\nb:\n- yes\n- \"x y\"  # said\nc:\n  d: 5 gpm\n";
        let node = read("f.yaml", text).unwrap();
        let at = |path: &[&str]| {
            let mut node = &node;
            for part in path {
                node = node.child(part).unwrap();
            }
            (
                node.text().unwrap().to_owned(),
                text.get(node.start..node.end).unwrap().to_owned(),
            )
        };
        assert_eq!(at(&["a"]), ("0.10".into(), "0.10".into()));
        assert_eq!(at(&["b", "0"]), ("yes".into(), "yes".into()));
        assert_eq!(at(&["b", "1"]), ("x y".into(), "\"x y\"".into()));
        assert_eq!(at(&["c", "d"]), ("5 gpm".into(), "5 gpm".into()));
    }

    /// What follows from a file that cannot be read is told after it.
    #[test]
    fn what_cannot_be_read_is_told_first() {
        let place = Place { file: "a.yaml".to_owned(), start: 0, end: 1 };
        let unread = read("z.yaml", "a: 1\n b: 2\n").unwrap_err();
        let mut found = vec![Finding::at(Code::NoUnit, place), unread];
        crate::findings::sort(&mut found);
        assert_eq!(found.first().unwrap().code, Code::NotYaml);
    }

    #[test]
    fn yaml_faults_are_findings_with_a_place() {
        let finding = read("f.yaml", "a: 1\n b: 2\n").unwrap_err();
        assert_eq!(finding.code, Code::NotYaml);
        assert!(finding.place.unwrap().start > 0);
    }
}
