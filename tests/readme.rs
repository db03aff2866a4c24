//! README's own command lines, as they stand: those that begin a module in an empty folder, the others
//! in a copy of the project's folder.

use std::fs;
use std::path::Path;
use std::process::Stdio;

use crate::program::{copy, example, program};

/// The lines of README's blocks of commands that call the program, without what stands behind `#`.
fn commands() -> Vec<String> {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let page = fs::read_to_string(page).unwrap();
    let blocks =
        page.split("```sh\n").skip(1).map(|rest| rest.split("```").next().unwrap());
    let lines =
        blocks.flat_map(str::lines).filter(|line| line.starts_with("drillwright "));
    lines.map(|line| line.split(" #").next().unwrap().trim().to_owned()).collect()
}

/// Words, and the file that the answer goes into.
fn parts(line: &str) -> (Vec<String>, Option<String>) {
    let (line, into) = match line.split_once(" > ") {
        Some((line, into)) => (line, Some(into.trim().to_owned())),
        None => (line, None),
    };
    let mut words = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            _ => words.last_mut().unwrap().push(letter),
        }
    }
    words.retain(|word| !word.is_empty());
    (words.split_off(1), into)
}

fn run(folder: &Path, line: &str) -> (Option<i32>, String) {
    let (words, into) = parts(line);
    let mut command = program(folder);
    // Where a browser is, PDFs would take a minute that `tests/binder.rs` takes already.
    command.env("DRILLWRIGHT_BROWSER", "no-such-browser").stdin(Stdio::null());
    let output = command.args(&words).output().unwrap();
    if let Some(into) = into {
        fs::write(folder.join(into), &output.stdout).unwrap();
    }
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    (output.status.code(), said + &String::from_utf8_lossy(&output.stderr))
}

#[test]
fn each_line_does_what_it_says() {
    let dir = tempfile::tempdir().unwrap();
    let (new, there) = (dir.path().join("new"), dir.path().join("project"));
    for folder in [&new, &there] {
        fs::create_dir(folder).unwrap();
    }
    copy(example(), &dir.path().join("neighbour/content"));
    copy(example(), &there.join("content"));
    copy(example(), &there.join("old/content"));
    let all = commands();
    assert!(all.len() > 15, "{all:?}");
    for line in &all {
        let begins = line.contains("my-module") || line.contains("start --");
        let folder = if begins { &new } else { &there };
        if line.contains(" preview ") {
            // It serves until it is ended; `tests/preview.rs` asks it.
            continue;
        }
        if line.contains("--answers answers.yaml") {
            // A module that was begun with all of the library has nothing left to bring over.
            let answers = folder.join("answers.yaml");
            let text = fs::read_to_string(&answers).unwrap();
            assert!(!text.contains("\ndrills:"), "{text}");
            fs::write(answers, text + "\ndrills: [startup, refill]\n").unwrap();
        }
        let (exit, said) = run(folder, line);
        // Asked for without a terminal, it tells what is missing.
        let asks = line.ends_with("start my-module");
        assert_eq!(exit, Some(i32::from(asks)), "{line}\n{said}");
        assert!(!asks || said.contains("is missing"), "{line}\n{said}");
        let usage = said.contains("Usage: drillwright") && !line.contains("manual");
        assert!(!usage, "{line}\n{said}");
    }
    for made in [
        "answers.yaml",
        "metric.yaml",
        "my-module/module.yaml",
        "my-module/drills/two-lines.yaml",
        "my-module/drills/flush.yaml",
    ] {
        assert!(new.join(made).is_file(), "{made}");
    }
    assert!(there.join("site/staff/binder.html").is_file());
}

/// README names each command.
#[test]
fn every_command_is_named() {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let page = fs::read_to_string(page).unwrap();
    let output = program(Path::new(".")).arg("--help").output().unwrap();
    let help = String::from_utf8(output.stdout).unwrap();
    let commands = help.split("Commands:").nth(1).unwrap().split("\n\n").next().unwrap();
    let names: Vec<&str> = commands
        .lines()
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
        .collect();
    assert!(names.len() > 12, "{names:?}");
    for name in names {
        let named = page.contains(&format!("drillwright {name}"))
            || page.contains(&format!("-- {name}"));
        assert!(named, "README does not name {name}");
    }
}
