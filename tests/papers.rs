//! Papers and marks as a whole: what a person at the terminal gets, and what nobody else does.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use drillwright::course::{Question, QuestionKind};
use serde_json::Value;

use crate::program::{copy, ends_with, example, program, tree};

const SEED: &str = "ladder onion marble cactus otter velvet";
const OTHER: &str = "copper walnut thimble glacier saddle lemon";

fn workplace() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(example(), &dir.path().join("content"));
    dir
}

fn papers(folder: &Path, set: &str, seed: &str, more: &[&str]) -> Vec<PathBuf> {
    let mut command = program(folder);
    ends_with(0, command.args(["papers", set, "--seed", seed]).args(more));
    forms_below(folder)
}

fn forms_below(folder: &Path) -> Vec<PathBuf> {
    let found = walkdir::WalkDir::new(folder).sort_by_file_name().into_iter();
    let found = found.map(|entry| entry.unwrap().into_path());
    found.filter(|path| path.ends_with("forms.json")).collect()
}

fn json(path: &Path) -> Value {
    serde_json::from_slice(&fs::read(path).unwrap()).unwrap()
}

const SETS: [&str; 3] = ["ten-to-know", "without-calculator", "at-the-panel"];

#[test]
fn another_program_rebuilds_every_drawn_number() {
    let dir = workplace();
    for (set, attempt) in SETS.iter().zip(["1", "2", "1"]) {
        papers(dir.path(), set, SEED, &["--attempt", attempt, "--copies", "6"]);
    }
    ends_with(0, program(dir.path()).args(["compile", "--seed", OTHER]));
    let mut forms = forms_below(dir.path());
    assert_eq!(forms.len(), SETS.len());
    forms.push(dir.path().join("site/keys/papers-forms.json"));
    let script =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/outside/paper.py");
    // Six copies of each, and one of every set that the site prints.
    let printed = json(&forms[3])["forms"].as_array().unwrap().len();
    let all = 6 * SETS.len() + printed;
    let run = |forms: &[PathBuf]| {
        let mut command = Command::new("python3");
        command.arg(&script).args(forms).arg("--content").arg(example());
        let output = command.output().unwrap();
        (output.status.code(), String::from_utf8(output.stdout).unwrap())
    };
    let (code, said) = run(&forms);
    assert_eq!(code, Some(0), "{said}");
    assert!(said.contains(&format!(" on {all} papers")), "{said}");
    // One number changed on one paper is noticed.
    let text = fs::read_to_string(&forms[1]).unwrap();
    let wrong = text.replacen("\"text\": \"", "\"text\": \"9", 1);
    fs::write(&forms[1], wrong).unwrap();
    let (code, said) = run(&forms);
    assert_eq!(code, Some(1), "{said}");
}

/// The drawn values of every paper by copy and question.
fn drawn(forms: &Path) -> BTreeMap<(u64, String), Vec<String>> {
    let mut found = BTreeMap::new();
    for form in json(forms)["forms"].as_array().unwrap() {
        for item in form["items"].as_array().unwrap() {
            let values = item["drawn"].as_array().unwrap().iter();
            let values: Vec<String> =
                values.map(|value| value["text"].as_str().unwrap().to_owned()).collect();
            let question = item["question"].as_str().unwrap().to_owned();
            found.insert((form["copy"].as_u64().unwrap(), question), values);
        }
    }
    found
}

#[test]
fn the_same_seed_gives_the_same_tree_and_another_seed_other_numbers() {
    let (one, two, three) = (workplace(), workplace(), workplace());
    for set in SETS {
        let first = papers(one.path(), set, SEED, &["--out", set]);
        let again = papers(two.path(), set, SEED, &["--out", set]);
        let other = papers(three.path(), set, OTHER, &["--out", set]);
        let at =
            first.iter().position(|path| path.ends_with(format!("{set}/forms.json")));
        let at = at.unwrap();
        assert_eq!(drawn(&first[at]), drawn(&again[at]));
        let (first, other) = (drawn(&first[at]), drawn(&other[at]));
        assert_eq!(first.len(), other.len());
        assert!(first.keys().filter(|key| other.contains_key(key)).count() > 12);
        // Two draws of one question may be the same by chance; on one of eight papers at most.
        let mut same: BTreeMap<&str, u32> = BTreeMap::new();
        for (key, values) in first.iter().filter(|(_, values)| !values.is_empty()) {
            *same.entry(&key.1).or_default() += u32::from(Some(values) == other.get(key));
        }
        assert!(same.len() > 3 && same.values().all(|count| *count < 2), "{same:?}");
    }
    assert_eq!(tree(one.path()), tree(two.path()));
    assert_ne!(tree(one.path()), tree(three.path()));
}

#[test]
fn papers_and_results_outlive_a_compile() {
    let dir = workplace();
    papers(dir.path(), "without-calculator", SEED, &[]);
    let forms = forms_below(dir.path());
    let code = json(&forms[0])["forms"][0]["code"].as_str().unwrap().to_owned();
    let sheet = format!("person,form,1,2,3,4,5,6,7,8\nalder,{code},1,,,,,,,\n");
    fs::write(dir.path().join("monday.csv"), sheet).unwrap();
    ends_with(0, program(dir.path()).args(["mark", "monday.csv"]));
    let ours = |folder: &Path| -> Vec<(String, Vec<u8>)> {
        let files = tree(&folder.join("site/keys")).into_iter();
        files
            .filter(|(name, _)| name.contains("results/") || name.contains("papers/"))
            .collect()
    };
    let before = ours(dir.path());
    assert!(before.len() > 20, "{}", before.len());
    ends_with(0, program(dir.path()).args(["compile", "--seed", SEED]));
    assert_eq!(ours(dir.path()), before);
    // Taken out of the module, the set takes its own pages with it, and no paper.
    let module = dir.path().join("content/module.yaml");
    let text = fs::read_to_string(&module).unwrap();
    fs::write(&module, text.replace(", without-calculator", "")).unwrap();
    fs::remove_file(dir.path().join("content/questions/without-calculator.yaml"))
        .unwrap();
    ends_with(0, program(dir.path()).args(["compile", "--seed", SEED]));
    assert_eq!(ours(dir.path()), before);
    // What was handed out can still be marked, and a changed paper is not replaced.
    ends_with(0, program(dir.path()).args(["mark", "monday.csv"]));
}

/// Base64 of bytes, with the letters of either alphabet, without padding.
fn base64(bytes: &[u8], last: [char; 2]) -> String {
    let letters: Vec<char> =
        ('A'..='Z').chain('a'..='z').chain('0'..='9').chain(last).collect();
    let mut out = String::new();
    for group in bytes.chunks(3) {
        let mut bits = 0_u32;
        for at in 0..3 {
            bits = bits << 8 | u32::from(group.get(at).copied().unwrap_or(0));
        }
        for at in 0..=group.len() {
            out.push(letters[usize::try_from(bits >> (18 - 6 * at) & 63).unwrap()]);
        }
    }
    out
}

/// A text as it stands in base64 whatever stands before it: what is the same at each of the
/// three places a byte can have in a group.
fn disguises(text: &str) -> Vec<String> {
    let mut found = vec![text.to_owned(), text.chars().rev().collect()];
    let hex = text.bytes().map(|byte| format!("{byte:02x}"));
    found.push(hex.collect());
    for last in [['+', '/'], ['-', '_']] {
        for before in 0..3 {
            let mut bytes = vec![0; before];
            bytes.extend(text.as_bytes());
            let whole = base64(&bytes, last);
            // Letters that mix with what stands before or behind are left out.
            let start = [0, 2, 3][before];
            let end = (bytes.len() * 8).div_euclid(6);
            found.push(whole.chars().take(end).skip(start).collect());
        }
    }
    found
}

fn holds(bytes: &[u8], needle: &str) -> bool {
    bytes.windows(needle.len()).any(|window| window == needle.as_bytes())
}

#[test]
fn disguises_are_seen_through() {
    for before in ["", "a", "ab", "abc"] {
        let hidden =
            base64(format!("{before}canary bird{before}").as_bytes(), ['+', '/']);
        let seen = disguises("canary bird").iter().any(|as_| hidden.contains(as_));
        assert!(seen, "{before}: {hidden}");
    }
    // RFC 4648, section 10.
    assert_eq!(base64(b"foobar", ['+', '/']), "Zm9vYmFy");
    assert_eq!(base64(b"foob", ['+', '/']), "Zm9vYg");
}

#[test]
fn no_canary_sings_in_the_crews_pages() {
    let dir = workplace();
    let people = dir.path().join("content/people.yaml");
    let text = fs::read_to_string(&people).unwrap();
    let name = text.lines().find_map(|line| line.split_once("name: ")).unwrap().1;
    let person = "Quillon Canarybird";
    fs::write(&people, text.replace(name, person)).unwrap();
    let seed = "canary quartz button meadow lantern pickle trumpet";
    ends_with(0, program(dir.path()).args(["compile", "--seed", seed]));
    for set in SETS {
        papers(dir.path(), set, seed, &["--copies", "3"]);
    }
    let forms = forms_below(dir.path());
    let mut codes = BTreeSet::new();
    for path in forms.iter().chain([&dir.path().join("site/keys/papers-forms.json")]) {
        for form in json(path)["forms"].as_array().unwrap() {
            codes.insert(form["code"].as_str().unwrap().to_owned());
        }
    }
    let code = codes.iter().next().unwrap();
    let sheet =
        format!("person,form,{}\n{person},{code}{}\n", numbers(20), ",1".repeat(20));
    fs::write(dir.path().join("answers.csv"), sheet).unwrap();
    program(dir.path()).args(["mark", "answers.csv"]).output().unwrap();
    let site = tree(&dir.path().join("site"));
    let crew = || site.iter().filter(|(name, _)| name.starts_with("crew/"));
    assert!(crew().count() > 20);
    let mut secrets: Vec<String> = codes.into_iter().collect();
    secrets.extend([person.to_owned(), seed.to_owned()]);
    for secret in &secrets {
        let officers =
            |name: &str| name.starts_with("staff/") || name.starts_with("keys/");
        let staff = site.iter().filter(|(name, _)| officers(name));
        assert!(
            staff.clone().any(|(_, bytes)| holds(bytes, secret)),
            "{secret} is nowhere"
        );
        for disguise in disguises(secret) {
            for (name, bytes) in crew() {
                assert!(!holds(bytes, &disguise), "{name} holds {secret} as {disguise}");
            }
        }
    }
    // The seed stands on keys and in the files of the officers, and on no paper.
    for (name, bytes) in &site {
        let file = name.rsplit('/').next().unwrap();
        let may = file.starts_with("key-") || file.contains(".json");
        assert!(may || !holds(bytes, seed), "{name} holds the seed");
    }
}

fn numbers(count: usize) -> String {
    (1..=count).map(|number| number.to_string()).collect::<Vec<_>>().join(",")
}

#[test]
fn every_family_of_formulas_has_questions() {
    let course = crate::pages::example();
    let asked = |question: &Question| match &question.kind {
        QuestionKind::Number { ask, .. }
        | QuestionKind::Choice { ask, .. }
        | QuestionKind::Verdict { ask }
        | QuestionKind::Judge { ask: Some(ask), .. } => Some(ask.feed.formula.clone()),
        _ => None,
    };
    let all: Vec<&Question> = course.sets.iter().flat_map(|set| &set.questions).collect();
    assert!(all.len() >= 40, "{} questions", all.len());
    let asked: BTreeSet<String> = all.into_iter().filter_map(asked).collect();
    let families = course.library.formulas().map(|formula| formula.family.clone());
    let with = course.library.formulas().filter(|formula| asked.contains(&formula.id));
    let with: BTreeSet<String> = with.map(|formula| formula.family.clone()).collect();
    assert_eq!(families.collect::<BTreeSet<_>>(), with);
}

#[test]
fn a_module_may_say_what_a_comma_means() {
    for (says, wanted) in [("", 1), ("comma: thousands\n", 0), ("comma: decimal\n", 1)] {
        let dir = workplace();
        let module = dir.path().join("content/module.yaml");
        let text = fs::read_to_string(&module).unwrap();
        fs::write(
            &module,
            text.replace("paper: letter\n", &format!("paper: letter\n{says}")),
        )
        .unwrap();
        papers(dir.path(), "without-calculator", SEED, &["--copies", "12"]);
        // Of a whole paper, the answer to one question with a comma in it: one of which a thousand
        // is the answer, because where neither reading is right nobody has to be asked.
        let forms = json(&forms_below(dir.path())[0]);
        let thousand = |item: &Value| {
            item["answer"].as_str().unwrap().replace('\u{a0}', " ") == "1000 gpm"
        };
        let mut drawn = forms["forms"].as_array().unwrap().iter().filter_map(|form| {
            Some((form, form["items"].as_array().unwrap().iter().position(thousand)?))
        });
        let (form, at) = drawn.next().unwrap();
        let code = form["code"].as_str().unwrap();
        let (ahead, behind) = (";".repeat(at), ";".repeat(7 - at));
        let sheet =
            format!("person;form;1;2;3;4;5;6;7;8\nalder;{code};{ahead}1,000{behind}\n");
        fs::write(dir.path().join("a.csv"), sheet).unwrap();
        let mut command = program(dir.path());
        let output =
            ends_with(wanted, command.args(["mark", "a.csv", "--format", "json"]));
        let said: Value = serde_json::from_slice(&output.stdout).unwrap();
        if wanted == 1 {
            assert_eq!(said["findings"][0]["code"], "answer-unreadable");
            assert_eq!(
                (&said["findings"][0]["line"], &said["findings"][0]["column"]),
                (&2.into(), &(19 + at).into())
            );
            continue;
        }
        let answer = &said["papers"][0]["answers"][at];
        let right = says.contains("thousands") && answer["right"] == "1000\u{a0}gpm";
        assert_eq!(answer["outcome"] == "right", right, "{says}{answer}");
    }
}
