//! `compile` as a whole: same bytes everywhere, nothing of the user's lost, killed at any
//! moment.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use crate::program::{copy, ends_with, example, program, tree};

/// A folder with a copy of the example module in it.
fn workplace() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(example(), &dir.path().join("content"));
    dir
}

fn compile(folder: &Path) -> Command {
    let mut command = program(folder);
    command.args(["compile", "--seed", "ladder onion marble cactus otter velvet"]);
    command
}

/// The names that differ between two trees, for a message that can be read.
fn differences(one: &[(String, Vec<u8>)], other: &[(String, Vec<u8>)]) -> Vec<String> {
    let in_one = one.iter().filter(|file| !other.contains(file));
    let in_other = other.iter().filter(|file| !one.contains(file));
    in_one.chain(in_other).map(|file| file.0.clone()).collect()
}

#[test]
fn two_folders_zones_and_languages_give_the_same_bytes() {
    let (here, there) = (workplace(), workplace());
    ends_with(0, compile(here.path()).env("TZ", "UTC").env("LANG", "C"));
    let elsewhere = there.path().join("a folder");
    fs::create_dir(&elsewhere).unwrap();
    fs::rename(there.path().join("content"), elsewhere.join("content")).unwrap();
    let mut other = compile(&elsewhere);
    other.env("TZ", "Pacific/Kiritimati").env("LANG", "de_DE.UTF-8");
    other.env("LC_ALL", "de_DE.UTF-8").env("RAYON_NUM_THREADS", "1");
    other.args(["--content", "content", "--out", "elsewhere"]);
    ends_with(0, &mut other);
    let (one, two) =
        (tree(&here.path().join("site")), tree(&elsewhere.join("elsewhere")));
    assert!(one.len() > 10, "only {} files were made", one.len());
    assert_eq!(differences(&one, &two), [""; 0]);
}

#[test]
fn a_users_own_file_survives_and_an_old_page_goes() {
    let dir = workplace();
    let site = dir.path().join("site");
    ends_with(0, &mut compile(dir.path()));
    let first = tree(&site);
    fs::write(site.join("crew/notes.txt"), "mine").unwrap();
    // As if the last run had been over another module, one that had this page too.
    let list = site.join("drillwright-files.json");
    let text = fs::read_to_string(&list).unwrap();
    let text = text.replacen("\"input\": \"", "\"input\": \"other-", 1);
    let index = fs::read(site.join("crew/index.html")).unwrap();
    fs::write(site.join("crew/aaa.html"), &index).unwrap();
    let sha256 = drillwright::fingerprint::hex_hash(&index);
    let entry = format!(
        "{{\"path\": \"crew/aaa.html\", \"sha256\": \"{sha256}\", \"bytes\": {}}},",
        index.len()
    );
    fs::write(&list, text.replacen("\"files\": [", &format!("\"files\": [{entry}"), 1))
        .unwrap();
    ends_with(0, &mut compile(dir.path()));
    assert_eq!(fs::read(site.join("crew/notes.txt")).unwrap(), b"mine");
    fs::remove_file(site.join("crew/notes.txt")).unwrap();
    assert_eq!(differences(&first, &tree(&site)), [""; 0]);
}

#[test]
fn a_users_own_file_in_the_way_stops_it() {
    let dir = workplace();
    let site = dir.path().join("site");
    fs::create_dir_all(site.join("crew")).unwrap();
    fs::write(site.join("crew/index.html"), "mine").unwrap();
    let before = tree(&site);
    let output = ends_with(2, &mut compile(dir.path()));
    let talk = String::from_utf8(output.stderr).unwrap();
    assert!(talk.contains("crew/index.html"), "{talk}");
    assert_eq!(tree(&site), before);
}

#[test]
fn killed_at_any_moment_the_next_run_gives_the_clean_result() {
    let clean = workplace();
    let begun = Instant::now();
    ends_with(0, &mut compile(clean.path()));
    let whole = begun.elapsed();
    let expected = tree(&clean.path().join("site"));
    let dir = workplace();
    let site = dir.path().join("site");
    let mut killed = 0;
    // From the very start to past the end, in steps that are no fraction of each other.
    for step in 0..24_u32 {
        let mut run = compile(dir.path())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        thread::sleep(whole * (step * 7 % 24) / 20);
        run.kill().unwrap();
        killed += usize::from(!run.wait().unwrap().success());
        if step % 3 == 2 {
            ends_with(0, &mut compile(dir.path()));
            assert_eq!(differences(&expected, &tree(&site)), [""; 0], "step {step}");
            fs::remove_dir_all(&site).unwrap();
        }
        thread::sleep(Duration::from_millis(5));
    }
    // How many are caught at work depends on the machine; one killed at its start always is.
    assert!(killed > 0, "no run was still at work when it was killed");
}

#[test]
fn the_seed_of_a_site_is_kept_and_stands_with_the_officers_alone() {
    let dir = workplace();
    let site = dir.path().join("site");
    ends_with(0, program(dir.path()).arg("compile"));
    let first = tree(&site);
    let kept = fs::read_to_string(site.join("keys/papers-seed.json")).unwrap();
    let kept: serde_json::Value = serde_json::from_str(&kept).unwrap();
    let seed = kept["seed"].as_str().unwrap();
    assert!(seed.len() >= 13, "{seed} is short");
    for (name, bytes) in &first {
        let has = String::from_utf8_lossy(bytes).contains(seed);
        // The file that `mark` reads is the keys once more, for a program.
        let may = name.starts_with("keys/key-")
            || name == "keys/papers-seed.json"
            || name == "keys/papers-forms.json"
            || name == "keys/sheets-drawn.json";
        assert_eq!(has, may, "{name}");
    }
    // Another word in a lesson makes that page anew, and no paper.
    let lesson = dir.path().join("content/lessons/stock.md");
    let text = fs::read_to_string(&lesson).unwrap();
    fs::write(&lesson, format!("{text}\nOne more sentence.\n")).unwrap();
    ends_with(0, program(dir.path()).arg("compile"));
    let second = tree(&site);
    let changed = differences(&first, &second);
    assert!(changed.iter().any(|name| name.starts_with("crew/lesson-")), "{changed:?}");
    assert!(!changed.iter().any(|name| name.contains("paper")), "{changed:?}");
    ends_with(0, &mut compile(dir.path()));
    let changed = differences(&second, &tree(&site));
    assert!(changed.iter().any(|name| name.starts_with("keys/paper-")), "{changed:?}");
    assert!(!changed.iter().any(|name| name.starts_with("crew/")), "{changed:?}");
}

#[test]
fn a_draft_prints_with_blanks_but_never_without_cautions_or_units() {
    let dir = workplace();
    let drill = dir.path().join("content/drills/totals.yaml");
    let whole = fs::read_to_string(&drill).unwrap();
    let (before, outcome) = whole.split_once("\noutcome:").unwrap();
    let (_, after) = outcome.split_once("\nstarts-with:").unwrap();
    let unfinished = format!("{before}\nstarts-with:{after}");
    fs::write(&drill, &unfinished).unwrap();
    ends_with(1, &mut compile(dir.path()));
    ends_with(0, compile(dir.path()).arg("--draft"));
    let card =
        fs::read_to_string(dir.path().join("site/crew/drill-totals.html")).unwrap();
    assert!(card.contains("DRAFT") && card.contains("________"));
    let without = unfinished.replace("\ncautions:", "\nhazards:");
    assert_ne!(without, unfinished);
    fs::write(&drill, without).unwrap();
    ends_with(1, compile(dir.path()).arg("--draft"));
}
