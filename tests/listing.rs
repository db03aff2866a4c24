//! The table of film-forming foams never steps in for a product without fluorine.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use drillwright::authoring;
use drillwright::findings::Code;

/// The module of `tests/wrong/rate-not-listed`, with texts of its files put for others.
fn found(changes: &[(&str, &str, &str)]) -> Vec<Code> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/wrong");
    let mut sources: BTreeMap<String, String> = BTreeMap::new();
    let mut pictures = BTreeSet::new();
    for folder in ["base", "rate-not-listed"] {
        let folder = root.join(folder);
        for entry in walkdir::WalkDir::new(&folder) {
            let entry = entry.unwrap();
            let name = entry.path().strip_prefix(&folder).unwrap().to_str().unwrap();
            if name.starts_with("pictures/") {
                pictures.insert(name.to_owned());
            } else if entry.file_type().is_file() && name != "expected.yaml" {
                let text = fs::read_to_string(entry.path()).unwrap();
                sources.insert(name.to_owned(), text);
            }
        }
    }
    for (file, from, to) in changes {
        let text = sources.entry((*file).to_owned()).or_default();
        assert!(text.contains(from), "{from} in {file}");
        *text = if from.is_empty() { (*to).to_owned() } else { text.replace(from, to) };
    }
    let options = authoring::Options { draft: false };
    let (_, found) = authoring::read(&sources, &pictures, options);
    found.iter().map(|finding| finding.code).collect()
}

const PRODUCT: &str = "concentrates/spare.yaml";

#[test]
fn only_what_is_listed_starts_an_attack() {
    let refused =
        |changes: &[(&str, &str, &str)]| found(changes).contains(&Code::RateNotListed);
    let rate = |rate| ("module.yaml", "rate: 0.1 gpm/ft2", rate);
    assert!(refused(&[]));
    assert!(!refused(&[rate("rate: 0.16 gpm/ft2")]));
    assert!(!refused(&[rate("rate: 0.2 gpm/ft2")]));
    assert!(refused(&[rate("rate: 0.159 gpm/ft2")]));
    // The least rate of an ideal test, and the same rate in the units of the other system.
    assert!(refused(&[rate("rate: 0.06 gpm/ft2")]));
    assert!(refused(&[rate("rate: 4.1 L/min/m2")]));
    // Without a listing no rate starts anything, however large.
    let listing = "listings:\n- fuel: hydrocarbon\n  nozzle: aspirated\n  rate: 0.16 gpm/ft2\n  minutes: 15 min\n  listing: listing of the invented maker\n  on: 2026-02-01\n";
    assert!(refused(&[(PRODUCT, listing, ""), rate("rate: 0.5 gpm/ft2")]));
    // The word of a label counts against the table too, evidence or not.
    assert!(refused(&[(PRODUCT, "fluorine: none-added", "fluorine: not-known")]));
    // A product with fluorine added is what the table is for.
    let film = (
        "fluorine-free: yes\nfluorine: none-added",
        "fluorine-free: no\nfluorine: added",
    );
    assert!(!refused(&[(PRODUCT, film.0, film.1)]));
}

#[test]
fn a_formula_of_the_department_cannot_take_the_table_either() {
    let own = "- formula: spill-flow\n  title: Flow of a spill\n  family: class-b\n  givens:\n  - given: area\n    label: area\n    unit: ft2\n    unit-si: m2\n    least: 10 ft2\n    most: 5000 ft2\n  - given: situation\n    label: situation\n    words: [hydrocarbon-film-forming, polar-solvent]\n  work:\n  - line: flow = area * class-b-rate(situation)\n    label: flow\n    shown: 0.1 gpm\n    shown-si: 0.1 L/min\n";
    let codes = found(&[
        ("formulas/own.yaml", "", own),
        ("module.yaml", "rate: 0.1 gpm/ft2", "rate: 0.16 gpm/ft2"),
    ]);
    assert!(codes.contains(&Code::RateNotListed), "{codes:?}");
}
