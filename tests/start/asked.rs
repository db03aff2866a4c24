//! The conversation on a terminal: questions out of the tables, answers as they are typed.

use std::io::Write;
use std::path::Path;
use std::process::Stdio;

use super::{SYSTEMS, files, must_fix, said, start};
use crate::program::program;

fn typed_in(folder: &Path, arguments: &[&str], typed: &str) -> (i32, String, String) {
    let mut child = program(folder)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A program that asks nothing ends before all is typed; what it says is asked for, not whether it read.
    let _all_read = child.stdin.take().unwrap().write_all(typed.as_bytes());
    said(&child.wait_with_output().unwrap())
}

/// What is typed, line by line.
const TYPED: &[&str] = &[
    "", // department: needed
    "Example Fire District",
    "",
    "",
    "", // title, audience, hours
    "metric",
    "si", // units: a slip, then right
    "a4",
    "comma",
    "2027-06-30",
    "perhaps",
    "yes",
    "A. Example",
    "Captain",
    "Pump 1",
    "eductr",
    "in-line-eductor",
    "400",
    "400 L/min", // without its unit, then with it
    "200 psi",
    "1400 kPa",
    "65 %",
    "50 %, 6 %",
    "3 %, 6 %",
    "Foam line",
    "Foam B",
    "yes",
    "6000 L",
    "5800 L",
    "none", // no mark
    "Foam line",
    "yes",
    "45 mm",
    "40 m",
    "foam branch, 400 L/min at 700 kPa",
    "400 L/min",
    "700 kPa",
    "none", // no service test on the hose
    "",     // no further line
    "50 kPa",
    "",
    "",
    "",
    "",
    "no", // no compressor
    "",   // no further rig
    "Foam B",
    "B",
    "petrol",
    "3 %",
    "6 %",
    "1,02 kg/L",
    "can",
    "20 L",
    "no",
    "", // no further product
    "", // drills: all
];

#[test]
fn a_module_is_begun_by_what_is_typed_and_slips_are_asked_again() {
    let dir = tempfile::tempdir().unwrap();
    let typed = TYPED.iter().fold(String::new(), |text, line| {
        text + line
            + "
"
    });
    let (exit, data, talk) = typed_in(dir.path(), &["start", "m", "--ask"], &typed);
    assert_eq!(exit, 0, "{data}\n{talk}");
    for told in [
        "This is needed",
        "Write yes or no",
        "400 L/min",
        "in-line-eductor",
        "more than any foam",
    ] {
        assert!(talk.contains(told), "{told}\n{talk}");
    }
    let all = files(&dir.path().join("m"));
    assert_eq!(must_fix(&all), Vec::<String>::new());
    assert!(all["concentrates/foam-b.yaml"].contains("density: 1,02 kg/L"));
    assert!(
        all["rigs/pump-1.yaml"].contains("settings: [3 %, 6 %]"),
        "{}",
        all["rigs/pump-1.yaml"]
    );
    assert!(all["people.yaml"].contains("name: A. Example"));
}

#[test]
fn an_end_in_the_middle_writes_nothing() {
    let dir = tempfile::tempdir().unwrap();
    for typed in ["", "Example\n", "Example\n\n\n\nus\nletter\n"] {
        let (exit, _, talk) = typed_in(dir.path(), &["start", "m", "--ask"], typed);
        assert_eq!(exit, 1, "{talk}");
        assert!(talk.contains("Nothing was written"), "{talk}");
        assert!(!dir.path().join("m").exists());
    }
}

/// Without a terminal nobody is asked: what is missing is told at once.
#[test]
fn without_a_terminal_what_is_missing_is_told() {
    let dir = tempfile::tempdir().unwrap();
    let (exit, data, talk) =
        typed_in(dir.path(), &["start", "m", "--department", "Example"], "x\n");
    assert_eq!(exit, 1, "{talk}");
    for field in ["units", "paper", "rigs"] {
        assert!(data.contains(&format!("The field {field} is missing.")), "{data}");
    }
    let (exit, data, _) = typed_in(dir.path(), &["start", "m"], "");
    assert_eq!(exit, 1);
    assert!(data.contains("MUST FIX"), "{data}");
}

#[test]
fn options_are_answers_too() {
    let dir = tempfile::tempdir().unwrap();
    let rig = "name=Engine 2; proportioner=none; water-tank.plate=500 gal; water-tank.usable=480 gal; water-tank.mark=none; lines.1.service-test=none; \
               lines.1.name=Crosslay; lines.1.foam=no; lines.1.hose=1.75 in; lines.1.length=200 ft; \
               lines.1.nozzle=fog, 125 gpm at 100 psi; lines.1.flow=125 gpm; lines.1.pressure=100 psi; \
               gauge-step=5 psi";
    let arguments = [
        "m",
        "--department",
        "Chief's \"own\" district: north #2",
        "--units",
        "us",
        "--paper",
        "letter",
        "--decimal",
        "point",
        "--rig",
        rig,
        "--drill",
        "none",
    ];
    let (exit, data, talk) = said(&start(dir.path(), &arguments));
    assert_eq!(exit, 0, "{data}{talk}");
    let all = files(&dir.path().join("m"));
    assert_eq!(must_fix(&all), Vec::<String>::new());
    assert!(
        all["module.yaml"]
            .contains("department: \"Chief's \\\"own\\\" district: north #2\""),
        "{}",
        all["module.yaml"]
    );
    let (exit, _, talk) = said(&start(dir.path(), &["n", "--rig", "name"]));
    assert_eq!(exit, 2, "{talk}");
    assert!(talk.contains("name=value"), "{talk}");
}

/// The file to begin with can be read, and says what is wanted, in each system and with each sign.
#[test]
fn the_example_of_answers_is_one() {
    for (options, says, never) in [
        (&[][..], &["units: us", "paper: letter", "750 gal"][..], "L/min"),
        (&["--units", "si"], &["units: si", "paper: a4", "kPa"], "psi"),
        (
            &["--units", "si-bar", "--decimal", "comma"],
            &["units: si-bar", "decimal: comma", "0,1 %", " bar"],
            "gal",
        ),
        (&["--paper", "a4"], &["units: us", "paper: a4"], "L/min"),
    ] {
        let dir = tempfile::tempdir().unwrap();
        let arguments = [options, &["--example"]].concat();
        let (exit, data, _) = said(&start(dir.path(), &arguments));
        assert_eq!(exit, 0);
        let live: String = data
            .lines()
            .filter(|line| !line.trim().starts_with('#'))
            .collect::<Vec<_>>()
            .join("\n");
        for own in says {
            assert!(live.contains(own), "{own}\n{live}");
        }
        assert!(!data.contains(never), "{never}\n{data}");
        std::fs::write(dir.path().join("a.yaml"), &data).unwrap();
        let (exit, data, talk) = said(&start(dir.path(), &["m", "--answers", "a.yaml"]));
        assert_eq!(exit, 0, "{data}{talk}");
        assert_eq!(must_fix(&files(&dir.path().join("m"))), Vec::<String>::new());
    }
    assert_eq!(SYSTEMS[0].units, "us");
    let dir = tempfile::tempdir().unwrap();
    for odd in [["--units", "metric"], ["--decimal", "dot"], ["--paper", "A3"]] {
        let (exit, data, talk) =
            said(&start(dir.path(), &[&odd[..], &["--example"]].concat()));
        assert_eq!((exit, data.as_str()), (2, ""), "{talk}");
        assert!(talk.contains("Write one of"), "{talk}");
    }
}
