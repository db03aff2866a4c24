//! What the program says of the fields of a module's files: one description of each thing, told by
//! `why` and `schema`.

use drillwright::course::{BOOKS, THINGS};
use drillwright::quantity::System;
use drillwright::wire::{Telling, reference};
use serde_json::Value;

use crate::program::program;

#[expect(clippy::unwrap_used, reason = "a program that cannot be asked ends the test")]
fn answered(arguments: &[&str]) -> (i32, String, String) {
    let folder = tempfile::tempdir().unwrap();
    let output = program(folder.path()).args(arguments).output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

#[test]
fn every_thing_and_a_field_of_each_is_told() {
    let words = drillwright::stock::words();
    let telling = Telling { books: BOOKS, system: System::Us, words: &words };
    for thing in THINGS {
        let name = thing.name.replace(' ', "-");
        let (exit, said, _) = answered(&["why", &name]);
        assert_eq!(exit, 0, "{name}");
        assert!(said.contains(thing.file), "{said}");
        let rows = reference(&name, false, thing.kind, &telling);
        // Of the deepest field, whatever marks of lists and choices its path has.
        let deep = rows.iter().max_by_key(|row| row.path.matches('.').count()).unwrap();
        let (exit, said, talk) = answered(&["why", &deep.path]);
        assert_eq!(exit, 0, "{} {talk}", deep.path);
        assert!(said.contains(&deep.path), "{said}");
        let (exit, said, _) = answered(&["why", &deep.path, "--format", "json"]);
        let told: Value = serde_json::from_str(&said).unwrap();
        assert_eq!((exit, &told["file"]), (0, &Value::from(thing.file)));
        assert!(!told["field"].as_array().unwrap().is_empty());
        let (exit, said, _) = answered(&["schema", &name]);
        let schema: Value = serde_json::from_str(&said).unwrap();
        assert_eq!(exit, 0);
        assert!(schema.get("$schema").is_some(), "{name}");
    }
}

#[test]
fn what_is_no_field_is_answered_by_the_nearest() {
    for (typed, near) in [
        ("rig.outlet.flow", "rig.outlets.flow"),
        ("drill.steps[].wieght", "drill.steps.weight"),
        ("concentrate.evidense", "concentrate.evidence"),
    ] {
        let (exit, said, talk) = answered(&["why", typed]);
        assert_eq!((exit, said.as_str()), (1, ""), "{typed}");
        assert!(talk.contains(near), "{talk}");
    }
    for odd in ["..", "rig.", "]]", "rig.outlets..flow", ""] {
        let (exit, _, talk) = answered(&["why", odd]);
        assert_eq!(exit, 1, "{odd}: {talk}");
        let (exit, ..) = answered(&["schema", odd]);
        assert_eq!(exit, 1, "{odd}");
    }
}

/// In the units of the module in whose folder it is asked, and with its sign before decimals.
#[test]
fn fields_are_told_in_the_units_of_the_module() {
    let folder = tempfile::tempdir().unwrap();
    let content = folder.path().join("content");
    std::fs::create_dir(&content).unwrap();
    std::fs::write(content.join("module.yaml"), "units: si-bar\ncomma: decimal\n")
        .unwrap();
    let told = |arguments: &[&str]| {
        let output = program(folder.path()).args(arguments).output().unwrap();
        assert!(output.status.success(), "{arguments:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    for (field, eg) in [
        ("rig.outlets.pressure", "6,9 bar"),
        ("rig.outlets.nozzle", "fog, 470 L/min at 6,9 bar"),
        ("rig.outlets.coefficient", "bar/(100 L/min)^2/100 m"),
        ("drill.measures.unit", "L/min"),
        ("run.readings", "470 L/min"),
        ("concentrate.density", "1 kg/L"),
    ] {
        let said = told(&["why", field]);
        assert!(said.contains(eg), "{field}: {said}");
        assert!(!crate::metric::us_units(&said), "{field}: {said}");
    }
    let schema: Value = serde_json::from_str(&told(&["schema", "rig"])).unwrap();
    let mut told = Vec::new();
    explained(&schema, &mut told);
    assert!(told.len() > 100, "{}", told.len());
    let us: Vec<&String> =
        told.iter().filter(|text| crate::metric::us_units(text)).collect();
    assert!(us.is_empty(), "{us:#?}");
}

/// What an editor shows of a schema: descriptions and examples. What it matches is no text.
fn explained(schema: &Value, out: &mut Vec<String>) {
    match schema {
        Value::Object(fields) => {
            for (key, value) in fields {
                match (key.as_str(), value) {
                    ("description", Value::String(text)) => out.push(text.clone()),
                    ("examples", Value::Array(all)) => {
                        out.extend(
                            all.iter().filter_map(Value::as_str).map(str::to_owned),
                        );
                    }
                    _ => explained(value, out),
                }
            }
        }
        Value::Array(all) => all.iter().for_each(|one| explained(one, out)),
        _ => {}
    }
}
