//! Rules 34 and 37 to 39 on files as they are handed in: days, kits, sheets given twice, and
//! tables whose faults name their cell.

use drillwright::authoring::RunReader;
use drillwright::course::{Course, Decision, LocalTopic, Withdrawn};
use drillwright::findings::{Finding, Sources, printed, text};
use drillwright::quantity::Day;
use drillwright::scoring::{
    Kit, Outcome, Run, Verdict, all_of, score_all, short_revision, written,
};
use drillwright::stock;
use serde_json::{Value, json};

use super::example::example;
use super::handed::table;

/// The example with everything kept that it has today, and the flush of it that met the standard,
/// which names what it was made for.
fn printed_once() -> (Course, Value, Kit) {
    let mut course = example();
    course.kept = all_of(&course).unwrap();
    let words = stock::words();
    let run = course.runs.iter().find(|run| run.id == "tv-2026-001").unwrap().clone();
    let drill = course.drill("flush").unwrap();
    let kit = Kit::of(&course, drill, &course.rigs["engine-7"], &words).unwrap();
    let mut value = written(&run, None, &[]).unwrap();
    value["drill-revision"] = short_revision(kit.drill_revision()).into();
    value["rig-revision"] = short_revision(kit.rig_revision()).into();
    (course, value, kit)
}

fn read(
    course: &Course,
    files: &[(&str, String)],
    today: &str,
) -> (Vec<Verdict>, Vec<Finding>) {
    let words = stock::words();
    let mut reader = RunReader::new(course, &words, Day::read(today));
    let (mut given, mut found) = (Vec::new(), Vec::new());
    for (file, text) in files {
        let (runs, wrong) = reader.read(text, file);
        given.extend(runs);
        found.extend(wrong);
    }
    let runs: Vec<Run<'_>> =
        given.iter().map(drillwright::authoring::Given::run).collect();
    (score_all(&runs), found)
}

fn one(course: &Course, run: &Value) -> (Option<Verdict>, String) {
    let (mut verdicts, found) =
        read(course, &[("run.json", run.to_string())], "2028-01-01");
    let words = stock::words();
    let says = |one: &Finding| printed(one, &Sources::new(), &words).says;
    (verdicts.pop(), found.iter().map(says).collect::<Vec<_>>().join("\n"))
}

fn at(run: &Value, day: &str) -> Value {
    let mut run = run.clone();
    run["performed-at"] = format!("{day} 10:20").into();
    run["entered-at"] = format!("{day} 19:00").into();
    run
}

/// Letters that look like a number beyond all numbers are told as they were written.
#[test]
fn letters_that_look_like_a_number_are_letters() {
    let course = example();
    let words = stock::words();
    let content = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let text = std::fs::read_to_string(content.join("runs/tv-2026-001.yaml")).unwrap();
    let own = text.lines().find(|line| line.starts_with("drill-revision:")).unwrap();
    let text = text.replace(own, "drill-revision: 5434e359");
    let (_, found) = RunReader::new(&course, &words, None).read(&text, "run.yaml");
    let said: Vec<String> =
        found.iter().map(|one| printed(one, &Sources::new(), &words).says).collect();
    let other = said.iter().find(|said| said.contains("5434e359"));
    assert!(other.is_some() && !said.join("").contains("inf"), "{said:?}");
}

#[test]
fn rule_37_a_revision_holds_from_its_day_and_for_a_grace_after_it_was_replaced() {
    let (mut course, run, _) = printed_once();
    let outcome = |course: &Course, day: &str| {
        let (verdict, said) = one(course, &at(&run, day));
        let verdict = verdict.unwrap();
        assert_eq!(said.is_empty(), verdict.outcome == Outcome::Met, "{said}");
        (verdict.outcome, said)
    };
    assert_eq!(outcome(&course, "2026-11-09").0, Outcome::Met);
    let (early, said) = outcome(&course, "2026-11-08");
    assert_eq!(early, Outcome::Refused);
    assert!(said.contains("2026-11-08") && said.contains("2026-11-09"), "{said}");
    assert_eq!(outcome(&course, "2027-09-08").0, Outcome::Met, "it still holds");
    // The drill is changed and nobody writes a new day into it: when, nobody knows.
    let change = |course: &mut Course, day: &str| {
        let flush = course.drills.iter_mut().find(|drill| drill.id == "flush").unwrap();
        flush.steps.iter_mut().for_each(|step| step.weight = 1);
        flush.revised_on = day.into();
    };
    change(&mut course, "2026-11-09");
    assert_eq!(outcome(&course, "2027-09-08").0, Outcome::Met);
    // With its day the earlier one is taken for thirty days more, by its own weights.
    change(&mut course, "2026-12-01");
    for day in ["2026-11-14", "2026-12-01", "2026-12-31"] {
        assert_eq!(outcome(&course, day).0, Outcome::Met, "{day}");
    }
    let (late, said) = outcome(&course, "2027-01-01");
    assert_eq!(late, Outcome::Refused);
    assert!(said.contains("2027-01-01") && said.contains("2026-12-01"), "{said}");
    // The department may decide another grace.
    let decision = Decision::Decided {
        rule: "Ten days.".into(),
        by: "Training order 12 (invented)".into(),
        on: "2026-01-01".into(),
    };
    let (id, title, asks) = ("revision-grace".to_owned(), String::new(), String::new());
    course.local.push(LocalTopic { id, title, asks, days: Some(10), decision });
    assert_eq!(outcome(&course, "2026-12-11").0, Outcome::Met);
    assert_eq!(outcome(&course, "2026-12-12").0, Outcome::Refused);
    // An act that was seen is seen, whatever the day.
    let mut act = at(&run, "2027-01-01");
    act["unsafe-acts"] = json!(["astride-line"]);
    act["happened"] = json!({"astride-line": "Stood over it."});
    assert_eq!(one(&course, &act).0.unwrap().outcome, Outcome::NotMet);
}

#[test]
fn rule_37_what_was_withdrawn_for_safety_has_no_grace() {
    let (mut course, run, kit) = printed_once();
    let from = |course: &mut Course, hash: &str, from: &str| {
        let (from, why) = (from.to_owned(), "It opened the air too early.".to_owned());
        let told = Withdrawn { drill_revision: None, rig_revision: None, from, why };
        course.kept.withdrawn.insert(hash.to_owned(), told);
    };
    for hash in [kit.drill_revision(), kit.rig_revision()] {
        course.kept.withdrawn.clear();
        from(&mut course, hash, "2026-11-15");
        assert_eq!(one(&course, &run).0.unwrap().outcome, Outcome::Met);
        from(&mut course, hash, "2026-11-14");
        let (verdict, said) = one(&course, &run);
        let verdict = verdict.unwrap();
        assert_eq!((verdict.outcome, verdict.uses_attempt), (Outcome::Refused, false));
        assert!(said.contains("too early") && said.contains("2026-11-14"), "{said}");
    }
}

#[test]
fn rule_37_nothing_is_scored_before_it_was_performed() {
    let (course, run, _) = printed_once();
    let files = [("run.json", run.to_string())];
    let (verdicts, found) = read(&course, &files, "2026-11-13");
    assert_eq!(verdicts[0].outcome, Outcome::Refused);
    assert_eq!(found.len(), 1);
    assert_eq!(read(&course, &files, "2026-11-14").0[0].outcome, Outcome::Met);
    let mut early = run;
    early["entered-at"] = "2026-11-14 10:19".into();
    assert_eq!(one(&course, &early).0.unwrap().outcome, Outcome::Refused);
}

type Forge = fn(&mut Value);

#[test]
fn rule_38_a_forged_kit_is_never_met() {
    let (course, run, kit) = printed_once();
    let flush = course.runs.iter().find(|run| run.id == "tv-2026-001").unwrap();
    let mut carrying = written(flush, Some(kit.data()), &[]).unwrap();
    for (key, value) in run.as_object().unwrap() {
        carrying[key] = value.clone();
    }
    let (verdict, said) = one(&course, &carrying);
    assert_eq!(verdict.unwrap().outcome, Outcome::Met, "{said}");
    let forged: [(&str, Forge); 7] = [
        ("weights", |run| run["kit"]["drill"]["steps"][0]["weight"] = 1.into()),
        ("no criticals", |run| run["kit"]["drill"]["criticals"] = json!([])),
        ("pass mark", |run| run["kit"]["pass-mark"]["value"] = "10 %".into()),
        ("hose test", |run| {
            run["kit"]["rig"]["outlets"][0]["service-test"] = "900 psi".into();
        }),
        ("rules of before", |run| run["kit"]["rules"] = 1.into()),
        ("another day", |run| run["kit"]["drill"]["revised-on"] = "2026-01-01".into()),
        ("no acts", |run| run["kit"]["unsafe-acts"] = json!([])),
    ];
    for (name, forge) in forged {
        for pinned in [true, false] {
            let mut run = carrying.clone();
            forge(&mut run);
            if !pinned {
                // With revisions that the forger worked out for his own kit.
                run["drill-revision"] = "00000000".into();
            }
            let (verdict, said) = one(&course, &run);
            let outcome = verdict.as_ref().map(|verdict| verdict.outcome);
            let counts = verdict.as_ref().is_some_and(|verdict| verdict.counts);
            // The rules stand beside a revision, and are those of the department's own kit.
            if name == "rules of before" && pinned {
                continue;
            }
            assert_ne!(outcome, Some(Outcome::Met), "{name}, pinned {pinned}: {said}");
            assert!(!counts || !said.is_empty(), "{name}");
            assert!(!said.is_empty() || verdict.unwrap().for_reading, "{name}");
        }
    }
    // Two kits in one file, the second of them lenient.
    let mut lenient = kit.data().clone();
    lenient.standard.drill.criticals.clear();
    let second = written(flush, Some(&lenient), &[]).unwrap()["kit"].to_string();
    let two = carrying.to_string();
    let two =
        format!("{{\"kit\": {second}, {}", two.trim_start().trim_start_matches('{'));
    let (verdicts, found) = read(&course, &[("run.json", two)], "2028-01-01");
    assert!(!found.is_empty());
    assert!(verdicts.iter().all(|verdict| verdict.outcome != Outcome::Met));
}

#[test]
fn rule_38_a_kit_of_an_older_revision_beside_todays_name_is_refused() {
    let (mut course, _, old) = printed_once();
    let flush = course.drills.iter_mut().find(|drill| drill.id == "flush").unwrap();
    flush.steps.iter_mut().for_each(|step| step.weight = 1);
    let words = stock::words();
    let drill = course.drill("flush").unwrap();
    let new = Kit::of(&course, drill, &course.rigs["engine-7"], &words).unwrap();
    let run = course.runs.iter().find(|run| run.id == "tv-2026-001").unwrap();
    let mut value = written(run, Some(old.data()), &[]).unwrap();
    value["drill-revision"] = short_revision(new.drill_revision()).into();
    value["rig-revision"] = short_revision(new.rig_revision()).into();
    let (verdict, said) = one(&course, &value);
    assert_eq!(verdict.unwrap().outcome, Outcome::Refused);
    assert!(said.contains(short_revision(old.drill_revision())), "{said}");
}

#[test]
fn rule_37_a_run_that_names_no_revision_is_shown_and_never_met() {
    let (course, run, _) = printed_once();
    for fields in
        [&["drill-revision"][..], &["rig-revision"], &["drill-revision", "rig-revision"]]
    {
        let mut run = run.clone();
        for field in fields {
            run.as_object_mut().unwrap().remove(*field);
        }
        let verdict = one(&course, &run).0.unwrap();
        assert_eq!(verdict.outcome, Outcome::Refused);
        assert!(verdict.outcome_text.starts_with("REVISION NOT NAMED"));
        assert_eq!((verdict.earned, verdict.possible, verdict.counts), (0, 0, false));
    }
}

#[test]
fn rule_34_the_same_sheet_twice_is_one_run_and_another_is_none() {
    let (course, run, _) = printed_once();
    let file = |run: &Value| run.to_string();
    let twice = [("a.json", file(&run)), ("b.json", file(&run))];
    let (verdicts, found) = read(&course, &twice, "2028-01-01");
    assert_eq!((verdicts.len(), found.len()), (1, 0));
    assert_eq!(verdicts[0].outcome, Outcome::Met);
    let mut other = run.clone();
    other["marks"]["freeze"] = "not done".into();
    for files in [[&run, &other], [&other, &run]] {
        let files = [("a.json", file(files[0])), ("b.json", file(files[1]))];
        let (verdicts, found) = read(&course, &files, "2028-01-01");
        assert_eq!(found.len(), 1);
        assert!(verdicts.iter().all(|verdict| verdict.outcome != Outcome::Met));
    }
}

#[test]
fn a_fault_in_a_table_names_row_column_and_run() {
    let (course, run, _) = printed_once();
    let words = stock::words();
    let cases: [(&str, Forge); 6] = [
        ("measures.flush-time", |run| run["measures"]["flush-time"] = "48".into()),
        ("criticals.foam-off-with-air-on", |run| {
            run["marks"]["air-off"] = "not done".into();
        }),
        ("readings.flow-read", |run| run["readings"]["flow-read"] = "9000 gpm".into()),
        ("safety-officer", |run| run["safety-officer"] = "nobody".into()),
        ("marks.air-off", |run| run["marks"]["air-off"] = "perhaps".into()),
        ("candidate", |run| {
            run.as_object_mut().unwrap().remove("candidate");
        }),
    ];
    for (column, break_it) in cases {
        let mut broken = run.clone();
        broken["run"] = "tv-2026-901".into();
        broken["notes"] = "Wind,\nand \"rain\".".into();
        let mut after = broken.clone();
        after["run"] = "tv-2026-902".into();
        break_it(&mut after);
        let csv = table(&[&run, &broken, &after]);
        let (_, found) = read(&course, &[("runs.csv", csv.clone())], "2028-01-01");
        let sources = Sources::from([("runs.csv".to_owned(), csv)]);
        let cells: Vec<_> =
            found.iter().filter_map(|one| one.cell.as_deref().cloned()).collect();
        assert_eq!(cells.len(), found.len(), "{column}");
        let named = |cell: &drillwright::findings::Cell| {
            cell.column == column && cell.run == "tv-2026-902" && cell.row == 4
        };
        assert!(cells.iter().any(named), "{column}: {found:#?}");
        for one in &found {
            let said = text(&printed(one, &sources, &words), &words);
            assert!(
                said.contains("Row 4, column ") && said.contains("run tv-2026-902"),
                "{said}"
            );
        }
    }
}
