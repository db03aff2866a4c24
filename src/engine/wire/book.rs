//! What a reader is told about a table: a help sentence and an example for each field.
//!
//! No table points to its book, so that an engine which never prints help goes without.

/// The help of one table, one list of words or one choice of groups.
#[derive(Debug)]
pub struct Book {
    /// The name of what it is about.
    pub name: &'static str,
    /// What that is.
    pub about: &'static str,
    /// One entry for each key, or for each word.
    pub entries: &'static [Entry],
}

/// The help of one field.
#[derive(Debug)]
pub struct Entry {
    /// Its key, or the word; empty for a field without a key of its own.
    pub key: &'static str,
    /// The help sentence.
    pub help: &'static str,
    /// How it may be written.
    pub eg: Option<&'static str>,
}

/// The books of a course, by the names of what they are about.
#[derive(Debug, Clone, Copy)]
pub struct Books(pub &'static [&'static [Book]]);

impl Books {
    /// The book of that name.
    pub fn of(self, name: &str) -> Option<&'static Book> {
        self.0.iter().flat_map(|books| *books).find(|book| book.name == name)
    }

    /// All of them.
    pub fn all(self) -> impl Iterator<Item = &'static Book> {
        self.0.iter().flat_map(|books| *books)
    }
}

impl Book {
    /// The entry of a key.
    pub fn entry(&self, key: &str) -> Option<&'static Entry> {
        self.entries.iter().find(|entry| entry.key == key)
    }
}

impl Entry {
    /// An entry without an example.
    pub const fn new(key: &'static str, help: &'static str) -> Self {
        Self { key, help, eg: None }
    }
}

/// The key under which a department may have a help sentence of its own: `field.tank.usable`.
pub fn field_key(table: &str, field: &str) -> String {
    format!("field.{}.{field}", kebab(table))
}

/// The key under which it may say itself what a group of fields is: `thing.tank`.
pub fn thing_key(table: &str) -> String {
    format!("thing.{}", kebab(table))
}

fn kebab(table: &str) -> String {
    let mut key = String::new();
    for (at, letter) in table.char_indices() {
        if letter.is_ascii_uppercase() && at > 0 {
            key.push('-');
        }
        key.push(letter.to_ascii_lowercase());
    }
    key
}

/// A doc comment in one line, as it is printed.
pub fn sentence(doc: &str) -> String {
    doc.split_whitespace().collect::<Vec<_>>().join(" ")
}
