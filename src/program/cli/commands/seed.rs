//! The seed of the graded papers: given, kept from the last time, or made.
//!
//! It stands in `staff/`, beside the keys, so that a second `compile` gives the same papers. To
//! get others, give another with `--seed`.

use std::path::Path;

use rand::TryRng;
use rand::rngs::SysRng;
use serde::{Deserialize, Serialize};

use crate::cli::end::Fault;
use crate::cli::terminal::Terminal;
use crate::quiz::{SEED_BITS, seed_bits, seed_text};
use crate::workshop::{Trouble, read_file};

/// Where the seed stands in the site; never in `crew/`.
pub(super) const FILE: &str = "staff/papers-seed.json";

#[derive(Debug, Serialize, Deserialize)]
struct Stored {
    about: String,
    seed: String,
}

/// The seed for this run.
pub(super) fn choose(
    given: Option<&str>,
    out: &Path,
    terminal: &Terminal,
) -> Result<String, Fault> {
    if let Some(given) = given {
        return strong(given, terminal);
    }
    match read_file(&out.join(FILE), 10_000) {
        Ok(bytes) => {
            // One that cannot be read was changed by hand; the site then refuses to replace it.
            let stored: Option<Stored> = serde_json::from_slice(&bytes).ok();
            stored.map_or_else(|| made(terminal), |stored| Ok(stored.seed))
        }
        Err(fault) if matches!(fault.trouble, Trouble::NotThere | Trouble::WrongSort) => {
            made(terminal)
        }
        Err(fault) => Err(fault.into()),
    }
}

/// The file that keeps the seed for the next run.
pub(super) fn file(seed: &str, terminal: &Terminal) -> Vec<u8> {
    let about = terminal.words.get("cli.about-seed");
    let stored = Stored { about, seed: seed.to_owned() };
    let mut text = serde_json::to_string_pretty(&stored).unwrap_or_default();
    text.push('\n');
    text.into_bytes()
}

/// A seed that was typed, unless it is soon guessed.
pub(super) fn strong(given: &str, terminal: &Terminal) -> Result<String, Fault> {
    let bits = seed_bits(given);
    if bits >= SEED_BITS {
        return Ok(given.to_owned());
    }
    let (bits, wanted) = (bits.to_string(), SEED_BITS.to_string());
    let blanks = [("bits", bits.as_str()), ("wanted", wanted.as_str())];
    Err(Fault::Said(terminal.words.say("cli.weak-seed", &blanks)))
}

/// 64 bits of the system's chance: nobody can guess a paper from the module.
pub(super) fn made(terminal: &Terminal) -> Result<String, Fault> {
    match SysRng.try_next_u64() {
        Ok(bits) => Ok(seed_text(bits)),
        Err(_) => Err(Fault::Said(terminal.words.get("cli.no-chance"))),
    }
}
