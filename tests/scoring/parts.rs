//! Two runs of one evaluation, and the gate that keeps what may hold fluorine in its tank.

use drillwright::course::{
    CueMark, Eductor, Fluorine, Mark, Mode, RunSheet, RunUse, TankHistory,
};
use drillwright::scoring::{
    Kit, KitData, Outcome, Run, Verdict, score, score_all, short_revision,
};
use drillwright::stock;

use super::sheets::{honest, in_mode};
use super::table::kits;

type Change = fn(&mut RunSheet);

fn startup() -> Kit {
    kits()
        .into_iter()
        .map(|(kit, _)| kit)
        .find(|kit| kit.drill().id == "startup")
        .unwrap()
}

/// The startup on Engine 7, with a cue left out: it shows all but what answers the cue.
fn without_cue(kit: &Kit, id: &str, at: &str, cue: &str) -> RunSheet {
    let mut sheet = honest(kit, "operator", "crosslay-1");
    (sheet.id, sheet.performed_at) = (id.into(), format!("{at} 10:20"));
    sheet.cues.insert(cue.into(), CueMark::NotGiven);
    let steps = kit.drill().steps.iter();
    for step in steps.filter(|step| step.cue.as_deref() == Some(cue)) {
        sheet.marks.remove(&step.id);
        for measure in kit.drill().measures.iter().filter(|one| one.step == step.id) {
            sheet.measures.remove(&measure.id);
        }
    }
    sheet
}

fn both(kit: &Kit, first: &RunSheet, second: &RunSheet) -> [Verdict; 2] {
    let runs = [Run::of(kit, first), Run::of(kit, second)];
    score_all(&runs).try_into().unwrap()
}

#[test]
#[expect(clippy::too_many_lines, reason = "each way in which two runs are not one")]
fn rules_13_and_23_two_parts_of_one_evaluation_add_up_and_no_others_do() {
    let kit = startup();
    let cues: Vec<&str> = kit.drill().cues.iter().map(|cue| cue.id.as_str()).collect();
    let [one, two] = cues.as_slice() else { panic!("{cues:?}") };
    let first = without_cue(&kit, "part-1", "2026-11-14", one);
    // Later on the same day.
    let mut second = without_cue(&kit, "part-2", "2026-11-14", two);
    second.performed_at = "2026-11-14 11:40".into();
    // Nobody said that they belong together.
    for verdict in both(&kit, &first, &second) {
        assert_eq!(verdict.outcome, Outcome::MetInPart, "{}", verdict.reason);
        assert!(!verdict.uses_attempt);
    }
    second.completes = Some("part-1".into());
    let [part, whole] = both(&kit, &first, &second);
    assert_eq!(part.outcome, Outcome::MetInPart, "{}", part.reason);
    assert_eq!(whole.outcome, Outcome::Met, "{:#?}", whole.lines);
    assert!(
        whole.uses_attempt
            && whole.not_shown.is_empty()
            && whole.reason.contains("part-1")
    );
    // In whatever order they were handed in, and not by itself.
    let runs = [Run::of(&kit, &second), Run::of(&kit, &first)];
    assert_eq!(score_all(&runs)[0].outcome, Outcome::Met);
    assert_eq!(score(&kit, &second).outcome, Outcome::MetInPart);
    let wrong: [(&str, Change); 11] = [
        ("another evaluator", |sheet| sheet.evaluator.person = "rowan".into()),
        ("another candidate", |sheet| sheet.candidate = "fir".into()),
        ("another try", |sheet| sheet.attempt = 2),
        ("another run", |sheet| sheet.completes = Some("part-9".into())),
        ("itself", |sheet| sheet.completes = Some("part-2".into())),
        ("before it", |sheet| sheet.performed_at = "2026-11-13 10:00".into()),
        ("another day", |sheet| sheet.performed_at = "2026-11-15 10:00".into()),
        ("another line", |sheet| sheet.outlet = "crosslay-3".into()),
        ("an act seen", |sheet| sheet.unsafe_acts = vec!["gear-off".into()]),
        ("practice", |sheet| sheet.use_ = RunUse::Practice),
        ("a step that decides was not seen", |sheet| {
            sheet.marks.insert("foam-confirmed".into(), Mark::NotSeen);
        }),
    ];
    for (name, change) in wrong {
        let mut other = second.clone();
        change(&mut other);
        let [_, verdict] = both(&kit, &first, &other);
        assert_ne!(verdict.outcome, Outcome::Met, "{name}: {}", verdict.reason);
    }
    // The same part twice shows no more than once.
    let mut again = without_cue(&kit, "part-2", "2026-11-14", one);
    again.completes = Some("part-1".into());
    assert_eq!(both(&kit, &first, &again)[1].outcome, Outcome::MetInPart);
    // Water alone shows nothing that foam alone shows.
    let mut water = second.clone();
    in_mode(&kit, &mut water, Mode::PlainWater);
    let foam_lost =
        |sheet: &RunSheet| sheet.cues.get("foam-lost") == Some(&CueMark::NotGiven);
    let lost = if foam_lost(&first) { one } else { two };
    let lost = without_cue(&kit, "part-1", "2026-11-14", lost);
    assert!(foam_lost(&lost));
    assert_eq!(both(&kit, &lost, &water)[1].outcome, Outcome::MetInPart);
    let mut wet = first.clone();
    in_mode(&kit, &mut wet, Mode::PlainWater);
    assert_eq!(both(&kit, &wet, &water)[1].outcome, Outcome::MetInPart);
    // And an act seen in the first part is none that the second one mends.
    let mut seen = first.clone();
    seen.unsafe_acts = vec!["gear-off".into()];
    seen.happened.insert("gear-off".into(), "Gloves off at the panel.".into());
    assert_ne!(both(&kit, &seen, &second)[1].outcome, Outcome::Met);
}

#[test]
#[expect(
    clippy::too_many_lines,
    clippy::type_complexity,
    reason = "each thing not known"
)]
fn rule_25_nothing_is_discharged_of_which_nobody_knows_what_it_holds() {
    let kit = startup();
    let sheet = honest(&kit, "operator", "crosslay-1");
    let with = |change: fn(&mut KitData)| {
        let mut data = kit.data().clone();
        change(&mut data);
        Kit::new(data).unwrap()
    };
    let refused = |kit: &Kit, sheet: &RunSheet| {
        let mut sheet = sheet.clone();
        (sheet.rig_revision, sheet.drill_revision) = (
            Some(short_revision(kit.rig_revision()).to_owned()),
            Some(short_revision(kit.drill_revision()).to_owned()),
        );
        score(kit, &sheet).outcome == Outcome::Refused
    };
    assert!(!refused(&with(|_| ()), &sheet));
    let cases: [(&str, fn(&mut KitData)); 8] = [
        ("added", |data| data.rig.agents[0].fluorine = Fluorine::Added),
        ("not known", |data| data.rig.agents[0].fluorine = Fluorine::NotKnown),
        ("no evidence", |data| data.rig.agents[0].evidence.clear()),
        ("nobody permits it", |data| data.rig.agents[0].permitted = None),
        ("what the tank held", |data| {
            for tank in &mut data.rig.tanks {
                tank.history = TankHistory::NotKnown;
            }
        }),
        ("no card of the product", |data| data.rig.agents.clear()),
        ("pails of which nobody says what they hold", |data| {
            let eductor = serde_json::json!({
                "eductor": "e", "flow": "95 gpm", "inlet": "200 psi", "back-pressure": "65 %",
            });
            let eductor: Eductor = serde_json::from_value(eductor).unwrap();
            data.rig.eductors = vec![eductor];
            data.rig.tanks.retain(|tank| tank.concentrate.is_none());
        }),
        ("pails of another product", |data| {
            let mut other = data.rig.agents[0].clone();
            (other.id, other.fluorine) = ("other".into(), Fluorine::NotKnown);
            data.rig.agents.push(other);
            let eductor = serde_json::json!({
                "eductor": "e", "flow": "95 gpm", "inlet": "200 psi", "back-pressure": "65 %",
                "product": "other",
            });
            let eductor: Eductor = serde_json::from_value(eductor).unwrap();
            data.rig.eductors = vec![eductor];
        }),
    ];
    let later: [(&str, fn(&mut KitData)); 2] = [
        ("evidence that was read after the run", |data| {
            for one in &mut data.rig.agents[0].evidence {
                one.on = "2026-11-15".into();
            }
        }),
        ("permitted after the run", |data| {
            data.rig.agents[0].permitted.as_mut().unwrap().on = "2026-11-15".into();
        }),
    ];
    for (name, change) in cases.into_iter().chain(later) {
        let other = with(change);
        assert!(refused(&other, &sheet), "{name}");
        let mut water = sheet.clone();
        in_mode(&other, &mut water, Mode::PlainWater);
        assert!(!refused(&other, &water), "{name}, with plain water");
    }
    // Pails whose product is written, with all that speaks for it, are as good as a tank.
    let told = with(|data| {
        let eductor = serde_json::json!({
            "eductor": "e", "flow": "95 gpm", "inlet": "200 psi", "back-pressure": "65 %",
            "product": data.rig.agents[0].id,
        });
        let eductor: Eductor = serde_json::from_value(eductor).unwrap();
        data.rig.eductors = vec![eductor];
    });
    assert!(!refused(&told, &sheet));
    // On the very day, and where an older paper stands beside a newer one, it was permitted.
    let same_day = with(|data| {
        let agent = &mut data.rig.agents[0];
        agent.permitted.as_mut().unwrap().on = "2026-11-14".into();
        let mut newer = agent.evidence[0].clone();
        newer.on = "2026-11-20".into();
        agent.evidence.push(newer);
    });
    assert!(!refused(&same_day, &sheet));
}

/// Whatever was said last before the act counts, a correction of one's own too: the sheet has one
/// value for it, and says so where it is written (rule 19).
#[test]
fn rule_19_the_sheet_asks_for_what_was_said_last() {
    let words = stock::words();
    for key in ["sheet.label.measures", "live.numbers"] {
        let text = words.get(key);
        assert!(
            text.contains("last before the act") && text.contains("prompt"),
            "{text}"
        );
    }
}

/// Five criticals of its own at most, and the acts and limits of every drill beside them.
#[test]
fn rule_05_every_drill_has_its_own_criticals_and_those_of_every_drill() {
    for (kit, outlet) in kits() {
        let drill = kit.drill();
        assert!((1..=5).contains(&drill.criticals.len()), "{}", drill.id);
        let mut sheet = honest(&kit, "operator", outlet);
        for act in &kit.standard().unsafe_acts {
            sheet.unsafe_acts = vec![act.id.clone()];
            sheet.happened = [(act.id.clone(), "Seen at the panel.".to_owned())].into();
            assert_eq!(
                score(&kit, &sheet).outcome,
                Outcome::NotMet,
                "{} {}",
                drill.id,
                act.id
            );
        }
    }
}
