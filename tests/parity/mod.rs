//! Ten thousand random requests give the same bytes from the program and from the engine of
//! the pages, in node. Asked for by `tests/run`, because the compiled engine must be of today.

mod live;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use std::process::Command;

use drillwright::course::{
    Ask, Course, Figures, Mark, QuestionKind, RunSheet, Void, VoidCause,
};
use drillwright::formulas::{Input, System};
use drillwright::practice::{Engine, FORMAT, PageKit, PracticeKit};
use drillwright::quantity::{Fraction, Quantity};
use drillwright::quiz::Chance;
use drillwright::{scoring, stock};
use serde_json::{Value, json};

use crate::engine::example;

/// What is asked of one kit, in its order.
struct Lot {
    open: Value,
    requests: Vec<Value>,
}

fn practice_kit(course: &Course, set: usize) -> PracticeKit {
    let mut kit = PracticeKit::of(course, &course.sets[set], &stock::words());
    // A question of each kind, whatever the example happens to ask.
    let asked = |kind: &QuestionKind| match kind {
        QuestionKind::Number { ask, .. } => Some(ask.clone()),
        _ => None,
    };
    let choices: Vec<_> = kit
        .questions
        .iter()
        .filter_map(|question| {
            let ask: Ask = asked(&question.kind)?;
            let mut other = question.clone();
            other.id = format!("{}-as-choice", question.id);
            other.kind = QuestionKind::Choice { ask, choices: 3 };
            Some(other)
        })
        .collect();
    kit.questions.extend(choices);
    kit
}

fn open(practice: Option<PracticeKit>, run: Option<scoring::KitData>) -> Value {
    json!({ "ask": "open", "kit": PageKit { format: FORMAT, practice, run } })
}

/// Draws and marks of every question of a set.
fn questions(course: &Course, set: usize, count: usize, chance: &mut Chance) -> Lot {
    let kit = practice_kit(course, set);
    let mut engine = Engine::default();
    call(&mut engine, &open(Some(kit.clone()), None));
    let mut requests = Vec::new();
    while requests.len() < count {
        let question = &kit.questions[(requests.len() >> 1) % kit.questions.len()];
        let seed = chance.word().to_string();
        let of = json!({ "question": question.id, "seed": seed, "attempt": 1 + chance.below(9) });
        let mut draw = of.clone();
        draw["ask"] = json!("draw");
        draw["key"] = json!(true);
        let answer: Value = serde_json::from_str(&call(&mut engine, &draw)).unwrap();
        let key = &answer["done"]["key"];
        let wrong = key["wrong"].as_array().map_or(&[][..], Vec::as_slice);
        let slip = (!wrong.is_empty()).then(|| &wrong[chance.place(wrong.len())]);
        let written = match (chance.below(4), slip) {
            (0, Some(slip)) => slip["letter"].as_str().or(slip["text"].as_str()),
            (1, _) => {
                Some(["12", "B", "C A B", "1,234 gpm", "3:20", ""][chance.place(6)])
            }
            _ => key["letter"].as_str().or(key["answer"].as_str()),
        };
        let mut mark = of;
        mark["ask"] = json!("mark");
        mark["written"] = json!(written.unwrap_or("?"));
        requests.extend([draw, mark]);
    }
    Lot { open: open(Some(kit), None), requests }
}

/// Every formula of the library, with givens around its example.
fn works(course: &Course, system: System, count: usize, chance: &mut Chance) -> Lot {
    let mut kit = PracticeKit::of(course, &course.sets[0], &stock::words());
    let ids: Vec<&str> = course.library.formulas().map(|f| f.id.as_str()).collect();
    kit.reach = course.library.reach(ids.iter().copied());
    kit.system = system;
    let mut requests = Vec::new();
    while requests.len() < count {
        let formula = course.library.formula(ids[requests.len() % ids.len()]).unwrap();
        let inputs = formula.example(system, &Figures::new());
        // First the example itself: a table has no row for a bore that is near one.
        let first = requests.len() < ids.len();
        let mut near = |quantity: &Quantity| -> String {
            let share = if first { 100 } else { 90 + chance.below(21) };
            let share = Fraction::new(i128::from(share), 100).unwrap();
            let number = quantity.number().mul(share).unwrap();
            let whole = quantity.number().is_whole() && quantity.unit().symbol.is_empty();
            if whole {
                quantity.to_string()
            } else {
                Quantity::new(number, quantity.unit()).to_string()
            }
        };
        let mut givens: BTreeMap<String, Value> = BTreeMap::new();
        for (name, input) in &inputs {
            let written = match input {
                Input::Number(quantity) => json!(near(quantity)),
                Input::Word(word) => json!(word),
                Input::Rows(rows) => {
                    let row = |row: &BTreeMap<String, Quantity>| {
                        row.iter().map(|(c, q)| (c.clone(), q.to_string())).collect()
                    };
                    let rows: Vec<BTreeMap<String, String>> =
                        rows.iter().map(row).collect();
                    json!(rows)
                }
            };
            givens.insert(name.clone(), written);
        }
        requests.push(json!({ "ask": "work", "formula": formula.id, "givens": givens }));
    }
    Lot { open: open(Some(kit), None), requests }
}

/// Sheets of one run with marks, criticals and values changed at random.
fn scores(course: &Course, run: &RunSheet, count: usize, chance: &mut Chance) -> Lot {
    let drill = course.drill(&run.drill).unwrap();
    let words = stock::words();
    let kit = scoring::Kit::of(course, drill, &course.rigs[&run.rig], &words).unwrap();
    let marks = [Mark::Done, Mark::Prompted, Mark::NotDone, Mark::NotSeen];
    let sheets = (0..count).map(|_| {
        let mut sheet = run.clone();
        for mark in sheet.marks.values_mut() {
            if chance.below(4) == 0 {
                *mark = marks[chance.place(marks.len())];
            }
        }
        for value in sheet.measures.values_mut() {
            let share = Fraction::new(i128::from(80 + chance.below(41)), 100).unwrap();
            *value = Quantity::new(value.number().mul(share).unwrap(), value.unit());
        }
        if chance.below(9) == 0 {
            sheet.void = Some(Void {
                cause: VoidCause::RealCall,
                why: "A real call.".to_owned(),
                at: Some("2026-11-14 10:31".to_owned()),
                agreed_by: Some("hazel".to_owned()),
                produced_acts: false,
            });
        }
        json!({ "ask": "score", "sheet": sheet })
    });
    Lot { requests: sheets.collect(), open: open(None, Some(kit.data().clone())) }
}

/// The requests of a walk, the first of which opens its kit.
fn walk(mut requests: Vec<Value>) -> Lot {
    let open = requests.remove(0);
    Lot { open, requests }
}

fn call(engine: &mut Engine, request: &Value) -> String {
    String::from_utf8(engine.call(request.to_string().as_bytes())).unwrap()
}

/// Requests with their answers.
type Pairs = Vec<(String, String)>;

/// Answers all, and counts by name of the request: asked, answered.
fn answers(lots: &[Lot]) -> (Pairs, BTreeMap<String, (u32, u32)>) {
    let mut out = Vec::new();
    let mut counts: BTreeMap<String, (u32, u32)> = BTreeMap::new();
    for lot in lots {
        let mut engine = Engine::default();
        for request in [&lot.open].into_iter().chain(&lot.requests) {
            let answer = call(&mut engine, request);
            let count =
                counts.entry(request["ask"].as_str().unwrap().into()).or_default();
            count.0 += 1;
            count.1 += u32::from(answer.starts_with("{\"done\":"));
            out.push((request.to_string(), answer));
        }
    }
    (out, counts)
}

#[test]
#[ignore = "tests/run asks for it, after it has built the engine again where it can"]
fn ten_thousand_requests_give_the_same_bytes_in_node() {
    let course = example();
    let mut chance = Chance::of(&["parity", "1"]);
    let sets = course.sets.len();
    let mut lots: Vec<Lot> = (0..sets)
        .map(|set| questions(&course, set, 6000_usize.div_ceil(sets), &mut chance))
        .collect();
    lots.push(works(&course, System::Us, 1000, &mut chance));
    lots.push(works(&course, System::Si, 1000, &mut chance));
    let runs = course.runs.len();
    let score = |run| scores(&course, run, 2000usize.div_ceil(runs), &mut chance);
    let mut runs: Vec<Lot> = course.runs.iter().map(score).collect();
    runs.extend(live::runs(&course, &mut chance));
    let walks: Vec<Lot> = crate::walk::requests(&course).into_iter().map(walk).collect();
    let (of_walks, _) = answers(&walks);
    assert!(of_walks.len() > 1000, "{}", of_walks.len());
    let (pairs, mut counts) = answers(&lots);
    let (of_runs, counts_of_runs) = answers(&runs);
    for (name, (asked, answered)) in counts_of_runs {
        let count = counts.entry(name).or_default();
        *count = (count.0 + asked, count.1 + answered);
    }
    let asked: u32 = counts.values().map(|count| count.0).sum();
    let answered: u32 = counts.values().map(|count| count.1).sum();
    println!("{asked} requests, {answered} answered: {counts:?}");
    assert!(asked >= 10_000 && answered * 10 >= asked * 9, "{counts:?}");
    let formulas: BTreeSet<&str> =
        course.library.formulas().map(|f| f.id.as_str()).collect();
    let worked: BTreeSet<&str> = pairs
        .iter()
        .filter_map(|(_, answer)| answer.strip_prefix("{\"done\":{\"answers\""))
        .filter_map(|rest| rest.split("\"formula\":\"").nth(1)?.split('"').next())
        .collect();
    assert_eq!(formulas.difference(&worked).collect::<Vec<_>>(), [] as [&&str; 0]);
    for kind in ["choice", "judge", "number", "order", "verdict"] {
        let needle = format!("\"kind\":\"{kind}\"");
        let hit = pairs.iter().filter(|(_, answer)| answer.contains(&needle)).count();
        println!("{kind}: {hit} drawn");
        assert!(hit > 10, "no question of the kind {kind}");
    }
    // Each page fetches one of the three doors alone.
    same_bytes("engine-walk", &of_walks);
    same_bytes("engine-practice", &pairs);
    same_bytes("engine-live", &of_runs);
}

fn same_bytes(engine: &str, pairs: &Pairs) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("requests.json");
    fs::write(&file, json!(pairs).to_string()).unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let node = Command::new("node")
        .arg(root.join("tests/browser/parity.mjs"))
        .arg(root.join("themes/plain").join(engine))
        .arg(&file)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&node.stdout);
    println!("{engine}: {said}");
    assert!(node.status.success(), "{said}{}", String::from_utf8_lossy(&node.stderr));
    let same = format!("{} answers are the same bytes", pairs.len());
    assert!(said.contains(&same), "{said}");
}
