//! Faulty run sheets by chance: what scoring lists is what a file is refused for, fault for
//! fault and each at its place.

use drillwright::authoring::RunReader;
use drillwright::course::{
    CriticalMark, Holders, Kept, Mark, Mode, OrderSeen, RunSheet, TimeTaken,
};
use drillwright::quiz::Chance;
use drillwright::scoring::{Fault, Kits, Outcome, faults, score, written};
use drillwright::stock;
use serde_json::Value;

use super::example::example;
use super::fixture::q;

const SHEETS: usize = 600;

/// One of several at random.
fn one<T: Clone>(list: &[T], chance: &mut Chance) -> T {
    list[chance.place(list.len())].clone()
}

/// The order of a sheet as a list, made one where it is none.
fn listed(sheet: &mut RunSheet) -> &mut Vec<String> {
    if !matches!(sheet.order_seen, OrderSeen::Listed(_)) {
        sheet.order_seen = OrderSeen::Listed(Vec::new());
    }
    match &mut sheet.order_seen {
        OrderSeen::Listed(order) => order,
        _ => panic!("it has just been made a list"),
    }
}

/// Something goes wrong, or does not.
#[expect(clippy::too_many_lines, reason = "one arm for each way to be wrong")]
fn spoil(sheet: &mut RunSheet, names: &Names, chance: &mut Chance) {
    let (steps, criticals) = (&names.steps, &names.criticals);
    let other = |chance: &mut Chance| {
        one(["engag", "nothing-like-it", "flow-reed"].as_slice(), chance).to_owned()
    };
    let marks: Vec<Mark> = Mark::ALL.iter().map(|(_, mark)| *mark).collect();
    let critical: Vec<CriticalMark> =
        CriticalMark::ALL.iter().map(|(_, mark)| *mark).collect();
    match chance.place(24) {
        0 => {
            sheet.marks.insert(other(chance), Mark::Done);
        }
        1 | 2 => {
            let step = one(steps, chance);
            sheet.marks.insert(step, one(marks.as_slice(), chance));
        }
        3 => drop(sheet.criticals.insert(other(chance), CriticalMark::No)),
        4 | 5 => {
            let id = one(criticals, chance);
            sheet.criticals.insert(id, one(critical.as_slice(), chance));
        }
        6 | 7 => {
            let mut order = steps.clone();
            chance.shuffle(&mut order);
            order.truncate(chance.place(order.len() + 1));
            sheet.order_seen = OrderSeen::Listed(order);
        }
        8 => {
            let again = one(steps, chance);
            listed(sheet).push(again);
        }
        9 => {
            let name = other(chance);
            listed(sheet).insert(0, name);
        }
        10 => sheet.undone.push(other(chance)),
        11 => sheet.unsafe_acts.push(other(chance)),
        12 => {
            let act = one(&names.acts, chance);
            sheet.unsafe_acts.extend([act.clone(), act]);
        }
        13 | 14 if !names.readings.is_empty() => {
            let id = one(&names.readings, chance);
            let texts: &[&str] = &["125", "125 psi", "99999 gpm", "0.5 %", "7.3 gal"];
            sheet.readings.insert(id, q(one(texts, chance)));
        }
        15 | 16 if !names.measures.is_empty() => {
            let id = one(&names.measures, chance);
            let texts: &[&str] =
                &["40", "152.3 psi", "0.55 %", "40.7 s", "13.37 gal", "900 kPa"];
            sheet.measures.insert(id, q(one(texts, chance)));
        }
        17 => {
            sheet.readings.insert(other(chance), q("1 gpm"));
        }
        18 => sheet.evaluator.person = sheet.candidate.clone(),
        19 => sheet.safety_officer = sheet.evaluator.person.clone(),
        20 => {
            let role =
                if chance.below(2) == 0 { other(chance) } else { sheet.role.clone() };
            sheet.crew.insert(role, Holders(vec![sheet.candidate.clone()]));
        }
        21 => sheet.outlet = other(chance),
        22 => {
            sheet.attempt = 0;
            let texts: &[&str] = &["40 s", "40.5 s", "900 s"];
            let held = Some(q(one(texts, chance)));
            sheet.time = Some(TimeTaken { taken: q(one(texts, chance)), held });
        }
        _ => {
            sheet.mode = one(
                [Mode::WalkThrough, Mode::PlainWater, Mode::Agent].as_slice(),
                chance,
            );
            if chance.below(2) == 0 {
                sheet.rig = "tender-3".into();
                sheet.rig_revision = None;
                sheet.entered_at = Some("2026-11-01 08:00".into());
            }
        }
    }
}

/// What a drill has by name.
struct Names {
    steps: Vec<String>,
    criticals: Vec<String>,
    readings: Vec<String>,
    measures: Vec<String>,
    acts: Vec<String>,
}

/// What a fault marks in the file: the name that is not known, else the value at its path.
fn wanted(fault: &Fault, run: &Value) -> String {
    let group = fault.path.first().map(String::as_str);
    let list =
        matches!(group, Some("order-seen" | "undone" | "reported" | "unsafe-acts"));
    if fault.key.starts_with("unknown-") && fault.path.len() > 1 && !list {
        return fault.path[1].clone();
    }
    let value = fault.path.iter().fold(run, |value, part| match part.parse::<usize>() {
        Ok(at) if value.is_array() => &value[at],
        _ => &value[part],
    });
    // What is missing is told where it would stand: at the first name beside it.
    if value.is_null() && ["critical-open", "attempt-zero"].contains(&fault.key) {
        let group = (fault.path.len() > 1).then(|| run["criticals"].as_object());
        let beside = group.flatten().or(run.as_object()).unwrap();
        return beside.keys().next().unwrap().clone();
    }
    assert!(!value.is_null(), "{fault:?} leads nowhere in {run}");
    // A list is marked at its first entry, or where it begins.
    if value.as_array().is_some_and(Vec::is_empty) {
        return "[".to_owned();
    }
    let value = value.get(0).unwrap_or(value);
    value.to_string()
}

#[test]
#[expect(clippy::too_many_lines, reason = "one run, asked on both sides")]
fn what_scoring_lists_is_what_a_file_is_refused_for() {
    let course = example();
    let words = stock::words();
    let kits = Kits::new(&course, &words);
    let alone: Vec<&RunSheet> =
        course.runs.iter().filter(|run| run.chain.is_none()).collect();
    assert!(alone.len() > 3);
    let mut chance = Chance::of(&["test", "faulty"]);
    let mut keys = std::collections::BTreeSet::new();
    let (mut clean, mut many) = (0, 0);
    for turn in 0..SHEETS {
        let mut sheet = alone[turn % alone.len()].clone();
        let drill = course.drill(&sheet.drill).unwrap();
        let names = Names {
            steps: drill.steps.iter().map(|step| step.id.clone()).collect(),
            criticals: drill.criticals.iter().map(|one| one.id.clone()).collect(),
            readings: drill.readings.iter().map(|one| one.id.clone()).collect(),
            measures: drill.measures.iter().map(|one| one.id.clone()).collect(),
            acts: course.unsafe_acts.iter().map(|one| one.id.clone()).collect(),
        };
        for _ in 0..=chance.place(4) {
            spoil(&mut sheet, &names, &mut chance);
        }
        let kit = kits.of(&sheet, &Kept::default()).unwrap();
        let listed = faults(&kit, &sheet);
        keys.extend(listed.iter().map(|fault| fault.key));
        let run = written(&sheet, None, &[]).unwrap();
        let text = run.to_string();
        let (given, found) =
            RunReader::new(&course, &words, None).read(&text, "run.json");
        let mut told: Vec<String> = found
            .iter()
            .map(|finding| {
                let place = finding.place.as_ref().unwrap();
                text.get(place.start..place.end).unwrap().trim_matches('"').to_owned()
            })
            .collect();
        let asked = drillwright::scoring::open(&kit, &sheet);
        let mut wanted: Vec<String> = listed
            .iter()
            .chain(&asked)
            .map(|fault| wanted(fault, &run).trim_matches('"').to_owned())
            .collect();
        told.sort();
        wanted.sort();
        assert_eq!(told, wanted, "{listed:#?}\n{found:#?}\n{text}");
        // An act that was seen is told also where the sheet is refused.
        assert_eq!(given.len(), 1, "{found:#?}");
        let verdict = score(&kit, &sheet);
        if listed.is_empty() {
            clean += 1;
            assert_eq!(given[0].sheet, sheet);
        } else {
            many += usize::from(listed.len() > 1);
            assert!(
                !matches!(verdict.outcome, Outcome::Met | Outcome::MetInPart),
                "{listed:#?}"
            );
        }
        for fault in &listed {
            let said = fault.says(&words);
            assert!(!said.contains(['⟨', '{']), "{said}");
            assert!(verdict.lines.iter().any(|line| line.sentence == said), "{said}");
        }
    }
    assert!(clean > 20 && many > 120, "{clean} without a fault, {many} with several");
    assert!(keys.len() >= 25, "{} sorts of fault: {keys:?}", keys.len());
}
