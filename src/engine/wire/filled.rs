//! A thing that is there → its file with comments: what was said under its help sentence, what
//! nobody has said yet commented out with its example.
//!
//! A sentence stands where its field stands for the first time: of five outlets the first
//! explains, the others are short.

use std::collections::BTreeSet;

use super::book::{Book, Books, sentence};
use super::read::implied;
use super::starter::{Block, comment, entry, indented, plain};
use super::table::{Cases, Field, Kind, Layout, Need, Table};
use super::thing::Wire;
use super::value::Value;
use crate::quantity::{System, written};

/// The file of a thing, or of a list of things, with examples in the units of the module.
///
/// `asked` are fields of which somebody said that there is none, by the names of their tables; of
/// others nobody said anything.
pub fn filled<T: Wire>(
    thing: &T,
    books: Books,
    system: System,
    asked: &[(&str, &str)],
) -> String {
    let mut writer = Writer { books, system, asked, told: BTreeSet::new() };
    let lines = match (T::LAYOUT, thing.give_there()) {
        (Layout::List, Value::List(items)) => {
            let mut lines = Vec::new();
            for item in &items {
                lines.extend(entry(writer.inside(T::KIND, item)));
            }
            lines
        }
        (_, value) => {
            // A part of several lines stands apart, so that a long file can be looked through.
            let apart = |block: Block| {
                let many = block.lines.len() > 1;
                std::iter::once(String::new()).filter(move |_| many).chain(block.lines())
            };
            writer.inside(T::KIND, &value).into_iter().flat_map(apart).collect()
        }
    };
    lines.into_iter().fold(String::new(), |text, line| text + &line + "\n")
}

/// A text as a value of a YAML file.
pub fn scalar(text: &str) -> String {
    let inside = |c: char| c.is_alphanumeric() || " ,.-/%()'+_^;!?".contains(c);
    // What a reader of an older YAML takes for a boolean or for nothing stays a word here only
    // where it is one of ours.
    let word = matches!(
        text,
        "null" | "Null" | "NULL" | "true" | "True" | "false" | "on" | "off"
    );
    let first = text.chars().next().is_some_and(char::is_alphanumeric);
    let blank = text.ends_with(' ');
    if first && !word && !blank && text.chars().all(inside) && !text.contains(" #") {
        return text.to_owned();
    }
    serde_json::to_string(text).unwrap_or_default()
}

/// The same inside of a list in one line, where a comma parts values.
fn listed(text: &str) -> String {
    if text.contains(',') {
        return serde_json::to_string(text).unwrap_or_default();
    }
    scalar(text)
}

/// How a file says that there is none of something.
const NONE: &str = "none";

struct Writer<'a> {
    books: Books,
    system: System,
    asked: &'a [(&'a str, &'a str)],
    told: BTreeSet<(&'static str, &'static str)>,
}

impl Writer<'_> {
    fn inside(&mut self, kind: Kind, value: &Value) -> Vec<Block> {
        match (kind, value) {
            (Kind::Group(table), Value::Group(values)) => self.group(table(), values),
            (Kind::OneOf(cases), Value::Case(word, values)) => {
                self.chosen(cases(), word, values)
            }
            _ => Vec::new(),
        }
    }

    fn group(&mut self, table: &'static Table, values: &[Value]) -> Vec<Block> {
        let book = self.books.of(table.name);
        let mut out = Vec::new();
        for (field, value) in table.fields.iter().zip(values) {
            match field.need {
                Need::Flat => out.extend(self.inside(field.kind, value)),
                Need::Carried => {}
                Need::Must | Need::May => {
                    out.extend(self.field((table, field), book, value));
                }
            }
        }
        out
    }

    fn chosen(
        &mut self,
        cases: &'static Cases,
        word: &str,
        values: &[Value],
    ) -> Vec<Block> {
        let Some(case) = cases.of.iter().find(|case| case.word == word) else {
            return Vec::new();
        };
        let mut out = Vec::new();
        if let Some(by) = cases.by.filter(|_| !word.is_empty()) {
            let help = match self.books.of(cases.name) {
                Some(book) if self.told.insert((cases.name, by)) => comment(book.about),
                _ => Vec::new(),
            };
            out.push(Block {
                help,
                lines: vec![format!("{by}: {}", scalar(word))],
                used: true,
            });
        }
        out.extend(self.group(case.table, values));
        out
    }

    fn field(
        &mut self,
        (table, field): (&'static Table, &'static Field),
        book: Option<&'static Book>,
        value: &Value,
    ) -> Option<Block> {
        let first = self.told.insert((table.name, field.key));
        let about = book.and_then(|book| book.entry(field.key));
        let mut help = match about {
            Some(about) if first => comment(about.help),
            _ => Vec::new(),
        };
        let key = field.key;
        let unsaid = *value == Value::Nothing
            || field.or.is_some() && *value == implied(field)
            || matches!(value, Value::List(items) if items.is_empty())
            || matches!(value, Value::Map(all) if all.is_empty());
        if !unsaid {
            if let Kind::Word(list) = field.kind
                && first
            {
                let others = list.words.join(", ");
                help.extend(comment(&format!("({others})")));
            }
            let lines = self.written(field, value);
            return Some(Block { help, lines, used: true });
        }
        // A figure says that there is none, or a check asks for it; of what only tells, such as what
        // a maker writes of mixing, nothing is said that nobody has looked at.
        let left = |word: &&str| !(word.is_empty() || field.prose && *word == NONE);
        // That there is none is an answer, and nobody gave it: it stands beside the example, to be
        // written by whoever knows.
        let figure = matches!(field.kind, Kind::Quantity(..) | Kind::Percent);
        let answer = field.nothing.filter(|word| {
            let asked = self.asked.contains(&(table.name, field.key));
            figure && *word == NONE && !field.must() && !asked
        });
        let nothing = field.nothing.filter(left).filter(|_| answer.is_none());
        let empty = match (field.need, field.layout, nothing) {
            (_, _, Some(word)) => Some(word),
            (Need::Must, Layout::List, None) => Some("[]"),
            (Need::Must, Layout::Map | Layout::MapOf(_), None) => Some("{}"),
            _ => None,
        };
        if let Some(word) = empty {
            return Some(Block {
                help,
                lines: vec![format!("{key}: {word}")],
                used: true,
            });
        }
        // Once for each file: five outlets would repeat it five times.
        if !first {
            return None;
        }
        let example = self.example(field, about.and_then(|entry| entry.eg))?;
        let or = answer.map_or_else(String::new, |word| format!("  # {key}: {word}"));
        Some(Block { help, lines: vec![format!("{key}: {example}{or}")], used: false })
    }

    /// What may be written under a field, in one line.
    fn example(&self, field: &Field, eg: Option<&'static str>) -> Option<String> {
        let said = eg.or_else(|| plain(field.kind));
        let one = match said {
            Some(eg) => self.system.example_text(eg).into_owned(),
            None => self.must(field.kind)?,
        };
        // What begins with a bracket is an example of the list or the map as a whole.
        let whole = said.is_some() && one.starts_with(['[', '{']);
        Some(match field.layout {
            _ if whole || one.starts_with('[') => one,
            Layout::One => one,
            Layout::List => format!("[{one}]"),
            Layout::Map => format!("{{ name: {one} }}"),
            Layout::MapOf(list) => format!("{{ {}: {one} }}", list.words.first()?),
        })
    }

    /// The fields that a group must have; its first where it needs none.
    fn must(&self, kind: Kind) -> Option<String> {
        let Kind::Group(table) = kind else { return None };
        let table = table();
        let book = self.books.of(table.name);
        let own = |field: &Field| {
            // Its fields stand among these, under no key of their own.
            if field.need == Need::Flat {
                let inner = self.must(field.kind)?;
                let inner = inner.strip_prefix('{')?.strip_suffix('}')?;
                return Some(inner.to_owned());
            }
            let eg =
                book.and_then(|book| book.entry(field.key)).and_then(|entry| entry.eg);
            let one = self.example(field, eg)?;
            let quoted = one.starts_with(['[', '{', '"']);
            let one = if quoted { one } else { listed(&one) };
            Some(format!("{}: {one}", field.key))
        };
        let mut must: Vec<String> =
            table.fields.iter().filter(|field| field.must()).filter_map(own).collect();
        if must.is_empty() {
            must.extend(table.fields.first().and_then(own));
        }
        (!must.is_empty()).then(|| format!("{{{}}}", must.join(", ")))
    }

    fn written(&mut self, field: &'static Field, value: &Value) -> Vec<String> {
        let key = field.key;
        if let Some(text) = flat(value) {
            return vec![format!("{key}: {}", scalar(&text))];
        }
        let below = |lines: Vec<String>, depth: usize| -> Vec<String> {
            let lines = lines.into_iter().map(|line| indented(&line, depth));
            std::iter::once(format!("{key}:")).chain(lines).collect()
        };
        match value {
            Value::List(items) => {
                let texts: Option<Vec<String>> = items.iter().map(flat).collect();
                if let Some(texts) = texts {
                    // With the key and the indent before it a line stays below eighty
                    // signs, which a terminal and a printed file show without a break.
                    let long = texts.iter().map(String::len).sum::<usize>() > 60;
                    // Sentences stand one below the other, names side by side: a name has three words
                    // at most, and longer than that is a sentence, in which commas would be read as
                    // those of the list.
                    if long || texts.iter().any(|text| text.split(' ').count() > 3) {
                        let lines =
                            texts.iter().map(|text| format!("- {}", scalar(text)));
                        return below(lines.collect(), 0);
                    }
                    let texts: Vec<String> =
                        texts.iter().map(|text| listed(text)).collect();
                    return vec![format!("{key}: [{}]", texts.join(", "))];
                }
                let mut lines = Vec::new();
                for item in items {
                    lines.extend(entry(self.inside(field.kind, item)));
                }
                below(lines, 0)
            }
            Value::Map(entries) | Value::Pairs(entries) => {
                let mut lines = Vec::new();
                for (name, value) in entries {
                    match flat(value) {
                        Some(text) => {
                            lines.push(format!("{}: {}", scalar(name), scalar(&text)));
                        }
                        None => {
                            lines.push(format!("{}:", scalar(name)));
                            let inner = self.inside(field.kind, value);
                            let inner = inner.into_iter().flat_map(Block::lines);
                            lines.extend(inner.map(|line| indented(&line, 2)));
                        }
                    }
                }
                below(lines, 2)
            }
            value => {
                let inner = self.inside(field.kind, value);
                below(inner.into_iter().flat_map(Block::lines).collect(), 2)
            }
        }
    }
}

/// A value that stands in one line.
fn flat(value: &Value) -> Option<String> {
    match value {
        Value::Text(text) => Some(sentence(text)),
        Value::Whole(number) => Some(number.to_string()),
        Value::Quantity(quantity) => {
            let plain = quantity.to_string();
            let (number, unit) = plain.split_once(' ').unwrap_or((&plain, ""));
            Some(format!("{} {unit}", written(number)).trim_end().to_owned())
        }
        _ => None,
    }
}
