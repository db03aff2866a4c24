//! YAML as a tree that remembers where everything stands, and the trees of a folder.

use std::collections::BTreeMap;
use std::fmt;
use std::path::Path;

use serde::Deserialize;
use serde::de::{Deserializer, MapAccess, SeqAccess, Visitor};
use serde_yaml::{Location, Spanned};

use super::bounded::{MOST_NAMES, given_up, reading, too_much};
use super::unreadable::unreadable;
use crate::findings::{Code, Finding, Place, Sources, visible};
use crate::quantity::{Comma, System};
use crate::wire::{Key, Node, Shape, Value, Wire};

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
pub(super) fn read(file: &str, text: &str) -> Result<Node, Finding> {
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

/// Puts a value into one system. A field that has nothing left to say there, such as the note
/// to a source that prints gallons, is taken out.
/// The field of a formula's line or answer that says how finely a metric result is shown.
const STEP: &str = "shown-si";

fn tell(node: &mut Node, system: System) {
    match &mut node.shape {
        Shape::Text(text) => *text = system.told(text).into_owned(),
        Shape::List(items) => items.iter_mut().for_each(|item| tell(item, system)),
        Shape::Map(fields) => fields.retain_mut(|(key, value)| {
            let written = value.text().is_some_and(|text| !text.is_empty());
            tell(value, system);
            if let (STEP, Shape::Text(text)) = (key.text.as_str(), &mut value.shape) {
                *text = system.step(text).into_owned();
            }
            !(written && value.text() == Some(""))
        }),
        Shape::Nothing => {}
    }
}

fn put(node: &mut Node, other: &dyn Fn(&str) -> Option<String>) {
    match &mut node.shape {
        Shape::Text(text) => {
            if let Some(new) = other(text) {
                *text = new;
            }
        }
        Shape::List(items) => items.iter_mut().for_each(|item| put(item, other)),
        Shape::Map(fields) => fields.iter_mut().for_each(|(_, value)| put(value, other)),
        Shape::Nothing => {}
    }
}

/// The trees of all files, for looking up places afterwards.
#[derive(Debug, Clone, Default)]
pub struct Trees {
    files: BTreeMap<String, Node>,
}

impl Trees {
    /// Reads every `.yaml` file of the sources.
    pub fn read(sources: &Sources, findings: &mut Vec<Finding>) -> Self {
        let mut files = BTreeMap::new();
        let yaml =
            |file: &str| Path::new(file).extension().is_some_and(|end| end == "yaml");
        for (file, text) in sources.iter().filter(|(file, _)| yaml(file)) {
            match read(file, text) {
                Ok(node) => {
                    files.insert(file.clone(), node);
                }
                Err(finding) => findings.push(finding),
            }
        }
        Self { files }
    }

    /// The system that `module.yaml` says; US where it says none, as without a module.
    pub fn system(&self) -> System {
        let said = self.get("module.yaml").and_then(|head| head.child("units")?.text());
        match said.map(str::trim) {
            Some("si") => System::Si,
            Some("si-bar") => System::SiBar,
            _ => System::Us,
        }
    }

    /// What a comma means to the department, before its module is read.
    pub fn comma(&self) -> Comma {
        let head = self.get("module.yaml").and_then(|head| head.child("comma")?.text());
        let said = head.map(|said| Value::Text(said.trim().to_owned()));
        said.and_then(Comma::take).unwrap_or_default()
    }

    /// Puts each sentence of the trade library into one system. It is done here and nowhere
    /// further on, so that no page, message or kit can get hold of the other half.
    #[must_use]
    pub fn told_in(mut self, system: System) -> Self {
        let trade = self.files.iter_mut().filter(|(file, _)| file.starts_with("trade/"));
        trade.for_each(|(_, node)| tell(node, system));
        self
    }

    /// With other texts in the place of some; where each stands stays as it was written.
    #[must_use]
    pub(super) fn with_texts(
        mut self,
        other: impl Fn(&str, &str) -> Option<String>,
    ) -> Self {
        for (file, node) in &mut self.files {
            put(node, &|text| other(file, text));
        }
        self
    }

    /// One text, whatever its name ends with.
    pub fn one(file: &str, text: &str) -> Result<Node, Finding> {
        read(file, text)
    }

    /// One file that is read already, whatever its name ends with.
    pub fn of(file: &str, node: Node) -> Self {
        Self { files: BTreeMap::from([(file.to_owned(), node)]) }
    }

    /// The tree of a file.
    pub fn get(&self, file: &str) -> Option<&Node> {
        self.files.get(file)
    }

    /// Names of all files.
    pub fn files(&self) -> impl Iterator<Item = &str> {
        self.files.keys().map(String::as_str)
    }

    /// Place of a value: `&["steps", "2", "role"]`, see [`Node::place`].
    pub fn place(&self, file: &str, path: &[&str]) -> Place {
        let nowhere = || Place { file: file.to_owned(), start: 0, end: 0 };
        self.files.get(file).map_or_else(nowhere, |node| node.place(file, path))
    }

    /// Place of the key of a field; of the value where it stands in a list.
    pub fn key_place(&self, file: &str, path: &[&str]) -> Place {
        let nowhere = || Place { file: file.to_owned(), start: 0, end: 0 };
        self.files.get(file).map_or_else(nowhere, |node| node.key_place(file, path))
    }
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

    #[test]
    fn what_a_system_does_not_say_is_not_there() {
        let text = "- note: \"{5 psi|}\"\n  unit: \"\"\n  says: a {gallon|litre}\n";
        let told = |system| {
            let mut node = read("trade/f.yaml", text).unwrap();
            tell(&mut node, system);
            node.child("0").unwrap().clone()
        };
        let (us, si) = (told(System::Us), told(System::Si));
        assert_eq!(us.child("note").unwrap().text(), Some("5 psi"));
        assert_eq!(us.child("says").unwrap().text(), Some("a gallon"));
        assert_eq!(si.child("note"), None);
        assert_eq!(si.child("unit").unwrap().text(), Some(""));
        assert_eq!(si.child("says").unwrap().text(), Some("a litre"));
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
