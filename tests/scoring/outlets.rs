//! What repeats for each outlet of a run: each has its own marks, readings and expected values, and
//! what is one for all of them is their sum.

use std::borrow::Cow;

use drillwright::course::{CriticalMark, Mark, Mode, RunSheet};
use drillwright::quantity::Quantity;
use drillwright::scoring::{Decision, Kit, Outcome, Verdict, expectation, faults, score};
use drillwright::stock;

use super::example::example;
use super::fixture::q;
use super::sheets::{honest, in_mode};

fn flush() -> Kit {
    let (course, words) = (example(), stock::words());
    let rig = &course.rigs["engine-7"];
    Kit::of(&course, course.drill("flush").unwrap(), rig, &words).unwrap()
}

fn names(ids: &[&str]) -> Vec<String> {
    ids.iter().map(|id| (*id).to_owned()).collect()
}

/// An honest flush of an outlet and of others.
fn of(kit: &Kit, outlet: &str, further: &[&str]) -> (Kit, RunSheet) {
    let further = names(further);
    let on_lines = kit.on_lines(outlet, &further).into_owned();
    let mut sheet = honest(&on_lines, "operator", outlet);
    sheet.further = further;
    in_mode(kit, &mut sheet, Mode::TrainingFoam);
    (on_lines, sheet)
}

fn expected(kit: &Kit, sheet: &RunSheet, id: &str) -> Quantity {
    let measure = kit.drill().measures.iter().find(|one| one.id == id).unwrap();
    let of = expectation(kit, measure, &sheet.outlet, &sheet.readings).unwrap();
    Quantity::new(of.value, drillwright::quantity::find(&measure.unit).unwrap())
}

fn on<'v>(verdict: &'v Verdict, subject: &str) -> Vec<&'v str> {
    let lines = verdict.lines.iter().filter(|line| line.subject == subject);
    lines.map(|line| line.sentence.as_str()).collect()
}

#[test]
fn two_lines_have_two_least_times_two_answers_and_one_sum_of_water() {
    let kit = flush();
    let (both, sheet) = of(&kit, "crosslay-1", &["rear-foam"]);
    assert_eq!(faults(&kit, &sheet), []);
    let verdict = score(&kit, &sheet);
    assert_eq!(verdict.outcome, Outcome::Met, "{}", verdict.reason);
    let ids: Vec<_> = both.drill().steps.iter().map(|step| step.id.as_str()).collect();
    let of_both =
        ["least-time", "least-time@rear-foam", "ask-clear", "ask-clear@rear-foam"];
    let found: Vec<_> = ids.iter().filter(|id| of_both.contains(id)).collect();
    assert_eq!(found, of_both.iter().collect::<Vec<_>>());
    // Each by its own hose and flow, as if it had been flushed alone; the water is the sum.
    for time in ["flush-time", "flush-water"] {
        let (one, first) = of(&kit, "crosslay-1", &[]);
        let (other, second) = of(&kit, "rear-foam", &[]);
        let alone = expected(&one, &first, time).number();
        let apart = expected(&other, &second, time).number();
        assert_ne!(alone, apart);
        let together = expected(&both, &sheet, time).number();
        if time == "flush-water" {
            assert_eq!(together, alone.add(apart).unwrap());
        } else {
            assert_eq!(together, alone);
            let further = expected(&both, &sheet, "flush-time@rear-foam").number();
            assert_eq!(further, apart);
        }
    }
}

#[test]
fn the_second_line_is_held_to_all_that_the_first_is() {
    let kit = flush();
    let (_, clean) = of(&kit, "crosslay-1", &["crosslay-2", "rear-foam"]);
    assert_eq!(score(&kit, &clean).outcome, Outcome::Met);
    for line in ["", "@crosslay-2", "@rear-foam"] {
        let id = |of: &str| format!("{of}{line}");
        // Shorter than one volume: declared clear without the old water out.
        let mut short = clean.clone();
        short.measures.insert(id("flush-time"), q("2 s"));
        let verdict = score(&kit, &short);
        assert_ne!(verdict.outcome, Outcome::Met, "{line}");
        short.criticals.insert("clear-on-time-alone".into(), CriticalMark::Yes);
        let told = "Two seconds, and reported clear.".to_owned();
        short.happened.insert("clear-on-time-alone".into(), told);
        assert_eq!(score(&kit, &short).outcome, Outcome::NotMet, "{line}");
        // Its nozzle was never asked.
        let mut unasked = clean.clone();
        unasked.marks.insert(id("ask-clear"), Mark::NotDone);
        let verdict = score(&kit, &unasked);
        assert_eq!(verdict.outcome, Outcome::Incomplete, "{line}: {}", verdict.reason);
        unasked.criticals.insert("clear-on-time-alone".into(), CriticalMark::Yes);
        let told = "The nozzle was never asked.".to_owned();
        unasked.happened.insert("clear-on-time-alone".into(), told);
        assert_eq!(score(&kit, &unasked).outcome, Outcome::NotMet, "{line}");
        // Nobody saw whether it was.
        let mut unseen = clean.clone();
        unseen.marks.insert(id("ask-clear"), Mark::NotSeen);
        assert_eq!(score(&kit, &unseen).outcome, Outcome::Incomplete, "{line}");
        let mut silent = clean.clone();
        silent.marks.remove(&id("ask-clear"));
        assert_eq!(score(&kit, &silent).outcome, Outcome::Incomplete, "{line}");
        // No reading of its flow: nothing is known to hold its time against.
        let mut unread = clean.clone();
        unread.readings.remove(&id("flow-read"));
        assert_ne!(score(&kit, &unread).outcome, Outcome::Met, "{line}");
        // More than this line can pass is no reading of it.
        let mut beyond = clean.clone();
        beyond.readings.insert(id("flow-read"), q("450 gpm"));
        let asked = faults(&kit, &beyond);
        assert!(asked.iter().any(|fault| fault.key == "flow-above-line"), "{line}");
        // Asked only after the word was passed on: the pair of that line is broken.
        let mut late = clean.clone();
        let all = kit.on_lines(&late.outlet, &late.further).into_owned();
        let mut order: Vec<_> =
            all.drill().steps.iter().map(|step| step.id.clone()).collect();
        order.retain(|step| *step != id("ask-clear") && late.marks.contains_key(step));
        order.push(id("ask-clear"));
        late.order_seen = drillwright::course::OrderSeen::Listed(order);
        let verdict = score(&kit, &late);
        assert_eq!(verdict.outcome, Outcome::Incomplete, "{line}: {}", verdict.reason);
    }
}

/// The water of one line does not flush two: the sum decides, not the line that was named first.
#[test]
fn one_lines_water_is_not_enough_for_three() {
    let kit = flush();
    let (one, alone) = of(&kit, "crosslay-1", &[]);
    let water = expected(&one, &alone, "flush-water");
    let (all, mut sheet) = of(&kit, "crosslay-1", &["crosslay-2", "rear-foam"]);
    let sum = expected(&all, &sheet, "flush-water");
    assert!(sum.number() > water.number());
    let step = q("1 gal");
    let up = |of: &Quantity| {
        let way = drillwright::quantity::Direction::Up;
        let number = drillwright::quantity::Number::Exact(of.number());
        let shown = drillwright::quantity::show(number, step.number(), way).unwrap();
        Quantity::new(shown.value, step.unit())
    };
    sheet.measures.insert("flush-water".into(), up(&water));
    let verdict = score(&kit, &sheet);
    let line = verdict.lines.iter().find(|line| line.subject == "flush-water").unwrap();
    assert_eq!(line.decision, Decision::Costs, "{:?}", on(&verdict, "flush-water"));
    sheet.measures.insert("flush-water".into(), up(&sum));
    assert_eq!(score(&kit, &sheet).outcome, Outcome::Met);
}

#[test]
fn outlets_that_cannot_be_are_refused_and_a_run_of_one_reads_as_before() {
    let kit = flush();
    let (_, sheet) = of(&kit, "crosslay-1", &["crosslay-2"]);
    let keys = |further: &[&str]| {
        let mut sheet = sheet.clone();
        sheet.further = names(further);
        let found = faults(&kit, &sheet);
        found.iter().map(|fault| (fault.key, fault.field())).collect::<Vec<_>>()
    };
    assert!(
        keys(&["crosslay-9"]).contains(&("unknown-outlet", "further-outlets".into()))
    );
    assert!(keys(&["crosslay-1"]).contains(&("outlet-twice", "further-outlets".into())));
    let twice = ["crosslay-2", "crosslay-2"];
    assert!(keys(&twice).contains(&("outlet-twice", "further-outlets".into())));
    // A mark of an outlet that the run does not name is a mark of nothing.
    assert!(keys(&[]).iter().any(|(key, _)| *key == "unknown-step"));
    let mut refused = sheet.clone();
    refused.further = names(&["crosslay-2", "crosslay-2"]);
    assert_eq!(score(&kit, &refused).outcome, Outcome::Refused);
    // Where nothing repeats, one run is of one outlet.
    let (course, words) = (example(), stock::words());
    let purge = course.drill("purge").unwrap();
    let purge = Kit::of(&course, purge, &course.rigs["engine-7"], &words).unwrap();
    let mut run = honest(&purge, "operator", "crosslay-1");
    run.further = names(&["crosslay-2"]);
    assert!(faults(&purge, &run).iter().any(|fault| fault.key == "one-outlet"));
    // Nothing is written out for one, and nothing twice.
    let one = kit.on_lines("crosslay-1", &[]);
    assert!(matches!(one, Cow::Borrowed(_)));
    let two = kit.on_lines("crosslay-1", &names(&["crosslay-2"])).into_owned();
    assert!(matches!(
        two.on_lines("crosslay-1", &names(&["crosslay-2"])),
        Cow::Borrowed(_)
    ));
    assert_eq!(two.drill_revision(), kit.drill_revision());
}

/// The names of what repeats are read wherever a file names a step.
#[test]
fn lists_of_a_file_name_what_repeats() {
    let (course, words) = (example(), stock::words());
    let content = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let text = std::fs::read_to_string(content.join("runs/tv-2026-001.yaml")).unwrap();
    let line = |from: &str, to: &str, text: &str| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    };
    let text = line(
        "outlet: crosslay-1\n",
        "outlet: crosslay-1\nfurther-outlets: [rear-foam]\n",
        &text,
    );
    let text = line(
        "  ask-clear: done\n",
        "  ask-clear: done\n  ask-clear@rear-foam: done\n  least-time@rear-foam: done\n",
        &text,
    );
    let text = line(
        "  flow-read: 125 gpm\n",
        "  flow-read: 125 gpm\n  flow-read@rear-foam: 250 gpm\n",
        &text,
    );
    let text = line(
        "  flush-time: 48 s\n",
        "  flush-time: 48 s\n  flush-time@rear-foam: 300 s\n",
        &text,
    );
    let text = line("  flush-water: 100 gal\n", "  flush-water: 400 gal\n", &text);
    let of = |text: &str| {
        let mut reader = drillwright::authoring::RunReader::new(&course, &words, None);
        let (runs, found) = reader.read(text, "run.yaml");
        let [run] = runs.as_slice() else { panic!("{found:#?}") };
        score(&run.kit, &run.sheet)
    };
    let whole = of(&text);
    assert_eq!(whole.outcome, Outcome::Met, "{}", whole.reason);
    let (all, _) = self::of(&flush(), "crosslay-1", &["rear-foam"]);
    let steps: Vec<_> = all.drill().steps.iter().map(|step| step.id.as_str()).collect();
    let listed = format!("order-seen: [{}]", steps.join(", "));
    let listed = line("order-seen: as printed", &listed, &text);
    assert_eq!(of(&listed).outcome, Outcome::Met, "{}", of(&listed).reason);
    for field in ["undone: [ask-clear@rear-foam]", "took-away: [ask-clear@rear-foam]"] {
        let verdict = of(&format!("{text}{field}\n"));
        assert_ne!(verdict.outcome, Outcome::Met, "{field}");
    }
}

/// Whoever takes something away on any of the lines gains nothing by it.
#[test]
fn rule_9_nothing_left_out_on_any_line_ever_pays() {
    let kit = flush();
    let all = ["crosslay-1", "crosslay-2", "rear-foam"];
    let mut tried = 0;
    for first in all {
        let others: Vec<_> = all.into_iter().filter(|line| *line != first).collect();
        for further in [&others[..1], &others] {
            let (on_lines, clean) = of(&kit, first, further);
            let whole = score(&kit, &clean);
            assert_eq!(whole.outcome, Outcome::Met, "{first} {further:?}");
            for step in &on_lines.drill().steps {
                for mark in [Mark::NotDone, Mark::Prompted, Mark::NotSeen] {
                    let mut less = clean.clone();
                    if !less.marks.contains_key(&step.id) {
                        continue;
                    }
                    less.marks.insert(step.id.clone(), mark);
                    let of = on_lines.drill().measures.iter();
                    for measure in of.filter(|one| one.step == step.id) {
                        less.measures.remove(&measure.id);
                    }
                    let verdict = score(&kit, &less);
                    assert!(verdict.earned <= whole.earned, "{} {mark:?}", step.id);
                    tried += 1;
                }
            }
        }
    }
    assert!(tried > 300, "{tried}");
}
