//! The targets of `fuzz/` over their corpus, and over changed copies of it: without a fuzzer, the same
//! on every machine. `FUZZ_ROUNDS=200` makes more of them, each round others.

#[path = "../fuzz/targets.rs"]
mod targets;

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};

use drillwright::quiz::Chance;

/// Longest that one input may take here: these are built to be debugged, on a machine that does
/// other things; the program itself is held to two seconds in `tests/hostile.rs`.
const LONGEST: Duration = Duration::from_mins(1);

/// What readers stumble over.
const PIECES: [&str; 44] = [
    "\n",
    "\n\n",
    "\r\n",
    "\t",
    "  ",
    ": ",
    "- ",
    "? ",
    "{",
    "}",
    "[",
    "]",
    ",",
    ";",
    "\"",
    "'",
    "|",
    ">",
    "&a ",
    "*a",
    "!!str ",
    "---\n",
    "# ",
    "](x)",
    "![x](pictures/x.svg)",
    "\0",
    "\u{feff}",
    "\u{202e}",
    "\u{301}",
    "é",
    "漢",
    "null",
    "~",
    "true",
    "-1",
    "0",
    "1e999",
    "99999999999999999999999",
    "-0.0000000000000000000001",
    "1/0",
    "1,234.5",
    "gpm",
    "%",
    "2026-02-30",
];

/// A changed copy: a few cuts, doublings, pieces and parts of another file.
fn changed(whole: &[u8], other: &[u8], chance: &mut Chance) -> Vec<u8> {
    let mut text = whole.to_vec();
    for _ in 0..=chance.below(4) {
        let from = chance.place(text.len() + 1);
        // Most slips are short, some take half a file.
        let most = if chance.below(4) == 0 { (text.len() >> 1) + 1 } else { 12 };
        let to = (from + chance.place(most)).min(text.len());
        match chance.below(8) {
            0 => drop(text.drain(from..to)),
            1 => {
                let part = text[from..to].repeat(1 + chance.place(30));
                text.splice(from..from, part);
            }
            2 | 3 => {
                let piece = PIECES[chance.place(PIECES.len())].as_bytes();
                let times = if chance.below(8) == 0 { 200 } else { 1 };
                text.splice(from..from, piece.repeat(times));
            }
            4 => {
                let piece = PIECES[chance.place(PIECES.len())].as_bytes();
                text.splice(from..to, piece.to_vec());
            }
            5 => {
                let byte = u8::try_from(chance.below(256)).unwrap();
                text.splice(from..to, [byte]);
            }
            6 => {
                let start = chance.place(other.len() + 1);
                let end = (start + chance.place(200)).min(other.len());
                text.splice(from..to, other[start..end].to_vec());
            }
            _ => text.truncate(from),
        }
    }
    // What is longer says nothing that this does not, and takes the time of many.
    text.truncate(60_000);
    text
}

#[test]
fn every_target_has_its_corpus() {
    let folder = targets::root().join("fuzz/corpus");
    for (name, _) in targets::TARGETS {
        assert!(folder.join(name).is_dir(), "{name}");
        let door = targets::root().join(format!("fuzz/fuzz_targets/{name}.rs"));
        assert!(fs::read_to_string(door).unwrap().contains(&format!("run(\"{name}\"")));
    }
}

fn fuzzed(name: &str) {
    let folder = targets::root().join("fuzz/corpus").join(name);
    let mut files: Vec<_> =
        fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    let corpus: Vec<Vec<u8>> = files.iter().map(|file| fs::read(file).unwrap()).collect();
    assert!(corpus.len() >= 3, "{name}: {} files", corpus.len());
    let rounds = std::env::var("FUZZ_ROUNDS").ok().and_then(|set| set.parse().ok());
    let until = std::env::var("FUZZ_SECONDS").ok().and_then(|set| set.parse().ok());
    let until = until.map(|seconds| Instant::now() + Duration::from_secs(seconds));
    let (mut tried, mut slowest) = (0_u32, Duration::ZERO);
    let mut feed = |data: &[u8], what: &str| {
        let begun = Instant::now();
        let ended = catch_unwind(AssertUnwindSafe(|| targets::run(name, data)));
        if ended.is_err() {
            let kept = std::env::temp_dir().join(format!("fuzzed-{name}"));
            fs::write(&kept, data).unwrap();
            panic!("{name}, {what}: broke down over {}", kept.display());
        }
        let took = begun.elapsed();
        assert!(took < LONGEST, "{name}, {what}: {took:?}");
        (tried, slowest) = (tried + 1, slowest.max(took));
    };
    for (file, whole) in files.iter().zip(&corpus) {
        feed(whole, &file.display().to_string());
    }
    'rounds: for round in 0..rounds.unwrap_or(1_u32) {
        for (at, whole) in corpus.iter().enumerate() {
            let what = format!("file {at} in round {round}");
            let mut chance =
                Chance::of(&["fuzzed", name, &at.to_string(), &round.to_string()]);
            let other = &corpus[chance.place(corpus.len())];
            feed(&changed(whole, other, &mut chance), &what);
            if until.is_some_and(|until| Instant::now() > until) {
                break 'rounds;
            }
        }
    }
    println!("{name}: {tried} inputs, the slowest took {slowest:?}");
}

#[test]
fn files_of_a_module() {
    fuzzed("module");
}

#[test]
fn files_of_runs() {
    fuzzed("runs");
}

#[test]
fn tables_of_answers() {
    fuzzed("answers");
}

#[test]
fn files_of_forms() {
    fuzzed("forms");
}

#[test]
fn seeds() {
    fuzzed("seed");
}

#[test]
fn requests_to_an_engine_in_any_state() {
    fuzzed("engine");
}
