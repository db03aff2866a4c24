//! What was printed stays valid: the revision on a sheet is made of what a candidate is held to,
//! in a form that no later program may change.
//!
//! `kept/` holds drills and rigs as a program of this form kept them, each with its revision;
//! `tables.txt` every field that can be in one. A field can be added, never renamed or taken
//! away, nor may what it is when left out be another: all that is older would read otherwise.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use drillwright::authoring;
use drillwright::course::{Course, LineUse, MarkIn, Rig, Standard};
use drillwright::fingerprint::canonical;
use drillwright::quantity::Quantity;
use drillwright::scoring::{Kit, kept_files, short_revision, standard};
use drillwright::wire::{Field, Kind, Layout, Need, Table, Way, Wire, revision};
use serde_json::{Value, json};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/frozen")
}

fn kept() -> Vec<(String, Value)> {
    let files = std::fs::read_dir(folder().join("kept")).unwrap();
    let mut out: Vec<(String, Value)> = files
        .map(|file| {
            let path = file.unwrap().path();
            let text = std::fs::read_to_string(&path).unwrap();
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            (name, serde_json::from_str(&text).unwrap())
        })
        .collect();
    out.sort_by(|a, b| a.0.cmp(&b.0));
    out
}

fn example() -> Course {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let (files, _) = drillwright::workshop::read_folder(&content).unwrap();
    let others = files.others.keys().cloned().collect();
    authoring::read(&files.texts, &others, authoring::Options::default()).0.unwrap()
}

/// Every field that a kept drill or rig can hold, one line each: table, key, how many of what,
/// and what it is when left out.
#[derive(Default)]
struct Fields {
    seen: BTreeSet<&'static str>,
    lines: BTreeSet<String>,
}

impl Fields {
    fn kind(&mut self, kind: Kind) {
        match kind {
            Kind::Group(table) => self.table(table(), ""),
            Kind::OneOf(cases) => {
                for case in cases().of {
                    self.table(case.table, case.word);
                }
            }
            Kind::Spelled(own) => own.ways.iter().for_each(|way| {
                if let Way::Group(table) = way {
                    self.table(table(), "");
                }
            }),
            Kind::Word(list) => {
                for word in list.words {
                    self.lines.insert(format!("{} | {word}", list.name));
                }
            }
            _ => {}
        }
    }

    fn table(&mut self, table: &'static Table, case: &str) {
        let case = if case.is_empty() { String::new() } else { format!("({case})") };
        if case.is_empty() && !self.seen.insert(table.name) {
            return;
        }
        for field in table.fields {
            if field.need != Need::Flat {
                self.lines.insert(format!("{}{case}.{}", table.name, said(field)));
            }
            if let Layout::MapOf(words) = field.layout {
                self.kind(Kind::Word(words));
            }
            // What only tells is in no revision, nor is what it holds.
            if !field.prose {
                self.kind(field.kind);
            }
        }
    }
}

fn said(field: &Field) -> String {
    let many = match field.layout {
        Layout::One => "one",
        Layout::List => "list",
        Layout::Map | Layout::MapOf(_) => "map",
    };
    let kind = match field.kind {
        Kind::Group(table) => table().name.to_owned(),
        Kind::OneOf(cases) => cases().name.to_owned(),
        Kind::Spelled(own) => own.name.to_owned(),
        Kind::Word(list) => list.name.to_owned(),
        Kind::Quantity(..) | Kind::Figure | Kind::Percent => "quantity".to_owned(),
        Kind::Whole => "whole".to_owned(),
        _ => "text".to_owned(),
    };
    let held = if field.prose { "told" } else { "held" };
    let or = field.or.map(|or| format!(" or {or}")).unwrap_or_default();
    let like = field.like.map(|key| format!(" like {key}")).unwrap_or_default();
    format!("{}: {many} {kind}, {held}{or}{like}", field.key)
}

fn fields() -> BTreeSet<String> {
    let mut fields = Fields::default();
    fields.kind(Standard::KIND);
    fields.kind(Rig::KIND);
    fields.lines
}

/// Writes anew what is frozen: only while the form has not been frozen yet, or to add to it.
fn anew() -> bool {
    std::env::var_os("ADD_TO_FROZEN").is_some()
}

fn write(name: &str, value: &Value) {
    let text = canonical(value).unwrap();
    std::fs::write(folder().join("kept").join(name), text + "\n").unwrap();
}

/// A drill and a rig of the example with what none of its drills and rigs has.
fn filled(course: &Course) -> (Standard, Rig) {
    let rule = json!({
        "within": "60 s", "resolution": "1 s", "starts-at": "the order", "stops-at": "the report",
        "watch": "the evaluator", "source": "order 9 (invented)", "holds": ["radio"],
    });
    let mut drill = course.drills[0].clone();
    drill.time = Some(serde_json::from_value(rule).unwrap());
    drill.attempts.wait = 7;
    drill.rigs.as_mut().unwrap().without = true;
    let mut standard = standard(course, &drill);
    // As few formulas as have every field between them.
    let (mut wanted, mut seen) = (Vec::new(), BTreeSet::new());
    for formula in course.library.formulas() {
        let before = seen.len();
        let reach = course.library.reach([formula.id.as_str()]);
        keys(&serde_json::to_value(&reach).unwrap(), &mut seen);
        if seen.len() > before {
            wanted.push(formula.id.as_str());
        }
    }
    standard.reach = course.library.reach(wanted);
    let mut rig = course.rigs.values().next().unwrap().clone();
    let eductor = json!({
        "eductor": "eductor-95", "flow": "95 gpm", "inlet": "200 psi", "back-pressure": "65 %",
        "draws-from": "foam-a", "product": "class-a-drill", "pick-up": "6 ft",
        "settings": ["1 %", "3 %"],
    });
    rig.eductors = vec![serde_json::from_value(eductor).unwrap()];
    let quantity = |text: &str| Some(Quantity::read(text).unwrap());
    let line = &mut rig.outlets[0];
    (line.elevation, line.appliances) = (quantity("10 ft"), quantity("10 psi"));
    line.used_for = LineUse::Supply;
    let held = json!([{ "percent": "1 %", "least": "30 gpm", "most": "400 gpm", "at": "150 psi",
        "concentrate": "class-a-drill" }]);
    rig.proportioner.as_mut().unwrap().capacities = serde_json::from_value(held).unwrap();
    (rig.tanks[0].light, rig.tanks[0].mark_in) = (quantity("6 gal"), MarkIn::Total);
    (standard, rig)
}

#[test]
fn a_field_that_was_once_in_a_revision_stays_what_it_was() {
    let path = folder().join("tables.txt");
    let today = fields();
    if anew() {
        let lines: Vec<&str> = today.iter().map(String::as_str).collect();
        std::fs::write(&path, lines.join("\n") + "\n").unwrap();
    }
    let known = std::fs::read_to_string(&path).unwrap();
    let known: BTreeSet<String> = known.lines().map(str::to_owned).collect();
    let gone: Vec<&String> = known.difference(&today).collect();
    assert!(gone.is_empty(), "what is kept somewhere has these fields: {gone:#?}");
    let new: Vec<&String> = today.difference(&known).collect();
    assert!(new.is_empty(), "add these to tests/frozen/tables.txt: {new:#?}");
}

#[test]
fn what_was_kept_by_an_earlier_program_has_its_revision_for_ever() {
    if anew() {
        let course = example();
        for drill in &course.drills {
            for (name, text) in kept_files(&course, drill).unwrap() {
                std::fs::write(folder().join("kept").join(name), text).unwrap();
            }
        }
    }
    if anew() {
        let (standard, rig) = filled(&example());
        let hash = standard.revision().unwrap();
        let text = json!({ "drill-revision": hash, "standard": standard });
        write(&format!("drill-filled-{}.json", short_revision(&hash)), &text);
        let hash = revision(&rig).unwrap();
        let text = json!({ "rig-revision": hash, "rig": rig });
        write(&format!("rig-filled-{}.json", short_revision(&hash)), &text);
    }
    let kept = kept();
    assert!(kept.len() > 10, "{}", kept.len());
    for (name, value) in &kept {
        // Reading a kept file proves its hash.
        let read = authoring::kept_file(&value.to_string(), &drillwright::stock::words());
        let read = read.unwrap_or_else(|why| panic!("{name}: {why}"));
        let hashes = read.drills.keys().chain(read.rigs.keys());
        for hash in hashes {
            assert!(name.contains(short_revision(hash)), "{name} is {hash}");
        }
    }
}

#[test]
fn neither_rules_nor_words_nor_a_translation_change_a_revision() {
    let course = example();
    for drill in &course.drills {
        let first = standard(&course, drill);
        let revision = first.revision().unwrap();
        let mut raised = first.clone();
        raised.rules += 1;
        assert_eq!(raised.revision().unwrap(), revision);
        let mut told = first.clone();
        told.drill.title = "Ein anderer Titel".into();
        for step in &mut told.drill.steps {
            step.why = "Aus einem anderen Grund.".into();
        }
        for formula in &mut told.reach.formulas {
            formula.title = "Formel".into();
            formula.givens.iter_mut().for_each(|given| given.label = "Angabe".into());
        }
        assert_eq!(told.revision().unwrap(), revision, "{}", drill.id);
        let mut other = first;
        let step = other.drill.steps.first_mut().unwrap();
        step.weight = if step.weight == 1 { 2 } else { 1 };
        assert_ne!(other.revision().unwrap(), revision, "{}", drill.id);
    }
    let words = drillwright::stock::words();
    let (drill, rig) = (&course.drills[0], &course.rigs["engine-7"]);
    let kit = Kit::of(&course, drill, rig, &words).unwrap();
    let dumb = Kit::of(&course, drill, rig, &words.under(&["none"])).unwrap();
    assert_eq!(kit.drill_revision(), dumb.drill_revision());
    assert_eq!(kit.rig_revision(), dumb.rig_revision());
}

#[test]
fn what_is_kept_fills_every_field_that_rules() {
    // A field that is in no kept file could change its meaning unseen.
    let mut filled = BTreeSet::new();
    for (_, value) in kept() {
        keys(&value, &mut filled);
    }
    let lines = fields();
    // What an author wrote for the other unit system is read and not kept: a standard holds the
    // values of its own module.
    let held = lines
        .iter()
        .filter(|line| line.contains(", held") && !line.starts_with("Drawn.si:"));
    let missing: Vec<&String> = held
        .filter(|line| {
            let (path, _) = line.split_once(':').unwrap();
            let (_, key) = path.rsplit_once('.').unwrap();
            !filled.contains(key)
        })
        .collect();
    assert_eq!(missing, Vec::<&String>::new());
}

fn keys(value: &Value, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) => {
            for (key, value) in fields {
                into.insert(key.clone());
                keys(value, into);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| keys(item, into)),
        _ => {}
    }
}
