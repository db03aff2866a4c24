//! How fast the engine is: `cargo bench`.

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

/// Reading the whole trade library.
#[divan::bench(sample_count = 20)]
fn read_trade_library() -> Library {
    library()
}
