//! Tables → the reference of fields: one plain row for each, in the order of the file.

use super::book::Book;
use super::table::{Cases, Field, Kind, Layout, Need, Table, Way};
use super::telling::Telling;

/// One field of a file, as a reader is told about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Where it stands: `drill.steps[].radio.call`. Behind a map stands `{}`, and a field of
    /// one of several groups has the word of that group before it: `ask(numeric).unit`.
    pub path: String,
    /// Its key.
    pub key: &'static str,
    /// What can be written there.
    pub kind: String,
    /// The same without an example.
    pub bare: String,
    /// Whether it must be there.
    pub need: bool,
    /// What it is when it is left out.
    pub or: Option<&'static str>,
    /// The format in which it came.
    pub since: u32,
    /// How it may be written.
    pub eg: Option<String>,
    /// What it is.
    pub help: String,
}

impl Row {
    /// What can be written there, without the example of its kind where the field has its own.
    pub fn plain_kind(&self) -> &str {
        if self.eg.is_some() { &self.bare } else { &self.kind }
    }
}

/// All fields of a thing and of what it holds. A group that holds its own kind is told once.
pub fn reference(name: &str, list: bool, kind: Kind, telling: &Telling<'_>) -> Vec<Row> {
    let mut teller = Teller { telling, rows: Vec::new(), within: Vec::new() };
    teller.inside(&format!("{name}{}", if list { "[]" } else { "" }), kind);
    teller.rows
}

struct Teller<'t> {
    telling: &'t Telling<'t>,
    rows: Vec<Row>,
    within: Vec<&'static str>,
}

impl Teller<'_> {
    fn inside(&mut self, path: &str, kind: Kind) {
        match kind {
            Kind::Group(table) => self.group(path, table()),
            Kind::OneOf(cases) => self.cases(path, cases()),
            Kind::Spelled(own) => {
                for way in own.ways {
                    if let Way::Group(table) = way {
                        self.group(path, table());
                    }
                }
            }
            _ => {}
        }
    }

    fn group(&mut self, path: &str, table: &'static Table) {
        // A group that holds its own kind would have no end of rows.
        if self.within.contains(&table.name) {
            return;
        }
        self.within.push(table.name);
        let book = self.telling.books.of(table.name);
        for field in table.fields {
            match field.need {
                Need::Flat => self.inside(path, field.kind),
                Need::Must | Need::May => self.field(path, field, book),
                // What only a program writes is nothing to look up for an author.
                Need::Carried => {}
            }
        }
        self.within.pop();
    }

    fn field(&mut self, path: &str, field: &'static Field, book: Option<&'static Book>) {
        let path = format!("{path}.{}", field.key);
        let entry = book.and_then(|book| book.entry(field.key));
        self.rows.push(Row {
            path: path.clone(),
            key: field.key,
            kind: said(field, self.telling.one(field.kind, true), self.telling),
            bare: said(field, self.telling.one(field.kind, false), self.telling),
            need: field.must(),
            or: field.or,
            since: field.since,
            eg: entry.and_then(|entry| entry.eg).map(|eg| self.telling.eg(eg)),
            help: entry
                .zip(book)
                .map(|(entry, book)| self.telling.help(book.name, entry))
                .unwrap_or_default(),
        });
        let many = match field.layout {
            Layout::One => "",
            Layout::List => "[]",
            Layout::Map | Layout::MapOf(_) => "{}",
        };
        self.inside(&format!("{path}{many}"), field.kind);
    }

    /// The word that chooses is a row of its own.
    fn cases(&mut self, path: &str, cases: &'static Cases) {
        if self.within.contains(&cases.name) {
            return;
        }
        self.within.push(cases.name);
        // The group that is left may have a field of that key itself; then that is its row.
        let own = cases.of.iter().filter(|case| case.word.is_empty()).find_map(|case| {
            case.table.fields.iter().find(|field| cases.by == Some(field.key))
        });
        if let (Some(by), None) = (cases.by, own) {
            let about = self.telling.books.of(cases.name);
            let about = about.map(|book| self.telling.about(book));
            self.rows.push(Row {
                path: format!("{path}.{by}"),
                key: by,
                kind: self.telling.words(cases.of.iter().map(|case| case.word)),
                // Never told: only a row with an example goes without that of its kind.
                bare: String::new(),
                // Where one is left over it is chosen without a word.
                need: cases.of.iter().all(|case| !case.word.is_empty()),
                or: None,
                since: 1,
                eg: None,
                help: about.unwrap_or_default(),
            });
        }
        for case in cases.of {
            let path = match case.word {
                "" => path.to_owned(),
                word => format!("{path}({word})"),
            };
            self.group(&path, case.table);
        }
        if let Some(field) = own {
            let path = format!("{path}.{}", field.key);
            let others = self.telling.words(cases.of.iter().map(|case| case.word));
            let row = self.rows.iter_mut().rfind(|row| row.path == path);
            if let Some(row) = row {
                let or = self.telling.words.get("wire.or");
                row.kind = format!("{}{or}{others}", row.kind);
                row.bare = format!("{}{or}{others}", row.bare);
            }
        }
        self.within.pop();
    }
}

/// What can be written under a key.
fn said(field: &Field, one: String, telling: &Telling<'_>) -> String {
    let words = telling.words;
    let mut said = match field.layout {
        Layout::One => one,
        Layout::List => telling.said("list", ("one", &one)),
        Layout::Map => telling.said("map", ("one", &one)),
        Layout::MapOf(list) => {
            let keys = list.words.join(", ");
            words.say("wire.map-of", &[("keys", &keys), ("one", &one)])
        }
    };
    let many = !matches!(field.layout, Layout::One);
    for (bound, one, entries) in [
        (field.least, "wire.least", "wire.least-entries"),
        (field.most, "wire.most", "wire.most-entries"),
    ] {
        let Some(bound) = bound else { continue };
        let at = bound.at.to_string();
        let blanks = [("said", said.as_str()), ("at", at.as_str())];
        said = words.say(if many { entries } else { one }, &blanks);
    }
    match field.nothing {
        Some("") => telling.said("or-nothing", ("said", &said)),
        Some(nothing) => words.say("wire.or-word", &[("said", &said), ("word", nothing)]),
        None => said,
    }
}
