//! README's own command lines, as they stand: those that begin a module in an empty folder, the others
//! in a copy of the project's folder.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
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

/// What README's officer has in a folder by the time a line is typed: a table of answers to the papers
/// that an earlier line has printed, and the sheet of a narrated run, filled in.
fn lay(folder: &Path, line: &str) {
    if line.ends_with(" mark answers.csv") {
        let keys = walkdir::WalkDir::new(folder.join("site/keys"));
        let mut files = keys.into_iter().map(Result::unwrap);
        let forms = files
            .find(|file| {
                let path = file.path().to_string_lossy().into_owned();
                path.contains("ten-to-know") && path.ends_with("forms.json")
            })
            .unwrap();
        let text = fs::read_to_string(forms.path()).unwrap();
        let forms: serde_json::Value = serde_json::from_str(&text).unwrap();
        let form = &forms["forms"][0];
        let mut table = ["person,form".to_owned(), String::new()];
        table[1] = format!("rowan,{}", form["code"].as_str().unwrap());
        for item in form["items"].as_array().unwrap() {
            let right = item["answer"].as_str().unwrap().replace('\u{a0}', " ");
            table[0] += &format!(",{}", item["number"]);
            table[1] += &format!(",\"{right}\"");
        }
        fs::write(folder.join("answers.csv"), table.join("\n") + "\n").unwrap();
    }
    if line.ends_with(" score narrated.yaml") {
        let told = fs::read_to_string(folder.join("content/narrated/flush-met.yaml"));
        let told = told.unwrap();
        let (_, key) = told.split_once("\nkey:\n").unwrap();
        let sheet: Vec<&str> =
            key.lines().map(|line| line.get(2..).unwrap_or_default()).collect();
        let sheet = sheet.join("\n").replace("person: key", "person: rowan");
        // The sheet prints the letters of the drill and of its rig, and so whoever types it in has them.
        let printed = |begins: &str| {
            let kept = fs::read_dir(folder.join("content/revisions")).unwrap();
            let names = kept.map(|one| one.unwrap().file_name().into_string().unwrap());
            let mut letters = names.filter_map(|name| {
                let rest = name.strip_prefix(begins)?.strip_suffix(".json")?;
                (!rest.contains('-')).then(|| rest.to_owned())
            });
            letters.next().unwrap()
        };
        let (drill, rig) = (printed("drill-flush-"), printed("rig-engine-7-"));
        let named = format!(
            "\ndrill: flush\ndrill-revision: \"{drill}\"\nrig-revision: \"{rig}\"\n"
        );
        let sheet = format!("\n{sheet}").replacen("\ndrill: flush\n", &named, 1);
        fs::write(folder.join("narrated.yaml"), sheet).unwrap();
    }
}

/// README's preview serves until it is ended: its address answers with the module's first page.
fn previewed(folder: &Path, line: &str) {
    let (words, _) = parts(line);
    let mut command = program(folder);
    let command = command.args(&words).args(["--port", "0"]);
    let child = command.stdout(Stdio::piped()).stderr(Stdio::null()).spawn();
    let mut child = child.unwrap();
    let mut said = BufReader::new(child.stdout.take().unwrap());
    let address = loop {
        let mut line = String::new();
        assert_ne!(said.read_line(&mut line).unwrap(), 0, "no address was told");
        if let Some(address) = line.trim().strip_prefix("http://") {
            break address.to_owned();
        }
    };
    let (host, path) = address.split_once('/').unwrap();
    let mut stream = TcpStream::connect(host).unwrap();
    let request =
        format!("GET /{path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n");
    stream.write_all(request.as_bytes()).unwrap();
    let mut answer = Vec::new();
    stream.read_to_end(&mut answer).unwrap();
    child.kill().unwrap();
    child.wait().unwrap();
    let answer = String::from_utf8_lossy(&answer);
    assert!(answer.starts_with("HTTP/1.1 200"), "{line}\n{answer}");
    assert!(answer.contains("<html") && answer.contains("Tarn Valley"), "{line}");
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

/// What somebody looks for in the answer to a line of README.
const SAYS: &[(&str, &str)] = &[
    (" mark answers.csv", "rowan"),
    (" work --code ", "Ten to know"),
    (" score narrated.yaml", "As the key has it"),
];

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
            previewed(folder, line);
            continue;
        }
        if line.contains("--answers answers.yaml") {
            // A module that was begun with all of the library has nothing left to bring over.
            let answers = folder.join("answers.yaml");
            let text = fs::read_to_string(&answers).unwrap();
            assert!(!text.contains("\ndrills:"), "{text}");
            fs::write(answers, text + "\ndrills: [startup, refill]\n").unwrap();
        }
        lay(folder, line);
        let (exit, said) = run(folder, line);
        // Asked for without a terminal, it tells what is missing.
        let asks = line.ends_with("start my-module");
        assert_eq!(exit, Some(i32::from(asks)), "{line}\n{said}");
        assert!(!asks || said.contains("is missing"), "{line}\n{said}");
        for (typed, answered) in SAYS {
            let there = !line.contains(typed) || said.contains(answered);
            assert!(there, "{line} does not say {answered:?}:\n{said}");
        }
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
    // The binder has all that README says of it, and each narrated run its three pages.
    let binder = fs::read_to_string(there.join("site/staff/binder.html")).unwrap();
    for part in ["data-kind=\"drill\"", "data-kind=\"sign-off\"", "SHEET ", "CARD "] {
        assert!(binder.contains(part), "{part}");
    }
    let staff = fs::read_dir(there.join("site/staff")).unwrap();
    let names: Vec<String> =
        staff.map(|one| one.unwrap().file_name().into_string().unwrap()).collect();
    let told = names.iter().filter(|name| name.starts_with("narrated-flush-met"));
    assert_eq!(told.count(), 3, "{names:?}");
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
