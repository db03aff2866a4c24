//! What the program is made from may be handed on with it: each package names a license that allows
//! it, and comes from the one registry whose bytes the lock file holds.
//!
//! This asks `cargo metadata`, which is there wherever the program is built, and no further program
//! that takes minutes to install.

use std::collections::BTreeSet;
use std::process::Command;

use serde_json::Value;

use super::root;

/// Licenses under which a program may be handed on without its sources.
const ALLOWED: [&str; 8] = [
    "MIT",
    "Apache-2.0",
    "ISC",
    "Unlicense",
    "Zlib",
    "CC0-1.0",
    "BSD-3-Clause",
    "Unicode-3.0",
];

const REGISTRY: &str = "registry+https://github.com/rust-lang/crates.io-index";

/// Whether an expression can be met by what is allowed: all of those joined by AND, one of those
/// joined by OR or by a slash, as older packages write it.
fn allowed(license: &str) -> bool {
    license.replace(['(', ')'], " ").split(" AND ").all(|part| {
        let part = part.replace('/', " OR ");
        part.split(" OR ").any(|one| ALLOWED.contains(&one.trim()))
    })
}

/// What is wrong with the packages of a list as `cargo metadata` writes it.
fn wrong(metadata: &Value) -> Vec<String> {
    let packages = metadata["packages"].as_array().unwrap();
    assert!(packages.len() > 20, "{} packages", packages.len());
    let mut found = Vec::new();
    for package in packages {
        let name = package["name"].as_str().unwrap();
        // Our own crates have no source: they stand here.
        match package["source"].as_str() {
            None => continue,
            Some(REGISTRY) => {}
            Some(other) => found.push(format!("{name} comes from {other}")),
        }
        match package["license"].as_str() {
            Some(license) if allowed(license) => {}
            license => found.push(format!("{name} has the license {license:?}")),
        }
    }
    found
}

#[test]
fn every_package_may_be_handed_on_and_comes_from_the_registry() {
    let mut command = Command::new(env!("CARGO"));
    command.args(["metadata", "--locked", "--offline", "--format-version", "1"]);
    let output = command.current_dir(root()).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let mut metadata: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(wrong(&metadata), [""; 0]);
    // It speaks up on each sort of fault.
    let other = metadata["packages"].as_array().unwrap().iter();
    let at = other.clone().position(|package| package["source"].is_string()).unwrap();
    for (field, value) in [
        ("license", Value::Null),
        ("license", "GPL-3.0-only".into()),
        ("license", "MIT AND GPL-3.0-only".into()),
        ("source", "git+https://example.invalid/x".into()),
    ] {
        let before = std::mem::replace(&mut metadata["packages"][at][field], value);
        assert_eq!(wrong(&metadata).len(), 1);
        metadata["packages"][at][field] = before;
    }
    // What the lock file holds has a hash, so that nobody puts other bytes under its name.
    let lock = std::fs::read_to_string(root().join("Cargo.lock")).unwrap();
    let without: BTreeSet<&str> = lock
        .split("[[package]]")
        .filter(|one| one.contains(REGISTRY) && !one.contains("\nchecksum = "))
        .collect();
    assert_eq!(without, BTreeSet::new());
}
