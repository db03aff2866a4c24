//! Run sheets as they are handed in: the forms of a file, crews, chains, and the revision
//! that a run was made for.

use drillwright::authoring::{Given, RunReader};
use drillwright::course::{Course, Decision, Fluorine, Mark, RunSheet};
use drillwright::findings::{Code, Finding, Sources};
use drillwright::quantity::Day;
use drillwright::scoring::{
    Compared, Kit, KitData, Outcome, Part, Verdict, by_run, compare, crew, kept_files,
    results, score, short_revision, written,
};
use drillwright::stock;
use serde_json::Value;

use super::example::example;

fn read(course: &Course, text: &str, file: &str) -> (Vec<Given>, Vec<Finding>) {
    let words = stock::words();
    RunReader::new(course, &words, Day::read("2026-11-25")).read(text, file)
}

fn run_of(course: &Course, id: &str) -> RunSheet {
    course.runs.iter().find(|run| run.id == id).unwrap().clone()
}

fn json(sheet: &RunSheet, kit: Option<&KitData>) -> Value {
    written(sheet, kit, &[]).unwrap()
}

fn codes(found: &[Finding]) -> Vec<Code> {
    found.iter().map(|finding| finding.code).collect()
}

#[test]
fn json_yaml_and_tables_say_the_same() {
    let course = example();
    for run in &course.runs {
        let value = json(run, None);
        let (given, found) = read(&course, &value.to_string(), "run.json");
        assert_eq!(found, [], "{}", run.id);
        assert_eq!(given[0].sheet, *run);
        let pretty = serde_json::to_string_pretty(&value).unwrap();
        assert_eq!(read(&course, &pretty, "run.json").0[0].sheet, *run);
        let (given, found) = read(&course, &table(&[&value]), "run.csv");
        assert_eq!(found, [], "{}", run.id);
        assert_eq!(given[0].sheet, *run);
    }
}

/// Runs as a table, with a column for every field that any of them has.
pub(super) fn table(runs: &[&Value]) -> String {
    fn cells(value: &Value, name: &str, out: &mut Vec<(String, String)>) {
        match value {
            Value::Object(fields) => {
                for (key, value) in fields {
                    let dot = if name.is_empty() { "" } else { "." };
                    cells(value, &format!("{name}{dot}{key}"), out);
                }
            }
            Value::Array(list) => {
                let ids: Vec<&str> = list.iter().filter_map(Value::as_str).collect();
                out.push((name.to_owned(), ids.join(" ")));
            }
            Value::String(text) => out.push((name.to_owned(), text.clone())),
            other => out.push((name.to_owned(), other.to_string())),
        }
    }
    let rows: Vec<Vec<(String, String)>> = runs
        .iter()
        .map(|run| {
            let mut out = Vec::new();
            cells(run, "", &mut out);
            out
        })
        .collect();
    let mut head: Vec<String> =
        rows.iter().flatten().map(|(name, _)| name.clone()).collect();
    head.sort();
    head.dedup();
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let line = |row: &Vec<(String, String)>| {
        let cell = |name: &String| {
            let found = row.iter().find(|(known, _)| known == name);
            found.map_or_else(String::new, |(_, text)| quoted(text))
        };
        head.iter().map(cell).collect::<Vec<_>>().join(",")
    };
    let body: Vec<String> = rows.iter().map(line).collect();
    format!("{}\n{}\n", head.join(","), body.join("\n"))
}

type Break = fn(&mut Value);

#[test]
fn a_faulty_run_is_told_and_the_others_are_scored() {
    let course = example();
    let runs: Vec<Value> = ["tv-2026-001", "tv-2026-002", "tv-2026-003"]
        .map(|id| json(&run_of(&course, id), None))
        .to_vec();
    let wrong: &[(&str, Code, Break)] = &[
        ("unknown step", Code::UnknownId, |run| run["marks"]["engag"] = "done".into()),
        ("unknown person", Code::UnknownId, |run| run["candidate"] = "nobody".into()),
        ("no unit", Code::NoUnit, |run| run["readings"]["flow-read"] = "125".into()),
        ("future", Code::FutureDate, |run| {
            run["performed-at"] = "2026-11-26 08:00".into();
            run["entered-at"] = "2026-11-26 08:00".into();
        }),
        ("own evaluator", Code::EvaluatorIsCandidate, |run| {
            run["evaluator"]["person"] = "bracken".into();
        }),
        ("safety officer", Code::SafetyOfficerBusy, |run| {
            run["safety-officer"] = "bracken".into();
        }),
        ("safety officer evaluates", Code::SafetyOfficerBusy, |run| {
            run["safety-officer"] = "rowan".into();
        }),
        ("gauge", Code::ValueNotShown, |run| {
            run["measures"]["line-pressure"] = "152 psi".into();
        }),
        ("step twice", Code::StepTwice, |run| {
            let course = example();
            let steps = course.drill("startup").unwrap().steps.iter();
            let mut order: Vec<Value> =
                steps.map(|step| step.id.clone().into()).collect();
            order.push("engage".into());
            run["order-seen"] = order.into();
        }),
        ("stop before start", Code::StopBeforeStart, |run| {
            run["time"] = serde_json::json!({"start": "9 s", "stop": "3 s"});
        }),
    ];
    for (name, code, break_it) in wrong {
        let mut broken = runs.clone();
        break_it(&mut broken[1]);
        let list = Value::Array(broken.clone()).to_string();
        let cells: Vec<&Value> = broken.iter().collect();
        for (text, file) in [(list, "runs.json"), (table(&cells), "runs.csv")] {
            let (given, found) = read(&course, &text, file);
            let ids: Vec<&str> = given.iter().map(|one| one.sheet.id.as_str()).collect();
            let others: Vec<&&str> =
                ids.iter().filter(|id| **id != "tv-2026-002").collect();
            assert_eq!(others, [&"tv-2026-001", &"tv-2026-003"], "{name}: {found:?}");
            // What can be read of the faulty one is told, and never as met.
            let faulty = given.iter().find(|one| one.sheet.id == "tv-2026-002");
            let met = faulty.map(|one| score(&one.kit, &one.sheet).outcome);
            assert!(!matches!(met, Some(Outcome::Met | Outcome::MetInPart)), "{name}");
            assert_eq!(codes(&found), [*code], "{name} in {file}");
            let place = found[0].place.as_ref().unwrap();
            assert!(place.end > place.start && place.file == file, "{name} in {file}");
        }
    }
}

#[test]
fn a_run_is_scored_by_the_revision_it_was_made_for() {
    let mut course = example();
    let words = stock::words();
    let run = run_of(&course, "tv-2026-001");
    let drill = course.drill("flush").unwrap().clone();
    let old = Kit::of(&course, &drill, &course.rigs["engine-7"], &words).unwrap();
    let files = kept_files(&course, &drill).unwrap();
    assert_eq!(files.len(), 1 + course.rigs.len());
    // The drill is changed: what was worth three points is worth one.
    let changed = course.drills.iter_mut().find(|drill| drill.id == "flush").unwrap();
    changed.revision += 1;
    changed.steps.iter_mut().for_each(|step| step.weight = step.weight.min(1));
    let mut sheet = run;
    let short = |hash: &str| Some(short_revision(hash).to_owned());
    sheet.drill_revision = short(old.drill_revision());
    sheet.rig_revision = short(old.rig_revision());
    // Nobody kept it: refused, with both revisions named.
    let (given, found) = read(&course, &json(&sheet, None).to_string(), "run.json");
    assert!(given.is_empty());
    assert_eq!(codes(&found), [Code::OtherRevision]);
    let said = drillwright::findings::printed(&found[0], &Sources::new(), &words).says;
    assert!(said.contains(short_revision(old.drill_revision())), "{said}");
    assert!(said.contains("revision 3 of"), "{said}");
    // The run carries its kit.
    let carrying = json(&sheet, Some(old.data()));
    let (given, found) = read(&course, &carrying.to_string(), "run.json");
    assert_eq!(found, []);
    assert!(given[0].carried);
    assert_eq!(score(&given[0].kit, &given[0].sheet), score(&old, &sheet));
    // One weight changed in the kit that it carries, and it is another revision.
    let mut forged = carrying.clone();
    forged["kit"]["drill"]["steps"][0]["weight"] = 3.into();
    let (given, found) = read(&course, &forged.to_string(), "run.json");
    assert!(given.is_empty());
    assert_eq!(codes(&found), [Code::OtherRevision]);
    // A kit says nothing without the revisions that stand on the paper.
    let mut nameless = carrying;
    nameless.as_object_mut().unwrap().remove("drill-revision");
    let found = read(&course, &nameless.to_string(), "run.json").1;
    assert_eq!(codes(&found), [Code::MissingField]);
    // The module keeps it.
    for text in files.values() {
        let kept = drillwright::authoring::kept_file(text, &words).unwrap();
        course.kept.drills.extend(kept.drills);
        course.kept.rigs.extend(kept.rigs);
    }
    let (given, found) = read(&course, &json(&sheet, None).to_string(), "run.json");
    assert_eq!(found, []);
    assert!(!given[0].carried);
    assert_eq!(score(&given[0].kit, &given[0].sheet), score(&old, &sheet));
    // What was kept and changed since is no revision.
    let broken = files.values().next().unwrap().replace("\"weight\":1", "\"weight\":2");
    assert!(drillwright::authoring::kept_file(&broken, &words).is_err());
}

#[test]
fn each_of_a_crew_has_a_result_and_the_crew_another() {
    let mut course = example();
    let words = stock::words();
    let drill = course.drills.iter_mut().find(|drill| drill.id == "flush").unwrap();
    drill.roles.iter_mut().find(|role| role.id == "nozzle").unwrap().scored = true;
    let step = drill.steps.iter_mut().find(|step| step.id == "freeze").unwrap();
    step.role = "nozzle".into();
    let mut value = json(&run_of(&course, "tv-2026-001"), None);
    value["candidate"] = serde_json::json!({"operator": "moss", "nozzle": "heather"});
    value["attempt"] = serde_json::json!({"operator": "1", "nozzle": "2"});
    // The second try is the nozzle's, and so is the lesson.
    value["remediation"] =
        serde_json::json!({"what": "Words again.", "by": "willow", "on": "2026-11-14"});
    value.as_object_mut().unwrap().remove("role");
    // Two hold the nozzle where the line carries air; one of them is scored.
    value["crew"] = serde_json::json!({"nozzle": "sorrel", "officer": "willow"});
    let scored = |value: &Value| -> (Vec<Given>, Vec<Verdict>) {
        let (given, found) = read(&course, &value.to_string(), "run.json");
        assert_eq!(found, []);
        // The operator first.
        let given: Vec<Given> = given.into_iter().rev().collect();
        let verdicts = given.iter().map(|one| score(&one.kit, &one.sheet)).collect();
        (given, verdicts)
    };
    let (given, verdicts) = scored(&value);
    assert_eq!((given[0].sheet.attempt, given[1].sheet.attempt), (1, 2));
    assert_eq!(given[1].sheet.crew["operator"].0, ["moss"]);
    assert_eq!(by_run(&given, |one| &one.sheet).len(), 1);
    let of = |verdicts: &[Verdict]| {
        let sheets = given.iter().map(|one| &one.sheet);
        let all: Vec<_> = sheets.zip(verdicts).collect();
        crew(&given[0].kit, &all).unwrap()
    };
    assert_eq!(of(&verdicts).outcome, Outcome::Met);
    let points = (verdicts[0].earned + verdicts[1].earned, of(&verdicts).possible);
    assert_eq!((of(&verdicts).earned, points.1), (points.0, points.0 + 1));
    // What the nozzle misses is not the operator's, and it is the crew's.
    value["marks"]["freeze"] = "not done".into();
    let (_, after) = scored(&value);
    assert_eq!(after[0].outcome, verdicts[0].outcome);
    assert_eq!(after[0].lines, verdicts[0].lines);
    assert_eq!(after[1].outcome, Outcome::NotMet);
    let crew = of(&after);
    assert_eq!(crew.outcome, Outcome::NotMet);
    assert!(crew.reason.contains("Nozzle"), "{}", crew.reason);
    assert!(words.find("scoring.crew.not-met").is_some());
}

#[test]
fn a_chain_has_a_result_for_each_drill_and_none_of_its_own() {
    let course = example();
    let words = stock::words();
    let startup = json(&run_of(&course, "tv-2026-002"), None);
    let flush = json(&run_of(&course, "tv-2026-001"), None);
    let mut chain = startup.clone();
    let head = chain.as_object_mut().unwrap();
    head.insert("chain".into(), "whole-evolution".into());
    let own = ["drill", "marks", "criticals", "readings", "measures", "cues", "happened"];
    for field in own {
        head.remove(field);
    }
    let part = |run: &Value| {
        let own = own.iter().filter(|field| !run[**field].is_null());
        let fields = own.map(|field| ((*field).to_owned(), run[*field].clone()));
        Value::Object(fields.collect())
    };
    head.insert("drills".into(), Value::Array(vec![part(&startup), part(&flush)]));
    let (given, found) = read(&course, &chain.to_string(), "run.json");
    assert_eq!(found, []);
    let verdicts: Vec<Verdict> =
        given.iter().map(|one| score(&one.kit, &one.sheet)).collect();
    let all: Vec<&Verdict> = verdicts.iter().collect();
    let titles =
        course.drills.iter().map(|d| (d.id.as_str(), d.title.as_str())).collect();
    let told = results(&course.chains[0], "tv-2026-002", &all, &titles, &words);
    let outcomes: Vec<Option<Outcome>> =
        told.drills.iter().map(|link| link.outcome).collect();
    let (met, not_met) = (Some(Outcome::Met), Some(Outcome::NotMet));
    assert_eq!(outcomes, [not_met, None, met, None, None]);
    // A drill that is no part of the chain is told.
    chain["drills"][1]["drill"] = "totals".into();
    let found = read(&course, &chain.to_string(), "run.json").1;
    assert!(codes(&found).contains(&Code::UnknownId), "{found:?}");
}

#[test]
fn what_changed_between_two_revisions_is_told_part_by_part() {
    let (old, mut course) = (example(), example());
    let words = stock::words();
    let drill = course.drills.iter_mut().find(|drill| drill.id == "flush").unwrap();
    drill.steps.iter_mut().find(|step| step.id == "air-off").unwrap().weight = 1;
    drill.steps.retain(|step| step.id != "freeze");
    drill.criticals[0].reason = "Another reason.".into();
    drill.attempts.most = 9;
    course.rigs.get_mut("engine-7").unwrap().outlets[0].length =
        Some(super::fixture::q("150 ft"));
    let kept = |course: &Course| Compared::of(course).unwrap();
    let changes = compare(&kept(&old), &kept(&course), &words);
    let told: Vec<(Part, &str)> =
        changes.iter().map(|change| (change.part, change.what.as_str())).collect();
    let first = course.drill("flush").unwrap().criticals[0].id.clone();
    let outlet = course.rigs["engine-7"].outlets[0].id.clone();
    assert_eq!(
        told,
        [
            (Part::Steps, "steps, air-off, weight"),
            (Part::Steps, "steps, freeze"),
            (Part::Criticals, format!("criticals, {first}, reason").as_str()),
            (Part::Standards, "attempts, most"),
            (Part::Figures, format!("outlets, {outlet}, length").as_str()),
        ]
    );
    assert_eq!(changes[1].new, None);
    assert_eq!(compare(&kept(&old), &kept(&old), &words), []);
    let gone = compare(&kept(&old), &Compared::default(), &words);
    assert_eq!(
        gone.len(),
        old.drills.len() + old.rigs.len() + old.concentrates.len() + old.local.len()
    );
    assert!(gone.iter().all(|change| change.part == Part::Whole));
}

#[test]
fn compare_tells_of_concentrates_and_of_who_permits_what() {
    let (old, mut course) = (example(), example());
    let words = stock::words();
    let id = old.concentrates.keys().next().unwrap().clone();
    let one = course.concentrates.get_mut(&id).unwrap();
    one.fluorine = Fluorine::Added;
    one.evidence.clear();
    one.permitted = None;
    one.allowed[0].to = super::fixture::q("0.9 %");
    course.local[0].decision = Decision::NotDecidedYet;
    let kept = |course: &Course| Compared::of(course).unwrap();
    let changes = compare(&kept(&old), &kept(&course), &words);
    let of = |part: Part, what: &str| {
        let found = changes.iter().filter(|one| one.part == part);
        found.filter(|one| one.what.starts_with(what)).count()
    };
    assert_eq!(of(Part::Permissions, "fluorine"), 1, "{changes:#?}");
    assert!(of(Part::Permissions, "evidence") >= 1);
    assert!(of(Part::Permissions, "training-permitted") >= 1);
    assert!(of(Part::Figures, "allowed") >= 1);
    assert!(of(Part::Permissions, "decision") >= 1);
    let named = format!("concentrate {id}");
    let about = |one: &&drillwright::scoring::Change| one.of.contains(&named);
    assert!(changes.iter().filter(about).count() >= 4);
    // Each is told once, and not again with every rig that carries it.
    assert!(changes.iter().all(|one| !one.what.starts_with("agents")));
}

#[test]
fn marks_are_written_as_they_are_said() {
    let course = example();
    let mut run = run_of(&course, "tv-2026-001");
    run.marks.insert("freeze".into(), Mark::NotApplicable);
    assert_eq!(json(&run, None)["marks"]["freeze"], "not applicable");
}
