//! Changed run sheets of the district's drills, of kinds that a hurried or a cunning evaluator would
//! hand in. What must come out was decided by the rules, by hand, before a sheet was scored; the
//! rows stand in `adversary.txt`, which says how they are written.

use std::collections::BTreeMap;
use std::path::Path;

use drillwright::course::{Mark, Mode, OrderSeen, RunSheet};
use drillwright::scoring::{Kit, Outcome, runs_on, score};
use drillwright::stock;
use serde_json::{Value, json};

use super::example::example;
use super::sheets::{honest, in_mode};
use super::table;
use crate::metric;

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
                // What is no text stands as it would in a file.
                None => match text.strip_prefix(':') {
                    Some(plain) => serde_json::from_str(plain).unwrap(),
                    None => json!(text),
                },
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

/// The drills of the district, and of a metric department, each with its outlet.
fn all() -> BTreeMap<String, (Kit, &'static str)> {
    let own = table::kits().into_iter().map(|(kit, outlet)| {
        let drill = kit.drill().id.clone();
        (drill, (kit, outlet))
    });
    let (course, words) = (metric::course(), stock::words());
    let metric: Vec<_> = course
        .drills
        .iter()
        .map(|drill| {
            let rig = course.rigs.values().find(|rig| runs_on(rig, drill)).unwrap();
            let outlet = if rig.id == "pump-2" { "first-line" } else { "foam-line" };
            let kit = Kit::of(&course, drill, rig, &words).unwrap();
            (format!("metric/{}", drill.id), (kit, outlet))
        })
        .collect();
    own.chain(metric).collect()
}

#[test]
fn every_row_comes_out_as_the_rules_say() {
    let kits = all();
    let rows = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/scoring/adversary.txt");
    let rows = std::fs::read_to_string(rows).unwrap();
    let (mut of, mut count) = (None, 0);
    let mut wrong = Vec::new();
    let mut drills = std::collections::BTreeSet::<String>::new();
    for line in rows.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
        if let Some(head) = line.strip_prefix("== ") {
            let (drill, role) = head.split_once(' ').unwrap();
            of = Some((&kits[drill], role));
            drills.insert(drill.to_owned());
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
        // A blank that nobody filled leaves a hole in its sentence.
        for sentence in verdict.lines.iter().map(|line| &line.sentence) {
            let torn = [" ,", " .", "  "].iter().any(|hole| sentence.contains(hole));
            assert!(!torn, "{name}: {sentence}");
        }
        if verdict.outcome.key() != *wanted {
            let (found, why) = (verdict.outcome.key(), verdict.reason);
            wrong.push(format!(
                "{}: {name}: {found}, not {wanted}: {why}",
                kit.drill().id
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(count >= 230 && drills.len() == 16, "{count} rows, {} drills", drills.len());
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
