//! Changed run sheets of the district's drills, of kinds that a hurried or a cunning evaluator would
//! hand in. What must come out was decided by the rules, by hand, before a sheet was scored; the
//! rows stand in `adversary.txt`, which says how they are written.

use std::collections::BTreeMap;

use drillwright::course::{Mark, Mode, OrderSeen, RunSheet};
use drillwright::scoring::{Kit, Outcome, score};
use drillwright::stock;
use serde_json::{Value, json};

use super::example::example;
use super::sheets::{honest, in_mode};
use super::table;

const ROWS: &str = include_str!("adversary.txt");

/// The printed order of what was done, with one step moved before another.
fn moved(kit: &Kit, sheet: &RunSheet, step: &str, other: &str) -> OrderSeen {
    let done =
        |id: &String| matches!(sheet.marks.get(id), Some(Mark::Done | Mark::Prompted));
    let ids = kit.drill().steps.iter().map(|step| step.id.clone());
    let mut order: Vec<String> = ids.filter(done).collect();
    order.retain(|id| id != step);
    let at = order.iter().position(|id| id == other).unwrap();
    order.insert(at, step.to_owned());
    OrderSeen::Listed(order)
}

/// A field of the sheet's file set, taken out, or added to.
fn changed(sheet: &RunSheet, change: &str) -> RunSheet {
    let mut file = serde_json::to_value(sheet).unwrap();
    let (path, value) = match change.strip_prefix("no ") {
        Some(path) => (path, None),
        None => {
            let (path, text) = change.split_once(" = ").unwrap();
            let names = text.strip_prefix('[').and_then(|text| text.strip_suffix(']'));
            let value = match names {
                Some(names) => json!(names.split(", ").collect::<Vec<_>>()),
                None => json!(text),
            };
            (path, Some(value))
        }
    };
    let mut at = &mut file;
    let parts: Vec<&str> = path.split('.').collect();
    let (last, groups) = parts.split_last().unwrap();
    for part in groups {
        if at.get(part).is_none_or(Value::is_null) {
            at[part] = json!({});
        }
        at = &mut at[part];
    }
    let fields = at.as_object_mut().unwrap();
    match value {
        Some(value) => drop(fields.insert((*last).to_owned(), value)),
        None => assert!(fields.remove(*last).is_some(), "{path} is not there"),
    }
    serde_json::from_value(file).unwrap_or_else(|fault| panic!("{change}: {fault}"))
}

fn apply(kit: &Kit, sheet: &mut RunSheet, change: &str) {
    let words: Vec<&str> = change.split(' ').collect();
    match words.as_slice() {
        ["mode", name] => {
            let mut modes = Mode::ALL.iter();
            let (_, mode) = modes.find(|(_, mode)| mode.key() == *name).unwrap();
            in_mode(kit, sheet, *mode);
        }
        ["early", step, "before", other] => {
            sheet.order_seen = moved(kit, sheet, step, other);
        }
        ["happened", critical] => {
            *sheet = changed(sheet, &format!("criticals.{critical} = yes"));
            *sheet = changed(sheet, &format!("happened.{critical} = Seen from behind."));
        }
        ["settled", what] => {
            *sheet = changed(sheet, &format!("settled.{what}.why = Done, not as asked."));
        }
        ["stopped", cause] => {
            let stop = json!({"by": "elm", "why": "A hose crossed.", "cause": cause});
            sheet.stop = Some(serde_json::from_value(stop).unwrap());
        }
        ["void-by", officer] => {
            let void = json!({
                "cause": "weather", "why": "The wind turned.", "at": "2026-11-14 10:31",
                "agreed-by": officer,
            });
            sheet.void = Some(serde_json::from_value(void).unwrap());
        }
        _ => *sheet = changed(sheet, change),
    }
}

#[test]
fn every_row_comes_out_as_the_rules_say() {
    let kits: BTreeMap<String, (Kit, &str)> = table::kits()
        .into_iter()
        .map(|(kit, outlet)| (kit.drill().id.clone(), (kit, outlet)))
        .collect();
    let (mut of, mut count) = (None, 0);
    let mut wrong = Vec::new();
    let mut drills = std::collections::BTreeSet::new();
    for line in ROWS.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
        if let Some(head) = line.strip_prefix("== ") {
            let (drill, role) = head.split_once(' ').unwrap();
            of = Some((&kits[drill], role));
            drills.insert(drill);
            continue;
        }
        let ((kit, outlet), role) = of.unwrap();
        let parts: Vec<&str> = line.split(" | ").map(str::trim).collect();
        let [wanted, name, changes] = parts.as_slice() else { panic!("{line}") };
        let mut sheet = honest(kit, role, outlet);
        for change in changes.split("; ") {
            apply(kit, &mut sheet, change);
        }
        let verdict = score(kit, &sheet);
        count += 1;
        if verdict.outcome.key() != *wanted {
            let (found, why) = (verdict.outcome.key(), verdict.reason);
            wrong.push(format!(
                "{}: {name}: {found}, not {wanted}: {why}",
                kit.drill().id
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(count >= 80 && drills.len() == 13, "{count} rows, {} drills", drills.len());
}

#[test]
fn totals_are_told_to_the_step_that_is_asked_for() {
    let kits = table::kits();
    let (kit, outlet) = kits.iter().find(|(kit, _)| kit.drill().id == "totals").unwrap();
    // 2.4 of 470 is 0.5106 %: told to two decimals 0.51, and one in the last place is accepted.
    for (text, wanted) in [
        ("0.49 %", Outcome::NotMet),
        ("0.5 %", Outcome::Met),
        ("0.51 %", Outcome::Met),
        ("0.52 %", Outcome::Met),
        ("0.53 %", Outcome::NotMet),
    ] {
        let mut sheet = honest(kit, "operator", outlet);
        for change in ["readings.foam-a = 2.4 gal", "readings.water-a = 470 gal"] {
            apply(kit, &mut sheet, change);
        }
        apply(kit, &mut sheet, &format!("measures.percent-worked = {text}"));
        let verdict = score(kit, &sheet);
        assert_eq!(verdict.outcome, wanted, "{text}: {}", verdict.reason);
        let mut lines = verdict.about("percent-worked");
        let line = lines.find(|line| !line.expected.is_empty()).unwrap();
        let told = line.expected.replace('\u{a0}', " ");
        assert_eq!(told, "0.50 % to 0.52 % (worked out: 0.51 %)");
    }
}

#[test]
fn a_drill_of_one_class_on_the_rig_of_the_other_is_refused() {
    let (course, words) = (example(), stock::words());
    let drill = course.drill("startup").unwrap();
    let kit = Kit::of(&course, drill, &course.rigs["tender-3"], &words).unwrap();
    let kits = table::kits();
    let (own, outlet) = kits.iter().find(|(kit, _)| kit.drill().id == "startup").unwrap();
    let mut sheet = honest(own, "operator", outlet);
    (sheet.rig, sheet.outlet) = ("tender-3".into(), "hand-line-1".into());
    (sheet.drill_revision, sheet.rig_revision) = (None, None);
    // The percent is none of that unit: what was seen decides first.
    assert_eq!(score(&kit, &sheet).outcome, Outcome::NotMet);
    sheet.measures.clear();
    assert_eq!(score(&kit, &sheet).outcome, Outcome::Refused);
}
