//! How many guesses a seed stands.
//!
//! The form code stands on every paper, so anybody who guesses the seed can see that the guess
//! was right, and then has the key. A seed must therefore be as good as 64 tossed coins.

use std::collections::BTreeSet;

use crate::fingerprint::check_code;

/// Bits that a seed needs, because the form code lets anybody try guesses on a computer of
/// their own: 2^64 tries are out of reach of a neighbour's.
pub const SEED_BITS: u32 = 64;

/// Tenths of a bit for a word that stands in a dictionary: one of about two thousand.
const WORD: u32 = 110;

/// Tenths of a bit for one letter, one digit and one sign that mean nothing together: one of
/// 26 and one of ten. A sign is worth little, because people put one at the end.
const LETTER: u32 = 47;
const DIGIT: u32 = 33;
const SIGN: u32 = 10;

/// A careful estimate of the bits of a typed seed, in words and digits that differ.
///
/// Four letters and more count as one word, however many they are; a year counts as seven bits;
/// what stands there a second time counts nothing.
pub fn seed_bits(text: &str) -> u32 {
    if let Some(bits) = made(text) {
        return bits;
    }
    let mut seen: Vec<String> = Vec::new();
    let mut tenths = 0;
    for part in parts(text) {
        let small = part.to_lowercase();
        if !seen.contains(&small) {
            tenths += worth(&small);
            seen.push(small);
        }
    }
    tenths.div_euclid(10)
}

/// Bits of a seed that this program made: its check letter fits, and few of its letters are the
/// same.
fn made(text: &str) -> Option<u32> {
    let code = check_code(text)?;
    let letters: Vec<char> = code.chars().filter(|letter| *letter != '-').collect();
    let kinds: BTreeSet<&char> = letters.iter().collect();
    let bits = 5 * u32::try_from(letters.len().saturating_sub(1)).ok()?;
    // Of fourteen letters drawn from 32 fewer than five kinds come out once in a hundred
    // million seeds; what people make up, ABAB or 1111, has fewer and happens to fit the
    // check letter once in 32.
    (kinds.len() >= 5).then_some(bits)
}

/// Runs of letters, runs of digits, and every other sign on its own. Letters and digits that
/// take turns, as in a code, are cut at each turn.
fn parts(text: &str) -> Vec<String> {
    let sort = |c: char| match c {
        c if c.is_alphabetic() => 0,
        c if c.is_numeric() => 1,
        _ => 2,
    };
    let mut parts: Vec<String> = Vec::new();
    let mut last = None;
    for letter in text.chars() {
        match parts.last_mut() {
            // Letters and digits run on; a sign (2) always stands alone, so that "!!!" is
            // three parts of which two count nothing.
            Some(part) if last == Some(sort(letter)) && sort(letter) < 2 => {
                part.push(letter);
            }
            _ => parts.push(letter.to_string()),
        }
        last = Some(sort(letter));
    }
    parts
}

fn worth(part: &str) -> u32 {
    let length = u32::try_from(part.chars().count()).unwrap_or(u32::MAX);
    let first = part.chars().next().unwrap_or(' ');
    // A birthday or this year: some 130 are thought of at all, seven bits, where four free
    // digits would have thirteen.
    let year = length == 4 && (part.starts_with("19") || part.starts_with("20"));
    let mut kinds: Vec<char> = part.chars().collect();
    kinds.sort_unstable();
    kinds.dedup();
    let kinds = u32::try_from(kinds.len()).unwrap_or(u32::MAX);
    match first {
        // Up to three letters are too short to be looked up: each counts for itself. From four
        // on they are a word, and a long word is guessed no later than a short one.
        c if c.is_alphabetic() && length >= 4 => WORD,
        c if c.is_alphabetic() => LETTER * kinds,
        _ if year => 70,
        // Of 1111 or 1010 only the different digits count.
        c if c.is_numeric() => DIGIT * length.min(kinds * 2),
        _ => SIGN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quiz::seed_text;

    #[test]
    fn what_people_type_is_weak_and_what_the_tool_makes_is_not() {
        let weak = [
            "harness",
            "autumn-retest",
            "Autumn retest 2026",
            "station 3 november 2026",
            "12345678",
            "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa",
            "1111111111111111111111111",
            "foam foam foam foam foam foam foam foam",
            "2026-11-25",
            "",
        ];
        for text in weak {
            assert!(seed_bits(text) < SEED_BITS, "{text}: {}", seed_bits(text));
        }
        assert!(seed_bits("ladder onion gravel pencil otter velvet") >= SEED_BITS);
        assert!(seed_bits("83 19402 77 64821 05 99312 468") >= SEED_BITS);
    }

    #[test]
    fn every_seed_of_the_tool_is_let_through() {
        let mut chance = crate::quiz::Chance::of(&["test", "seeds"]);
        for _ in 0..5000 {
            let bits = u64::from(chance.word()) << 32 | u64::from(chance.word());
            let seed = seed_text(bits);
            assert!(seed_bits(&seed) >= SEED_BITS, "{seed}");
        }
        assert!(seed_bits("0000-0000-0000-00") < SEED_BITS);
    }
}
