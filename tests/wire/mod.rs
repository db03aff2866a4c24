//! What holds for every table: each field is explained, its example can be read, and what is
//! written reads back to the same thing.

mod validator;
mod made;
mod hostile;

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Debug;
use std::path::Path;

use drillwright::authoring::{self, Trees};
use drillwright::course::{BOOKS, Course, Question, THINGS};
use drillwright::findings::Sources;
use drillwright::wire::{
    Desk, Field, Form, Kind, Layout, Table, Way, Wire, WordList, canonical, from_json,
    json, revision, sentence, value,
};

fn example() -> Course {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let (folder, _) = drillwright::workshop::read_folder(&content).unwrap();
    let others = folder.others.keys().cloned().collect();
    authoring::read(&folder.texts, &others, authoring::Options::default()).0.unwrap()
}

/// Everything that the things of a course are described by, each once.
#[derive(Default)]
struct All {
    tables: BTreeMap<&'static str, &'static Table>,
    words: BTreeMap<&'static str, &'static WordList>,
    choices: BTreeSet<&'static str>,
}

impl All {
    fn new() -> Self {
        let mut all = Self::default();
        for thing in THINGS {
            all.kind(thing.kind);
        }
        all
    }

    fn kind(&mut self, kind: Kind) {
        match kind {
            Kind::Word(list) => {
                self.words.insert(list.name, list);
            }
            Kind::Group(table) => self.table(table()),
            Kind::OneOf(cases) if self.choices.insert(cases().name) => {
                cases().of.iter().for_each(|case| self.table(case.table));
            }
            Kind::Spelled(own) => {
                for way in own.ways {
                    if let Way::Group(table) = way {
                        self.table(table());
                    }
                }
            }
            _ => {}
        }
    }

    fn table(&mut self, table: &'static Table) {
        if self.tables.insert(table.name, table).is_none() {
            for field in table.fields {
                if let Layout::MapOf(list) = field.layout {
                    self.words.insert(list.name, list);
                }
                self.kind(field.kind);
            }
        }
    }
}

fn explained(name: &str, keys: &[&str]) -> Vec<String> {
    let Some(book) = BOOKS.of(name) else { return vec![format!("{name} has no book")] };
    let told: Vec<&str> = book.entries.iter().map(|entry| entry.key).collect();
    let mut out = Vec::new();
    if told != keys {
        out.push(format!("{name} explains {told:?}, not {keys:?}"));
    }
    for entry in book.entries {
        let help = sentence(entry.help);
        if help.len() < 5 || !help.ends_with(['.', '!', '?']) || help.contains('`') {
            out.push(format!("{name}.{}: {help:?} is no sentence", entry.key));
        }
    }
    out
}

#[test]
fn every_field_and_every_word_has_a_help_sentence() {
    let all = All::new();
    assert!(all.tables.len() > 20 && all.words.len() > 10, "too little is found");
    let mut faults = Vec::new();
    for (name, table) in &all.tables {
        let keys: Vec<&str> = table.fields.iter().map(|field| field.key).collect();
        faults.extend(explained(name, &keys));
    }
    for (name, list) in all.words.iter().filter(|(name, _)| **name != "YesNo") {
        faults.extend(explained(name, list.words));
    }
    faults.extend(
        all.choices
            .iter()
            .filter(|name| BOOKS.of(name).is_none())
            .map(|n| (*n).to_owned()),
    );
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Reads `key: example` as a file of that field alone would be read.
fn faults_of(field: &Field, example: &str) -> Vec<String> {
    let file = "example.yaml";
    let sources =
        Sources::from([(file.to_owned(), format!("{}: {example}\n", field.key))]);
    let mut found = Vec::new();
    let trees = Trees::read(&sources, &mut found);
    let desk = Desk::default();
    if let Some(node) = trees.get(file).and_then(|node| node.child(field.key)) {
        let item = desk.item(file, node);
        value(item, field.layout, field.kind);
    }
    found.extend(desk.findings.into_inner());
    found.iter().map(|finding| format!("{} {example}: {finding:?}", field.key)).collect()
}

#[test]
fn every_example_can_be_read() {
    let mut read = 0;
    let mut faults = Vec::new();
    for (name, table) in All::new().tables {
        let Some(book) = BOOKS.of(name) else { continue };
        for (field, entry) in table.fields.iter().zip(book.entries) {
            if let Some(example) = entry.eg {
                read += 1;
                faults.extend(faults_of(field, example));
            }
        }
    }
    assert!(read > 100, "only {read} examples");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    let volume =
        All::new().tables["Tank"].fields.iter().find(|f| f.key == "usable").unwrap();
    assert_ne!(faults_of(volume, "720 gpm"), Vec::<String>::new(), "this must speak up");
}

fn comes_back<T: Wire + PartialEq + Debug>(thing: &T) {
    assert_eq!(T::take(thing.give()).as_ref(), Some(thing));
    let text = serde_json::to_string(&json(thing, Form::Whole)).unwrap();
    let read: T = from_json(&serde_json::from_str(&text).unwrap())
        .unwrap_or_else(|found| panic!("{text}\n{found:?}"));
    assert_eq!(&read, thing);
    assert_eq!(serde_json::to_string(&json(&read, Form::Whole)).unwrap(), text);
    let text = canonical(thing, Form::Canonical).unwrap();
    for nothing in ["null", "\"\"", "[]", "{}"] {
        assert!(!text.contains(&format!(":{nothing}")), "{text}");
    }
    assert_eq!(revision(thing).unwrap().len(), 64);
}

#[test]
fn what_is_written_reads_back_to_the_same_thing() {
    let course = example();
    course.drills.iter().for_each(comes_back);
    course.chains.iter().for_each(comes_back);
    course.rigs.values().for_each(comes_back);
    course.concentrates.values().for_each(comes_back);
    course.people.values().for_each(comes_back);
    course.runs.iter().for_each(comes_back);
    course.roster.iter().for_each(comes_back);
    comes_back(&course.module);
    course.lessons.iter().for_each(comes_back);
    course.local.iter().for_each(comes_back);
    course.sets.iter().for_each(comes_back);
    comes_back(&course.cards);
}

/// The fields of JSON have no order, and what is drawn first decides what is drawn next.
#[test]
fn draws_come_back_in_the_order_of_their_author() {
    let mut question = example().sets[0].questions[0].clone();
    let names = |question: &Question| -> Vec<String> {
        question.draws.iter().map(|(name, _)| name.clone()).collect()
    };
    for _ in 0..2 {
        question.draws.reverse();
        let text = canonical(&question, Form::Canonical).unwrap();
        let read: Question = from_json(&serde_json::from_str(&text).unwrap()).unwrap();
        assert_eq!(names(&read), names(&question));
        assert_eq!(read, question);
    }
    assert!(question.draws.len() > 1);
}

/// A better title orphans no paper; another figure is another standard.
#[test]
fn a_revision_is_made_of_what_rules_and_not_of_what_tells() {
    let course = example();
    let rig = &course.rigs["engine-7"];
    let mut told = rig.clone();
    told.title.push('!');
    told.checked = None;
    told.outlets[0].title.push('!');
    assert_eq!(revision(&told), revision(rig));
    let mut ruled = rig.clone();
    ruled.outlets[0].length = ruled.outlets[0].hose;
    assert_ne!(revision(&ruled), revision(rig));
}
