//! The trees of a folder: what was written, put into one system of units, and where it stands.

use std::collections::BTreeMap;
use std::path::Path;

use super::yaml::read;
use crate::findings::{Finding, Place, Sources};
use crate::quantity::{Comma, System};
use crate::wire::{Node, Shape, Value, Wire};

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
            // Whoever changed a letter of the library, or has one of their own, has it read.
            let before = crate::stock::tree(file, text);
            match before.map_or_else(|| read(file, text), Ok) {
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
        let Some(said) = head else { return Comma::default() };
        let take = |said: &str| Comma::take(Value::Text(said.to_owned()));
        // A word that is none of them is told where it stands. Whoever writes the line at all, and does
        // not misspell the other word, means the comma before decimals: else each figure of the
        // module would be told besides.
        let near = || crate::words::nearest(said, ["decimal", "thousands"].into_iter());
        let meant = || take(&near()?);
        take(said.trim()).or_else(meant).unwrap_or(Comma::Decimal)
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
}
