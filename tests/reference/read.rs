//! The trade library as the program carries it, and YAML files of the tests.

use std::fs;
use std::path::Path;

use drillwright::formulas::{Library, System};
use drillwright::{authoring, findings, stock};
use serde::Deserialize;

/// A source of the list, by its name; its other fields are the tool's to read.
#[derive(Deserialize)]
pub(super) struct Listed {
    pub(super) source: String,
}

/// A YAML file of the project.
pub(super) fn yaml<T: serde::de::DeserializeOwned>(path: &str) -> T {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
    let text = fs::read_to_string(&path).unwrap();
    let options = serde_yaml::options! { strict_booleans: true };
    let read = serde_yaml::from_str_with_options(&text, options);
    read.unwrap_or_else(|fault| panic!("{}: {fault}", path.display()))
}

/// The sources that figures of the library may name.
pub(super) fn sources() -> Vec<Listed> {
    yaml("content/trade/sources.yaml")
}

/// The trade library, checked; every fault ends the test.
pub(super) fn library() -> Library {
    library_in(System::Us)
}

/// The same with its sentences told in these units.
pub(super) fn library_in(system: System) -> Library {
    let nothing = findings::Sources::new();
    let (library, findings) = authoring::library_in(&nothing, system);
    let (sources, words) = (stock::trade(), stock::words());
    for finding in &findings {
        println!(
            "{}",
            findings::text(&findings::printed(finding, &sources, &words), &words)
        );
    }
    assert!(findings.is_empty(), "the trade library has faults");
    library
}
