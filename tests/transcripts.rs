//! Whole conversations with the program, as a newcomer has them, kept as text that a person
//! can read: `tests/transcripts/*.txt`.
//!
//! In a transcript a line `$ drillwright …` is what the person types. Below it stands what
//! comes back: the data, then the talk with `| ` before each line, then the exit if it is not
//! 0. A line `~ FILE: OLD → NEW` is the person changing a file, `+ FILE: LINE` the person adding a
//! line to one, which may be new. Each transcript begins in a
//! folder with a copy of the example module, or in an empty one where its first line says so; lines before the first command are for the reader.
//!
//! In lines for files `{form 2}` is the code of the second paper that was printed in this conversation,
//! `{mistyped 2}` the same with a slip in its last letter, and `{right 2.5}` what its fifth question
//! accepts: typed in as they were once, they would all be unknown as soon as a draw changed.
//!
//! `UPDATE_TRANSCRIPTS=1 cargo test transcripts` writes them anew.

use std::fs;
use std::path::{Path, PathBuf};

use crate::program::{copy, example, program};

fn transcripts() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/transcripts");
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut found: Vec<PathBuf> =
        entries.filter(|path| path.extension().is_some_and(|end| end == "txt")).collect();
    found.sort();
    found
}

/// The words of a command line; quotation marks hold blanks together.
fn words(line: &str) -> Vec<String> {
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
    words
}

/// A line with codes and answers of the papers that lie in the folder.
fn filled(folder: &Path, line: &str) -> String {
    let mut out = line.to_owned();
    let keys = walkdir::WalkDir::new(folder.join("site/keys")).sort_by_file_name();
    let forms = keys.into_iter().filter_map(Result::ok);
    for file in forms.filter(|file| file.file_name() == "forms.json") {
        let text = fs::read_to_string(file.path()).unwrap();
        let read: serde_json::Value = serde_json::from_str(&text).unwrap();
        for form in read["forms"].as_array().unwrap() {
            let (copy, code) = (form["copy"].as_u64().unwrap(), form["code"].as_str());
            let code = code.unwrap();
            let slip = if code.ends_with('Q') { 'P' } else { 'Q' };
            let mistyped = format!("{}{slip}", code.split_at(code.len() - 1).0);
            out = out.replace(&format!("{{form {copy}}}"), code);
            out = out.replace(&format!("{{mistyped {copy}}}"), &mistyped);
            for item in form["items"].as_array().unwrap() {
                let name = format!("{{right {copy}.{}}}", item["number"]);
                let right = item["answer"].as_str().unwrap_or_default();
                out = out.replace(&name, &right.replace('\u{a0}', " "));
            }
        }
    }
    assert!(!out.contains("{form") && !out.contains("{right"), "no such paper: {out}");
    out
}

fn change(folder: &Path, line: &str) {
    let (file, rest) = line.split_once(": ").unwrap();
    let (old, new) = rest.split_once(" → ").unwrap();
    let file = folder.join(file);
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains(old), "{} does not have {old:?}", file.display());
    fs::write(file, text.replacen(old, new, 1)).unwrap();
}

fn add(folder: &Path, line: &str) {
    let (file, line) = line.split_once(": ").unwrap();
    let file = folder.join(file);
    let before = fs::read_to_string(&file).unwrap_or_default();
    fs::write(file, format!("{before}{line}\n")).unwrap();
}

fn answer(folder: &Path, line: &str) -> String {
    let output = program(folder).args(words(line)).output().unwrap();
    let mut said = String::from_utf8(output.stdout).unwrap();
    for line in String::from_utf8(output.stderr).unwrap().lines() {
        said.push_str(format!("| {line}").trim_end());
        said.push('\n');
    }
    match output.status.code() {
        Some(0) => {}
        Some(exit) => said.push_str(&format!("[exit {exit}]\n")),
        None => said.push_str("[killed]\n"),
    }
    said
}

/// The transcript with every answer as the program gives it now.
fn played(transcript: &str) -> String {
    let dir = tempfile::tempdir().unwrap();
    // The first sentence says where it begins.
    if !transcript.lines().next().is_some_and(|line| line.contains("empty folder")) {
        copy(example(), &dir.path().join("content"));
    }
    let mut out = String::new();
    let mut begun = false;
    for line in transcript.lines() {
        if let Some(typed) = line.strip_prefix("$ drillwright") {
            if begun {
                out.push('\n');
            }
            begun = true;
            out.push_str(&format!("{line}\n{}", answer(dir.path(), typed)));
        } else if let Some(edit) =
            line.strip_prefix("~ ").or_else(|| line.strip_prefix("+ "))
        {
            let adds = line.starts_with('+');
            let edit = &filled(dir.path(), edit);
            if adds {
                add(dir.path(), edit);
            } else {
                change(dir.path(), edit);
            }
            // Changes one after the other stand together.
            let together = adds && out.lines().last().is_some_and(|l| l.starts_with('+'));
            if begun && !together {
                out.push('\n');
            }
            begun = true;
            out.push_str(&format!("{line}\n"));
        } else if !begun {
            out.push_str(&format!("{line}\n"));
        }
    }
    out
}

#[test]
fn the_program_answers_as_written() {
    let update = std::env::var_os("UPDATE_TRANSCRIPTS").is_some();
    let transcripts = transcripts();
    assert!(!transcripts.is_empty(), "there are no transcripts");
    for path in transcripts {
        let written = fs::read_to_string(&path).unwrap();
        let now = played(&written);
        assert!(now.contains("$ drillwright"), "{} asks nothing", path.display());
        if update {
            fs::write(&path, now).unwrap();
        } else {
            let name = path.file_name().unwrap().to_str().unwrap();
            assert_eq!(now, written, "{name}: see the docs of tests/transcripts.rs");
        }
    }
}
