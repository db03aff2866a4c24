//! Acts and limits on sheets whose drill, rig or revision nobody has, and what they leave open for the
//! other runs of the same person (rules 24, 31 and 34, and the guiding rule).

use drillwright::authoring::{Given, RunReader};
use drillwright::course::Course;
use drillwright::findings::Finding;
use drillwright::quantity::Day;
use drillwright::scoring::{
    Crew, KnownForms, Outcome, Run, Verdict, all_of, by_run, crew, score_all,
    short_revision, standard, written,
};
use drillwright::stock;
use drillwright::wire::revision;
use serde_json::{Value, json};

use super::example::example;
use super::handed::table;

/// The district with all kept that it has today, and its flush that was met, pinned.
fn district() -> (Course, Value) {
    let mut course = example();
    course.kept = all_of(&course).unwrap();
    let run = course.runs.iter().find(|run| run.id == "tv-2026-001").unwrap();
    let mut value = written(run, None, &[]).unwrap();
    let drill = standard(&course, course.drill("flush").unwrap()).revision().unwrap();
    let rig = revision(&course.rigs["engine-7"]).unwrap();
    value["drill-revision"] = short_revision(&drill).into();
    value["rig-revision"] = short_revision(&rig).into();
    (course, value)
}

fn handed(course: &Course, runs: &[Value]) -> (Vec<Verdict>, Vec<Finding>, Vec<Crew>) {
    read(course, &Value::Array(runs.to_vec()).to_string(), "runs.json")
}

fn read(
    course: &Course,
    text: &str,
    file: &str,
) -> (Vec<Verdict>, Vec<Finding>, Vec<Crew>) {
    let words = stock::words();
    let mut reader = RunReader::new(course, &words, Day::read("2027-12-31"));
    let (given, found) = reader.read(text, file);
    let runs: Vec<Run<'_>> = given.iter().map(Given::run).collect();
    let verdicts = score_all(&runs);
    let both: Vec<(&Given, &Verdict)> = given.iter().zip(&verdicts).collect();
    let groups = by_run(&both, |(given, _)| &given.sheet);
    let crews = groups.into_iter().filter_map(|group| {
        let seen: Vec<_> =
            group.iter().map(|(given, verdict)| (&given.sheet, *verdict)).collect();
        crew(&group[0].0.kit, &seen)
    });
    let crews = crews.collect();
    (verdicts, found, crews)
}

fn outcomes(course: &Course, runs: &[Value]) -> Vec<Outcome> {
    handed(course, runs).0.iter().map(|verdict| verdict.outcome).collect()
}

fn with(value: &Value, changes: &[(&str, Value)]) -> Value {
    let mut value = value.clone();
    for (field, to) in changes {
        match to {
            Value::Null => drop(value.as_object_mut().unwrap().remove(*field)),
            to => value[*field] = to.clone(),
        }
    }
    value
}

/// The critical of the drill that is marked first, seen.
fn act(value: &Value) -> Value {
    let mut value = value.clone();
    value["criticals"]["discharge-not-agreed"] = "yes".into();
    value["happened"] = json!({"discharge-not-agreed": "The drain stood open."});
    value
}

fn later(value: &Value) -> Value {
    let later = json!("2026-11-21 10:20");
    with(
        value,
        &[
            ("run", json!("tv-2026-099")),
            ("performed-at", later),
            ("entered-at", Value::Null),
        ],
    )
}

/// Heads that name what nobody has, in the ways in which they come.
fn unknown(value: &Value) -> Vec<(&'static str, Value)> {
    let of = |field: &str, to: &str| with(value, &[(field, json!(to))]);
    vec![
        ("no such drill revision", of("drill-revision", "deadbeef")),
        ("no such rig revision", of("rig-revision", "deadbeef")),
        ("no such rig", of("rig", "engine-9")),
        ("nor any near it", of("rig", "the red one")),
        ("a drill misspelled", of("drill", "flsh")),
        ("a drill that nothing is near", of("drill", "clearing of all lines")),
        ("no drill at all", with(value, &[("drill", Value::Null)])),
        ("no rig at all", with(value, &[("rig", Value::Null)])),
    ]
}

#[test]
fn rule_24_an_act_is_told_whatever_drill_rig_or_revision_is_named() {
    let (course, run) = district();
    assert_eq!(outcomes(&course, std::slice::from_ref(&run)), [Outcome::Met]);
    for (name, clean) in unknown(&run) {
        let (verdicts, found, _) = handed(&course, std::slice::from_ref(&clean));
        assert!(verdicts.is_empty() && !found.is_empty(), "{name}: nothing else is told");
        let seen = act(&clean);
        // From a list and from a table alike.
        let cells = table(&[&seen]);
        for (text, file) in [(seen.to_string(), "run.json"), (cells, "run.csv")] {
            let (verdicts, found, _) = read(&course, &text, file);
            assert!(!found.is_empty(), "{name}");
            let [verdict] = verdicts.as_slice() else { panic!("{name} in {file}") };
            assert_eq!(verdict.outcome, Outcome::NotMet, "{name}: {}", verdict.reason);
            assert!(verdict.uses_attempt && !verdict.counts, "{name}");
            // Nothing is shown under the name of what it was told by.
            let given = |field: &str| seen[field].as_str().unwrap_or_default();
            assert_eq!(verdict.drill, given("drill"), "{name}");
            assert_eq!(verdict.rig, given("rig"), "{name}");
            assert!(verdict.reason.contains("not agreed"), "{}", verdict.reason);
        }
        // A later first try of the same person, and another evaluator's clean sheet of the run.
        let after = outcomes(&course, &[seen.clone(), later(&run)]);
        let open = [Outcome::Incomplete, Outcome::Refused];
        assert!(after.len() == 2 && open.contains(&after[1]), "{name}: {after:?}");
        let earlier = outcomes(&course, &[later(&run), seen.clone()]);
        assert!(open.contains(&earlier[0]), "{name}: {earlier:?}");
        // Another person is not held to it.
        let other = with(&later(&run), &[("candidate", json!("bracken"))]);
        assert_eq!(outcomes(&course, &[seen, other])[1], Outcome::Met, "{name}");
    }
}

#[test]
fn an_act_under_a_name_that_its_drill_does_not_have_leaves_the_next_try_open() {
    let (course, run) = district();
    let mut seen = run.clone();
    seen["criticals"]["discharge-unagreed"] = "yes".into();
    let mut common = run.clone();
    common["unsafe-acts"] = json!(["gear-of"]);
    for seen in [seen, common] {
        let found = outcomes(&course, &[seen, later(&run)]);
        assert_eq!(found, [Outcome::Refused, Outcome::Incomplete]);
    }
}

#[test]
fn rule_18_a_limit_that_all_revisions_show_is_told_without_a_revision() {
    let mut course = example();
    course.kept = all_of(&course).unwrap();
    let run = course.runs.iter().find(|run| run.id == "tv-2026-002").unwrap();
    let mut value = written(run, None, &[]).unwrap();
    for mark in value["criticals"].as_object_mut().unwrap().values_mut() {
        *mark = "no".into();
    }
    value.as_object_mut().unwrap().remove("happened");
    value["measures"]["line-pressure"] = "400 psi".into();
    let (drill, rig) = {
        let drill =
            standard(&course, course.drill("startup").unwrap()).revision().unwrap();
        (drill, revision(&course.rigs["engine-7"]).unwrap())
    };
    let pinned = with(
        &value,
        &[
            ("drill-revision", json!(short_revision(&drill))),
            ("rig-revision", json!(short_revision(&rig))),
        ],
    );
    for without in
        [&["drill-revision"][..], &["rig-revision"], &["drill-revision", "rig-revision"]]
    {
        let nothing: Vec<(&str, Value)> =
            without.iter().map(|field| (*field, Value::Null)).collect();
        let (verdicts, ..) = handed(&course, &[with(&pinned, &nothing)]);
        assert_eq!(verdicts[0].outcome, Outcome::NotMet, "{without:?}");
        assert!(verdicts[0].reason.contains("400"), "{}", verdicts[0].reason);
        assert!(verdicts[0].uses_attempt);
    }
    // A card of before had another hose: by that one it was no limit, and nobody knows which.
    let mut before = course.rigs["engine-7"].clone();
    for outlet in &mut before.outlets {
        outlet.service_test = Some(super::fixture::q("600 psi"));
    }
    course.kept.rigs.insert(revision(&before).unwrap(), before);
    let unnamed = with(&pinned, &[("rig-revision", Value::Null)]);
    let (verdicts, ..) = handed(&course, &[unnamed]);
    assert_ne!(verdicts[0].outcome, Outcome::NotMet, "{}", verdicts[0].reason);
    let of_drill = with(&pinned, &[("drill-revision", Value::Null)]);
    assert_eq!(outcomes(&course, &[of_drill]), [Outcome::NotMet], "the card is named");
}

#[test]
fn rule_26_who_is_in_two_runs_at_one_minute_is_told() {
    let (course, run) = district();
    let told = |verdict: &Verdict| {
        verdict.lines.iter().any(|line| line.sentence.contains("at the same minute"))
    };
    let other = |changes: &[(&str, Value)]| {
        let mut other = with(&run, &[("run", json!("tv-2026-098"))]);
        other = with(&other, changes);
        handed(&course, &[run.clone(), other]).0
    };
    let someone = ("candidate", json!("bracken"));
    let evaluator = json!({"person": "willow", "qualification": "course",
                           "qualified-on": "2025-03-01", "relation": "other station"});
    let (minute, practice) = (json!("2026-11-14 10:21"), json!("practice"));
    // Told, and no more: a batch is typed in with one time.
    let said = other(std::slice::from_ref(&someone));
    assert!(said.iter().all(told), "one evaluator of two runs");
    assert_eq!(said[0].outcome, Outcome::Met);
    // The same candidate in another drill, before another evaluator.
    let totals = course.runs.iter().find(|run| run.drill == "totals").unwrap();
    let mut totals = written(totals, None, &[]).unwrap();
    let at = json!("2026-11-23 09:00");
    totals = with(&totals, &[("candidate", json!("moss")), ("performed-at", at.clone())]);
    let flush = with(
        &run,
        &[
            ("performed-at", at),
            ("entered-at", Value::Null),
            ("evaluator", evaluator.clone()),
        ],
    );
    // As if nothing had been printed, so that nobody names what these were made for.
    let unprinted = example();
    let nameless = [("drill-revision", Value::Null), ("rig-revision", Value::Null)];
    let both = [with(&flush, &nameless), with(&totals, &nameless)];
    let said = handed(&unprinted, &both).0;
    assert!(said.iter().all(told), "one candidate in two drills");
    // A minute later, practice, and another evaluator's run are none.
    let free = [
        vec![someone.clone(), ("performed-at", minute), ("entered-at", Value::Null)],
        vec![someone.clone(), ("use", practice)],
        vec![someone, ("evaluator", evaluator)],
    ];
    for changes in free {
        let said = other(&changes);
        assert!(!told(&said[0]) && said[0].outcome == Outcome::Met, "{changes:?}");
    }
}

#[test]
fn rule_41_a_form_that_cannot_be_one_is_told_without_its_forms_file() {
    let (course, run) = district();
    let words = stock::words();
    let form = |code: &str, forms: Option<KnownForms>| {
        let run = with(&run, &[("form", json!(code))]).to_string();
        let reader = RunReader::new(&course, &words, Day::read("2027-12-31"));
        let mut reader = match forms {
            Some(forms) => reader.with_forms(forms),
            None => reader,
        };
        let (given, found) = reader.read(&run, "run.json");
        let runs: Vec<Run<'_>> = given.iter().map(Given::run).collect();
        (score_all(&runs).remove(0), found.len())
    };
    let sound = drillwright::fingerprint::short_code(&[7; 32], 8);
    let mut wrong = sound.clone();
    let last = if wrong.pop() == Some('K') { 'M' } else { 'K' };
    wrong.push(last);
    for code in ["zzz", wrong.as_str()] {
        let (verdict, found) = form(code, None);
        assert_eq!((verdict.outcome, found), (Outcome::Refused, 1), "{code}");
    }
    let (verdict, _) = form(&sound, None);
    assert_eq!(verdict.outcome, Outcome::Incomplete, "{}", verdict.reason);
    assert!(verdict.reason.contains("not known here"), "{}", verdict.reason);
    let (verdict, found) = form(&sound, Some(KnownForms::of(&[])));
    assert_eq!((verdict.outcome, found), (Outcome::Refused, 1));
}

#[test]
fn rule_30_a_grant_is_an_officers() {
    let (mut course, run) = district();
    let grant = json!({"by": "willow", "why": "Away for a year after an injury."});
    let lesson = json!({"what": "The lesson.", "by": "alder", "on": "2026-11-13"});
    let fourth =
        with(&run, &[("attempt", json!(4)), ("granted", grant), ("remediation", lesson)]);
    let mut on = |officer: Option<bool>| {
        course.people.get_mut("willow").unwrap().officer = officer;
        let (verdicts, found, _) = handed(&course, std::slice::from_ref(&fourth));
        (verdicts[0].outcome, found.len())
    };
    assert_eq!(on(Some(true)), (Outcome::Met, 0));
    assert_eq!(on(Some(false)), (Outcome::Refused, 1));
    assert_eq!(on(None), (Outcome::Incomplete, 1));
}

#[test]
fn rule_30_nobody_gives_himself_the_lesson_before_a_retest() {
    let (course, run) = district();
    let retest = |by: Option<&str>| {
        let lesson = json!({"what": "The lesson.", "by": by, "on": "2026-11-13"});
        let run = with(&run, &[("attempt", json!(2)), ("remediation", lesson)]);
        outcomes(&course, &[run])
    };
    assert_eq!(retest(Some("willow")), [Outcome::Met]);
    assert_eq!(retest(Some("moss")), [Outcome::Incomplete]);
}

/// The crew of a supply change, the hydrant's try a second one.
#[test]
fn rule_29_a_lesson_of_one_of_a_crew_is_not_asked_of_the_other() {
    let course = example();
    let run = course.runs.iter().find(|run| run.drill == "supply-change").unwrap();
    let mut value = written(run, None, &[]).unwrap();
    let (operator, hydrant) = (run.candidate.clone(), run.crew["hydrant"].0[0].clone());
    value["candidate"] = json!({"operator": operator, "hydrant": hydrant});
    value["attempt"] = json!({"operator": 1, "hydrant": 2});
    value["crew"].as_object_mut().unwrap().remove("hydrant");
    value.as_object_mut().unwrap().remove("role");
    let day = run.performed_at.get(..8).unwrap().to_owned();
    let asked = |on: &str, attempts: Value| {
        let lesson = json!({"what": "Words again.", "by": "willow", "on": on});
        let run = with(&value, &[("remediation", lesson), ("attempt", attempts)]);
        let said = handed(&course, &[run]).0;
        let first = |line: &drillwright::scoring::Line| {
            line.sentence.contains("written as a first try")
        };
        said.iter().filter(|verdict| verdict.each().any(first)).count()
    };
    let before = format!("{day}01");
    assert_eq!(asked(&before, json!({"operator": 1, "hydrant": 2})), 0);
    assert_eq!(asked(&before, json!({"operator": 1, "hydrant": 1})), 2, "whose is it?");
}

/// Rules 4, 7 and 35: what the marks of another role say against a "no", where nobody is scored in it.
#[test]
fn rule_35_a_contradiction_of_a_role_without_a_candidate_leaves_the_crew_open() {
    let course = example();
    let run = course.runs.iter().find(|run| run.drill == "supply-change").unwrap();
    let mut value = written(run, None, &[]).unwrap();
    value["marks"]["call-water"] = "not done".into();
    value["marks"]["open-slowly"] = "done".into();
    value["criticals"]["hydrant-unasked"] = "no".into();
    let (verdicts, found, crews) = handed(&course, std::slice::from_ref(&value));
    let line = verdicts[0].about("hydrant-unasked").next().unwrap();
    assert!(line.sentence.contains("Did this happen?"), "{}", line.sentence);
    assert!(!found.is_empty(), "a located question");
    assert_eq!(crews[0].outcome, Outcome::Incomplete, "{}", crews[0].reason);
    // A second officer who saw it settles it for the crew as well.
    value["settled"] = json!({"hydrant-unasked":
        {"why": "The word was given by hand.", "second-officer": "willow"}});
    let (verdicts, ..) = handed(&course, &[value]);
    assert_eq!(verdicts[0].about("hydrant-unasked").count(), 0);
}

/// Practice counts nowhere, and a sheet that does not say so may be an evaluation.
#[test]
fn an_act_on_a_sheet_that_does_not_say_its_use_leaves_the_next_try_open() {
    let (course, run) = district();
    for use_ in [Value::Null, json!("practise")] {
        let mut seen = with(&act(&run), &[("use", use_)]);
        // Other numbers, because those of a run that came to a result are used up.
        seen["readings"]["percent-set"] = "0.4 %".into();
        let found = outcomes(&course, &[seen, later(&run)]);
        assert_eq!(found, [Outcome::NotMet, Outcome::Incomplete]);
    }
    let mut practice = with(&act(&run), &[("use", json!("practice"))]);
    practice["readings"]["percent-set"] = "0.4 %".into();
    assert_eq!(outcomes(&course, &[practice, later(&run)])[1], Outcome::Met);
}

/// A rig that gives air on other lines has a compressor, whatever its rear outlet has.
#[test]
fn a_line_without_air_is_told_from_a_rig_without_a_compressor() {
    let (course, words) = (example(), stock::words());
    let drill = course.drill("purge").unwrap();
    let kit = |rig: &str| {
        drillwright::scoring::Kit::of(&course, drill, &course.rigs[rig], &words).unwrap()
    };
    let on = |rig: &str, outlet: &str| {
        let kit = kit(rig);
        let mut sheet = super::sheets::blank_run(&kit, "operator");
        sheet.outlet = outlet.into();
        let found = drillwright::scoring::faults(&kit, &sheet);
        let told = found.iter().find(|one| one.key.ends_with("-lacks")).unwrap();
        (told.key, told.says(&words))
    };
    let (key, says) = on("engine-7", "rear-foam");
    assert_eq!(key, "line-lacks");
    assert!(!says.contains("this rig has none"), "{says}");
    assert_eq!(on("tender-3", "hand-line-1").0, "rig-lacks");
}
