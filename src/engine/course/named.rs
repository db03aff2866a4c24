//! Figures by their full names, `rig.engine-7.crosslay-1.flow`: one dictionary of all that the
//! cards, the labels and the local register say, from which texts are filled. A figure that
//! changes on its card changes in every text that names it.
//!
//! The names are walked off the tables by which the files are read, so that a field that a card
//! gets is a name at once.

use std::collections::BTreeMap;

use serde_json::Value;

use super::concentrate::Concentrate;
use super::figures::{WhichFoam, rig_figures};
use super::module::{Decision, LocalTopic};
use super::rig::{Rig, Tank};
use crate::quantity::Quantity;
use crate::wire::{Form, Kind, Wire, json};

/// What begins a name in a text; the brace that closes it ends the name.
const BEGIN: &[&str] = &["{rig.", "{product.", "{local."];

/// What is said under each full name, as the author wrote it there.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Named(BTreeMap<String, String>);

/// A name that stands in a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NameIn<'t> {
    /// First byte, the opening brace.
    pub start: usize,
    /// One past the closing brace.
    pub end: usize,
    /// The name between the two.
    pub name: &'t str,
}

impl Named {
    /// Adds what a rig's card says.
    pub fn rig(&mut self, rig: &Rig) {
        let of = format!("rig.{}", rig.id);
        // What its tanks hold has its own card.
        let mut card = rig.clone();
        card.agents.clear();
        self.walk(&of, Rig::KIND, &json(&card, Form::Canonical));
        for tank in &rig.tanks {
            // A mark is written by the usable volume or by the gauge; both can be said.
            let both =
                [("mark-usable", tank.mark_usable()), ("mark", tank.mark_on_gauge())];
            for (name, value) in both {
                if let Some(value) = value {
                    self.put(format!("{of}.{}.{name}", tank.id), value.to_string());
                }
            }
        }
        // The short names by which questions and drills call the figures of their rig; not those of
        // a foam where there are two, which have the names of their tanks.
        for (name, value) in rig_figures(rig, None, WhichFoam::First) {
            let other = |tank: &Tank| {
                let figures = rig_figures(rig, None, WhichFoam::Tank(&tank.id));
                name.starts_with("foam") && figures.get(&name) != Some(&value)
            };
            let mut ranges = rig.classes().filter_map(|(class, _)| {
                rig_figures(rig, None, WhichFoam::Class(class)).get(&name).copied()
            });
            let ranged = name.ends_with("-percent") && ranges.any(|own| own != value);
            if ranged || rig.foam_tanks().any(other) {
                continue;
            }
            self.put(format!("{of}.{name}"), value.to_string());
        }
    }

    /// Adds what a product's label says.
    pub fn product(&mut self, product: &Concentrate) {
        let of = format!("product.{}", product.id);
        self.walk(&of, Concentrate::KIND, &json(product, Form::Canonical));
    }

    /// Adds a rule of the department, where it is decided.
    pub fn local(&mut self, topic: &LocalTopic) {
        let of = format!("local.{}", topic.id);
        if let Decision::Decided { rule, by, on } = &topic.decision {
            for (name, said) in [("", rule), (".by", by), (".on", on)] {
                self.put(format!("{of}{name}"), said.clone());
            }
        }
        if let Some(days) = topic.days {
            self.put(format!("{of}.days"), days.to_string());
        }
    }

    /// What stands under a name.
    pub fn get(&self, name: &str) -> Option<&str> {
        self.0.get(name).map(String::as_str)
    }

    /// Every name, in order.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }

    /// Every name under which a value with a unit stands.
    pub fn figures(&self) -> impl Iterator<Item = (&str, Quantity)> {
        self.0.iter().filter_map(|(name, said)| Some((name.as_str(), figure(said)?)))
    }

    /// A text with what it names; a name under which nothing stands is left as it is, and has
    /// been found before anything is printed. `guard` is what keeps a word of another file from
    /// being read as markup here.
    pub fn fill(&self, text: &str, guard: fn(&str) -> String) -> String {
        // Where all of a field is a name it is read as a value of that field would be.
        if let [only] = names_in(text).as_slice()
            && only.start == 0
            && only.end == text.len()
            && let Some(said) = self.get(only.name)
        {
            return guard(said);
        }
        let mut out = String::with_capacity(text.len() + 16);
        let mut from = 0;
        for found in names_in(text) {
            out.push_str(text.get(from..found.start).unwrap_or_default());
            match self.get(found.name) {
                Some(said) => {
                    let said =
                        figure(said).map_or_else(|| said.to_owned(), |q| q.in_text());
                    out.push_str(&guard(&said));
                }
                None => {
                    out.push_str(text.get(found.start..found.end).unwrap_or_default());
                }
            }
            from = found.end;
        }
        out.push_str(text.get(from..).unwrap_or_default());
        out
    }

    fn put(&mut self, name: String, said: String) {
        if !said.trim().is_empty() {
            self.0.entry(name).or_insert(said);
        }
    }

    fn walk(&mut self, path: &str, kind: Kind, value: &Value) {
        match value {
            Value::String(said) => self.put(path.to_owned(), said.clone()),
            Value::Number(number) => self.put(path.to_owned(), number.to_string()),
            Value::Object(fields) => {
                for (name, value) in fields {
                    let inner = kind.field(name).map_or(kind, |field| field.kind);
                    match value {
                        Value::Array(entries) => self.list(path, name, inner, entries),
                        _ => self.walk(&format!("{path}.{name}"), inner, value),
                    }
                }
            }
            // Whether something is so is no figure, and a list within a list has no names.
            Value::Array(_) | Value::Bool(_) | Value::Null => {}
        }
    }

    /// Entries with a name of their own stand right under their thing, as on a panel; others
    /// under their list, by what they are for: `allowed.hydrocarbon-fuel.from`.
    fn list(&mut self, path: &str, list: &str, kind: Kind, entries: &[Value]) {
        let mut seen: BTreeMap<String, usize> = BTreeMap::new();
        for entry in entries {
            let Value::Object(fields) = entry else { continue };
            let own = kind.own_key().and_then(|key| fields.get(key)?.as_str());
            let path = match own {
                Some(own) => format!("{path}.{own}"),
                None => {
                    let told = ["fuel", "container", "named", "by"];
                    let told = told.iter().find_map(|key| fields.get(*key)?.as_str());
                    let Some(told) = told else { continue };
                    let slug = slug(told);
                    // Two entries for one fuel are told apart by their order on the label.
                    let count = seen.entry(slug.clone()).or_insert(0);
                    *count += 1;
                    let nth =
                        if *count > 1 { format!("-{count}") } else { String::new() };
                    format!("{path}.{list}.{slug}{nth}")
                }
            };
            self.walk(&path, kind, entry);
        }
    }
}

/// Small letters, digits and hyphens, as all names have them.
fn slug(text: &str) -> String {
    let mut out = String::new();
    for letter in text.to_lowercase().chars() {
        if letter.is_ascii_alphanumeric() {
            out.push(letter);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    out.trim_end_matches('-').to_owned()
}

/// A value with its unit; a bare number is a count or a lot.
fn figure(said: &str) -> Option<Quantity> {
    Quantity::read(said).ok().filter(|value| !value.unit().symbol.is_empty())
}

/// Where names stand in a text, in their order.
pub fn names_in(text: &str) -> Vec<NameIn<'_>> {
    let mut found = Vec::new();
    let mut from = 0;
    while let Some(rest) = text.get(from..) {
        let next = BEGIN.iter().filter_map(|begin| rest.find(begin)).min();
        let Some(start) = next.map(|at| from + at) else { break };
        let inside = text.get(start + 1..).unwrap_or_default();
        // A name has no blank and no brace in it; what has is text.
        let length = inside.find(|c: char| c == '}' || c == '{' || c.is_whitespace());
        let Some(length) = length else { break };
        let end = start + 1 + length;
        from = end;
        if inside.get(length..).is_some_and(|rest| rest.starts_with('}')) {
            let name = inside.get(..length).unwrap_or_default();
            found.push(NameIn { start, end: end + 1, name });
            from = end + 1;
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named() -> Named {
        let mut named = Named::default();
        for (name, said) in [
            ("rig.e7.crosslay-1.flow", "125 gpm"),
            ("rig.e7.water", "12500 gal"),
            ("local.volumes", "Three volumes *each*."),
        ] {
            named.put(name.into(), said.into());
        }
        named
    }

    fn plain(text: &str) -> String {
        text.to_owned()
    }

    #[test]
    fn names_are_filled_and_all_else_is_left() {
        let named = named();
        for (text, filled) in [
            ("At {rig.e7.crosslay-1.flow}, once.", "At 125\u{a0}gpm, once."),
            // As all of a field it is read as a value: no comma, no other blank.
            ("{rig.e7.water}", "12500 gal"),
            ("of {rig.e7.water}", "of 12,500\u{a0}gal"),
            ("{local.volumes} So.", "Three volumes *each*. So."),
            ("{rig.water} {flow} {rig.e7.nobody}", "{rig.water} {flow} {rig.e7.nobody}"),
            ("{rig.e7 .flow} {rig.", "{rig.e7 .flow} {rig."),
            ("{rig.{rig.e7.crosslay-1.flow}}", "{rig.125\u{a0}gpm}"),
        ] {
            assert_eq!(named.fill(text, plain), filled);
        }
    }

    #[test]
    fn a_word_of_another_file_is_not_filled_again() {
        let mut named = named();
        named.put("local.loop".into(), "{local.loop} {rig.e7.water}".into());
        assert_eq!(named.fill("x {local.loop}", plain), "x {local.loop} {rig.e7.water}");
    }

    #[test]
    fn slugs_are_names() {
        assert_eq!(slug("Alcohol (E85), blend "), "alcohol-e85-blend");
    }
}
