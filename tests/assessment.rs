//! Scoring against cases computed by independent libraries; each names its source.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use drillwright::course::{
    Bind, Critical, CriticalMark, Drill, Edge, Expect, Link, Mark, OrderRule, OrderSeen,
    TimeTaken, Tolerance,
};
use drillwright::quantity::{Direction, Fraction, Number, Quantity, find, show};
use drillwright::scoring::{
    Kit, Outcome, expectation, order_statistics, printed_tau, score,
};
use serde_json::Value;

use crate::reference::names::symbol;
use crate::scoring::fixture::{chain, clean, data, q, yard};

fn all_cases() -> Value {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(root.join("tests/reference/assessment-checks.json"));
    serde_json::from_str(&text.unwrap()).unwrap()
}

/// Runs every case of a topic; a failing one shows its id and its source.
fn on_cases(topic: &str, run: impl Fn(&Value, &Value) -> Result<(), String>) {
    let all = all_cases();
    let cases = all["cases"].as_array().unwrap().iter();
    let cases: Vec<&Value> = cases.filter(|case| case["topic"] == topic).collect();
    assert!(cases.len() > 1, "no cases on {topic}");
    for case in cases {
        if let Err(fault) = run(&case["input"], &case["expected"]) {
            panic!("{} (by {}): {fault}", case["id"], case["library"]);
        }
    }
}

fn fraction(value: &Value) -> Fraction {
    let text = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
    Fraction::read(&text).unwrap_or_else(|| panic!("{text}"))
}

/// A number as it is printed, as other libraries write it: no signs between the thousands, the
/// minus of a keyboard.
fn bare(printed: &str) -> String {
    printed.replace('−', "-").replace(',', "")
}

fn near(found: Fraction, wanted: &Value) -> Result<(), String> {
    let away = found.sub(fraction(wanted)).unwrap().absolute();
    let allowed = Fraction::new(1, 1_000_000_000).unwrap();
    if away <= allowed { Ok(()) } else { Err(format!("{found} for {wanted}")) }
}

fn same<T: PartialEq + std::fmt::Debug>(found: &T, wanted: &T) -> Result<(), String> {
    if found == wanted { Ok(()) } else { Err(format!("{found:?} for {wanted:?}")) }
}

/// A drill of as many steps as there are weights, each critical step with its critical.
fn checklist(
    input: &Value,
) -> (Drill, BTreeMap<String, Mark>, BTreeMap<String, CriticalMark>) {
    let mut drill = chain();
    let (step, critical) = (drill.steps[0].clone(), drill.criticals[0].clone());
    (drill.steps, drill.criticals) = (Vec::new(), Vec::new());
    (drill.order, drill.measures) = (Vec::new(), Vec::new());
    let (mut marks, mut criticals) = (BTreeMap::new(), BTreeMap::new());
    for (at, weight) in input["weights"].as_array().unwrap().iter().enumerate() {
        let id = format!("step-{at}");
        let mut step = step.clone();
        step.id.clone_from(&id);
        step.weight = weight.as_u64().unwrap().try_into().unwrap();
        drill.steps.push(step);
        let done = input["result"][at] == 1;
        marks.insert(id.clone(), if done { Mark::Done } else { Mark::NotDone });
        if input["critical"][at] == true {
            let links = vec![Link::Free { why: String::new() }];
            drill.criticals.push(Critical { id: id.clone(), links, ..critical.clone() });
            let mark = if done { CriticalMark::No } else { CriticalMark::Yes };
            criticals.insert(id, mark);
        }
    }
    (drill, marks, criticals)
}

/// The percent of a checklist with `weights`, `result` and `critical` by step and the pass
/// mark `cut`, and whether the run met the standard.
pub(crate) fn checklist_score(input: &Value) -> (Fraction, bool) {
    let (drill, marks, criticals) = checklist(input);
    let mut data = data(drill, true);
    data.standard.pass_mark.as_mut().unwrap().value = q(&format!("{} %", input["cut"]));
    let kit = Kit::new(data).unwrap();
    let mut sheet = clean(&kit);
    sheet.order_seen = OrderSeen::AsPrinted;
    sheet.measures.clear();
    (sheet.marks, sheet.criticals) = (marks, criticals);
    let verdict = score(&kit, &sheet);
    let percent =
        Fraction::new(i128::from(verdict.earned) * 100, i128::from(verdict.possible));
    (percent.unwrap(), verdict.outcome == Outcome::Met)
}

#[test]
fn checklist_scores() {
    on_cases("checklist_score", |input, wanted| {
        let (percent, met) = checklist_score(input);
        near(percent, &wanted["percent"])?;
        same(&Some(if met { "pass" } else { "fail" }), &wanted["decision"].as_str())
    });
}

#[test]
fn half_points_are_left_out_for_a_written_reason() {
    let all = all_cases();
    let left_out = all["left_out"].as_array().unwrap().iter();
    let scores: Vec<&Value> =
        left_out.filter(|case| case["topic"] == "checklist_score").collect();
    assert!(!scores.is_empty(), "no score is left out any more");
    for case in scores {
        let results = case["input"]["result"].as_array().unwrap();
        assert!(results.iter().any(|result| result.as_i64().is_none()));
        assert!(case["reason"].as_str().unwrap().contains("half points"));
    }
}

#[test]
fn order_figures() {
    on_cases("order", |input, wanted| {
        let texts = |value: &Value| -> Vec<String> {
            let list = value.as_array().unwrap().iter();
            list.map(|text| text.as_str().unwrap().to_owned()).collect()
        };
        let rules: Vec<OrderRule> = texts(&input["constraints"])
            .iter()
            .map(|text| {
                let (first, then) = text.split_once('>').unwrap();
                OrderRule {
                    first: first.into(),
                    then: then.into(),
                    because: String::new(),
                    cannot: false,
                }
            })
            .collect();
        let found = order_statistics(&rules, &texts(&input["performed"]));
        // What was done out of order counts, not in which order it is listed.
        let direct = found.direct.iter().map(|(first, then)| format!("{first}>{then}"));
        let (mut direct, mut wanted_direct) =
            (direct.collect::<Vec<_>>(), texts(&wanted["direct_violations"]));
        direct.sort();
        wanted_direct.sort();
        same(&direct, &wanted_direct)?;
        same(
            &found.transitive.to_string(),
            &wanted["transitive_violations"].to_string(),
        )?;
        same(&found.comparable.to_string(), &wanted["comparable_pairs"].to_string())?;
        same(&found.longest.to_string(), &wanted["longest_in_order"].to_string())?;
        let Some(tau) = found.tau else {
            return same(&Value::Null, &wanted["kendall_tau"]);
        };
        near(tau, &wanted["kendall_tau"])?;
        let printed = bare(&printed_tau(tau));
        let away =
            Fraction::read(&printed).unwrap().sub(fraction(&wanted["kendall_tau"]));
        let half = Fraction::new(1, 20_000).unwrap();
        if away.unwrap().absolute() <= half {
            Ok(())
        } else {
            Err(format!("printed {printed}"))
        }
    });
}

/// The step of a watch that shows all these times: 0.01 s for 90.04 s.
fn watch(times: &[&Value]) -> String {
    let places = |time: &&Value| {
        time.to_string().split_once('.').map_or(0, |(_, places)| places.len())
    };
    match times.iter().map(places).max() {
        None | Some(0) => "1 s".to_owned(),
        Some(places) => format!("0.{}1 s", "0".repeat(places - 1)),
    }
}

#[test]
fn a_watch_shows_every_time_of_its_case() {
    let times = serde_json::json!([60, 59.9, 90.04, 0.125]);
    let times: Vec<&Value> = times.as_array().unwrap().iter().collect();
    for (upto, step) in [(1, "1 s"), (2, "0.1 s"), (3, "0.01 s"), (4, "0.001 s")] {
        assert_eq!(watch(&times[..upto]), step);
    }
}

#[test]
fn time_bands_include_their_edge() {
    on_cases("time_band", |input, wanted| {
        let all = ["times", "edges"].map(|list| input[list].as_array().unwrap());
        let resolution = watch(&all.into_iter().flatten().collect::<Vec<_>>());
        let edges = input["edges"].as_array().unwrap();
        for (at, time) in input["times"].as_array().unwrap().iter().enumerate() {
            let within = |edge: &Value| {
                let mut drill = yard();
                let standard = drill.time.as_mut().unwrap();
                standard.within = q(&format!("{edge} s"));
                standard.resolution = q(&resolution);
                let kit = Kit::new(data(drill, true)).unwrap();
                let mut sheet = clean(&kit);
                let taken = q(&format!("{time} s"));
                sheet.time = Some(TimeTaken { taken, held: None });
                score(&kit, &sheet).outcome == Outcome::Met
            };
            let band = edges.iter().position(within).unwrap_or(edges.len());
            same(&input["labels"][band], &wanted[at])
                .map_err(|f| format!("{time} s: {f}"))?;
        }
        Ok(())
    });
}

/// Whether a value is inside a relative tolerance around an expected one, by a drill's
/// measured value.
fn inside(input: &Value) -> bool {
    let text = |name: &str| input[name].as_str().unwrap();
    let share = || Edge::Relative(q(&format!("{} %", text("percent"))));
    let mut drill = chain();
    let measure = &mut drill.measures[0];
    measure.expect = Expect::Bound(Bind::Value(q(&format!("{} gpm", text("expected")))));
    measure.tolerance = Tolerance { below: share(), above: share() };
    let kit = Kit::new(data(drill, true)).unwrap();
    let measure = &kit.drill().measures[0];
    let expected = expectation(&kit, measure, "one", &BTreeMap::new()).unwrap();
    expected.contains(Fraction::read(text("measured")).unwrap())
}

#[test]
fn tolerances_are_exact_and_include_their_edge() {
    for topic in ["tolerance", "tolerance_edge"] {
        on_cases(topic, |input, wanted| {
            same(&Some(inside(input)), &wanted["inside"].as_bool())
        });
    }
}

/// Half up to a step, as printed.
fn rounded(value: &str, step: Fraction) -> String {
    let value = Number::Exact(Fraction::read(value).unwrap());
    show(value, step, Direction::Near).unwrap().with_unit("")
}

fn step_of(places: i64) -> Fraction {
    let ten = 10_i128.pow(u32::try_from(places.abs()).unwrap());
    if places >= 0 { Fraction::new(1, ten).unwrap() } else { Fraction::whole(ten) }
}

#[test]
fn decimals_are_rounded_half_up_from_their_text() {
    on_cases("round_decimals", |input, wanted| {
        let step = step_of(input["places"].as_i64().unwrap());
        let found = bare(&rounded(input["x"].as_str().unwrap(), step));
        same(&Some(found.as_str()), &wanted["half_up"].as_str())
    });
}

#[test]
fn figures_are_rounded_half_up_from_their_text() {
    for topic in ["round_sigfig", "round_sigfig_r"] {
        on_cases(topic, |input, wanted| {
            let text = |value: &Value| {
                value.as_str().map_or_else(|| value.to_string(), str::to_owned)
            };
            let (x, figures) = (text(&input["x"]), input["figures"].as_i64().unwrap());
            let wanted = text(wanted.get("half_up").unwrap_or(wanted));
            // So many places that the number keeps its figures; carried over, one fewer.
            let limit = Fraction::whole(10_i128.pow(u32::try_from(figures).unwrap()));
            let found = (-15..=15).rev().map(|places| {
                let step = step_of(places);
                let shown = show(
                    Number::Exact(Fraction::read(&x).unwrap()),
                    step,
                    Direction::Near,
                );
                (shown.unwrap().value, step)
            });
            let fits = |(value, step): &(Fraction, Fraction)| {
                value.absolute().div(*step).unwrap() < limit
            };
            let (value, step) = found.into_iter().find(fits).unwrap();
            near(value, &Value::String(wanted.clone()))?;
            // Zeros that carry a figure are printed: 75.0 and 7.50.
            let printed = bare(&rounded(&x, step));
            let zero = value.signum() == 0;
            let whole = !wanted.contains('.');
            if zero || whole || topic == "round_sigfig_r" || printed == wanted {
                return Ok(());
            }
            Err(format!("printed {printed} for {wanted}"))
        });
    }
}

#[test]
fn units_are_converted_as_elsewhere() {
    on_cases("unit", |input, wanted| {
        let unit = |name: &str| {
            let symbol = symbol(input[name].as_str().unwrap());
            find(&symbol).ok_or_else(|| format!("no unit {symbol}"))
        };
        let value = Fraction::read(&input["value"].to_string()).unwrap();
        let from = Quantity::new(value, unit("from")?);
        let found = from.in_unit(unit("to")?).ok_or("of another kind")?.number();
        let wanted = fraction(wanted);
        let away = found.sub(wanted).unwrap().absolute();
        // Theirs are binary floats: so many figures, and near nothing so many places.
        let figures = wanted.absolute().mul(Fraction::new(1, 10_000_000_000).unwrap());
        let least = Fraction::new(1, 10_000_000).unwrap();
        let allowed = figures.unwrap().max(least);
        if away <= allowed { Ok(()) } else { Err(format!("{found} for {wanted}")) }
    });
}

#[test]
fn no_topic_of_the_reference_is_passed_over() {
    let all = all_cases();
    let topics = all["cases"].as_array().unwrap().iter();
    let topics: std::collections::BTreeSet<&str> =
        topics.map(|case| case["topic"].as_str().unwrap()).collect();
    let here = [
        "checklist_score",
        "order",
        "round_decimals",
        "round_sigfig",
        "round_sigfig_r",
        "time_band",
        "tolerance",
        "tolerance_edge",
        "unit",
    ];
    // Under the code that they check, in src/engine/quiz: chance, choose, deal, guess; the share
    // of right answers in tests/reference/assessed.rs.
    let quiz = [
        "item_p",
        "distractor_collision",
        "form_seed",
        "guess_pass",
        "parallel_forms",
        "prng_words",
        "tolerance_vs_error_path",
    ];
    assert_eq!(topics, here.into_iter().chain(quiz).collect());
}
