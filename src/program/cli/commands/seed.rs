//! The seed of the graded papers: given, kept from the last time, or made.
//!
//! It stands in `keys/`, beside the keys, so that a second `compile` gives the same papers. To
//! get others, give another with `--seed`, or have one made by `--seed new`.

use std::path::Path;

use rand::TryRng;
use rand::rngs::SysRng;
use serde::{Deserialize, Serialize};

use super::keys;
use crate::cli::end::Fault;
use crate::cli::terminal::Terminal;
use crate::quiz::{SEED_BITS, seed_strength, seed_text, words_known};
use crate::stock;
use crate::workshop::{Folder, Trouble, read_file};

#[derive(Debug, Serialize, Deserialize)]
struct Stored {
    about: String,
    seed: String,
}

/// The seed for this run.
pub(super) fn choose(
    given: Option<&str>,
    out: &Path,
    (folder, terminal): (&Folder, &Terminal),
) -> Result<String, Fault> {
    given.map_or_else(|| kept(out, terminal), |given| strong(given, folder, terminal))
}

/// The seed of the last run, or one that is made.
pub(super) fn kept(out: &Path, terminal: &Terminal) -> Result<String, Fault> {
    // Where an earlier program kept it comes second: with another seed every paper that was
    // printed could be marked no more.
    for place in [keys::SEED, keys::SEED_BEFORE] {
        // A seed is a line; a larger file is none of ours.
        match read_file(&out.join(place), 10_000) {
            Ok(bytes) => {
                // One that cannot be read was changed by hand; the site then refuses to
                // replace it.
                let stored: Option<Stored> = serde_json::from_slice(&bytes).ok();
                return stored.map_or_else(|| made(terminal), |stored| Ok(stored.seed));
            }
            Err(fault)
                if matches!(fault.trouble, Trouble::NotThere | Trouble::WrongSort) => {}
            Err(fault) => return Err(fault.into()),
        }
    }
    made(terminal)
}

/// The file that keeps the seed for the next run.
pub(super) fn file(seed: &str, terminal: &Terminal) -> Vec<u8> {
    let about = terminal.words.get("cli.about-seed");
    let stored = Stored { about, seed: seed.to_owned() };
    let mut text = serde_json::to_string_pretty(&stored).unwrap_or_default();
    text.push('\n');
    text.into_bytes()
}

/// What is typed instead of a seed where one is to be made.
const NEW: &str = "new";

/// A seed that was typed, unless it is soon guessed; or one that is made.
pub(super) fn strong(
    given: &str,
    folder: &Folder,
    terminal: &Terminal,
) -> Result<String, Fault> {
    if given == NEW {
        return made(terminal);
    }
    let words = &terminal.words;
    // Whoever guesses has the module and this program in front of him, and tries their words first.
    let trade = stock::trade();
    let said = words.keys().filter_map(|key| words.find(key));
    let module = folder.texts.values().map(String::as_str);
    let known = words_known(said.chain(trade.values().map(String::as_str)).chain(module));
    let strength = seed_strength(given, &known);
    if strength.bits >= SEED_BITS {
        return Ok(given.to_owned());
    }
    let (bits, wanted) = (strength.bits.to_string(), SEED_BITS.to_string());
    let blanks = [("bits", bits.as_str()), ("wanted", wanted.as_str())];
    let mut told = words.say("cli.weak-seed", &blanks);
    if !strength.idle.is_empty() {
        let idle = strength.idle.join(", ");
        told = format!("{told} {}", words.say("cli.weak-seed-idle", &[("idle", &idle)]));
    }
    Err(Fault::Said(told))
}

/// 64 bits of the system's chance: nobody can guess a paper from the module.
pub(super) fn made(terminal: &Terminal) -> Result<String, Fault> {
    match SysRng.try_next_u64() {
        Ok(bits) => Ok(seed_text(bits)),
        Err(_) => Err(Fault::Said(terminal.words.get("cli.no-chance"))),
    }
}
