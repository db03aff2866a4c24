//! The folder of keys: nothing of it lies anywhere else, an earlier program's is found, and what was
//! changed in it is not taken for what was printed.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::program::{copy, ends_with, example, program, tree};

const SEED: &str = "ladder onion marble cactus otter velvet";

fn workplace() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(example(), &dir.path().join("content"));
    dir
}

fn compiled() -> tempfile::TempDir {
    let dir = workplace();
    ends_with(0, program(dir.path()).args(["compile", "--seed", SEED]));
    dir
}

fn json(path: &Path) -> Value {
    serde_json::from_slice(&fs::read(path).unwrap()).unwrap()
}

/// What a run says on both of its ways.
fn said(folder: &Path, arguments: &[&str]) -> (i32, String) {
    let output = program(folder).args(arguments).output().unwrap();
    let both = [output.stdout, output.stderr].concat();
    (output.status.code().unwrap(), String::from_utf8_lossy(&both).into_owned())
}

/// A table of answers in which the first of so many is answered.
fn table(code: &str, questions: usize) -> String {
    let numbers: Vec<String> = (1..=questions).map(|number| number.to_string()).collect();
    let rest = ",".repeat(questions - 1);
    format!("person,form,{}\nalder,{code},1{rest}\n", numbers.join(","))
}

#[test]
fn what_a_publisher_of_both_other_folders_publishes_holds_no_key_and_no_seed() {
    let dir = compiled();
    let (_, made) = said(dir.path(), &["papers", "ten-to-know", "--copies", "2"]);
    assert!(made.contains("site/keys/papers/"), "{made}");
    let forms = dir.path().join("site/keys/papers-forms.json");
    let forms = json(&forms)["forms"].as_array().unwrap().clone();
    let codes: Vec<&str> =
        forms.iter().map(|form| form["code"].as_str().unwrap()).collect();
    assert!(codes.len() > 3, "{codes:?}");
    let published: Vec<_> = tree(&dir.path().join("site"))
        .into_iter()
        .filter(|(name, _)| name.starts_with("crew/") || name.starts_with("staff/"))
        .collect();
    assert!(published.len() > 100, "{}", published.len());
    for (name, bytes) in published {
        let text = String::from_utf8_lossy(&bytes);
        assert!(!text.contains(SEED), "{name} holds the seed");
        for code in &codes {
            assert!(!text.contains(code), "{name} names the form {code}");
        }
        let last = name.rsplit('/').next().unwrap();
        let secret = ["key-", "paper-", "papers-", "sheets-drawn", "forms"];
        assert!(!secret.iter().any(|one| last.starts_with(one)), "{name}");
    }
    // The folder keeps itself out of a store of versions, whoever made it first.
    let ignored = fs::read_to_string(dir.path().join("site/keys/.gitignore")).unwrap();
    assert_eq!(ignored, "*\n");
    let first = workplace();
    said(first.path(), &["papers", "ten-to-know", "--copies", "2"]);
    assert!(first.path().join("site/keys/.gitignore").is_file());
    ends_with(0, program(first.path()).arg("compile"));
}

#[test]
fn the_seed_of_an_earlier_program_is_found_and_moved() {
    let dir = compiled();
    let site = dir.path().join("site");
    // As it was: the seed and the keys among the officers' pages, and so in the list.
    let list = site.join("drillwright-files.json");
    let text = fs::read_to_string(&list).unwrap();
    let names = ["papers-seed.json", "papers-forms.json", "key-ten-to-know.html"];
    let mut before = text;
    for name in names {
        let (new, old) = (format!("keys/{name}"), format!("staff/{name}"));
        assert!(before.contains(&new), "{new}");
        before = before.replace(&new, &old);
        fs::rename(site.join(&new), site.join(&old)).unwrap();
    }
    // Another program reads nothing from that it finds its own things unchanged.
    let mut listed: Value = serde_json::from_str(&before).unwrap();
    listed["input"] = "of another program".into();
    fs::write(&list, listed.to_string()).unwrap();
    // Folders that no list names: the officer's to move, and read until then.
    let old = site.join("staff/papers/ten");
    fs::create_dir_all(&old).unwrap();
    fs::copy(site.join("staff/papers-forms.json"), old.join("forms.json")).unwrap();
    let (code, told) = said(dir.path(), &["compile"]);
    assert_eq!(code, 0, "{told}");
    assert!(told.contains("site/staff/papers. They are still read there."), "{told}");
    assert_eq!(json(&site.join("keys/papers-seed.json"))["seed"], SEED);
    for name in names {
        assert!(site.join("keys").join(name).is_file(), "{name}");
        assert!(!site.join("staff").join(name).exists(), "{name}");
    }
    assert!(old.join("forms.json").is_file());
    // A seed that no list names is kept as well, and never taken away.
    let hand = workplace();
    let staff = hand.path().join("site/staff");
    fs::create_dir_all(&staff).unwrap();
    fs::copy(site.join("keys/papers-seed.json"), staff.join("papers-seed.json")).unwrap();
    ends_with(0, program(hand.path()).arg("compile"));
    let seed = json(&hand.path().join("site/keys/papers-seed.json"));
    assert_eq!(seed["seed"], SEED);
    assert!(staff.join("papers-seed.json").is_file());
}

#[test]
fn a_forms_file_that_was_changed_marks_nothing() {
    let dir = compiled();
    let path = dir.path().join("site/keys/papers-forms.json");
    let whole = fs::read_to_string(&path).unwrap();
    let code = json(&path)["forms"][0]["code"].as_str().unwrap().to_owned();
    fs::write(
        dir.path().join("a.csv"),
        table(&code, json(&path)["forms"][0]["items"].as_array().unwrap().len()),
    )
    .unwrap();
    let mark = || said(dir.path(), &["mark", "a.csv"]);
    let (_, told) = mark();
    assert!(told.contains("alder"), "{told}");
    let hash = json(&path)["hash"].as_str().unwrap().to_owned();
    let none = format!(",\n  \"hash\": \"{hash}\"");
    assert!(whole.contains(&none));
    let changed = [
        whole.replacen("\"marks\": 1", "\"marks\": 9", 1),
        whole.replacen("\"about\": \"", "\"about\": \"x", 1),
        whole.replacen("\"answer\": \"", "\"answer\": \"1", 1),
        whole.replacen(&none, "", 1),
        whole.replacen("\"format\": 2", "\"format\": 1", 1),
        whole.replacen("\"format\": 2", "\"format\": 3", 1),
    ];
    for text in changed {
        assert_ne!(text, whole);
        fs::write(&path, &text).unwrap();
        let (code, told) = mark();
        assert_eq!(code, 2, "{told}");
        assert!(told.contains("was changed since it was made"), "{told}");
        assert!(!told.contains("alder"), "{told}");
    }
    // Laid out anew it says the same; one of an earlier program had no hash and is still taken.
    let mut value: Value = serde_json::from_str(&whole).unwrap();
    fs::write(&path, value.to_string()).unwrap();
    assert!(mark().1.contains("alder"));
    value.as_object_mut().unwrap().remove("hash");
    value["format"] = 1.into();
    fs::write(&path, value.to_string()).unwrap();
    assert!(mark().1.contains("alder"));
}

#[test]
fn a_seed_that_anybody_would_try_is_refused_and_one_is_offered() {
    let dir = workplace();
    let weak = [
        "abcd efgh ijkl mnop qrst uvwx",
        "1234 5678 qwerty asdfgh zxcvbn",
        "marble marble marble marble marble marble marble",
        // Words of the module and of the program's own sentences.
        "gravel pencil pump panel hydrant eductor nozzle",
        "recruit officer invented caution binder",
    ];
    for seed in weak {
        for command in ["compile", "papers", "sheets"] {
            let of = match command {
                "papers" => vec!["papers", "ten-to-know"],
                "sheets" => vec!["sheets", "flush", "--rig", "engine-7"],
                _ => vec!["compile"],
            };
            let (code, told) = said(dir.path(), &[of, vec!["--seed", seed]].concat());
            assert_eq!(code, 2, "{command} {seed}: {told}");
            assert!(told.contains("With --seed new one is made"), "{told}");
            assert!(told.contains("Counted for nothing"), "{told}");
        }
    }
    assert!(!dir.path().join("site").exists());
    let seed = || json(&dir.path().join("site/keys/papers-seed.json"))["seed"].clone();
    ends_with(0, program(dir.path()).args(["compile", "--seed", "new"]));
    let first = seed();
    ends_with(0, program(dir.path()).arg("compile"));
    assert_eq!(seed(), first);
    ends_with(0, program(dir.path()).args(["compile", "--seed", "new"]));
    assert_ne!(seed(), first);
    assert_ne!(seed(), "new");
}
