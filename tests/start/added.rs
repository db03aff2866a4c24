//! One thing more in a module that is there.

use std::fs;
use std::path::Path;

use super::{SYSTEMS, begun, files, must_fix, said, start};
use crate::program::{copy, example};

fn add(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    said(&start(folder, arguments))
}

#[test]
fn each_thing_is_added_and_the_module_still_compiles() {
    for figures in &SYSTEMS[..2] {
        let dir = begun(figures, "direct-injection", "A");
        let rig = format!("name: Engine 9\n{}", figures.rig("around-the-pump", "B"))
            + &figures.product("B");
        fs::write(dir.path().join("rig.yaml"), rig).unwrap();
        for arguments in [
            &["rig", "--answers", "rig.yaml"][..],
            &["drill", "Two lines at once"],
            &["lesson", "What a hose takes"],
            &["question", "Quick numbers"],
            &["person", "B. Example", "--rank", "Captain"],
            &["person", "C. Example: \"the old one\" #2", "--rank", "Chief, acting"],
        ] {
            let before = files(&dir.path().join("content"));
            let (exit, data, talk) = add(dir.path(), arguments);
            assert_eq!(exit, 0, "{arguments:?} {data}{talk}");
            let after = files(&dir.path().join("content"));
            assert_eq!(must_fix(&after), Vec::<String>::new(), "{arguments:?}");
            // What was there is there, line by line and in its order.
            for (file, text) in &before {
                let now: Vec<&str> = after[file].lines().collect();
                let mut at = 0;
                for line in text.lines().filter(|line| *line != "[]") {
                    let found = now.iter().skip(at).position(|own| {
                        *own == line
                            || own.starts_with(
                                line.trim_end_matches(']').trim_end_matches(['[', ' ']),
                            ) && !line.is_empty()
                    });
                    at += found.unwrap_or_else(|| {
                        panic!("{file} lost {line:?}\n{}", after[file])
                    }) + 1;
                }
            }
            // The same name again is refused, and nothing is written.
            let (exit, _, talk) = add(dir.path(), arguments);
            assert_eq!(exit, 1, "{arguments:?}");
            assert!(talk.contains("already"), "{talk}");
            assert_eq!(files(&dir.path().join("content")), after, "{arguments:?}");
        }
        let all = files(&dir.path().join("content"));
        assert!(all["module.yaml"].contains("rigs: [engine-1, engine-9]"));
        assert!(all["module.yaml"].contains("drills: [two-lines-at-once]"));
        assert!(
            all["people.yaml"].contains("\"C. Example: \\\"the old one\\\" #2\""),
            "{}",
            all["people.yaml"]
        );
        assert!(all["lessons/what-a-hose-takes.md"].starts_with("## What a hose takes"));
    }
}

#[test]
fn a_drill_comes_from_another_department_with_what_it_needs() {
    let dir = begun(&SYSTEMS[0], "balanced-pressure", "B");
    copy(example(), &dir.path().join("theirs"));
    let (exit, data, talk) = add(dir.path(), &["drill", "flush-b", "--from", "theirs"]);
    assert_eq!(exit, 0, "{data}{talk}");
    let all = files(&dir.path().join("content"));
    assert_eq!(must_fix(&all), Vec::<String>::new());
    let drill = &all["drills/flush-b.yaml"];
    assert!(drill.contains("rigs: [engine-1]") && !drill.contains("tender-3"), "{drill}");
    assert!(
        drill.contains("agent: plain-water") && drill.contains("# runoff:"),
        "{drill}"
    );
    // An order of the other department stays cited, and comes along.
    assert!(drill.contains("operations-order-4, three volumes"), "{drill}");
    assert!(all["sources.yaml"].contains("Operations order 4 (invented)"));
    for line in [
        "Added to objectives.yaml: flush, totals",
        "Not decided yet, in local.yaml: yard-drain",
        "Added to terms.yaml:",
        "Added questions/flush-b.yaml with questions about what it assesses:",
    ] {
        assert!(data.contains(line), "{line}\n{data}");
    }
    assert!(
        all["local.yaml"]
            .contains("- topic: yard-drain\n  title: The drain in the training yard")
    );
    // What is there is kept as it is, and that is told.
    let mine = all["objectives.yaml"].replace("with no", "with never a");
    fs::write(dir.path().join("content/objectives.yaml"), &mine).unwrap();
    let (exit, data, talk) = add(dir.path(), &["drill", "totals-b", "--from", "theirs"]);
    assert_eq!(exit, 0, "{talk}");
    assert!(
        data.contains("In objectives.yaml already, and kept as they are: totals"),
        "{data}"
    );
    let now = files(&dir.path().join("content"));
    assert!(now["objectives.yaml"].starts_with(&mine));
    assert_eq!(must_fix(&now), Vec::<String>::new());
}

#[test]
fn a_formula_of_the_other_department_comes_with_its_source() {
    let dir = begun(&SYSTEMS[0], "direct-injection", "A");
    copy(example(), &dir.path().join("theirs"));
    let (exit, data, talk) =
        add(dir.path(), &["drill", "percent-change", "--from", "theirs"]);
    assert_eq!(exit, 0, "{data}{talk}");
    let all = files(&dir.path().join("content"));
    assert!(
        all["formulas/wait-after-change.yaml"].contains("- formula: wait-after-change")
    );
    assert!(
        all["sources.yaml"].contains("- source: tarn-valley-order-4"),
        "{}",
        all["sources.yaml"]
    );
}

#[test]
fn a_drill_of_other_units_or_for_other_rigs_is_refused() {
    let dir = begun(&SYSTEMS[1], "direct-injection", "A");
    copy(example(), &dir.path().join("theirs"));
    let before = files(&dir.path().join("content"));
    for (arguments, wanted) in [
        (&["drill", "flush", "--from", "theirs"][..], "other units: us there, si here"),
        (
            &["drill", "flsh", "--from", "theirs"],
            "There is no drill called \"flsh\" there. Drills: flush",
        ),
        (&["drill", "../flush", "--from", "theirs"], "There is no drill"),
        (&["drill", "flush-b", "--library"], "class B"),
    ] {
        let (exit, _, talk) = add(dir.path(), arguments);
        assert_eq!(exit, 1, "{arguments:?} {talk}");
        assert!(talk.contains(wanted), "{arguments:?} {talk}");
        assert_eq!(files(&dir.path().join("content")), before, "{arguments:?}");
    }
    // Metric drills of the library come by the same command.
    let (exit, data, talk) = add(dir.path(), &["drill", "flush", "--library"]);
    assert_eq!(exit, 0, "{data}{talk}");
    let (exit, _, talk) = add(dir.path(), &["drill", "flush", "--from", "nowhere"]);
    assert_eq!(exit, 2, "{talk}");
    assert!(talk.contains("nowhere"), "{talk}");
}
