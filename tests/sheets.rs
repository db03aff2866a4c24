//! Numbered sheets as a whole: what an officer gets, what `score` holds a run against, and what
//! no crew page and no other command ever sees.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::program::{copy, ends_with, example, program, tree};

const SEED: &str = "ladder onion marble cactus otter velvet";

fn workplace() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    copy(example(), &dir.path().join("content"));
    dir
}

fn made(folder: &Path, drill: &str, more: &[&str]) -> PathBuf {
    let mut command = program(folder);
    let command = command.args(["--format", "json", "sheets", drill, "--seed", SEED]);
    let output = ends_with(0, command.args(more));
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    folder.join(told["forms"].as_str().unwrap())
}

fn json(path: &Path) -> Value {
    serde_json::from_slice(&fs::read(path).unwrap()).unwrap()
}

fn said(output: &std::process::Output) -> String {
    let both = [&output.stdout[..], &output.stderr[..]].concat();
    // Lines of a terminal are wrapped; a sentence is looked for as a whole.
    let text = String::from_utf8(both).unwrap();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn sheets_go_to_the_officers_and_are_made_again_to_the_byte() {
    let dir = workplace();
    let forms = made(dir.path(), "totals", &["--copies", "3"]);
    let folder = forms.parent().unwrap();
    assert!(folder.starts_with(dir.path().join("site/keys/sheets")));
    let before = tree(folder);
    let pages: Vec<&str> = before.iter().map(|(name, _)| name.as_str()).collect();
    let wanted = [
        "/",
        "all-sheets.html",
        "drawn.json",
        "index.html",
        "leaf.js",
        "plain.css",
        "sheet-1.html",
        "sheet-2.html",
        "sheet-3.html",
    ];
    assert_eq!(pages, wanted);
    made(dir.path(), "totals", &["--copies", "3"]);
    assert_eq!(tree(folder), before);
    // The seed stands in the forms file alone, and each sheet has its code on every side.
    for (name, bytes) in &before {
        let text = String::from_utf8_lossy(bytes);
        assert_eq!(text.contains("cactus"), name == "drawn.json", "{name}");
    }
    let file = json(&forms);
    for sheet in file["sheets"].as_array().unwrap() {
        let (code, number) = (sheet["code"].as_str().unwrap(), &sheet["number"]);
        let page =
            fs::read_to_string(folder.join(format!("sheet-{number}.html"))).unwrap();
        let sides = page.matches("class=\"so-side").count();
        assert_eq!((sides, page.matches(code).count()), (2, 2));
        for value in sheet["readings"].as_object().unwrap().values() {
            // On paper a number never parts from its unit.
            let printed = value.as_str().unwrap().replace(' ', "\u{a0}");
            assert!(page.contains(&printed), "{value}");
        }
    }
    // More of them go on where the first ones end.
    let more = json(&made(dir.path(), "totals", &["--first", "2", "--copies", "4"]));
    let codes = |file: &Value| -> Vec<String> {
        let sheets = file["sheets"].as_array().unwrap().iter();
        sheets.map(|sheet| sheet["code"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(codes(&file)[1..], codes(&more)[..2]);
}

#[expect(clippy::too_many_lines, reason = "one form and every run that names it")]
#[test]
fn a_run_that_names_a_form_is_held_to_it() {
    let dir = workplace();
    let forms = made(dir.path(), "totals", &["--copies", "2"]);
    let file = json(&forms);
    let sheet = &file["sheets"][0];
    let code = sheet["code"].as_str().unwrap();
    let reading = |id: &str| sheet["readings"][id].as_str().unwrap().to_owned();
    let (foam, water) = (reading("foam-a"), reading("water-a"));
    let number = |text: &str| text.split(' ').next().unwrap().parse::<f64>().unwrap();
    let percent = (number(&foam) / number(&water) * 10_000.0).round() / 100.0;
    let [drill, rig] = ["drill-revision", "rig-revision"]
        .map(|key| sheet[key].as_str().unwrap().get(..8).unwrap().to_owned());
    let run = |more: &str, mode: &str, percent: f64| {
        format!(
            "run: by-form\ndrill: totals\ndrill-revision: \"{drill}\"\nrig: engine-7\n\
             rig-revision: \"{rig}\"\nrules: 2\noutlet: crosslay-1\nuse: evaluation\n\
             mode: {mode}\nweather: indoors\nlight: lamps\n\
             performed-at: 2026-11-23 09:00\nattempt: 1\ncandidate: moss\nrole: operator\n\
             crew: {{second-reader: sorrel}}\n\
             evaluator: {{person: alder, qualification: course, \
             qualified-on: 2024-03-01, relation: other station}}\n\
             safety-officer: hazel\nstop-word: STOP STOP STOP\norder-seen: as printed\n\
             marks: {{read-a: done, read-b: done, second-look: done, work-out: done, \
             judge: done, idle: done, power-off: done, pump-off: done}}\n\
             criticals: {{power-before-totals: no, wrong-percent: no}}\n\
             measures: {{percent-worked: {percent} %}}\n{more}"
        )
    };
    let score = |text: &str, exit: i32, more: &[&str]| {
        fs::write(dir.path().join("run.yaml"), text).unwrap();
        let mut command = program(dir.path());
        command.args(["score", "run.yaml", "--today", "2026-12-01"]).args(more);
        said(&ends_with(exit, &mut command))
    };
    // What is not written is read from the form.
    let by_form = run(&format!("form: {code}\n"), "hands-on-dry", percent);
    assert!(score(&by_form, 0, &[]).contains("Met this drill's standard"));
    // Another figure than the drawn one is told with both, and with its place.
    let other = run(
        &format!("form: {code}\nreadings: {{foam-a: 9.3 gal}}\n"),
        "hands-on-dry",
        percent,
    );
    let told = score(&other, 1, &[]);
    for part in ["run.yaml, line", "9.3 gal", &foam, "Refused"] {
        assert!(told.contains(part), "{part}: {told}");
    }
    // Where water flows the panel is read, and the form stands in for nothing.
    let water = run(
        &format!("form: {code}\nreadings: {{foam-a: 4.4 gal, water-a: 870 gal}}\n"),
        "plain-water",
        0.51,
    );
    assert!(score(&water, 0, &[]).contains("Met this drill's standard"));
    // A code that no sheet has, and one with a letter that is wrong.
    let unknown = run("form: 7110-4A29-K\n", "hands-on-dry", percent);
    let told = score(&unknown, 1, &[]);
    assert!(told.contains("7110-4A29-K") && !told.contains("Met this"), "{told}");
    // Two candidates with one form in one file.
    let text =
        by_form.replace("run: by-form", "run: by-form-2").replace("moss", "heather");
    let text = text.replace("09:00", "10:00");
    fs::write(dir.path().join("second.yaml"), text).unwrap();
    let told = score(&by_form, 1, &["second.yaml"]);
    assert!(told.contains(code) && told.contains("Refused"), "{told}");
    // A forms file in which a figure was changed counts for nothing.
    let text = fs::read_to_string(&forms).unwrap();
    fs::write(&forms, text.replacen(&foam, "9.3 gal", 1)).unwrap();
    let told = score(&other, 2, &[]);
    assert!(told.contains("changed since it was made"), "{told}");
    // Without any file a form is not compared, and that is said.
    fs::remove_dir_all(dir.path().join("site")).unwrap();
    let stated = run(
        &format!(
            "form: {code}\nreadings: {{foam-a: {foam}, water-a: {}}}\n",
            reading("water-a")
        ),
        "hands-on-dry",
        percent,
    );
    assert!(score(&stated, 0, &[]).contains("could not be compared"));
}

#[test]
fn no_crew_page_holds_what_was_drawn_and_mark_does_not_trip_over_it() {
    let dir = workplace();
    ends_with(0, program(dir.path()).args(["compile", "--seed", SEED]));
    let file = json(&made(dir.path(), "percent-change", &["--copies", "4"]));
    let codes: Vec<&str> = file["sheets"]
        .as_array()
        .unwrap()
        .iter()
        .map(|sheet| sheet["code"].as_str().unwrap())
        .collect();
    for (name, bytes) in tree(&dir.path().join("site/crew")) {
        let text = String::from_utf8_lossy(&bytes);
        assert!(!codes.iter().any(|code| text.contains(code)), "{name}");
    }
    let blank = dir.path().join("site/crew/sheet-percent-change-engine-7.html");
    let blank = fs::read_to_string(blank).unwrap();
    assert!(blank.contains("drawn at the run"));
    // Another compile leaves the sheets alone, and so does mark.
    let before = tree(&dir.path().join("site/keys/sheets"));
    ends_with(0, program(dir.path()).args(["compile", "--seed", SEED, "--roster"]));
    assert_eq!(tree(&dir.path().join("site/keys/sheets")), before);
    fs::write(dir.path().join("answers.csv"), "person,form,1\nash,7110-4A29-K,1\n")
        .unwrap();
    let mut mark = program(dir.path());
    let told = said(&ends_with(1, mark.args(["mark", "answers.csv"])));
    assert!(told.contains("7110-4A29-K"), "{told}");
    // The seed of the site is the one that is used where none is named.
    let mut command = program(dir.path());
    let output = ends_with(
        0,
        command.args(["--format", "json", "sheets", "percent-change", "--copies", "4"]),
    );
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    let again: Vec<&str> = told["sheets"]
        .as_array()
        .unwrap()
        .iter()
        .map(|sheet| sheet["code"].as_str().unwrap())
        .collect();
    assert_eq!(again, codes);
}
