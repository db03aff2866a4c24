//! What is made of tables for people and their editors: schema, file to begin with, reference
//! of fields, index of names.

use std::collections::BTreeSet;
use std::path::Path;

use drillwright::authoring::Trees;
use drillwright::course::{BOOKS, THINGS, Thing};
use drillwright::findings::{Finding, Sources};
use drillwright::quantity::System;
use drillwright::wire::{
    Desk, Field, Kind, Layout, Need, Node, Shape, reference, schema, sentence, starter,
    value,
};
use serde_json::Value as Json;

use super::All;
use super::validator::{check, data};

pub(super) fn tree(text: &str) -> Node {
    let file = "thing.yaml".to_owned();
    let mut found = Vec::new();
    let trees =
        Trees::read(&Sources::from([(file.clone(), text.to_owned())]), &mut found);
    assert_eq!(found, [], "{text}");
    trees.get(&file).unwrap().clone()
}

pub(super) fn layout(thing: &Thing) -> Layout {
    if thing.list { Layout::List } else { Layout::One }
}

pub(super) fn faults(thing: &Thing, node: &Node) -> Vec<Finding> {
    let desk = Desk::default();
    value(desk.item("thing.yaml", node), layout(thing), thing.kind);
    desk.findings.into_inner()
}

pub(super) fn begun(thing: &Thing) -> String {
    starter(thing.list, thing.kind, BOOKS)
}

pub(super) fn schema_of(thing: &Thing) -> Json {
    schema(thing.name, thing.list, thing.kind, (BOOKS, System::Us))
}

/// With every line in use: a `#` right before a key or an indent is taken away.
fn alive(text: &str) -> String {
    let line = |line: &str| {
        let mut out = line.to_owned();
        while let Some((indent, rest)) = out.split_once('#') {
            let sentence = rest.starts_with(' ') && !rest.starts_with("  ");
            if sentence || !indent.trim().is_empty() {
                break;
            }
            out = format!("{indent}{rest}");
        }
        out
    };
    text.lines().map(line).collect::<Vec<_>>().join("\n")
}

#[test]
fn a_file_to_begin_with_reads_back_without_a_finding() {
    for thing in THINGS {
        let text = begun(thing);
        for text in [alive(&text), text] {
            let node = tree(&text);
            assert_eq!(faults(thing, &node), [], "{text}");
            check(&schema_of(thing), &data(&node))
                .unwrap_or_else(|why| panic!("{why}\n{text}"));
        }
    }
}

#[test]
fn a_file_to_begin_with_has_every_field_with_its_sentence() {
    for thing in THINGS {
        let text = begun(thing);
        let said = text.lines().map(|l| l.trim_start_matches([' ', '#']));
        let said = said.collect::<Vec<_>>().join(" ");
        let rows = reference(thing.name, thing.list, thing.kind, BOOKS);
        let mut told = 0;
        for row in &rows {
            // Not what only programs write, nor what one example shows whole.
            let below = |path: &str| {
                let rest = row.path.strip_prefix(path);
                rest.is_some_and(|rest| rest.starts_with(['.', '[', '{']))
            };
            let inside = rows.iter().any(|r| r.eg.is_some() && below(&r.path));
            if row.kind != "written by the program" && !inside && !row.path.contains('(')
            {
                assert!(said.contains(&row.help), "{}: {}", row.path, row.help);
                assert!(said.contains(&format!("{}:", row.key)), "{}", row.path);
                told += 1;
            }
        }
        assert!(told > 2, "{}", thing.name);
    }
}

/// Every group of fields that a schema has anywhere.
fn properties<'s>(schema: &'s Json, out: &mut Vec<&'s serde_json::Map<String, Json>>) {
    match schema {
        Json::Object(rules) => {
            out.extend(rules.get("properties").and_then(Json::as_object));
            rules.values().for_each(|rule| properties(rule, out));
        }
        Json::Array(rules) => rules.iter().for_each(|rule| properties(rule, out)),
        _ => {}
    }
}

#[test]
fn every_field_is_in_reference_and_schema() {
    let schemas: Vec<Json> = THINGS.iter().map(schema_of).collect();
    let mut groups = Vec::new();
    for schema in &schemas {
        properties(schema, &mut groups);
    }
    let rows: BTreeSet<(&str, String)> = THINGS
        .iter()
        .flat_map(|thing| reference(thing.name, thing.list, thing.kind, BOOKS))
        .map(|row| (row.key, row.help))
        .collect();
    for (name, table) in All::new().tables {
        let written = |field: &&Field| matches!(field.need, Need::Must | Need::May);
        for field in table.fields.iter().filter(written) {
            let help = sentence(BOOKS.of(name).unwrap().entry(field.key).unwrap().help);
            let described = |group: &&&serde_json::Map<String, Json>| {
                group
                    .get(field.key)
                    .is_some_and(|rule| rule["description"] == help.as_str())
            };
            assert!(groups.iter().any(|group| described(&group)), "{name}.{}", field.key);
            assert!(rows.contains(&(field.key, help)), "{name}.{}", field.key);
        }
    }
}

/// The files of things, as far as a table alone says what they hold.
fn files() -> Vec<(&'static Thing, String, Node)> {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let (folder, _) = drillwright::workshop::read_folder(&content).unwrap();
    let mut found = Vec::new();
    let mut texts = folder.texts;
    texts.extend(drillwright::stock::trade());
    let trees = Trees::read(&texts, &mut found).told_in(System::Us);
    assert_eq!(found, []);
    let mut out = Vec::new();
    for thing in THINGS {
        let varies =
            ["ID", "FAMILY"].into_iter().find_map(|of| thing.file.split_once(of));
        let (before, after) = varies.unwrap_or((thing.file, ""));
        for file in texts.keys() {
            // What a module may have of its own the trade has below its own folder.
            let own =
                file.strip_prefix("trade/").filter(|_| !before.starts_with("trade/"));
            let own =
                own.filter(|_| thing.name != "choice of a constant").unwrap_or(file);
            let its = own.strip_prefix(before).and_then(|rest| rest.strip_suffix(after));
            if let (Some(_), Some(node)) = (its, trees.get(file)) {
                out.push((thing, file.clone(), node.clone()));
            }
        }
    }
    out
}

#[test]
fn the_schema_accepts_every_file_of_the_example() {
    let mut tried = BTreeSet::new();
    for (thing, file, node) in files() {
        // A file of runs may be a list of them, and a run may have its drills below it and a
        // candidate for each role, which are taken apart before the table sees them.
        let parts = match &node.shape {
            Shape::List(items) if !thing.list => items.clone(),
            _ => vec![node],
        };
        let whole = |part: &&Node| {
            let one = |key| part.child(key).is_none_or(|node| node.text().is_some());
            thing.name != "run"
                || part.child("drills").is_none() && one("candidate") && one("attempt")
        };
        for part in parts.iter().filter(whole) {
            let checked = check(&schema_of(thing), &data(part));
            checked.unwrap_or_else(|why| panic!("{file}: {why}"));
            tried.insert(thing.name);
        }
    }
    // The example's department has chosen no constant otherwise, and has no look of its own.
    let left = THINGS.iter().filter(|thing| !tried.contains(thing.name));
    let left: Vec<&str> = left.map(|thing| thing.name).collect();
    let none = ["choice of a constant", "look"];
    assert!(left.iter().all(|name| none.contains(name)), "{left:?}");
}

/// A schema that accepts everything would pass all that is above.
#[test]
fn the_schema_refuses_what_no_file_may_hold() {
    for thing in THINGS {
        let schema = schema_of(thing);
        let good = data(&tree(&begun(thing)));
        let fields =
            if thing.list { &good[0] } else { &good }.as_object().unwrap().clone();
        let refused = |fields: serde_json::Map<String, Json>| {
            let one = Json::Object(fields);
            let file = if thing.list { Json::Array(vec![one]) } else { one };
            check(&schema, &file).unwrap_err()
        };
        let mut more = fields.clone();
        more.insert("nobody-knows".to_owned(), "this".into());
        assert!(refused(more).contains("nobody-knows"));
        for key in fields.keys() {
            let mut other = fields.clone();
            other.insert(key.clone(), Json::Null);
            refused(other);
            // Nothing of a look must be there: a department may have a footer alone.
            if thing.name == "look" {
                continue;
            }
            let mut fewer = fields.clone();
            fewer.remove(key);
            assert!(refused(fewer).contains(key), "{key}");
        }
    }
    let rig = &THINGS[1];
    assert_eq!(rig.name, "rig");
    for (good, wrong) in [
        ("usable: 720 gal", "usable: 720 gpm"),
        ("usable: 720 gal", "usable: 720"),
        ("from: 0.1 %", "from: 0.1 gal"),
        ("foam: yes", "foam: maybe"),
        ("rig: engine-7", "rig: Engine 7"),
        ("side: before-injection", "side: between"),
        ("on: 2026-10-01", "on: 2026-13-01"),
    ] {
        let text = alive(&begun(rig));
        assert!(text.contains(good), "{good}\n{text}");
        let bad = tree(&text.replace(good, wrong));
        check(&schema_of(rig), &data(&bad)).expect_err(wrong);
    }
    for right in
        ["usable: 720 gallons", "usable: 2.5 m^3", "usable: 3 m³", "usable: .5 US gal"]
    {
        let good = tree(&begun(rig).replace("usable: 720 gal", right));
        assert_eq!(faults(rig, &good), []);
        check(&schema_of(rig), &data(&good)).unwrap();
    }
}

/// No row is told in vain: each says where, what and how.
#[test]
fn the_reference_says_where_what_and_how() {
    for thing in THINGS {
        let rows = reference(thing.name, thing.list, thing.kind, BOOKS);
        let paths: BTreeSet<&str> = rows.iter().map(|row| row.path.as_str()).collect();
        assert_eq!(paths.len(), rows.len(), "{}", thing.name);
        assert!(
            rows.iter()
                .all(|row| row.kind.len() > 5 && row.help.len() > 4 && row.since > 0)
        );
    }
    let rows = reference("rig", false, THINGS[1].kind, BOOKS);
    let row = |path: &str| rows.iter().find(|row| row.path == path).unwrap();
    let usable = row("rig.tanks[].usable");
    assert_eq!((usable.need, usable.eg.as_deref()), (true, Some("720 gal")));
    assert!(usable.kind.starts_with("volume") || usable.kind.contains("30 gal"));
    assert_eq!(
        (row("rig.outlets[].air").need, row("rig.outlets[].air").or),
        (false, Some("no"))
    );
    assert!(row("rig.proportioner.classes{}.from").kind.starts_with("a percent"));
    assert!(matches!(THINGS[1].kind, Kind::Group(_)));
}
