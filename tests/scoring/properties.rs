//! Ten thousand random run sheets over two drills, on a rig with and without compressor.

use drillwright::course::{CriticalMark, Mark, RunSheet};
use drillwright::quiz::Chance;
use drillwright::scoring::{
    Decision, Kit, Outcome, Precedence, Rule, Verdict, faults, score,
};
use serde_json::Value;

use super::fixture::{chain, clean, kit, random, yard};

const SHEETS: usize = 10_000;

fn kits() -> [Kit; 4] {
    [kit(chain(), true), kit(chain(), false), kit(yard(), true), kit(yard(), false)]
}

/// Runs a check on every random sheet.
fn on_all(purpose: &str, mut check: impl FnMut(&Kit, &RunSheet, &Verdict, &mut Chance)) {
    let kits = kits();
    let mut chance = Chance::of(&["test", purpose]);
    for turn in 0..SHEETS {
        let kit = &kits[turn % kits.len()];
        let sheet = random(kit, &mut chance);
        assert_eq!(faults(kit, &sheet), [], "{sheet:#?}");
        let verdict = score(kit, &sheet);
        check(kit, &sheet, &verdict, &mut chance);
    }
}

#[test]
fn points_and_percent_lines_add_up_and_every_text_is_whole() {
    let mut stated = 0;
    let mut outcomes = std::collections::BTreeSet::new();
    on_all("adds-up", |_, sheet, verdict, _| {
        let sum = |part: fn(&drillwright::scoring::Line) -> i64| -> i64 {
            verdict.lines.iter().map(part).sum()
        };
        assert_eq!(sum(|line| line.points), verdict.earned);
        assert_eq!(sum(|line| line.of), verdict.possible);
        assert!((0..=verdict.possible).contains(&verdict.earned), "{sheet:#?}");
        if let Some(tenths) = verdict.percent_tenths {
            stated += 1;
            assert_eq!(sum(|line| line.share_tenths.unwrap()), tenths);
            assert!(tenths * verdict.possible <= verdict.earned * 1000);
        }
        outcomes.insert(verdict.outcome);
        let first = &verdict.lines[0];
        assert_eq!((first.rule, &first.sentence), (Rule::Result, &verdict.reason));
        let text = serde_json::to_string(verdict).unwrap();
        for odd in ["⟨", "{label", "{seen", "{why", "{mode", "{point", "certif", "qualif"]
        {
            assert!(!text.contains(odd), "{odd} in {text}");
        }
        let empty = verdict.lines.iter().find(|line| line.sentence.trim().is_empty());
        assert!(empty.is_none(), "{empty:?}");
    });
    assert!(stated > 2000, "a percent was stated {stated} times only");
    assert_eq!(outcomes.len(), 5, "{outcomes:?}");
}

#[test]
fn doing_a_step_never_scores_less_than_not_doing_it() {
    let mut tried = 0;
    on_all("doing", |kit, sheet, verdict, chance| {
        for (id, mark) in &sheet.marks {
            if *mark != Mark::NotDone {
                continue;
            }
            tried += 1;
            let mut better = sheet.clone();
            better.marks.insert(id.clone(), Mark::Done);
            match &mut better.order_seen {
                Some(order) => {
                    let place = chance.place(order.len() + 1);
                    order.insert(place, id.clone());
                }
                None => better.out_of_order.push(id.clone()),
            }
            let after = score(kit, &better);
            assert!(after.earned >= verdict.earned, "{id} done costs: {sheet:#?}");
            if sheet.stop.is_none() {
                assert_eq!(after.possible, verdict.possible);
            }
        }
    });
    assert!(tried > 3000);
}

#[test]
fn a_missed_critical_never_passes_and_one_not_seen_never_fails() {
    let (mut missed, mut unseen) = (0, 0);
    on_all("criticals", |_, sheet, verdict, _| {
        let passed = matches!(verdict.outcome, Outcome::Met | Outcome::MetInPart);
        let has = |wanted: &[CriticalMark]| {
            sheet.criticals.values().any(|mark| wanted.contains(mark))
        };
        if has(&[CriticalMark::Missed, CriticalMark::Prompted]) {
            missed += 1;
            assert_eq!(verdict.outcome, Outcome::NotMet);
        }
        if has(&[CriticalMark::NotSeen]) && verdict.outcome == Outcome::NotMet {
            unseen += 1;
            // Something else failed it: nothing that was not seen does.
            for line in verdict.of_rule(Rule::Critical) {
                let mark = sheet.criticals.get(&line.subject);
                let open = mark == Some(&CriticalMark::NotSeen);
                assert!(!open || line.decision != Decision::Fails);
            }
            let open = verdict.lines.iter().any(|l| l.decision == Decision::Unseen);
            let fails = verdict.lines.iter().skip(1);
            let fails = fails.filter(|line| line.decision == Decision::Fails).count();
            assert!(fails > 0 || !open, "{}", verdict.reason);
        }
        assert!(!passed || sheet.unsafe_acts.is_empty());
        assert!(!passed || sheet.stop.is_none());
        assert!(!passed || verdict.not_seen.is_empty());
    });
    assert!(missed > 500 && unseen > 100, "{missed} {unseen}");
}

#[test]
fn one_critical_not_seen_on_a_clean_sheet_is_incomplete() {
    for kit in kits() {
        for id in clean(&kit).criticals.keys() {
            let mut alone = clean(&kit);
            alone.criticals.insert(id.clone(), CriticalMark::NotSeen);
            let verdict = score(&kit, &alone);
            let stands = id != "air" || kit.rig().compressor.is_some();
            let wanted = if stands { Outcome::Incomplete } else { Outcome::Met };
            assert_eq!(verdict.outcome, wanted, "{}", verdict.reason);
        }
    }
}

#[test]
fn steps_without_a_rule_between_them_permute_freely() {
    let mut tried = 0;
    on_all("permute", |kit, sheet, verdict, chance| {
        let Some(order) = sheet.order_seen.as_ref().filter(|order| order.len() > 1)
        else {
            return;
        };
        let precedence = Precedence::of(&kit.drill().order);
        let at = chance.place(order.len() - 1);
        let related =
            |a: &str, b: &str| precedence.before(a, b) || precedence.before(b, a);
        if related(&order[at], &order[at + 1]) {
            return;
        }
        tried += 1;
        let mut other = sheet.clone();
        other.order_seen.as_mut().unwrap().swap(at, at + 1);
        assert_eq!(told(verdict), told(&score(kit, &other)));
    });
    assert!(tried > 1000, "{tried}");
}

/// A verdict without what merely repeats the sheet: its hash, the order as it was listed.
fn told(verdict: &Verdict) -> Verdict {
    let mut verdict = verdict.clone();
    verdict.sheet.clear();
    for line in &mut verdict.lines {
        if line.subject == "order" {
            line.seen.clear();
        }
    }
    verdict.lines.sort_by(|a, b| (a.rule, &a.subject).cmp(&(b.rule, &b.subject)));
    verdict
}

#[test]
fn the_order_of_the_file_changes_nothing() {
    let mut turn = 0_u32;
    on_all("file-order", |kit, sheet, verdict, chance| {
        // Writing a sheet down and reading it again is slow; every third will do.
        turn += 1;
        if !turn.is_multiple_of(3) {
            return;
        }
        let mut value = serde_json::to_value(sheet).unwrap();
        for list in ["out-of-order", "unsafe-acts"] {
            if let Some(list) = value[list].as_array_mut() {
                chance.shuffle(list);
            }
        }
        let text = shuffled(&value, chance);
        let other: RunSheet = serde_json::from_str(&text).unwrap();
        let mut again = score(kit, &other);
        again.sheet.clone_from(&verdict.sheet);
        assert_eq!(*verdict, again);
    });
    // The same for the lists of the drill.
    let mut chance = Chance::of(&["test", "drill-order"]);
    for turn in 0..500_u32 {
        let plain = kit(if turn % 2 == 0 { chain() } else { yard() }, true);
        let sheet = random(&plain, &mut chance);
        let mut sheet = sheet;
        sheet.drill_revision = None;
        let mut data = plain.data().clone();
        chance.shuffle(&mut data.standard.drill.order);
        chance.shuffle(&mut data.standard.drill.measures);
        chance.shuffle(&mut data.standard.drill.readings);
        chance.shuffle(&mut data.standard.unsafe_acts);
        let other = score(&Kit::new(data).unwrap(), &sheet);
        let first = score(&plain, &sheet);
        assert_eq!(first.outcome, other.outcome);
        assert_eq!((first.earned, first.possible), (other.earned, other.possible));
    }
}

/// JSON text of a value with the fields of every object in a random order.
fn shuffled(value: &Value, chance: &mut Chance) -> String {
    match value {
        Value::Object(fields) => {
            let mut fields: Vec<(&String, &Value)> = fields.iter().collect();
            chance.shuffle(&mut fields);
            let texts = fields
                .into_iter()
                .map(|(key, value)| format!("{:?}: {}", key, shuffled(value, chance)));
            format!("{{{}}}", texts.collect::<Vec<_>>().join(", "))
        }
        other => other.to_string(),
    }
}
