//! How fast the engine is: `cargo bench`.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use drillwright::course::{Course, Drill};
use drillwright::findings::Sources;
use drillwright::formulas::{Input, Inputs, Library, System};
use drillwright::quantity::Quantity;
use drillwright::quiz::{Kit, Order, Prepared, PreparedSet, Purpose, Ticket};
use drillwright::wire::{Desk, read, revision};
use drillwright::workshop::read_folder;
use drillwright::{authoring, scoring, stock};

fn main() {
    divan::main();
}

fn library() -> Library {
    authoring::library(&Sources::new()).0
}

fn inputs() -> Inputs {
    [("percent", "0.5 %"), ("flow", "125 gpm")]
        .into_iter()
        .filter_map(|(name, text)| {
            Some((name.to_owned(), Input::Number(Quantity::read(text).ok()?)))
        })
        .collect()
}

/// The answer alone.
#[divan::bench]
fn answer(bencher: divan::Bencher<'_, '_>) {
    let (library, inputs) = (library(), inputs());
    bencher.bench_local(|| library.evaluate("concentrate-flow", &inputs, System::Us));
}

/// Answer, verdicts and slips without a board, as proofs need them.
#[divan::bench]
fn tried(bencher: divan::Bencher<'_, '_>) {
    let (library, inputs) = (library(), inputs());
    bencher.bench_local(|| library.attempt("concentrate-flow", &inputs, System::Us));
}

/// Answer, board, verdicts and slips.
#[divan::bench]
fn board(bencher: divan::Bencher<'_, '_>) {
    let (library, inputs) = (library(), inputs());
    bencher.bench_local(|| library.work("concentrate-flow", &inputs, System::Us));
}

/// Every formula of the trade on its example: answer, board, verdicts and slips. The items a
/// second are formulas.
#[divan::bench]
fn every_formula(bencher: divan::Bencher<'_, '_>) {
    let library = library();
    let none = BTreeMap::new();
    let examples: Vec<(&str, Inputs)> = library
        .formulas()
        .map(|formula| (formula.id.as_str(), formula.example(System::Us, &none)))
        .collect();
    let work = |(id, inputs): &(&str, Inputs)| library.work(id, inputs, System::Us);
    let works = examples.iter().filter(|example| work(example).is_ok()).count();
    bencher
        .counter(divan::counter::ItemsCount::new(works))
        .bench_local(|| examples.iter().filter_map(|e| work(e).ok()).count());
}

/// Their answers alone.
#[divan::bench]
fn every_answer(bencher: divan::Bencher<'_, '_>) {
    let library = library();
    let none = BTreeMap::new();
    let examples: Vec<(&str, Inputs)> = library
        .formulas()
        .map(|formula| (formula.id.as_str(), formula.example(System::Us, &none)))
        .collect();
    let answer = |(id, inputs): &(&str, Inputs)| library.evaluate(id, inputs, System::Us);
    let works = examples.iter().filter(|example| answer(example).is_ok()).count();
    bencher
        .counter(divan::counter::ItemsCount::new(works))
        .bench_local(|| examples.iter().filter_map(|e| answer(e).ok()).count());
}

/// Reading the whole trade library.
#[divan::bench(sample_count = 20)]
fn read_trade_library() -> Library {
    library()
}

/// The example module.
fn course() -> Option<Course> {
    let root = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/content"));
    let (folder, _) = read_folder(root).ok()?;
    let others = folder.others.keys().cloned().collect();
    authoring::read(&folder.texts, &others, authoring::Options::default()).0
}

/// One variant of every question of the example with drawn numbers, each with its key, its
/// working and its choices: variants for each second.
#[divan::bench(sample_count = 20)]
fn variants_with_key_and_choices(bencher: divan::Bencher<'_, '_>) {
    let (Some(course), words) = (course(), stock::words()) else { return };
    let kit = Kit::of(&course, &words);
    let questions = course.sets.iter().flat_map(|set| &set.questions);
    let drawn = questions.filter(|question| !question.draws.is_empty());
    let prepared: Vec<Prepared<'_>> =
        drawn.filter_map(|question| Prepared::of(question, kit).ok()).collect();
    let mut seed = 0_u32;
    bencher.counter(divan::counter::ItemsCount::new(prepared.len())).bench_local(|| {
        seed += 1;
        let seed = seed.to_string();
        let ticket = Ticket { purpose: Purpose::Graded, seed: &seed, attempt: 1 };
        let none = BTreeSet::new();
        let made = prepared.iter().filter_map(|one| one.variant(ticket, 1, &none).ok());
        made.map(divan::black_box).collect::<Vec<_>>()
    });
}

/// Eight papers of a set for neighbours, with their keys.
#[divan::bench(sample_count = 20)]
fn eight_papers(bencher: divan::Bencher<'_, '_>) {
    let (Some(course), words) = (course(), stock::words()) else { return };
    let Some(set) = course.sets.first() else { return };
    let Ok(set) = PreparedSet::of(set, Kit::of(&course, &words)) else { return };
    let ease = BTreeMap::new();
    let order =
        Order { copies: 8, seed: "x", attempt: 1, practice_sheets: 2, ease: &ease };
    bencher.bench_local(|| set.batch(order).ok());
}

/// The example's run sheets read from a table with a row for each, checked and scored: runs
/// for each second.
#[divan::bench(sample_count = 20)]
fn runs_read_and_scored(bencher: divan::Bencher<'_, '_>) {
    let (Some(course), words) = (course(), stock::words()) else { return };
    let one = include_str!("../content/runs/totals-2026-11-23.csv");
    let (head, rows) = one.split_once('\n').unwrap_or_default();
    let mut table = format!("{head}\n");
    let mut count = 0_usize;
    for turn in 0..100 {
        for row in rows.lines() {
            count += 1;
            table.push_str(&row.replacen("tv-2026", &format!("tv-{turn}"), 1));
            table.push('\n');
        }
    }
    bencher.counter(divan::counter::ItemsCount::new(count)).bench_local(|| {
        let mut reader = authoring::RunReader::new(&course, &words, None);
        let (runs, _) = reader.read(&table, "runs.csv");
        let verdicts = runs.iter().map(|run| scoring::score(&run.kit, &run.sheet));
        verdicts.map(divan::black_box).collect::<Vec<_>>()
    });
}

/// One run of fifteen steps scored, its kit and its sheet at hand: runs for each second.
#[divan::bench(sample_count = 20)]
fn runs_scored(bencher: divan::Bencher<'_, '_>) {
    let (Some(course), words) = (course(), stock::words()) else { return };
    let kits = scoring::Kits::new(&course, &words);
    let none = drillwright::course::Kept::default();
    let kept =
        course.runs.iter().filter_map(|run| Some((kits.of(run, &none).ok()?, run)));
    let runs: Vec<_> = kept.collect();
    bencher.counter(divan::counter::ItemsCount::new(runs.len())).bench_local(|| {
        let verdicts = runs.iter().map(|(kit, run)| scoring::score(kit, run));
        verdicts.map(divan::black_box).collect::<Vec<_>>()
    });
}

/// One drill of the example: its YAML read, its faults looked for, its revision taken.
#[divan::bench]
fn drill_read(bencher: divan::Bencher<'_, '_>) {
    let root = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/content"));
    let Ok((folder, _)) = read_folder(root) else { return };
    let file = "drills/flush.yaml";
    let Some(text) = folder.texts.get(file) else { return };
    let one = Sources::from([(file.to_owned(), text.clone())]);
    bencher.bench_local(|| {
        let trees = authoring::Trees::read(&one, &mut Vec::new());
        let desk = Desk::default();
        let drill = trees.get(file).and_then(|node| read::<Drill>(desk.item(file, node)));
        (drill.map(|drill| revision(&drill)), desk)
    });
}
