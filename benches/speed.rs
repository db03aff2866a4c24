//! How fast the engine is: `cargo bench`.

use std::collections::BTreeMap;

use drillwright::authoring;
use drillwright::findings::Sources;
use drillwright::formulas::{Input, Inputs, Library, System};
use drillwright::quantity::Quantity;

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

/// The answer alone, as proofs need it.
#[divan::bench]
fn answer(bencher: divan::Bencher<'_, '_>) {
    let (library, inputs) = (library(), inputs());
    bencher.bench_local(|| library.evaluate("concentrate-flow", &inputs, System::Us));
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
