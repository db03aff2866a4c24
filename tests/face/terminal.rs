//! What the terminal says of a module, a run, a board or a paper is said in the department's words too.
//! Usage and the lists of commands are about what is typed, and stay as they are.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use drillwright::findings::{self, Sources};
use drillwright::theme::WORDS;

use super::marked::{is_known, keys, leaks, words};
use crate::program::{copy, example, program};

/// What is typed in each, and answered by the module's own words.
const TYPED: &[&[&str]] = &[
    &["score", "content/runs/tv-2026-001.yaml", "content/runs/tv-2026-002.yaml"],
    &["score", "content/runs/alder-2026-11.yaml", "content/runs/rowan-2026-11.yaml"],
    &["score", "narrated.yaml"],
    &["score", "other.yaml"],
    &["work", "concentrate-flow", "flow=125 gpm", "percent=0.5 %"],
    &["work", "concentrate-flow", "flow=125 gpm"],
    &["why", "key-unheard"],
    &["why", "rig.outlets.flow"],
    &["compare", "content", "other"],
    &["compile", "--seed", "ladder onion marble cactus otter velvet"],
    &["papers", "ten-to-know", "--seed", "ladder onion marble cactus otter velvet"],
];

#[test]
fn nothing_on_a_terminal_is_said_in_other_words() {
    let folder = tempfile::tempdir().unwrap();
    let content = folder.path().join("content");
    copy(example(), &content);
    fs::create_dir_all(content.join("theme")).unwrap();
    fs::write(content.join(WORDS), words()).unwrap();
    copy(&content, &folder.path().join("other"));
    let rig = folder.path().join("other/rigs/engine-7.yaml");
    let text = fs::read_to_string(&rig).unwrap().replacen("125 gpm", "120 gpm", 1);
    fs::write(rig, text).unwrap();
    // The sheet of a narrated run, marked otherwise than the key, and one with a fault.
    let told = fs::read_to_string(content.join("narrated/flush-met.yaml")).unwrap();
    let (_, key) = told.split_once("\nkey:\n").unwrap();
    let lines: Vec<&str> = key.lines().map(|line| line.get(2..).unwrap_or("")).collect();
    let sheet = lines.join("\n");
    let sheet = sheet
        .replace("person: key", "person: rowan")
        .replace("count-start: prompted", "count-start: done");
    fs::write(folder.path().join("narrated.yaml"), &sheet).unwrap();
    fs::write(
        folder.path().join("other.yaml"),
        sheet.replace("candidate: candidate-1", "candidate: nobody"),
    )
    .unwrap();
    let mut told = Vec::new();
    for typed in TYPED {
        let output = program(folder.path()).args(*typed).output().unwrap();
        let said = [output.stdout, output.stderr].concat();
        let said = String::from_utf8(said).unwrap();
        assert!(!said.is_empty(), "{typed:?} says nothing");
        // Commands and paths are typed as they stand; what follows the name of the program is one.
        let lines = said.lines().filter(|line| !line.contains("drillwright "));
        told.push((typed.join(" "), lines.map(without_names).collect()));
    }
    let sources = all(&content);
    let leaks = leaks(&sources, told.into_iter());
    let known: BTreeSet<String> = keys();
    let leaks: Vec<&String> =
        leaks.iter().filter(|leak| !is_known(leak, &known)).collect();
    assert!(leaks.is_empty(), "{}\n{leaks:#?}", leaks.len());
}

/// A line without what is a name of a file, of a form or of a finding.
fn without_names(line: &str) -> String {
    let name = |word: &str| {
        let code = word.trim_matches(|letter: char| !letter.is_alphanumeric());
        let hyphened = word.contains('-');
        word.contains(['/', '\\'])
            || hyphened && word.contains(|letter: char| letter.is_ascii_uppercase())
            || hyphened && word.contains(|letter: char| letter.is_ascii_digit())
            || findings::ALL.iter().any(|known| known.name() == code)
    };
    line.split(' ').filter(|word| !name(word)).collect::<Vec<_>>().join(" ")
}

fn all(content: &Path) -> Sources {
    let (folder, _) = drillwright::workshop::read_folder(content).unwrap();
    folder.texts
}
