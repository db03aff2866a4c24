//! Files of live sheets that were changed after they were saved: the log comes to other marks
//! than the file has, and what differs is named.

use drillwright::authoring::{Given, RunReader};
use drillwright::course::Course;
use drillwright::findings::{Code, Finding};
use drillwright::scoring::{Outcome, Run, Verdict, score_all};
use drillwright::stock;
use serde_json::{Value, json};

use super::FLUSH;
use super::page::Page;

fn scored(course: &Course, file: &Value) -> (Vec<Verdict>, Vec<Finding>) {
    let words = stock::words();
    let mut reader = RunReader::new(course, &words, None);
    let (given, found) = reader.read(&file.to_string(), "run.json");
    let runs: Vec<Run<'_>> = given.iter().map(Given::run).collect();
    (score_all(&runs), found)
}

fn saved() -> (Course, Value) {
    let (course, mut page) = Page::drill("flush");
    page.begin("engine-7");
    page.mark_all();
    for (field, text) in FLUSH {
        page.write(field, text);
    }
    page.send(&json!({ "do": "mark", "step": "bottle", "mark": "not-done" }));
    page.end();
    let (text, _) = page.save();
    (course, serde_json::from_str(&text).unwrap())
}

fn log(file: &Value) -> Value {
    serde_json::from_str(file["taps"].as_str().unwrap()).unwrap()
}

/// A log with a code of its own: what somebody writes who knows how.
fn with_log(file: &mut Value, change: impl FnOnce(&mut Value)) {
    let mut log = log(file);
    change(&mut log);
    file["taps"] = log.to_string().into();
    file["log-code"] = "0123456789abcdef".into();
}

#[test]
fn a_file_as_it_was_saved_has_a_log_that_comes_to_its_marks() {
    let (course, file) = saved();
    let (verdicts, found) = scored(&course, &file);
    assert_eq!(found, []);
    assert_eq!(verdicts[0].outcome, Outcome::Met, "{}", verdicts[0].reason);
    assert!(log(&file)["entries"].as_array().unwrap().len() > 30);
}

type Forge = fn(&mut Value);

#[test]
fn what_was_changed_after_saving_is_named_and_leaves_the_run_open() {
    let (course, file) = saved();
    let cases: [(&str, &str, Forge); 13] = [
        ("log and code are gone", "log", |file| {
            file.as_object_mut().unwrap().remove("taps");
            file.as_object_mut().unwrap().remove("log-code");
        }),
        ("a mark", "bottle", |file| file["marks"]["bottle"] = "done".into()),
        ("a mark taken out", "freeze", |file| {
            file["marks"].as_object_mut().unwrap().remove("freeze");
        }),
        ("a value", "flush-time", |file| file["measures"]["flush-time"] = "52 s".into()),
        ("all values", "flush-water", |file| {
            file.as_object_mut().unwrap().remove("measures");
        }),
        ("the candidate", "candidate", |file| file["candidate"] = "sorrel".into()),
        ("the attempt", "attempt", |file| file["attempt"] = 2.into()),
        ("another run's log", "run", |file| file["run"] = "another-run".into()),
        ("the log is gone", "log", |file| {
            file.as_object_mut().unwrap().remove("taps");
        }),
        ("its code is gone", "code", |file| {
            file.as_object_mut().unwrap().remove("log-code");
        }),
        ("the log is cut", "log", |file| {
            with_log(file, |log| {
                log["entries"].as_array_mut().unwrap().pop();
            });
        }),
        ("its lines are cut", "lines", |file| {
            file["log"].as_array_mut().unwrap().truncate(3);
        }),
        ("it is no log", "log", |file| file["taps"] = "perhaps".into()),
    ];
    for (name, told, forge) in cases {
        let mut forged = file.clone();
        forge(&mut forged);
        assert_ne!(forged, file, "{name}");
        let (verdicts, found) = scored(&course, &forged);
        assert!(!found.is_empty(), "{name}");
        let says = format!("{found:?}");
        assert!(says.contains(told), "{name}: {says}");
        for verdict in &verdicts {
            assert!(
                !matches!(verdict.outcome, Outcome::Met | Outcome::MetInPart),
                "{name}"
            );
        }
        let open = |one: &Finding| one.code == Code::RunOpen;
        assert!(found.iter().any(open), "{name}: {says}");
    }
}

#[test]
fn a_log_out_of_time_or_after_the_end_is_told() {
    let (course, file) = saved();
    let mut back = file.clone();
    with_log(&mut back, |log| {
        let steady = log["entries"][8]["at"]["steady"].as_i64().unwrap();
        log["entries"][9]["at"]["steady"] = (steady - 60_000).into();
    });
    let (_, found) = scored(&course, &back);
    assert!(format!("{found:?}").contains("runs backward"), "{found:?}");
    let mut after = file;
    with_log(&mut after, |log| {
        let entries = log["entries"].as_array_mut().unwrap();
        let mut more = entries.last().unwrap().clone();
        more["event"] = json!({ "do": "mark", "step": "bottle", "mark": "done" });
        entries.push(more);
    });
    let (verdicts, found) = scored(&course, &after);
    assert!(format!("{found:?}").contains("after the sheet was saved"), "{found:?}");
    assert_eq!(verdicts[0].outcome, Outcome::Incomplete, "{}", verdicts[0].reason);
}

/// Every value of a file, by its path.
fn leaves(value: &Value, path: &str, out: &mut Vec<String>) {
    match value {
        Value::Object(fields) => {
            for (key, value) in fields {
                leaves(value, &format!("{path}/{key}"), out);
            }
        }
        Value::Array(list) => {
            for (at, value) in list.iter().enumerate() {
                leaves(value, &format!("{path}/{at}"), out);
            }
        }
        _ => out.push(path.to_owned()),
    }
}

/// One value of a file changed, its kit's among them, and nothing else: never met without a word. A
/// text of a kit that rules nothing is in no hash, and changes no letter of the verdict.
#[test]
fn no_single_value_of_a_file_is_changed_unseen() {
    let (course, file) = saved();
    let (clean, _) = scored(&course, &file);
    let mut paths = Vec::new();
    leaves(&file, "", &mut paths);
    // The lines of the log are what the tablet told people; the events behind them are replayed.
    paths.retain(|path| !path.starts_with("/log/"));
    let of_kit = |path: &&String| path.starts_with("/kit/");
    let own: Vec<_> = paths.iter().filter(|path| !of_kit(path)).collect();
    // A kit has thousands of values under one hash, so that every fortieth stands for its neighbors.
    let kit: Vec<_> = paths.iter().filter(of_kit).step_by(40).collect();
    assert!(own.len() > 50 && kit.len() > 20, "{} {}", own.len(), kit.len());
    for path in own.into_iter().chain(kit) {
        let mut forged = file.clone();
        let value = forged.pointer_mut(path).unwrap();
        *value = match &value {
            Value::Bool(yes) => (!*yes).into(),
            Value::Number(number) => (number.as_i64().unwrap_or_default() + 1).into(),
            Value::String(text) if text == "done" => "not done".into(),
            Value::String(text) => format!("{text}x").into(),
            _ => "x".into(),
        };
        let (verdicts, found) = scored(&course, &forged);
        if path.starts_with("/kit/") && found.is_empty() {
            assert_eq!(verdicts, clean, "{path}");
            continue;
        }
        assert!(!found.is_empty(), "{path}");
        for verdict in verdicts {
            assert_ne!(verdict.outcome, Outcome::Met, "{path}: {}", verdict.reason);
        }
    }
}
