//! What a drill calls, brought over with it: objectives, cautions, local procedures, terms, formulas
//! and their sources. What is there already is kept as it is, and told.

use std::collections::BTreeSet;

use super::made::{of_file, schema_line, topic};
use super::metric::metric;
use super::other::{Brought, Other};
use super::text::{appended, entry, tree};
use crate::authoring::Trees;
use crate::course::Drill;
use crate::findings::Sources;
use crate::formulas::named_in;
use crate::stock;
use crate::wire::{Node, Shape, scalar};
use crate::words::Words;

/// The source that a formula of the library names in a module.
const LIBRARY: &str = "drill-library";

/// All that a drill calls, brought over.
pub(super) struct With<'a> {
    pub(super) other: Other<'a>,
    pub(super) to: &'a Sources,
    pub(super) theirs: &'a Trees,
    pub(super) ours: &'a Trees,
    pub(super) words: &'a Words,
    pub(super) brought: Brought,
}

impl With<'_> {
    pub(super) fn all(&mut self, drill: &Drill, node: &Node, text: &str) {
        let own = |id: &String| id.clone();
        self.entries(
            "objectives.yaml",
            "objective",
            drill.objectives.iter().map(own).collect(),
        );
        let mut cautions: Vec<String> = drill.cautions.clone();
        // Those of the trade library are in every module.
        cautions.retain(|id| has(self.theirs, "cautions.yaml", "caution", id));
        self.entries("cautions.yaml", "caution", cautions);
        let mut topics: Vec<String> = drill.local.clone();
        topics.extend(drill.steps.iter().filter_map(|step| step.local.clone()));
        self.topics(topics);
        // No field names a term: it belongs to a drill whose text says the word.
        let said = text.to_lowercase();
        let terms = ids(self.theirs, "terms.yaml", "term").into_iter().filter(|id| {
            let word = child(self.theirs, "terms.yaml", ("term", id), "word");
            word.is_some_and(|word| speaks(&said, &word.to_lowercase()))
        });
        let terms: Vec<String> = terms.collect();
        self.entries("terms.yaml", "term", terms);
        let mut formulas = BTreeSet::new();
        called(node, &mut formulas);
        for formula in formulas {
            self.formula(&formula);
        }
        self.papers(drill, node);
    }

    /// Papers of that department that the drill and its cautions cite by their short names.
    fn papers(&mut self, drill: &Drill, node: &Node) {
        // The papers of the library's department are made up; no
        // other module may cite them.
        if self.other.library {
            return;
        }
        let mut cited = BTreeSet::new();
        named(node, "source", &mut cited);
        for id in &drill.cautions {
            let own = child(self.theirs, "cautions.yaml", ("caution", id), "source");
            cited.extend(own);
        }
        let theirs = ids(self.theirs, "sources.yaml", "source");
        let named: BTreeSet<String> = cited
            .iter()
            .flat_map(|text| named_in(text))
            .filter(|part| theirs.iter().any(|id| id == part))
            .map(str::to_owned)
            .collect();
        self.entries("sources.yaml", "source", named.into_iter().collect());
    }

    /// The text of a file as it is by now.
    fn text(&self, file: &str) -> String {
        let own = self.brought.files.get(file).or_else(|| self.to.get(file));
        own.cloned().unwrap_or_default()
    }

    fn append(&mut self, file: &str, entries: &str) {
        let mut text = self.text(file);
        if text.is_empty() {
            text = schema_line(of_file(file), file);
        }
        self.brought.files.insert(file.to_owned(), appended(&text, entries));
    }

    fn say(&mut self, key: &str, ids: &[String], file: &str) {
        if !ids.is_empty() {
            let ids = ids.join(", ");
            // words: start.bring.{added|kept|topics}
            let said = self
                .words
                .say(&format!("start.bring.{key}"), &[("ids", &ids), ("list", file)]);
            self.brought.said.push(said);
        }
    }

    /// Entries of a list file. One that is there already stays as it is, and that is told.
    fn entries(&mut self, file: &'static str, key: &str, ids: Vec<String>) {
        let (there, missing): (Vec<String>, Vec<String>) =
            ids.into_iter().partition(|id| has(self.ours, file, key, id));
        let mut new = Vec::new();
        for id in missing {
            let text = self.other.texts.get(file).map(String::as_str).unwrap_or_default();
            let own = self.theirs.get(file).and_then(|list| entry(text, list, key, &id));
            if let Some(own) = own {
                // The library is written in one system and told in that of the module.
                let own = if self.other.library {
                    metric(file, &own, self.ours.system()).unwrap_or(own)
                } else {
                    own
                };
                self.append(file, &own);
                new.push(id);
            }
        }
        self.say("added", &new, file);
        self.say("kept", &there, file);
    }

    /// Local procedures, each open: what the other department decided holds there.
    fn topics(&mut self, ids: Vec<String>) {
        let trade = Trees::read(&stock::trade(), &mut Vec::new());
        let mut new = Vec::new();
        for id in ids {
            if new.contains(&id) || has(self.ours, "local.yaml", "topic", &id) {
                continue;
            }
            // The trade asks the question of its own topics; one of the other
            // department's brings its question along.
            let entry = match child(&trade, "trade/topics.yaml", ("topic", &id), "asks") {
                Some(asks) => topic(&id, &asks, None),
                None => {
                    let own =
                        |field| child(self.theirs, "local.yaml", ("topic", &id), field);
                    let title = own("title").unwrap_or_else(|| id.clone());
                    topic(&id, &own("asks").unwrap_or_default(), Some(&title))
                }
            };
            self.append("local.yaml", &entry);
            new.push(id);
        }
        self.say("topics", &new, "local.yaml");
    }

    /// A formula of the other department's own, with the sources that it names.
    fn formula(&mut self, id: &str) {
        let own = |texts: &Sources| {
            let trees = Trees::read(texts, &mut Vec::new());
            let files: Vec<String> = trees
                .files()
                .filter(|file| file.starts_with("formulas/"))
                .map(str::to_owned)
                .collect();
            files
                .into_iter()
                .find(|file| ids(&trees, file, "formula").iter().any(|own| own == id))
        };
        // One of that name is the department's own, and stays.
        if own(self.to).is_some() {
            return;
        }
        let Some(file) = own(self.other.texts) else { return };
        let text = self.other.texts.get(&file).cloned().unwrap_or_default();
        let Some(list) = self.theirs.get(&file) else { return };
        let Some(mut formula) = entry(&text, list, "formula", id) else { return };
        let mut sources = BTreeSet::new();
        if let Some(node) = tree(&file, &formula) {
            named(&node, "source", &mut sources);
        }
        if self.other.library {
            // The order of a district that does not exist is no source of anybody's.
            let theirs = ids(self.theirs, "sources.yaml", "source");
            sources.retain(|source| theirs.contains(source));
            for source in &sources {
                formula = formula.replace(source.as_str(), LIBRARY);
            }
            let there = self.text("sources.yaml").contains(LIBRARY);
            if !sources.is_empty() && !there {
                let title = self.words.get("start.file.library-source");
                let own = format!(
                    // What no order names yet is what crews do: nobody can look it up.
                    "- source: {LIBRARY}\n  title: {}\n  kind: practice\n",
                    scalar(&title)
                );
                self.append("sources.yaml", &own);
            }
            sources.clear();
        }
        self.append(&file, &formula);
        self.say("added", &[id.to_owned()], &file);
        self.entries("sources.yaml", "source", sources.into_iter().collect());
    }
}

/// The names in a list file.
fn ids(trees: &Trees, file: &str, key: &str) -> Vec<String> {
    let Some(Node { shape: Shape::List(items), .. }) = trees.get(file) else {
        return Vec::new();
    };
    items.iter().filter_map(|item| item.child(key)?.text()).map(str::to_owned).collect()
}

fn has(trees: &Trees, file: &str, key: &str, id: &str) -> bool {
    ids(trees, file, key).iter().any(|own| own == id)
}

/// What an entry of a list file says in one of its fields.
fn child(
    trees: &Trees,
    file: &str,
    (key, id): (&str, &str),
    field: &str,
) -> Option<String> {
    let Shape::List(items) = &trees.get(file)?.shape else { return None };
    let item =
        items.iter().find(|item| item.child(key).and_then(Node::text) == Some(id))?;
    item.child(field)?.text().map(str::to_owned)
}

/// Whether a text has a word, and not only its letters inside of another.
fn speaks(text: &str, word: &str) -> bool {
    text.match_indices(word).any(|(at, found)| {
        let letter = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '-');
        let before = text.get(..at).and_then(|before| before.chars().next_back());
        let after = text.get(at + found.len()..).and_then(|after| after.chars().next());
        !letter(before) && !letter(after)
    })
}

/// Formulas that stand in a drill.
fn called(node: &Node, out: &mut BTreeSet<String>) {
    named(node, "formula", out);
}

fn named(node: &Node, wanted: &str, out: &mut BTreeSet<String>) {
    match &node.shape {
        Shape::Map(fields) => {
            for (key, value) in fields {
                if key.text == wanted {
                    out.extend(value.text().map(str::to_owned));
                }
                named(value, wanted, out);
            }
        }
        Shape::List(items) => items.iter().for_each(|item| named(item, wanted, out)),
        Shape::Text(_) | Shape::Nothing => {}
    }
}
