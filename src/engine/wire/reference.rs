//! Tables → the reference of fields: one plain row for each, in the order of the file.

use super::book::{Book, Books, sentence};
use crate::quantity::{System, figure_written};

use super::table::{Cases, Field, Kind, Layout, Need, Table, Way};

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
    /// With its examples in the units, and with the decimal sign, of whoever asks.
    #[must_use]
    pub fn told_in(mut self, system: System) -> Self {
        let told = |eg: &str| figure_written(&system.example_text(eg)).into_owned();
        self.eg = self.eg.as_deref().map(told);
        // What a kind is written like stands behind these words, and ends the sentence or a part.
        let parts = self.kind.split("; ").map(|part| match part.split_once(SUCH_AS) {
            Some((kind, eg)) => format!("{kind}{SUCH_AS}{}", told(eg)),
            None => part.to_owned(),
        });
        self.kind = parts.collect::<Vec<_>>().join("; ");
        self
    }
}

/// What stands between a kind and its example.
const SUCH_AS: &str = ", such as ";

/// All fields of a thing and of what it holds. A group that holds its own kind is told once.
pub fn reference(name: &str, list: bool, kind: Kind, books: Books) -> Vec<Row> {
    let mut teller = Teller { books, rows: Vec::new(), within: Vec::new() };
    teller.inside(&format!("{name}{}", if list { "[]" } else { "" }), kind);
    teller.rows
}

struct Teller {
    books: Books,
    rows: Vec<Row>,
    within: Vec<&'static str>,
}

impl Teller {
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
        if self.within.contains(&table.name) {
            return;
        }
        self.within.push(table.name);
        let book = self.books.of(table.name);
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
            kind: said(field),
            need: field.must(),
            or: field.or,
            since: field.since,
            eg: entry.and_then(|entry| entry.eg).map(str::to_owned),
            help: entry.map(|entry| sentence(entry.help)).unwrap_or_default(),
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
            let about = self.books.of(cases.name).map(|book| sentence(book.about));
            self.rows.push(Row {
                path: format!("{path}.{by}"),
                key: by,
                kind: words(cases.of.iter().map(|case| case.word)),
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
            let others = words(cases.of.iter().map(|case| case.word));
            let row = self.rows.iter_mut().rfind(|row| row.path == path);
            if let Some(row) = row {
                row.kind = format!("{}; or {others}", row.kind);
            }
        }
        self.within.pop();
    }
}

fn words<'w>(all: impl Iterator<Item = &'w str>) -> String {
    let all: Vec<&str> = all.filter(|word| !word.is_empty()).collect();
    format!("one of: {}", all.join(", "))
}

/// What can be written under a key.
fn said(field: &Field) -> String {
    let one = one(field.kind);
    let mut said = match field.layout {
        Layout::One => one,
        Layout::List => format!("list; each {one}"),
        Layout::Map => format!("map with keys of your own; each {one}"),
        Layout::MapOf(list) => {
            format!("map with the keys {}; each {one}", list.words.join(", "))
        }
    };
    let unit = if matches!(field.layout, Layout::One) { "" } else { " entries" };
    if let Some(least) = field.least {
        said = format!("{said}; at least {}{unit}", least.at);
    }
    if let Some(most) = field.most {
        said = format!("{said}; at most {}{unit}", most.at);
    }
    match field.nothing {
        Some("") => format!("{said}; or nothing after the colon"),
        Some(nothing) => format!("{said}; or: {nothing}"),
        None => said,
    }
}

fn one(kind: Kind) -> String {
    match kind {
        Kind::Text => "a text".to_owned(),
        Kind::Name => "a name".to_owned(),
        Kind::Own(sort) => format!("the name of this {sort}"),
        Kind::Refers(sort) => format!("the name of a {sort}"),
        Kind::Day => "a day, such as 2026-11-02".to_owned(),
        Kind::Moment => "a day and a time, such as 2026-11-14 10:20".to_owned(),
        Kind::Whole => "a whole number".to_owned(),
        Kind::Word(list) => words(list.words.iter().copied()),
        Kind::Quantity(dimension, example) => {
            format!("{}, such as {example}", dimension.name())
        }
        Kind::Percent => "a percent, such as 0.5 %".to_owned(),
        Kind::Figure => "any quantity, such as 95 gpm".to_owned(),
        Kind::Unit => "a unit, such as gpm".to_owned(),
        Kind::Group(_) => "a group of fields".to_owned(),
        Kind::OneOf(_) => "one of several groups of fields".to_owned(),
        Kind::Spelled(own) => {
            let ways: Vec<String> = own.ways.iter().map(spelled).collect();
            ways.join("; or ")
        }
    }
}

fn spelled(way: &Way) -> String {
    match way {
        Way::Text(_, said) => (*said).to_owned(),
        Way::ListOf(inner) => format!("a list; each {}", spelled(inner)),
        Way::MapOf(inner) => format!("a map; each {}", spelled(inner)),
        Way::Again => "the same once more".to_owned(),
        Way::As(other) => {
            other.ways.iter().map(spelled).collect::<Vec<_>>().join(", or ")
        }
        Way::Anything => "written by the program".to_owned(),
        Way::Group(_) => "a group of fields".to_owned(),
    }
}
