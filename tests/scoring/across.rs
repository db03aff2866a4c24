//! What the sheets of one run say of each other: posts, several evaluators, a crew, and a run that
//! says that it completes another one.

use drillwright::course::{CriticalMark, Holders, Mode, RunSheet};
use drillwright::scoring::{
    Kit, Outcome, Run, Verdict, crew, jointly, runs_on, score_all,
};
use drillwright::stock;

use super::example::example;
use super::sheets::{honest, in_mode};

fn kit(drill: &str) -> Kit {
    let (course, words) = (example(), stock::words());
    let drill = course.drill(drill).unwrap();
    let rig = course.rigs.values().find(|rig| runs_on(rig, drill)).unwrap();
    Kit::of(&course, drill, rig, &words).unwrap()
}

fn together(kit: &Kit, sheets: &[&RunSheet]) -> Vec<Verdict> {
    let runs: Vec<Run<'_>> = sheets.iter().map(|sheet| Run::of(kit, sheet)).collect();
    score_all(&runs)
}

fn outcomes(kit: &Kit, sheets: &[&RunSheet]) -> Vec<Outcome> {
    together(kit, sheets).iter().map(|verdict| verdict.outcome).collect()
}

fn hold(sheet: &mut RunSheet, role: &str, who: &[&str]) {
    let who = who.iter().map(|one| (*one).to_owned()).collect();
    sheet.crew.insert(role.into(), Holders(who));
}

/// The operator and the hydrant crew of one run, each on a sheet of its own, that agree.
fn both(kit: &Kit) -> [RunSheet; 2] {
    let mut operator = honest(kit, "operator", "crosslay-1");
    hold(&mut operator, "nozzle", &["birch", "oak"]);
    hold(&mut operator, "hydrant", &["dogwood"]);
    let mut hydrant = honest(kit, "hydrant", "crosslay-1");
    hydrant.candidate = "dogwood".into();
    hydrant.crew = operator.crew.clone();
    hydrant.crew.remove("hydrant");
    hold(&mut hydrant, "operator", &["ash"]);
    [operator, hydrant]
}

type Change = fn(&mut RunSheet);

#[test]
fn rule_26_one_person_has_one_post_on_all_sheets_of_a_run() {
    let kit = kit("supply-change");
    let [operator, hydrant] = both(&kit);
    let met = [Outcome::Met, Outcome::Met];
    assert_eq!(outcomes(&kit, &[&operator, &hydrant]), met);
    let cases: [(&str, Change); 6] = [
        ("candidate of both", |sheet| {
            sheet.candidate = "ash".into();
            hold(sheet, "operator", &["gorse"]);
        }),
        ("another operator", |sheet| hold(sheet, "operator", &["gorse"])),
        ("another candidate", |sheet| sheet.candidate = "gorse".into()),
        ("evaluated from the nozzle", |sheet| {
            sheet.evaluator.person = "birch".into();
            hold(sheet, "nozzle", &["gorse", "oak"]);
        }),
        ("safety officer from the nozzle", |sheet| {
            sheet.safety_officer = "oak".into();
            hold(sheet, "nozzle", &["birch", "gorse"]);
        }),
        ("evaluator as safety officer", |sheet| {
            sheet.evaluator.person = "hazel".into();
            sheet.safety_officer = "cedar".into();
        }),
    ];
    for (name, change) in cases {
        let mut other = hydrant.clone();
        change(&mut other);
        for sheets in [[&operator, &other], [&other, &operator]] {
            let open = [Outcome::Incomplete, Outcome::Incomplete];
            assert_eq!(outcomes(&kit, &sheets), open, "{name}");
        }
        // What was seen is seen, whoever stood where.
        let mut act = other.clone();
        act.unsafe_acts.push("gear-off".into());
        act.happened.insert("gear-off".into(), "No gloves at the hydrant.".into());
        assert_eq!(outcomes(&kit, &[&operator, &act])[1], Outcome::NotMet, "{name}");
        // In a run of another name anybody may stand anywhere.
        (other.id, other.performed_at) = ("run-2".into(), "2026-11-14 13:20".into());
        assert_eq!(outcomes(&kit, &[&operator, &other]), met, "{name}");
    }
    // Who speaks the written orders may evaluate: the drill says that this role does no more.
    let mut spoken = hydrant;
    spoken.evaluator.person = operator.crew["officer"].0[0].clone();
    assert_eq!(outcomes(&kit, &[&operator, &spoken]), met);
}

#[test]
fn rule_34_any_of_three_tells_who_stood_at_work() {
    let kit = kit("flush");
    let first = honest(&kit, "operator", "crosslay-1");
    let by = |who: &str| {
        let mut sheet = first.clone();
        sheet.evaluator.person = who.into();
        sheet
    };
    let (second, mut third) = (by("hazel"), by("maple"));
    let joint = |sheets: &[&RunSheet]| {
        let verdicts = together(&kit, sheets);
        let seen: Vec<_> = sheets.iter().copied().zip(&verdicts).collect();
        jointly(&seen, kit.words()).unwrap()
    };
    assert_eq!(joint(&[&first, &second, &third]).outcome, Outcome::Met);
    hold(&mut third, "nozzle", &["hazel", "oak"]);
    for sheets in [[&first, &second, &third], [&third, &first, &second]] {
        let joint = joint(&sheets);
        assert_eq!(joint.outcome, Outcome::Incomplete);
        assert_eq!(joint.differences.len(), 1, "{:?}", joint.differences);
    }
    // One run is one try.
    let mut again = by("hazel");
    again.attempt = 2;
    assert_eq!(joint(&[&first, &again]).outcome, Outcome::Incomplete);
}

#[test]
fn rule_34_a_crew_is_not_met_where_who_watched_one_of_it_differ() {
    let kit = kit("supply-change");
    let [operator, hydrant] = both(&kit);
    let of = |other: &RunSheet| {
        let sheets = [&operator, &hydrant, other];
        let verdicts = together(&kit, &sheets);
        assert_eq!(verdicts[2].outcome, Outcome::Met, "{}", verdicts[2].reason);
        let seen: Vec<_> = sheets.into_iter().zip(&verdicts).collect();
        crew(&kit, &seen).unwrap().outcome
    };
    let mut second = operator.clone();
    second.evaluator.person = "hazel".into();
    assert_eq!(of(&second), Outcome::Met);
    // Each met, and not of one run.
    second.outlet = "crosslay-2".into();
    assert_eq!(of(&second), Outcome::Incomplete);
}

#[test]
fn rules_23_and_30_nothing_is_hidden_behind_a_run_that_completes_another() {
    let kit = kit("flush");
    let whole = honest(&kit, "operator", "crosslay-1");
    let mut failed = whole.clone();
    failed.criticals.insert("discharge-not-agreed".into(), CriticalMark::Yes);
    failed.happened.insert("discharge-not-agreed".into(), "The drain was open.".into());
    let mut again = whole;
    again.id = "run-2".into();
    // At the minute of the failed run, and some of its own: neither takes the act away.
    for completes in ["run-1", "run-7"] {
        for at in ["2026-11-14 10:20", "2026-11-14 10:21"] {
            again.completes = Some(completes.into());
            again.performed_at = at.into();
            for sheets in [[&failed, &again], [&again, &failed]] {
                let mut found = outcomes(&kit, &sheets);
                found.sort_by_key(|outcome| *outcome != Outcome::NotMet);
                assert_eq!(found[0], Outcome::NotMet, "{completes} {at}");
                assert_ne!(found[1], Outcome::Met, "{completes} {at}");
            }
        }
    }
}

/// A part counts for what its run came to, and that of a run that two evaluators see otherwise is
/// nothing.
#[test]
fn rules_23_and_34_a_part_on_which_evaluators_differ_completes_nothing() {
    let kit = kit("startup");
    let part = |id: &str, at: &str, cue: &str| {
        let mut sheet = honest(&kit, "operator", "crosslay-1");
        (sheet.id, sheet.performed_at) = (id.into(), at.into());
        let mark = drillwright::course::CueMark::NotGiven;
        sheet.cues.insert(cue.into(), mark);
        for step in &kit.drill().steps {
            if step.cue.as_deref() == Some(cue) {
                sheet.marks.remove(&step.id);
                let measures = kit.drill().measures.iter();
                for one in measures.filter(|one| one.step == step.id) {
                    sheet.measures.remove(&one.id);
                }
            }
        }
        sheet
    };
    let first = part("part-1", "2026-11-14 10:20", "low-mark");
    let mut second = part("part-2", "2026-11-14 11:40", "foam-lost");
    second.completes = Some("part-1".into());
    assert_eq!(outcomes(&kit, &[&first, &second])[1], Outcome::Met);
    let mut other = first.clone();
    other.evaluator.person = "hazel".into();
    assert_eq!(outcomes(&kit, &[&first, &other, &second])[2], Outcome::Met);
    let act = "brake-and-chocks";
    other.criticals.insert(act.into(), CriticalMark::Yes);
    other.happened.insert(act.into(), "The chocks lay beside the wheel.".into());
    let found = outcomes(&kit, &[&first, &other, &second]);
    assert_eq!(found[..2], [Outcome::MetInPart, Outcome::NotMet]);
    assert_ne!(found[2], Outcome::Met);
    // Nor where each is met in part, and in another mode.
    let mut apart = first.clone();
    apart.evaluator.person = "hazel".into();
    in_mode(&kit, &mut apart, Mode::PlainWater);
    assert_ne!(outcomes(&kit, &[&first, &apart, &second])[2], Outcome::Met);
}
