//! Tables → a file to begin with: every field with its help sentence, what must be there with
//! its example, the rest commented out.
//!
//! `# ` with one blank begins a sentence; a `#` right before a key, or before two blanks and
//! more, is taken away to use that line. So a whole block comes alive by one `#` a line.

use super::book::{Book, Books, sentence};
use super::table::{Case, Cases, Field, Kind, Layout, Need, Table, Way};
use super::telling::Telling;

/// Sentences are broken here: what a terminal of 80 columns shows with some indent before it.
const WIDTH: usize = 76;

/// A file of a thing; `list` where its file is a list of such things.
pub fn starter(list: bool, kind: Kind, telling: &Telling<'_>) -> String {
    let books = telling.books;
    let mut writer = Writer { books, telling, within: Vec::new() };
    let blocks = writer.inside(kind);
    let mut out = Vec::new();
    if let Some(book) = name(kind).and_then(|name| books.of(name)) {
        out.extend(comment(book.about));
        out.push(String::new());
    }
    out.extend(if list {
        entry(blocks)
    } else {
        blocks.into_iter().flat_map(Block::lines).collect()
    });
    out.push(String::new());
    out.join("\n")
}

/// One field with its sentence.
pub(super) struct Block {
    pub(super) help: Vec<String>,
    pub(super) lines: Vec<String>,
    pub(super) used: bool,
}

impl Block {
    pub(super) fn lines(self) -> Vec<String> {
        let mut out = self.help;
        // Without a blank behind the mark, so that taking it away leaves a line that reads,
        // and a sentence of help is never taken for a field.
        let mark = if self.used { "" } else { "#" };
        out.extend(self.lines.into_iter().map(|line| format!("{mark}{line}")));
        out
    }
}

struct Writer<'t> {
    books: Books,
    telling: &'t Telling<'t>,
    within: Vec<&'static str>,
}

impl Writer<'_> {
    /// The fields of a group or of a choice; none for anything else.
    fn inside(&mut self, kind: Kind) -> Vec<Block> {
        let mut blocks = match kind {
            Kind::Group(table) => self.group(table()),
            Kind::OneOf(cases) => self.choice(cases()),
            Kind::Spelled(own) => {
                let group = own.ways.iter().find_map(|way| match way {
                    Way::Group(table) => Some(table()),
                    _ => None,
                });
                group.map_or_else(Vec::new, |table| self.group(table))
            }
            _ => Vec::new(),
        };
        // A group of which nothing must be there is still no group without a field.
        if !blocks.iter().any(|block| block.used)
            && let Some(first) = blocks.first_mut()
        {
            first.used = true;
        }
        blocks
    }

    fn group(&mut self, table: &'static Table) -> Vec<Block> {
        // A group that may hold itself would be written out without end.
        if self.within.contains(&table.name) {
            return Vec::new();
        }
        self.within.push(table.name);
        let book = self.books.of(table.name);
        let mut out = Vec::new();
        for field in table.fields {
            match (field.need, field.kind) {
                (Need::Flat, Kind::Group(inner)) => out.extend(self.group(inner())),
                (Need::Flat, Kind::OneOf(cases)) => out.extend(self.choice(cases())),
                (Need::Flat | Need::Carried, _) => {}
                _ => out.extend(self.field(field, book)),
            }
        }
        // Given back, so that the same group may stand a second time beside itself; only
        // inside itself it may not.
        self.within.pop();
        out
    }

    /// The first group is written; the others are told in a sentence, each with its word.
    fn choice(&mut self, cases: &'static Cases) -> Vec<Block> {
        let Some(first) = cases.of.first() else { return Vec::new() };
        let book = self.books.of(cases.name);
        let told = |case: &Case| {
            let help = book.and_then(|book| book.entry(case.word));
            let help = help.map(|entry| sentence(entry.help)).unwrap_or_default();
            if case.word.is_empty() { help } else { format!("{}: {help}", case.word) }
        };
        let words = cases.of.iter().flat_map(|case| comment(&told(case)));
        // Where a word chooses, it is a field, which has a sentence of its own.
        let about = cases.by.filter(|_| !first.word.is_empty()).and(book);
        let about = about.map_or_else(Vec::new, |book| comment(book.about));
        let help: Vec<String> = about.into_iter().chain(words).collect();
        let mut blocks = match cases.by {
            Some(by) if !first.word.is_empty() => vec![Block {
                help: Vec::new(),
                lines: vec![format!("{by}: {}", first.word)],
                used: true,
            }],
            _ => Vec::new(),
        };
        let chosen = first.word;
        let fields = self.group(first.table).into_iter().map(|block| {
            // The field whose key chooses this group must be there for it to be chosen.
            let key = block.lines.first().and_then(|line| line.split_once(':'));
            let used = block.used || key.is_some_and(|(key, _)| key == chosen);
            Block { used, ..block }
        });
        // Behind the word that chooses them, or an author would fill in fields of a group
        // that he then does not choose.
        blocks.extend(fields);
        if let Some(block) = blocks.first_mut() {
            block.help.splice(..0, help);
        }
        blocks
    }

    /// Nothing for what only programs write.
    fn field(
        &mut self,
        field: &'static Field,
        book: Option<&'static Book>,
    ) -> Option<Block> {
        let written = |way: &Way| !matches!(way, Way::Anything);
        if matches!(field.kind, Kind::Spelled(own) if !own.ways.iter().any(written)) {
            return None;
        }
        let entry = book.and_then(|book| book.entry(field.key));
        let help = entry.map(|entry| comment(entry.help)).unwrap_or_default();
        let key = field.key;
        let example = entry.and_then(|entry| entry.eg).or_else(|| plain(field.kind));
        let example = example.map(|eg| self.telling.eg(eg));
        let lines = match (field.layout, example.as_deref()) {
            (Layout::One, Some(eg)) => vec![format!("{key}: {eg}")],
            // An example of a list or a map is one as a whole; a plain one is one entry of it.
            (_, Some(eg)) if eg.starts_with(['[', '{']) => vec![format!("{key}: {eg}")],
            (Layout::List, Some(eg)) => vec![format!("{key}: [{eg}]")],
            (Layout::Map, Some(eg)) => vec![format!("{key}: {{ name: {eg} }}")],
            (Layout::MapOf(list), Some(eg)) => {
                let word = list.words.first()?;
                vec![format!("{key}: {{ {word}: {eg} }}")]
            }
            (layout, None) => {
                let blocks = self.inside(field.kind);
                if blocks.is_empty() {
                    return None;
                }
                below(key, layout, blocks)?
            }
        };
        Some(Block { help, lines, used: field.must() })
    }
}

/// A key with a group, a list of groups or a map of groups below it.
fn below(key: &str, layout: Layout, blocks: Vec<Block>) -> Option<Vec<String>> {
    let word = match layout {
        Layout::MapOf(list) => Some(*list.words.first()?),
        Layout::Map => Some("name"),
        Layout::One | Layout::List => None,
    };
    let mut out = vec![format!("{key}:")];
    if let Some(word) = word {
        out.push(format!("  {word}:"));
    }
    let depth = if word.is_some() { 4 } else { 2 };
    let inner: Vec<String> = match layout {
        Layout::List => entry(blocks),
        _ => blocks.into_iter().flat_map(Block::lines).collect(),
    };
    out.extend(inner.into_iter().map(|line| indented(&line, depth)));
    Some(out)
}

/// A group as an entry of a list. Its dash stands before its first field where that is used,
/// else alone: it must hold whichever of its fields is taken into use.
pub(super) fn entry(blocks: Vec<Block>) -> Vec<String> {
    let mut out = Vec::new();
    let mut rest = blocks.into_iter().peekable();
    match rest.next_if(|block| block.used) {
        Some(first) => {
            out.extend(first.help);
            let mut lines = first.lines.into_iter();
            out.extend(lines.next().map(|line| format!("- {line}")));
            out.extend(lines.map(|line| indented(&line, 2)));
        }
        None => out.push("-".to_owned()),
    }
    out.extend(rest.flat_map(Block::lines).map(|line| indented(&line, 2)));
    out
}

pub(super) fn indented(line: &str, depth: usize) -> String {
    format!("{}{line}", " ".repeat(depth))
}

/// A sentence as lines of comment.
pub fn comment(text: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match out.last_mut() {
            Some(line) if line.chars().count() + word.chars().count() < WIDTH => {
                line.push(' ');
                line.push_str(word);
            }
            _ => out.push(format!("# {word}")),
        }
    }
    out
}

fn name(kind: Kind) -> Option<&'static str> {
    match kind {
        Kind::Group(table) => Some(table().name),
        Kind::OneOf(cases) => Some(cases().name),
        _ => None,
    }
}

/// How a field of this kind is written when its line has no example.
pub(super) fn plain(kind: Kind) -> Option<&'static str> {
    match kind {
        Kind::Text => Some("Some words."),
        Kind::Name | Kind::Own(_) | Kind::Refers(_) => Some("a-name"),
        Kind::Day => Some("2026-11-02"),
        Kind::Moment => Some("2026-11-14 10:20"),
        Kind::Whole => Some("1"),
        Kind::Word(list) => list.words.first().copied(),
        Kind::Quantity(_, example) => Some(example),
        Kind::Percent => Some("0.5 %"),
        Kind::Figure => Some("95 gpm"),
        Kind::Unit => Some("gpm"),
        Kind::Group(_) | Kind::OneOf(_) | Kind::Spelled(_) => None,
    }
}
