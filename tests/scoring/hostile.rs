//! Runs that are handed in together by somebody who wants them met, and drills that are written
//! by somebody who wants that: what must come out was decided by the rules before they were tried.

use std::sync::OnceLock;

use drillwright::course::{
    Bind, Course, CriticalMark, Drill, Expect, Holders, Mode, Remediation, RunSheet,
    RunUse,
};
use drillwright::scoring::{
    ForReading, Kit, Outcome, Rule, Run, Verdict, crew, jointly, runs_on, score,
    score_all,
};
use drillwright::stock;

use super::example::example;
use super::fixture::q;
use super::sheets::{honest, in_mode};

/// The kit of a drill of the district, changed as its author might.
fn written(drill: &str, change: impl FnOnce(&mut Drill)) -> (Kit, RunSheet) {
    static READ: OnceLock<Course> = OnceLock::new();
    let (course, words) = (READ.get_or_init(example), stock::words());
    let own = course.drill(drill).unwrap();
    let rig = course.rigs.values().find(|rig| runs_on(rig, own)).unwrap();
    let mut changed = own.clone();
    change(&mut changed);
    let kit = Kit::of(course, &changed.settled(), rig, &words).unwrap();
    let own = Kit::of(course, own, rig, &words).unwrap();
    let sheet = honest(&own, "operator", "crosslay-1");
    let mut sheet = RunSheet { drill_revision: None, ..sheet };
    sheet.rig_revision = None;
    (kit, sheet)
}

fn plain(drill: &str) -> (Kit, RunSheet) {
    written(drill, |_| ())
}

fn by(sheet: &RunSheet, evaluator: &str) -> RunSheet {
    let mut other = sheet.clone();
    other.evaluator.person = evaluator.into();
    other
}

fn happened(sheet: &RunSheet, critical: &str) -> RunSheet {
    let mut other = sheet.clone();
    other.criticals.insert(critical.into(), CriticalMark::Yes);
    other.happened.insert(critical.into(), "Seen from the pump.".into());
    other
}

fn together(kit: &Kit, sheets: &[&RunSheet]) -> Vec<Verdict> {
    let runs: Vec<Run<'_>> = sheets.iter().map(|sheet| Run::of(kit, sheet)).collect();
    score_all(&runs)
}

#[test]
fn rule_34_two_evaluators_who_differ_meet_nothing_for_a_crew() {
    let (kit, sheet) = plain("supply-change");
    let other = happened(&by(&sheet, "hazel"), "unbled");
    for sheets in [[&sheet, &other], [&other, &sheet]] {
        let verdicts = together(&kit, &sheets);
        let both: Vec<(&RunSheet, &Verdict)> =
            sheets.iter().copied().zip(&verdicts).collect();
        let joint = jointly(&both, kit.words()).unwrap();
        assert_eq!(joint.outcome, Outcome::Incomplete);
        let hydrant = honest(&kit, "hydrant", "crosslay-1");
        let of_hydrant = score(&kit, &hydrant);
        let all = [both[0], both[1], (&hydrant, &of_hydrant)];
        let crew = crew(&kit, &all).unwrap();
        assert_eq!(crew.outcome, Outcome::Incomplete, "{}", crew.reason);
        // Each member counts once.
        assert_eq!(crew.possible, verdicts[0].possible + of_hydrant.possible);
    }
    // Two sheets of one candidate alone make no crew.
    let same = by(&sheet, "hazel");
    let verdicts = together(&kit, &[&sheet, &same]);
    let all = [(&sheet, &verdicts[0]), (&same, &verdicts[1])];
    assert!(crew(&kit, &all).is_none());
}

#[test]
fn rule_34_sheets_that_are_not_of_one_run_agree_in_nothing() {
    let (kit, sheet) = plain("startup");
    let change = |change: fn(&mut RunSheet)| {
        let mut other = by(&sheet, "hazel");
        change(&mut other);
        let verdicts = together(&kit, &[&sheet, &other]);
        let both = [(&sheet, &verdicts[0]), (&other, &verdicts[1])];
        jointly(&both, kit.words()).unwrap()
    };
    assert_eq!(change(|_| ()).outcome, Outcome::Met);
    let cases: [(&str, Change); 6] = [
        ("at the nozzle", |other| {
            other.crew.get_mut("nozzle").unwrap().0[0] = "cedar".into();
        }),
        ("safety officer", |other| other.safety_officer = "cedar".into()),
        ("another line", |other| other.outlet = "crosslay-2".into()),
        ("another mode", |other| other.mode = Mode::Agent),
        ("practice", |other| other.use_ = RunUse::Practice),
        ("another day", |other| other.performed_at = "2026-11-15 10:20".into()),
    ];
    for (name, case) in cases {
        let joint = change(case);
        assert_eq!(joint.outcome, Outcome::Incomplete, "{name}");
        assert!(!joint.differences.is_empty(), "{name}");
    }
    // A few minutes between two watches are one run.
    let watch = change(|other| other.performed_at = "2026-11-14 10:24".into());
    assert_eq!(watch.outcome, Outcome::Met, "{:?}", watch.differences);
}

#[test]
fn rule_26_two_candidates_for_one_post_of_one_run() {
    let (kit, sheet) = plain("startup");
    let mut other = by(&sheet, "hazel");
    other.candidate = "maple".into();
    for verdict in together(&kit, &[&sheet, &other]) {
        assert_eq!(verdict.outcome, Outcome::Refused, "{}", verdict.reason);
        assert!(!verdict.counts && !verdict.uses_attempt);
    }
    // Under another name it is another run.
    other.id = "run-2".into();
    for verdict in together(&kit, &[&sheet, &other]) {
        assert_eq!(verdict.outcome, Outcome::Met, "{}", verdict.reason);
    }
}

#[test]
fn rule_30_a_second_try_is_not_hidden_under_the_name_of_the_first() {
    let (kit, sheet) = plain("startup");
    let failed = happened(&sheet, "brake-and-chocks");
    let mut again = by(&sheet, "hazel");
    again.performed_at = "2026-11-14 16:00".into();
    let verdicts = together(&kit, &[&failed, &again]);
    let both = [(&failed, &verdicts[0]), (&again, &verdicts[1])];
    assert_eq!(jointly(&both, kit.words()).unwrap().outcome, Outcome::Incomplete);
    // Nor under one's own: the same evaluator has one sheet of a run.
    let mut own = sheet.clone();
    own.performed_at = "2026-11-14 16:00".into();
    let verdicts = together(&kit, &[&failed, &own]);
    assert_eq!(verdicts[0].outcome, Outcome::NotMet);
    assert_eq!(verdicts[1].outcome, Outcome::Refused);
    // Nor by what it was declared as afterwards.
    let mut practice = failed.clone();
    practice.use_ = RunUse::Practice;
    let mut second = sheet;
    (second.id, second.attempt) = ("run-2".into(), 2);
    second.performed_at = "2026-11-20 10:00".into();
    // Practice is no try; its numbers were seen all the same.
    let verdicts = together(&kit, &[&practice, &second]);
    assert_eq!(verdicts[1].outcome, Outcome::Refused, "{}", verdicts[1].reason);
    let mut other = second.clone();
    other.attempt = 1;
    other.readings.insert("percent-ordered".into(), q("0.4 %"));
    other.measures.insert("percent-set".into(), q("0.4 %"));
    let verdicts = together(&kit, &[&practice, &other]);
    assert_eq!(verdicts[1].outcome, Outcome::Met, "{}", verdicts[1].reason);
    assert_eq!(together(&kit, &[&failed, &second])[1].outcome, Outcome::Refused);
}

#[test]
fn rule_28_the_third_try_is_not_for_whoever_gave_the_lesson() {
    let (kit, mut sheet) = plain("startup");
    sheet.attempt = 3;
    let lesson = |by: &str| {
        let (what, on) = ("The lesson once more.".into(), Some("2026-11-12".into()));
        Some(Remediation { what, by: Some(by.into()), on })
    };
    sheet.remediation = lesson("hazel");
    assert_eq!(score(&kit, &sheet).outcome, Outcome::Met);
    sheet.remediation = lesson("cedar");
    assert_eq!(score(&kit, &sheet).outcome, Outcome::Refused);
    sheet.attempt = 2;
    assert_eq!(score(&kit, &sheet).outcome, Outcome::Met);
}

#[test]
fn what_is_refused_never_counts() {
    let (kit, sheet) = plain("startup");
    let mut early = sheet.clone();
    early.performed_at = "2026-01-02 10:20".into();
    let mut older = sheet.clone();
    older.rules = Some(1);
    let mut often = sheet.clone();
    often.attempt = 99;
    for sheet in [&early, &older, &often] {
        let verdict = score(&kit, sheet);
        assert_eq!(verdict.outcome, Outcome::Refused, "{}", verdict.reason);
        let json = serde_json::to_value(&verdict).unwrap();
        assert_eq!(
            (json["counts"].as_bool(), json["uses_attempt"].as_bool()),
            (Some(false), Some(false))
        );
    }
    for why in [ForReading::UnknownKit, ForReading::NotPinned, ForReading::OlderRules] {
        let run = Run { reading: Some(why), ..Run::of(&kit, &sheet) };
        let verdict = score_all(&[run]).remove(0);
        assert_eq!(verdict.outcome, Outcome::Refused);
        assert!(verdict.for_reading && !verdict.counts && !verdict.uses_attempt);
        // An act that was seen stays seen, and gives no standing either.
        let act = happened(&sheet, "brake-and-chocks");
        let run = Run { reading: Some(why), ..Run::of(&kit, &act) };
        let verdict = score_all(&[run]).remove(0);
        assert_eq!((verdict.outcome, verdict.counts), (Outcome::NotMet, false));
    }
    assert!(score(&kit, &sheet).counts);
}

/// What somebody changes on a sheet.
type Change = fn(&mut RunSheet);

/// A drill written by somebody who wants its runs met.
type Wrong<'w> = (&'w str, &'w dyn Fn(&mut Drill));

/// Makes the minutes of a drill what its author wants them to be.
fn minutes(drill: &mut Drill, change: impl FnOnce(&mut Expect)) {
    let measure = drill.measures.iter_mut().find(|one| one.id == "minutes-told").unwrap();
    change(&mut measure.expect);
}

#[test]
fn rule_18_d_takes_no_authors_word_for_what_is_left() {
    let feed = |expect: &mut Expect, formula: &str, without: &[&str]| {
        let Expect::Formula(feed) = expect else { panic!("a formula") };
        feed.formula = formula.into();
        feed.with.retain(|name, _| !without.contains(&name.as_str()));
    };
    let wrong: [Wrong<'_>; 6] = [
        ("the foam alone", &|drill| {
            minutes(drill, |expect| feed(expect, "rig-minutes-left", &["plain-flow"]));
        }),
        ("a value of the author's", &|drill| {
            minutes(drill, |expect| *expect = Expect::Bound(Bind::Value(q("60 min"))));
        }),
        ("the whole tank", &|drill| {
            minutes(drill, |expect| {
                let Expect::Formula(feed) = expect else { panic!("a formula") };
                feed.with.insert("water".into(), Bind::Value(q("5000 gal")));
            });
        }),
        ("an edge that nothing is above", &|drill| {
            let mut all = drill.measures.iter_mut();
            let measure = all.find(|one| one.id == "minutes-told").unwrap();
            measure.tolerance.above = drillwright::course::Edge::Open;
        }),
        ("the machine's", &|drill| {
            let mut all = drill.measures.iter_mut();
            let measure = all.find(|one| one.id == "minutes-told").unwrap();
            measure.whose = drillwright::course::Whose::Machine;
        }),
        ("steps of ten minutes", &|drill| {
            let mut all = drill.measures.iter_mut();
            let measure = all.find(|one| one.id == "minutes-told").unwrap();
            measure.resolution = q("10 min");
        }),
    ];
    for drill in ["percent-change", "supply-change", "startup"] {
        for (name, change) in wrong {
            let (kit, mut sheet) = written(drill, change);
            sheet.measures.insert("minutes-told".into(), q("60 min"));
            let verdict = score(&kit, &sheet);
            let found = verdict.outcome;
            assert!(
                !matches!(found, Outcome::Met | Outcome::MetInPart),
                "{drill}, {name}: {}",
                verdict.reason
            );
            let told = verdict.of_rule(Rule::Limit).any(|line| line.subject == "minutes");
            assert!(told, "{drill}, {name}: {}", verdict.reason);
        }
    }
}

#[test]
fn rules_26_and_27_take_no_authors_word_for_who_works() {
    let nozzle = |change: fn(&mut drillwright::course::Role)| {
        move |drill: &mut Drill| {
            change(drill.roles.iter_mut().find(|role| role.id == "nozzle").unwrap());
        }
    };
    // Spoken, as its author says: the evaluator holds it all the same as a nozzle.
    let (kit, mut sheet) = written(
        "startup",
        nozzle(|role| {
            (role.scripted, role.with_air) = (true, None);
        }),
    );
    sheet.crew.insert("nozzle".into(), Holders(vec!["cedar".into()]));
    assert_eq!(score(&kit, &sheet).outcome, Outcome::Refused);
    sheet.crew.remove("nozzle");
    assert_eq!(score(&kit, &sheet).outcome, Outcome::Incomplete);
    // By nobody, or by one where the line carries air.
    for wanted in [0, 1] {
        let (kit, mut sheet) = match wanted {
            0 => written(
                "startup",
                nozzle(|role| {
                    (role.holders, role.with_air) = (0, Some(0));
                }),
            ),
            _ => written("startup", nozzle(|role| role.with_air = None)),
        };
        sheet.crew.insert("nozzle".into(), Holders(vec!["birch".into()]));
        assert_eq!(score(&kit, &sheet).outcome, Outcome::Incomplete, "{wanted}");
        sheet.crew.remove("nozzle");
        assert_eq!(score(&kit, &sheet).outcome, Outcome::Incomplete, "{wanted}");
    }
    for drill in ["refill", "totals"] {
        let (kit, mut sheet) = written(drill, |drill| {
            drill.roles.iter_mut().for_each(|role| role.scripted = true);
        });
        sheet.crew.insert("second-reader".into(), Holders(vec!["cedar".into()]));
        assert_eq!(score(&kit, &sheet).outcome, Outcome::Refused, "{drill}");
    }
}

#[test]
fn rule_18_takes_no_authors_word_for_what_a_value_is() {
    for (drill, measure, value) in [
        ("startup", "percent-set", "5 %"),
        ("percent-change", "percent-set", "5 %"),
        ("startup", "line-pressure", "400 psi"),
        ("percent-change", "pressure-held", "400 psi"),
        ("startup", "minutes-told", "60 min"),
    ] {
        let (kit, mut sheet) = written(drill, |drill| {
            for measure in &mut drill.measures {
                (measure.is, measure.critical, measure.limit) = (None, false, None);
            }
            drill.readings.iter_mut().for_each(|reading| reading.is = None);
        });
        sheet.measures.insert(measure.into(), q(value));
        assert_eq!(score(&kit, &sheet).outcome, Outcome::NotMet, "{drill} {measure}");
    }
}

#[test]
fn rule_22_an_author_makes_no_foam_of_water_and_nothing_of_a_walk() {
    let all =
        vec![Mode::WalkThrough, Mode::HandsOnDry, Mode::PlainWater, Mode::TrainingFoam];
    let (kit, mut sheet) = written("startup", |drill| {
        drill.modes.clone_from(&all);
        drill.met_in.clone_from(&all);
        drill.steps.iter_mut().for_each(|step| step.modes.clone_from(&all));
        drill.criticals.iter_mut().for_each(|one| one.modes.clone_from(&all));
        drill.cues.iter_mut().for_each(|cue| cue.modes.clone_from(&all));
    });
    in_mode(&kit, &mut sheet, Mode::TrainingFoam);
    assert_eq!(
        score(&kit, &sheet).outcome,
        Outcome::Met,
        "{}",
        score(&kit, &sheet).reason
    );
    for mode in [Mode::PlainWater, Mode::HandsOnDry, Mode::WalkThrough] {
        let mut sheet = sheet.clone();
        in_mode(&kit, &mut sheet, mode);
        let verdict = score(&kit, &sheet);
        let wanted = match mode {
            Mode::WalkThrough => Outcome::WalkedThrough,
            _ => Outcome::MetInPart,
        };
        assert_eq!(verdict.outcome, wanted, "{mode:?}: {}", verdict.reason);
    }
}

#[test]
fn a_pass_mark_of_nothing_is_none() {
    let (course, words) = (example(), stock::words());
    let drill = course.drill("startup").unwrap();
    let mut course = course.clone();
    course.module.pass_mark.as_mut().unwrap().value = q("0 %");
    let kit = Kit::of(&course, drill, &course.rigs["engine-7"], &words).unwrap();
    let (_, sheet) = plain("startup");
    assert_eq!(score(&kit, &sheet).outcome, Outcome::Incomplete);
}

#[test]
fn rule_18_f_is_not_silent_where_no_step_says_what_it_does() {
    let (kit, sheet) = written("startup", |drill| {
        drill.steps.iter_mut().for_each(|step| step.is = None);
        drill.criticals.retain(|one| one.id != "air-before-foam");
    });
    let mut sheet = sheet;
    sheet.criticals.remove("air-before-foam");
    let verdict = score(&kit, &sheet);
    assert_eq!(verdict.outcome, Outcome::MetInPart, "{}", verdict.reason);
    // With the steps alone the rule decides, whatever criticals the author wrote.
    let (kit, mut sheet) = written("startup", |drill| {
        drill.criticals.retain(|one| one.id != "air-before-foam");
    });
    sheet.criticals.remove("air-before-foam");
    assert_eq!(score(&kit, &sheet).outcome, Outcome::Met);
    sheet.marks.insert("foam-confirmed".into(), drillwright::course::Mark::NotDone);
    sheet.marks.insert("report".into(), drillwright::course::Mark::NotDone);
    assert_eq!(score(&kit, &sheet).outcome, Outcome::NotMet);
}
