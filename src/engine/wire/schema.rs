//! Tables → JSON Schema, draft 2020-12, for editors that check and complete a file while it is
//! written.
//!
//! A schema cannot say all that [`read`](super::read) finds (names that lead nowhere, a day
//! that is in no calendar), but whatever it refuses the reader refuses too, and whatever is
//! read without a fault it accepts: a red line in an editor must never be a false one.

use std::collections::VecDeque;

use serde_json::{Map, Value as Json, json};

use crate::quantity::{System, figure_written};

use super::book::{Book, Books, sentence};
use super::pattern;
use super::table::{Cases, Field, Kind, Layout, Need, Spelled, Table, Way, WordList};

/// The schema of a thing's file; `list` where the file is a list of such things.
pub fn schema(
    name: &str,
    list: bool,
    kind: Kind,
    (books, system): (Books, System),
) -> Json {
    let mut maker = Maker { books, system, defs: Map::new() };
    let one = maker.kind(kind);
    let mut out =
        if list { object(json!({ "type": "array", "items": one })) } else { object(one) };
    out.insert(
        "$schema".to_owned(),
        "https://json-schema.org/draft/2020-12/schema".into(),
    );
    out.insert("title".to_owned(), name.into());
    out.insert("$defs".to_owned(), Json::Object(maker.defs));
    Json::Object(out)
}

fn object(value: Json) -> Map<String, Json> {
    match value {
        Json::Object(fields) => fields,
        _ => Map::new(),
    }
}

/// A scalar of a file. Where a text is wanted, a reader of YAML 1.2 may see a number or a
/// boolean in what nobody put into quotes; the decoder takes it as it is written.
fn scalar(pattern: &str) -> Json {
    // YAML makes 12 a number and true a truth value; to the reader both are the text that
    // stands there.
    json!({ "type": ["string", "number", "boolean"], "pattern": pattern })
}

fn text(pattern: &str) -> Json {
    json!({ "type": "string", "pattern": pattern })
}

/// The fields of a group as far as they are known, and the choices still to be made in it.
#[derive(Clone, Default)]
struct Open {
    properties: Map<String, Json>,
    required: Vec<Json>,
    choices: VecDeque<&'static Cases>,
}

struct Maker {
    books: Books,
    system: System,
    defs: Map<String, Json>,
}

impl Maker {
    fn kind(&mut self, kind: Kind) -> Json {
        match kind {
            Kind::Text => scalar("\\S"),
            Kind::Name | Kind::Own(_) => scalar(pattern::NAME),
            Kind::Refers(_) => scalar(pattern::REFERENCE),
            Kind::Day => text(pattern::DAY),
            Kind::Moment => text(pattern::MOMENT),
            // A text too, because an editor that was told "integer" alone would strike out
            // a number in quotes, which the reader takes.
            Kind::Whole => json!({
                "type": ["integer", "string"],
                "minimum": 0,
                "maximum": u32::MAX,
                "pattern": pattern::WHOLE,
            }),
            Kind::Word(list) => json!({ "enum": list.words }),
            Kind::Quantity(dimension, _) => match pattern::quantity(dimension) {
                (pattern, true) => text(&pattern),
                (pattern, false) => {
                    json!({ "type": ["string", "number"], "pattern": pattern })
                }
            },
            Kind::Percent => text(&pattern::percent()),
            Kind::Figure => json!({
                "type": ["string", "number"],
                "pattern": pattern::figure(),
            }),
            Kind::Unit => text(&pattern::unit()),
            Kind::Group(table) => {
                let table = table();
                self.named(table.name, |maker| {
                    let open = maker.opened(Open::default(), table);
                    maker.closed(open)
                })
            }
            Kind::OneOf(cases) => {
                let cases = cases();
                self.named(cases.name, |maker| {
                    let choices = VecDeque::from([cases]);
                    maker.closed(Open { choices, ..Open::default() })
                })
            }
            Kind::Spelled(own) => self.named(own.name, |maker| maker.spelled(own)),
        }
    }

    /// A definition of its own, made once; a group that holds its own kind leads back to it.
    fn named(&mut self, name: &str, make: impl FnOnce(&mut Self) -> Json) -> Json {
        if !self.defs.contains_key(name) {
            // Known before it is made: a group may hold groups of its own kind, and would
            // be made without end.
            self.defs.insert(name.to_owned(), Json::Bool(true));
            let mut made = object(make(self));
            if let Some(book) = self.books.of(name) {
                // The help goes to the definition and not to each use: an editor shows it
                // wherever the group stands.
                made.insert("description".to_owned(), sentence(book.about).into());
            }
            self.defs.insert(name.to_owned(), Json::Object(made));
        }
        json!({ "$ref": format!("#/$defs/{name}") })
    }

    fn spelled(&mut self, own: &Spelled) -> Json {
        let ways: Vec<Json> = own.ways.iter().map(|way| self.way(own, way)).collect();
        json!({ "anyOf": ways })
    }

    fn way(&mut self, own: &Spelled, way: &Way) -> Json {
        match way {
            Way::Text(pattern, said) => json!({
                "type": ["string", "number", "boolean"],
                "pattern": pattern,
                "description": said,
            }),
            Way::ListOf(inner) => {
                json!({ "type": "array", "items": self.way(own, inner) })
            }
            Way::MapOf(inner) => {
                json!({ "type": "object", "additionalProperties": self.way(own, inner) })
            }
            Way::Again => json!({ "$ref": format!("#/$defs/{}", own.name) }),
            Way::As(other) => self.kind(Kind::Spelled(other)),
            Way::Anything => json!({}),
            Way::Group(table) => self.kind(Kind::Group(*table)),
        }
    }

    /// These fields and those of a table; a flat group's stand among them.
    fn opened(&mut self, mut open: Open, table: &'static Table) -> Open {
        let book = self.books.of(table.name);
        for field in table.fields {
            match (field.need, field.kind) {
                (Need::Flat, Kind::Group(inner)) => open = self.opened(open, inner()),
                (Need::Flat, Kind::OneOf(cases)) => open.choices.push_back(cases()),
                (Need::Flat | Need::Carried, _) => {}
                _ => {
                    if field.must() {
                        open.required.push(field.key.into());
                    }
                    let made = self.field(field, book);
                    open.properties.insert(field.key.to_owned(), made);
                }
            }
        }
        open
    }

    /// No other fields than these. A choice is a chain of conditions in the order in which the
    /// reader chooses, so that an editor blames the fields of the group that is meant.
    fn closed(&mut self, mut open: Open) -> Json {
        let Some(cases) = open.choices.pop_front() else {
            return json!({
                "type": "object",
                "properties": open.properties,
                "required": open.required,
                "additionalProperties": false,
            });
        };
        let left = cases.of.iter().find(|case| case.word.is_empty());
        let named = cases.of.iter().filter(|case| !case.word.is_empty());
        let words: Vec<&str> = named.clone().map(|case| case.word).collect();
        let mut otherwise = match (left, cases.by) {
            (Some(case), by) => {
                let mut fields = self.opened(open.clone(), case.table);
                if let Some(by) = by {
                    // The group that is left may have a field of that key itself.
                    let own = fields.properties.remove(by).unwrap_or_else(|| json!({}));
                    let mut other = object(own);
                    other.insert("not".to_owned(), json!({ "enum": words }));
                    fields.properties.insert(by.to_owned(), Json::Object(other));
                }
                self.closed(fields)
            }
            (None, Some(by)) => json!({
                "type": "object",
                "properties": { by: { "enum": words } },
                "required": [by],
            }),
            (None, None) => {
                let one: Vec<Json> =
                    words.iter().map(|word| json!({ "required": [word] })).collect();
                json!({ "type": "object", "anyOf": one })
            }
        };
        for case in named.rev() {
            let mut fields = self.opened(open.clone(), case.table);
            let when = match cases.by {
                None => json!({ "required": [case.word] }),
                Some(by) => {
                    let about = self.books.of(cases.name);
                    let help = about.and_then(|book| book.entry(case.word));
                    let help =
                        help.map_or_else(String::new, |entry| sentence(entry.help));
                    let word = json!({ "const": case.word, "description": help });
                    fields.properties.insert(by.to_owned(), word);
                    if !fields.required.contains(&by.into()) {
                        fields.required.push(by.into());
                    }
                    json!({ "properties": { by: { "const": case.word } }, "required": [by] })
                }
            };
            let chosen = self.closed(fields);
            otherwise = json!({ "if": when, "then": chosen, "else": otherwise });
        }
        otherwise
    }

    fn field(&mut self, field: &Field, book: Option<&'static Book>) -> Json {
        let one = self.kind(field.kind);
        let mut made = object(match field.layout {
            Layout::One => one,
            Layout::List => json!({ "type": "array", "items": one }),
            Layout::Map => json!({ "type": "object", "additionalProperties": one }),
            Layout::MapOf(list) => self.by_word(list, &one),
        });
        match (field.layout, field.kind) {
            (Layout::List, _) => {
                for (key, bound) in [("minItems", field.least), ("maxItems", field.most)]
                {
                    if let Some(bound) = bound {
                        made.insert(key.to_owned(), bound.at.into());
                    }
                }
            }
            (Layout::One, Kind::Whole) => {
                if let Some(most) = field.most {
                    made.insert("maximum".to_owned(), most.at.into());
                }
            }
            _ => {}
        }
        if let Some(nothing) = field.nothing {
            // Nothing after the colon is what an empty text says too.
            let none = if nothing.is_empty() {
                json!({ "enum": [nothing, null] })
            } else {
                json!({ "const": nothing })
            };
            made = object(json!({ "anyOf": [none, made] }));
        }
        if let Some(entry) = book.and_then(|book| book.entry(field.key)) {
            made.insert("description".to_owned(), sentence(entry.help).into());
            // Lists and groups are examples in an editor only as data, which they are not here.
            if let Some(example) = entry.eg.filter(|eg| !eg.starts_with(['[', '{'])) {
                let example = self.system.example_text(example.trim_matches('"'));
                let example = figure_written(&example).into_owned();
                made.insert("examples".to_owned(), json!([example]));
            }
        }
        if let Some(or) = field.or {
            made.insert("default".to_owned(), or.into());
        }
        Json::Object(made)
    }

    fn by_word(&self, list: &WordList, one: &Json) -> Json {
        let book = self.books.of(list.name);
        let word = |word: &&str| {
            let mut made = object(one.clone());
            if let Some(entry) = book.and_then(|book| book.entry(word)) {
                made.insert("description".to_owned(), sentence(entry.help).into());
            }
            ((*word).to_owned(), Json::Object(made))
        };
        json!({
            "type": "object",
            "properties": list.words.iter().map(word).collect::<Map<_, _>>(),
            "additionalProperties": false,
        })
    }
}
