//! What each crate may stand on: its packages, their features, and the parts of the standard
//! library that reach out of it.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use super::{code, root, rust_files};

/// Packages that the engine may use: numbers, text and hashes. None reads YAML, makes HTML,
/// opens a file, asks a clock or starts a thread.
const ENGINE: [&str; 6] = ["libm", "rand", "serde", "serde_json", "sha2", "strsim"];

/// What the compiler may use beside: readers and templates.
const COMPILER: [&str; 8] = [
    "csv-core",
    "drillwright-engine",
    "include_dir",
    "pulldown-cmark",
    "serde",
    "serde_json",
    "serde_yaml",
    "tera",
];

/// Features by which a package reaches for the clock or the system's chance.
const REACHING: [&str; 6] =
    ["clock", "now", "sys_rng", "thread_rng", "os_rng", "wasmbind"];

/// Parts of the standard library that reach out of a program; `env!` reads the build alone.
const OUTSIDE: [&str; 8] = [
    "std::fs",
    "std::thread",
    "std::net",
    "std::process",
    "std::env::",
    "std::time::SystemTime",
    "std::time::Instant",
    "std::os",
];

/// The packages of one table of a `Cargo.toml`, each with the rest of its line.
fn packages(manifest: &str, table: &str) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut inside = false;
    assert!(!manifest.contains("\n[target"), "a package for some machines alone");
    for line in manifest.lines().map(str::trim) {
        if let Some(name) = line.strip_prefix('[') {
            inside = name == format!("{table}]");
            let own = name.strip_suffix(']').and_then(|name| name.strip_prefix(table));
            assert!(
                !own.is_some_and(|own| own.starts_with('.')),
                "[{name}: a package is one line of [{table}]"
            );
            continue;
        }
        if !inside || line.is_empty() || line.starts_with('#') {
            continue;
        }
        let (key, rest) = line.split_once('=').expect("a line without =");
        let name = key.trim().trim_end_matches(".workspace");
        assert!(found.insert(name.to_owned(), rest.trim().to_owned()).is_none());
    }
    found
}

fn manifest(folder: &str) -> String {
    fs::read_to_string(root().join(folder).join("Cargo.toml")).unwrap()
}

/// The packages that a crate is made of, tests aside.
fn made_of(folder: &str) -> BTreeMap<String, String> {
    let text = manifest(folder);
    let mut all = packages(&text, "dependencies");
    all.extend(packages(&text, "build-dependencies"));
    all
}

fn names(packages: &BTreeMap<String, String>) -> Vec<&str> {
    packages.keys().map(String::as_str).collect()
}

#[test]
fn a_manifest_is_read() {
    let text = "[dependencies]\n# x\na.workspace = true\nb = { workspace = true, \
                features = [\"clock\"] }\n\n[lints]\nworkspace = true\n";
    let found = packages(text, "dependencies");
    assert_eq!(names(&found), ["a", "b"]);
    assert!(found["b"].contains("clock"));
    assert_eq!(packages(text, "dev-dependencies").len(), 0);
}

#[test]
fn engine_and_compiler_stand_on_packages_that_reach_nothing() {
    let shared = packages(&manifest("."), "workspace.dependencies");
    let mut compiler = COMPILER.to_vec();
    compiler.sort_unstable();
    for (folder, may) in [
        ("src/engine", &ENGINE[..]),
        ("src/compiler", &compiler),
        ("src/browser", &["drillwright-engine"]),
    ] {
        let used = made_of(folder);
        for (name, line) in &used {
            assert!(may.contains(&name.as_str()), "{folder} uses {name}");
            for feature in REACHING {
                let feature = format!("\"{feature}\"");
                let asked = line.contains(&feature) || shared[name].contains(&feature);
                assert!(!asked, "{folder} uses {name} with {feature}");
            }
        }
        // A list that allows what nobody uses would not notice when it comes back.
        assert_eq!(names(&used), may, "{folder}");
    }
}

#[test]
fn engine_and_compiler_reach_for_nothing_outside() {
    let mut looked_at = 0;
    for folder in ["src/engine", "src/compiler", "src/browser"] {
        for (path, text) in rust_files(folder) {
            // A build script runs on the maker's machine and is no part of what is made.
            if path.ends_with("build.rs") || path.ends_with("check/folder.rs") {
                continue;
            }
            looked_at += 1;
            for part in OUTSIDE {
                let found = code(&text).contains(part);
                assert!(!found, "{} reaches for {part}", path.display());
            }
        }
    }
    assert!(looked_at > 100, "{looked_at} files");
}

#[test]
fn threads_start_in_the_program_alone() {
    let mut found = BTreeSet::new();
    for (path, text) in rust_files("src") {
        let code = code(&text);
        if ["rayon", "std::thread"].iter().any(|word| code.contains(word)) {
            let room: Vec<_> =
                path.iter().take(3).map(|part| part.to_str().unwrap()).collect();
            found.insert(room.join("/"));
        }
    }
    let may = ["src/program/cli", "src/program/preview", "src/program/workshop"];
    assert_eq!(found.iter().map(String::as_str).collect::<Vec<_>>(), may);
}

#[test]
fn every_package_has_its_reason_and_a_crate_that_uses_it() {
    let top = manifest(".");
    let shared = packages(&top, "workspace.dependencies");
    let own = |name: &&str| !name.starts_with("drillwright");
    let wanted: BTreeSet<&str> = shared.keys().map(String::as_str).filter(own).collect();

    let page = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let table = page.split("\n## Why each dependency\n").nth(1).unwrap();
    let table = table.split("\n## ").next().unwrap();
    let mut reasons = BTreeSet::new();
    for row in table.lines().filter_map(|line| line.strip_prefix("| ")) {
        let (crates, why) = row.split_once(" | ").unwrap();
        if crates == "crate" || crates.starts_with("---") {
            continue;
        }
        assert!(why.trim_end_matches([' ', '|']).len() > 10, "{crates}: {why}");
        for name in crates.split(", ") {
            let name = name.split(" (").next().unwrap();
            assert!(reasons.insert(name), "{name} has two rows");
        }
    }
    assert_eq!(reasons, wanted, "DEVELOPERS.md, why each dependency");

    let mut used = BTreeSet::new();
    for folder in [".", "src/engine", "src/compiler", "src/browser"] {
        let text = manifest(folder);
        for table in ["dependencies", "dev-dependencies", "build-dependencies"] {
            for (name, line) in packages(&text, table) {
                let agreed = line == "true" || line.contains("workspace = true");
                assert!(agreed, "{folder} takes {name} past the list of the workspace");
                used.insert(name);
            }
        }
    }
    let used: BTreeSet<&str> = used.iter().map(String::as_str).filter(own).collect();
    assert_eq!(used, wanted, "[workspace.dependencies]");
}
