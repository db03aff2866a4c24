//! Answers → a module that compiles at once.

use std::fs;

use drillwright::findings::Sources;
use drillwright::starting::{begin, drills, module_answers};
use drillwright::stock;

use super::{SYSTEMS, begun, files, must_fix, said, sorts, start};

/// Each file names its schema, and nothing of the invented district came over as if it were decided.
fn ours(files: &Sources) {
    let own = files.iter().filter(|(file, _)| !file.starts_with("schema/"));
    for (file, text) in own.filter(|(file, _)| !file.starts_with("lessons/")) {
        let first = text.lines().next().unwrap_or_default();
        let schema = first.strip_prefix("# yaml-language-server: $schema=");
        let schema = schema.unwrap_or_else(|| panic!("{file}: {first}"));
        let schema = schema.trim_start_matches("../");
        assert!(files.contains_key(schema), "{file}: {schema}");
        let said = text.lines().filter(|line| !line.trim_start().starts_with('#'));
        let said: Vec<&str> = said
            .filter(|line| line.contains("(invented)") || line.contains("arn Valley"))
            .collect();
        assert!(said.is_empty(), "{file}: {said:?}");
    }
}

/// In each system of units a rig of each sort, with foam of each class: nothing to fix, and every
/// drill of the library that fits.
#[test]
fn each_sort_of_rig_compiles_in_each_system() {
    let words = stock::words();
    let mut came_all = Vec::new();
    for figures in &SYSTEMS {
        for sort in sorts() {
            for class in ["A", "B"] {
                let what = format!("{} {sort} {class}", figures.units);
                let text = figures.answers(sort, class);
                let asked = module_answers("answers.yaml", &text, &words);
                let answers =
                    asked.answers.unwrap_or_else(|| panic!("{what}: {:?}", asked.found));
                let begun = begin(&answers, None, "2026-11-27", &words);
                let begun = begun.unwrap_or_else(|fault| panic!("{what}: {fault:?}"));
                assert_eq!(must_fix(&begun.files), Vec::<String>::new(), "{what}");
                let all = [&begun.drills[..], &[what]].concat();
                came_all.push(all.join(" "));
                ours(&begun.files);
            }
        }
    }
    let has = |what: &str, drill: &str| {
        let own = came_all.iter().find(|all| all.ends_with(what)).unwrap();
        own.split(' ').any(|one| one == drill)
    };
    for units in ["us", "si", "si-bar"] {
        for drill in
            ["startup", "percent-change", "flush", "refill", "supply-change", "totals"]
        {
            assert!(
                has(&format!("{units} direct-injection A"), drill),
                "{units} {drill}"
            );
        }
        for drill in ["startup-b", "flush-b", "refill-b", "totals-b"] {
            assert!(
                has(&format!("{units} balanced-pressure B"), drill),
                "{units} {drill}"
            );
        }
        for what in ["none A", "in-line-eductor B"] {
            assert!(!has(&format!("{units} {what}"), "startup"), "{units} {what}");
        }
    }
}

/// The same answers give the same bytes, and what the program writes it can compile.
#[test]
fn what_is_begun_is_compiled_by_the_next_command() {
    let dir = begun(&SYSTEMS[0], "direct-injection", "A");
    let text = SYSTEMS[0].answers("direct-injection", "A");
    fs::write(dir.path().join("all.yaml"), text).unwrap();
    for folder in ["one", "two"] {
        assert_eq!(said(&start(dir.path(), &[folder, "--answers", "all.yaml"])).0, 0);
    }
    assert_eq!(files(&dir.path().join("one")), files(&dir.path().join("two")));
    let output = crate::program::program(dir.path())
        .args(["compile", "--content", "one", "--out", "site"])
        .output()
        .unwrap();
    let (exit, data, talk) = said(&output);
    assert_eq!(exit, 0, "{data}{talk}");
    let sheet =
        fs::read_to_string(dir.path().join("site/crew/rig-engine-1.html")).unwrap();
    assert!(sheet.contains("UNVERIFIED"));
}

/// What nobody was asked is not known, and stands nowhere as a figure.
#[test]
fn what_nobody_said_is_not_known() {
    let dir = begun(&SYSTEMS[0], "direct-injection", "A");
    let all = files(&dir.path().join("content"));
    let rig = &all["rigs/engine-1.yaml"];
    for line in [
        "tested: not known",
        "dry: not known",
        "relief: not known",
        "air-settings: manual decides",
    ] {
        assert!(rig.contains(line), "{line}\n{rig}");
    }
    let used = rig.lines().filter(|line| !line.trim_start().starts_with('#'));
    let used: Vec<&str> = used.collect();
    for unsaid in
        ["withdrawal", "intake-floor", "coefficient", "least-flow", "checked", "supplies"]
    {
        assert!(
            !used.iter().any(|line| line.trim_start().starts_with(unsaid)),
            "{unsaid}"
        );
        // It is explained where it will be written.
        assert!(rig.contains(&format!("#{unsaid}:")), "{unsaid}");
    }
    assert!(all["people.yaml"].contains("\n[]"), "{}", all["people.yaml"]);
    assert!(all["local.yaml"].matches("decision: not decided yet").count() > 20);
    let product = &all["concentrates/foam-a.yaml"];
    assert!(
        !product.lines().any(|line| line.starts_with("training-permitted")),
        "{product}"
    );
    assert!(product.contains("#evidence:"), "{product}");
}

/// Every figure of the answers stands in the files as it was answered, in the units of the module.
#[test]
fn examples_are_in_the_units_of_the_module() {
    for figures in &SYSTEMS {
        let dir = begun(figures, "around-the-pump", "B");
        let all = files(&dir.path().join("content"));
        let rig = &all["rigs/engine-1.yaml"];
        let foreign: &[&str] = match figures.units {
            "us" => &[" kPa", " bar", " L"],
            "si" => &[" psi", " gpm", " gal", " bar"],
            _ => &[" psi", " gpm", " gal", " kPa"],
        };
        for unit in foreign {
            let found = rig.lines().find(|line| {
                // The help of a coefficient names its unit in both systems.
                line.ends_with(unit) && !line.contains("psi/(100 gpm)")
            });
            assert_eq!(found, None, "{}", figures.units);
        }
    }
}

#[test]
fn only_the_drills_that_were_asked_for_come() {
    let dir = tempfile::tempdir().unwrap();
    let text =
        SYSTEMS[1].answers("direct-injection", "A") + "drills: [flush, inspection]\n";
    fs::write(dir.path().join("answers.yaml"), text).unwrap();
    let (exit, data, talk) =
        said(&start(dir.path(), &["m", "--answers", "answers.yaml"]));
    assert_eq!(exit, 0, "{talk}");
    assert!(data.contains("flush, inspection"), "{data}");
    let all = files(&dir.path().join("m"));
    assert_eq!(drills(&all), ["flush", "inspection"]);
    let flush = &all["drills/flush.yaml"];
    assert!(
        flush.contains("rigs: [engine-1]") && flush.contains("agent: plain-water"),
        "{flush}"
    );
    assert!(flush.contains("# runoff:") && !flush.contains("\nrunoff:"), "{flush}");
    assert!(flush.contains("unit: L\n") && !flush.contains("gal"), "{flush}");
}
