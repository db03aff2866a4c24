//! What the program says of the fields of a module's files: one description of each thing, told by
//! `why` and `schema`.

use drillwright::course::{BOOKS, THINGS};
use drillwright::wire::reference;
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
    for thing in THINGS {
        let name = thing.name.replace(' ', "-");
        let (exit, said, _) = answered(&["why", &name]);
        assert_eq!(exit, 0, "{name}");
        assert!(said.contains(thing.file), "{said}");
        let rows = reference(&name, false, thing.kind, BOOKS);
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
