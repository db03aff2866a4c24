//! Files that were made to take the memory or the time of a machine, or to say something to its
//! terminal. Each is answered with a few findings, within the memory of a small laptop.

#![cfg(unix)]

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use crate::program::{copy, example};

/// Memory that any input takes at most, in kB: what the system counts for data and stacks.
const MEMORY: u32 = 256 * 1024;

/// The program over the example with no more memory than it may take; an input that never ends is
/// the test's own, which the runner of the tests would show.
fn scored(folder: &Path, file: &str) -> Output {
    let mut command = Command::new("/bin/sh");
    let bounded = format!("ulimit -d {MEMORY}; exec \"$0\" \"$@\"");
    command.args(["-c", &bounded, env!("CARGO_BIN_EXE_drillwright"), "score", file]);
    // Each thread has a stack of its own; how many a machine would start is no matter of the input.
    command.env_clear().env("RAYON_NUM_THREADS", "2").current_dir(folder);
    command.stdin(Stdio::null()).output().unwrap()
}

fn desk() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy(example(), &folder.path().join("content"));
    folder
}

/// What is told of a file with this text.
fn told(name: &str, text: &str) -> String {
    let desk = desk();
    fs::write(desk.path().join(name), text).unwrap();
    let output = scored(desk.path(), name);
    let said = String::from_utf8(output.stdout).unwrap();
    let talk = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{name}: {talk}\n{said:.2000}");
    said
}

fn findings(said: &str) -> usize {
    said.lines().filter(|line| line.starts_with("MUST FIX")).count()
}

#[test]
fn a_part_that_stands_for_millions_of_values_is_refused() {
    let mut text = "a: &a [x,x,x,x,x,x,x,x,x]\n".to_owned();
    for (name, before) in ('b'..='k').zip('a'..) {
        text.push_str(&format!(
            "{name}: &{name} [{}]\n",
            vec![format!("*{before}"); 9].join(",")
        ));
    }
    let said = told("run.yaml", &text);
    assert!(
        said.contains("repeats other parts of the file more often than is read"),
        "{said}"
    );
    assert_eq!(findings(&said), 1);
    // What is repeated now and then is read.
    let said = told("run.yaml", "crew: &c {nozzle: heather}\nagain: *c\n");
    assert!(!said.contains("repeats other parts"), "{said}");
}

#[test]
fn what_is_nested_without_end_is_refused_in_a_few_lines() {
    for (name, text) in
        [("run.yaml", "[".repeat(100_000)), ("run.json", "[".repeat(1_000_000))]
    {
        let said = told(name, &text);
        assert_eq!(findings(&said), 1, "{name}");
        assert!(said.len() < 2000, "{name}: {} letters", said.len());
    }
}

#[test]
fn thousands_of_faults_of_one_file_are_told_as_fifty_and_a_number() {
    let lines = |many, line: &dyn Fn(u32) -> String| {
        (0..many).map(line).collect::<Vec<_>>().concat()
    };
    let rows = lines(20_000, &|at| format!("r{at},none,nobody\n"));
    let wide: Vec<String> = (0..50_000).map(|at| format!("c{at}")).collect();
    let values = vec!["1"; 50_000].join(",");
    let names = lines(50_000, &|at| format!("    k{at}: 1\n"));
    let cases = [
        ("rows.csv", format!("run,drill,candidate\n{rows}")),
        ("wide.csv", format!("{}\n{values}\n", wide.join(","))),
        ("names.yaml", format!("- run: a\n{names}")),
        ("empty.yaml", format!("[{}]\n", vec!["{}"; 20_000].join(","))),
        ("one-name.yaml", format!("- run: a\n{}", "  drill: x\n".repeat(50_000))),
    ];
    for (name, text) in cases {
        let said = told(name, &text);
        let count = findings(&said);
        assert!((1..=50).contains(&count), "{name}: {count}");
        assert!(said.len() < 100_000, "{name}: {} letters", said.len());
        if count == 50 {
            assert!(said.contains("more findings of this file."), "{name}");
        }
    }
}

#[test]
fn a_pipe_or_a_device_is_refused_and_not_waited_for() {
    let desk = desk();
    let made =
        Command::new("mkfifo").arg(desk.path().join("pipe.yaml")).status().unwrap();
    assert!(made.success());
    for file in ["pipe.yaml", "/dev/zero", "/dev/stdin"] {
        let output = scored(desk.path(), file);
        let talk = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{file}: {talk}");
        assert!(talk.contains("a pipe or a device and not a file"), "{file}: {talk}");
    }
}

#[test]
fn signs_that_steer_a_terminal_or_turn_a_text_round_are_not_passed_on() {
    let said =
        told("run.yaml", "- run: \"a\\e[31mred\\u202eabc\"\n  drill: \"\\a\\u009b1m\"\n");
    let steers = |c: char| {
        (c.is_control() && c != '\n')
            || ('\u{202a}'..='\u{202e}').contains(&c)
            || ('\u{2066}'..='\u{2069}').contains(&c)
    };
    assert_eq!(said.chars().find(|c| steers(*c)), None, "{said}");
}

#[test]
fn an_empty_list_says_that_nothing_is_in_it() {
    for (name, text) in [("run.yaml", "[]\n"), ("run.json", "[]")] {
        assert!(told(name, text).contains("says nothing"), "{name}");
    }
}

/// The words of each bound of a file of runs, and whether a file is refused by it.
fn refused_by(words: &str, name: &str, text: &str) -> bool {
    told(name, text).contains(words)
}

#[test]
fn each_bound_of_a_file_of_runs_is_read_up_to_and_told_beyond() {
    let list = |one: &str, many: usize| format!("[{}]\n", vec![one; many].join(","));
    let names = |many: usize| -> String {
        let lines = (0..many).map(|at| format!("  k{at}: 1\n"));
        std::iter::once("- run: a\n".to_owned()).chain(lines).collect()
    };
    let people = |many: usize| {
        let all: Vec<String> = (0..many).map(|at| format!("p{at}: nozzle")).collect();
        format!("- run: a\n  candidate: {{{}}}\n", all.join(", "))
    };
    let drills =
        |many: usize| format!("- run: a\n  drills: {}", list("{drill: x}", many));
    let runs = "the file holds more than are read of one file, so none of them is scored";
    let group = "This group has more names than are read of one";
    let together = "more drills or more candidates than are read of one";
    let faulty = "the rest of it was not read and not scored";
    for (words, name, at, beyond) in [
        (runs, "a.json", list("{}", 20_000), list("{}", 20_001)),
        // The name of the run is one of them.
        (group, "a.yaml", names(9_999), names(10_000)),
        (together, "a.yaml", people(50), people(51)),
        (together, "a.yaml", drills(50), drills(51)),
        (faulty, "a.yaml", list("{}", 200), list("{}", 201)),
    ] {
        assert!(!refused_by(words, name, &at), "{words}");
        assert!(refused_by(words, name, &beyond), "{words}");
    }
    // Each candidate of each drill is a sheet: few lines must not stand for millions.
    let all: Vec<String> = (0..50).map(|at| format!("p{at}: nozzle")).collect();
    let one = format!(
        "{{candidate: {{{}}}, drills: {}}}",
        all.join(", "),
        list("{}", 50).trim()
    );
    assert!(refused_by(runs, "a.yaml", &list(&one, 9)));
}

#[test]
fn a_table_of_answers_is_marked_up_to_its_bound() {
    let desk = desk();
    fs::create_dir_all(desk.path().join("site/keys")).unwrap();
    let forms = "{\"format\": 1, \"about\": \"\", \"comma\": \"unfixed\", \"pass_mark\": null, \"forms\": []}";
    fs::write(desk.path().join("site/keys/forms.json"), forms).unwrap();
    for (rows, refused) in [(20_000, false), (20_001, true)] {
        let lines = (0..rows).map(|at| format!("p{at},7110-4A29-K,1\n"));
        let text: String =
            std::iter::once("person,form,1\n".to_owned()).chain(lines).collect();
        fs::write(desk.path().join("a.csv"), text).unwrap();
        let bounded = format!("ulimit -d {MEMORY}; exec \"$0\" mark a.csv");
        let mut command = Command::new("/bin/sh");
        command.args(["-c", &bounded, env!("CARGO_BIN_EXE_drillwright")]);
        let output = command.env_clear().current_dir(desk.path()).output().unwrap();
        let said = String::from_utf8_lossy(&output.stdout).into_owned();
        let talk = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(1), "{said:.2000} {talk}");
        let told =
            "the table holds more than are read of one file, so none of them is marked";
        assert_eq!(said.contains(told), refused, "{said:.2000}");
    }
}
