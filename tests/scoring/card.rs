//! Rules 12, 17, 18 b, 18 f, 20, 21 and 28 where they rest on the rig's card, on labels, and on what
//! steps do to the air.

use drillwright::course::{
    Concentrate, Does, Link, Mark, Meaning, Mode, OrderSeen, PairSeen, RunSheet, Settled,
};
use drillwright::scoring::{Decision, Kit, Outcome, Rule, Verdict, faults, pairs, score};
use serde_json::json;

use super::fixture::{clean, data, kit, q, yard};
use super::sheets::{honest, in_mode};
use super::table;

fn changed(kit: &Kit, change: impl FnOnce(&mut RunSheet)) -> Verdict {
    let mut sheet = clean(kit);
    change(&mut sheet);
    score(kit, &sheet)
}

fn asked(kit: &Kit, change: impl FnOnce(&mut RunSheet)) -> Vec<&'static str> {
    let mut sheet = clean(kit);
    change(&mut sheet);
    let found = faults(kit, &sheet);
    assert!(found.iter().all(|fault| fault.asks), "{found:?}");
    found.into_iter().map(|fault| fault.key).collect()
}

fn agent(class: &str, allowed: &[(&str, &str, &str)]) -> Concentrate {
    let allowed: Vec<_> = allowed
        .iter()
        .map(|(fuel, from, to)| json!({"fuel": fuel, "from": from, "to": to}))
        .collect();
    serde_json::from_value(json!({
        "concentrate": "one", "title": "One (invented)", "class": class, "allowed": allowed,
        "density": "8.5 lb/gal", "containers": [], "fluorine-free": "yes", "training": "yes",
    }))
    .unwrap()
}

/// The yard on a rig that carries a concentrate.
fn carrying(agent: Concentrate) -> Kit {
    let mut data = data(yard(), true);
    data.rig.agents = vec![agent];
    Kit::new(data).unwrap()
}

fn fails(verdict: &Verdict, limit: &str) -> bool {
    let mut lines = verdict.of_rule(Rule::Limit);
    lines.any(|line| line.subject == limit && line.decision == Decision::Fails)
}

#[test]
fn rule_17_readings_that_disagree_are_asked_about_until_a_sentence_says_why() {
    let kit = kit(yard(), true);
    let lean = |sheet: &mut RunSheet| {
        sheet.readings.insert("foam".into(), q("2 gal"));
    };
    assert_eq!(asked(&kit, lean), ["readings-disagree"]);
    assert_eq!(changed(&kit, lean).outcome, Outcome::Incomplete);
    for (why, wanted) in [("The rig ran lean.", Outcome::Met), (" ", Outcome::Incomplete)]
    {
        let verdict = changed(&kit, |sheet| {
            lean(sheet);
            let settled = Settled { why: why.into(), officer: None };
            sheet.settled.insert("made".into(), settled);
        });
        assert_eq!(verdict.outcome, wanted, "{why}: {}", verdict.reason);
    }
    // A sentence about something else says nothing.
    let other = changed(&kit, |sheet| {
        lean(sheet);
        let settled = Settled { why: "The rig ran lean.".into(), officer: None };
        sheet.settled.insert("press".into(), settled);
    });
    assert_eq!(other.outcome, Outcome::Incomplete);
    // One step of the counter is no difference: 0.3 of 80 is 0.37 %, 0.4 would be 0.5.
    let mut drill = yard();
    drill.readings[2].is = Some(Meaning::FoamUsed);
    let coarse = asked(&super::fixture::kit(drill, true), |sheet| {
        sheet.readings.insert("foam".into(), q("0.3 gal"));
        sheet.readings.insert("water".into(), q("80 gal"));
    });
    assert_eq!(coarse, [""; 0]);
    // Where no foam flows nobody looks at counters of foam.
    let dry = changed(&kit, |sheet| {
        in_mode(&kit, sheet, Mode::WalkThrough);
        lean(sheet);
    });
    assert_eq!(dry.outcome, Outcome::WalkedThrough);
}

#[test]
fn rule_18b_the_label_decides_by_fuel() {
    let a =
        carrying(agent("A", &[("brush", "0.1 %", "0.3 %"), ("wood", "0.5 %", "1 %")]));
    let set = |kit: &Kit, fuel: Option<&str>, ordered: &str, percent: &str| {
        changed(kit, |sheet| {
            sheet.fuel = fuel.map(str::to_owned);
            sheet.readings.insert("ordered".into(), q(ordered));
            sheet.measures.insert("set".into(), q(percent));
        })
    };
    for (fuel, percent, wanted) in [
        // By one fuel it is allowed, by the other not: nobody can tell.
        (None, "0.5 %", Outcome::Incomplete),
        (None, "0.4 %", Outcome::NotMet),
        (Some("wood"), "0.5 %", Outcome::Met),
        (Some("Wood "), "0.5 %", Outcome::Met),
        (Some("brush"), "0.5 %", Outcome::NotMet),
        (Some("brush"), "0.3 %", Outcome::Met),
        (Some("petrol"), "0.5 %", Outcome::Incomplete),
    ] {
        let verdict = set(&a, fuel, percent, percent);
        assert_eq!(verdict.outcome, wanted, "{fuel:?} {percent}: {}", verdict.reason);
        assert_eq!(fails(&verdict, "label"), wanted == Outcome::NotMet);
    }
    // An order off the label had to be refused.
    let order = changed(&a, |sheet| {
        sheet.readings.insert("ordered".into(), q("0.4 %"));
        sheet.measures.remove("set");
        sheet.marks.insert("b".into(), Mark::NotSeen);
    });
    assert_eq!(order.outcome, Outcome::Incomplete);
    assert!(order.of_rule(Rule::Limit).any(|line| line.subject == "ordered"));
}

/// The yard with steps that work the air, and no critical on it.
fn airy() -> drillwright::course::Drill {
    let mut drill = yard();
    for (id, does) in [
        ("a", Does::ConfirmsFoam),
        ("c", Does::OpensAir),
        ("d", Does::ShutsAir),
        ("h", Does::ShutsFoam),
        ("k", Does::ShutsAir),
    ] {
        let step = drill.steps.iter_mut().find(|step| step.id == id).unwrap();
        step.is = Some(does);
    }
    drill.order.clear();
    drill
}

#[test]
fn rule_18f_air_without_foam_stands_where_no_author_wrote_it() {
    let airy_ = kit(airy(), true);
    let honest = changed(&airy_, |_| ());
    assert_eq!(honest.outcome, Outcome::Met, "{}", honest.reason);
    // Opened, and foam never confirmed; foam shut with the air open; foam lost, air left open.
    for step in ["a", "d", "k"] {
        let verdict = changed(&airy_, |sheet| {
            sheet.marks.insert(step.into(), Mark::NotDone);
        });
        assert!(fails(&verdict, "air") || step == "k", "{step}: {}", verdict.reason);
        assert_ne!(verdict.outcome, Outcome::Met, "{step}");
    }
    let order = ["b", "c", "a", "d", "e", "f", "g", "h", "k", "n"];
    let early = changed(&airy_, |sheet| {
        sheet.order_seen =
            OrderSeen::Listed(order.iter().map(|id| (*id).to_owned()).collect());
    });
    assert!(fails(&early, "air"), "{}", early.reason);
    // Nobody saw it, or nobody watched the order: open, and never met.
    let unseen = changed(&airy_, |sheet| {
        sheet.marks.insert("a".into(), Mark::NotSeen);
    });
    assert_eq!(unseen.outcome, Outcome::Incomplete, "{}", unseen.reason);
    let unwatched = changed(&airy_, |sheet| {
        sheet.order_seen = OrderSeen::NotWatched;
        for pair in ["b > c", "b > h", "f > h", "a > n"] {
            sheet.pairs.insert(pair.into(), PairSeen::Seen);
        }
    });
    assert_eq!(unwatched.outcome, Outcome::Incomplete, "{}", unwatched.reason);
    // Without a compressor there is no air, and in a walk-through none is opened.
    let without = kit(airy(), false);
    let mut sheet = clean(&without);
    sheet.marks.insert("a".into(), Mark::NotDone);
    assert!(!fails(&score(&without, &sheet), "air"));
    let walked = changed(&airy_, |sheet| {
        in_mode(&airy_, sheet, Mode::WalkThrough);
        sheet.marks.insert("a".into(), Mark::NotDone);
    });
    assert_eq!(walked.outcome, Outcome::WalkedThrough, "{}", walked.reason);
    // Where a critical covers it, it is asked about there, and told once.
    let mut drill = airy();
    drill.criticals[0]
        .links
        .push(Link::Order { first: "a".into(), then: vec!["c".into()] });
    let covered = kit(drill, true);
    let asked = changed(&covered, |sheet| {
        sheet.marks.insert("a".into(), Mark::NotDone);
    });
    assert_eq!(asked.outcome, Outcome::Incomplete, "{}", asked.reason);
}

#[test]
fn rule_20_an_unchecked_card_gives_no_band_and_the_manual_answers() {
    let (kit_, outlet) =
        table::kits().into_iter().find(|(kit, _)| kit.drill().id == "startup").unwrap();
    let mut data = kit_.data().clone();
    data.rig.checked = None;
    let kit = Kit::new(data).unwrap();
    let sheet = honest(&kit, "operator", outlet);
    assert_eq!(sheet.as_manual.keys().collect::<Vec<_>>(), ["line-pressure"]);
    let with = |answer: Option<bool>, value: Option<&str>| {
        let mut sheet = sheet.clone();
        sheet.as_manual.clear();
        if let Some(answer) = answer {
            sheet.as_manual.insert("line-pressure".into(), answer);
        }
        if let Some(value) = value {
            sheet.measures.insert("line-pressure".into(), q(value));
        }
        let verdict = score(&kit, &sheet);
        assert_eq!(verdict.earned, verdict.possible, "it never decides");
        verdict.outcome
    };
    assert_eq!(with(Some(true), Some("150 psi")), Outcome::Met);
    assert_eq!(with(Some(false), Some("150 psi")), Outcome::MetInPart);
    assert_eq!(with(None, Some("150 psi")), Outcome::MetInPart);
    assert_eq!(with(Some(true), Some("50 psi")), Outcome::Met);
    // The hose bursts whether or not anybody checked the card.
    assert_eq!(with(Some(true), Some("400 psi")), Outcome::NotMet);
    // A check that had lapsed on the day of the run is none; on its last day it holds.
    let mut data = kit_.data().clone();
    let check = data.rig.checked.as_mut().unwrap();
    check.until = Some("2026-11-13".into());
    let lapsed = Kit::new(data.clone()).unwrap();
    let mut low = honest(&kit_, "operator", outlet);
    low.measures.insert("line-pressure".into(), q("100 psi"));
    assert_eq!(score(&kit_, &low).outcome, Outcome::NotMet);
    assert_eq!(score(&lapsed, &low).outcome, Outcome::MetInPart);
    low.performed_at = "2026-11-13 10:00".into();
    assert_eq!(score(&lapsed, &low).outcome, Outcome::NotMet);
    // Where the card gives a band, that answer is one too many.
    let mut sheet = honest(&kit_, "operator", outlet);
    sheet.as_manual.insert("line-pressure".into(), true);
    assert_eq!(score(&kit_, &sheet).outcome, Outcome::Incomplete);
}

#[test]
fn rule_28_an_evaluator_says_by_what_since_when_and_how_related() {
    let kit = kit(yard(), true);
    for change in [
        |sheet: &mut RunSheet| sheet.evaluator.qualification = " ".into(),
        |sheet: &mut RunSheet| sheet.evaluator.relation = String::new(),
        |sheet: &mut RunSheet| sheet.evaluator.qualified_on = Some("2026-11-15".into()),
        |sheet: &mut RunSheet| sheet.evaluator.qualified_on = None,
        // What no calendar has is no day.
        |sheet: &mut RunSheet| sheet.evaluator.qualified_on = Some("2026-02-30".into()),
    ] {
        assert_eq!(changed(&kit, change).outcome, Outcome::Incomplete);
    }
    let since =
        changed(&kit, |sheet| sheet.evaluator.qualified_on = Some("2026-11-14".into()));
    assert_eq!(since.outcome, Outcome::Met);
}

#[test]
fn rule_12_an_order_that_nobody_watched_reaches_a_result_by_its_pairs() {
    for (kit, outlet) in table::kits() {
        let mut sheet = honest(&kit, "operator", outlet);
        sheet.order_seen = OrderSeen::NotWatched;
        // First those on which a critical hangs; then, where points decide, the others.
        for _ in 0..2 {
            for pair in pairs(&kit, &sheet) {
                sheet.pairs.insert(pair.join(" > "), PairSeen::Seen);
            }
        }
        let verdict = score(&kit, &sheet);
        assert_eq!(
            verdict.outcome,
            Outcome::Met,
            "{}: {}",
            kit.drill().id,
            verdict.reason
        );
    }
}

/// No tank gives or takes more than its plate says, and no unit makes more than its percents: what a
/// value rests on then decides nothing, neither for nor against the candidate.
#[test]
fn rule_17_totals_that_this_rig_cannot_have_are_asked_about_and_decide_nothing() {
    let at = |drill: &str| {
        let mut kits = table::kits().into_iter();
        let (kit, outlet) = kits.find(|(kit, _)| kit.drill().id == drill).unwrap();
        let sheet = honest(&kit, "operator", outlet);
        (kit, sheet)
    };
    let (kit, sheet) = at("totals");
    let with = |foam: &str, water: &str, told: &str| {
        let mut sheet = sheet.clone();
        sheet.readings.insert("foam-a".into(), q(foam));
        sheet.readings.insert("water-a".into(), q(water));
        sheet.measures.insert("percent-worked".into(), q(told));
        score(&kit, &sheet)
    };
    assert_eq!(with("4.4 gal", "870 gal", "0.51 %").outcome, Outcome::Met);
    assert_eq!(with("4.4 gal", "870 gal", "0.71 %").outcome, Outcome::NotMet);
    for (foam, water) in
        [("44 gal", "870 gal"), ("4.4 gal", "87 gal"), ("44 gal", "8700 gal")]
    {
        for told in ["0.51 %", "5.06 %", "0.5 %"] {
            let verdict = with(foam, water, told);
            let wanted = [Outcome::Incomplete, Outcome::Refused];
            assert!(
                wanted.contains(&verdict.outcome),
                "{foam} {water}: {}",
                verdict.reason
            );
        }
    }
    let (kit, sheet) = at("refill");
    let added = |added: &str| {
        let mut sheet = sheet.clone();
        sheet.measures.insert("gallons-added".into(), q(added));
        sheet.reported.push("gallons-added".into());
        score(&kit, &sheet).outcome
    };
    assert_eq!(added("44 gal"), Outcome::Incomplete, "the tank holds 30");
    assert_ne!(added("29 gal"), Outcome::Incomplete);
}

/// Whoever tells fewer minutes than there are leaves earlier: up to a fifth of them costs nothing.
#[test]
fn minutes_told_low_by_a_fifth_cost_nothing() {
    let kit = kit(yard(), true);
    let told = |told: &str| {
        changed(&kit, |sheet| {
            sheet.readings.insert("end".into(), q("20 min"));
            sheet.measures.insert("told".into(), q(told));
        })
    };
    assert_eq!(told("16 min").earned, told("20 min").earned);
    assert!(told("15 min").earned < told("20 min").earned);
}
