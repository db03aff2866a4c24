//! Chance with a key: the same words give the same numbers on every machine.
//!
//! The key is SHA-256 of the parts joined by U+001F; the stream is `ChaCha20` from counter 0
//! with an empty nonce, read as little-endian words of 32 bits. Ranges and shuffles are our
//! own, because those of libraries changed between versions and the raw stream did not.
//! Anybody can rebuild a paper's numbers from its parts with another program.

use rand::rngs::ChaCha20Rng;
use rand::{Rng, SeedableRng};

use crate::fingerprint::sha256;

/// A stream of chance.
#[derive(Debug)]
pub struct Chance {
    words: ChaCha20Rng,
}

impl Chance {
    /// The stream of these parts, in this order.
    pub fn of(parts: &[&str]) -> Self {
        Self::from_key(key(parts))
    }

    /// The stream of a key of 256 bits.
    pub fn from_key(key: [u8; 32]) -> Self {
        Self { words: ChaCha20Rng::from_seed(key) }
    }

    /// The next 32 bits.
    pub fn word(&mut self) -> u32 {
        self.words.next_u32()
    }

    /// A number from 0 to `limit` − 1, each as likely as any other: words beyond the last
    /// whole multiple of `limit` are thrown away. 0 for a limit of 0.
    pub fn below(&mut self, limit: u32) -> u32 {
        let Some(beyond) = (1_u64 << 32).checked_rem(u64::from(limit)) else { return 0 };
        // Words of the last, shorter round are thrown away: with them the first values would
        // come a little more often.
        let usable = (1_u64 << 32) - beyond;
        loop {
            let word = self.word();
            if u64::from(word) < usable {
                return word.checked_rem(limit).unwrap_or(0);
            }
        }
    }

    /// [`Chance::below`] for places in a list.
    pub fn place(&mut self, length: usize) -> usize {
        let limit = u32::try_from(length).unwrap_or(u32::MAX);
        usize::try_from(self.below(limit)).unwrap_or(0)
    }

    /// Shuffles a list (Fisher and Yates, from the last place down).
    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        // Fisher and Yates from the top: each place changes with one that is still open, itself
        // included, so that every order is as likely as another.
        for last in (1..items.len()).rev() {
            let other = self.place(last + 1);
            items.swap(last, other);
        }
    }
}

/// SHA-256 of the parts joined by U+001F.
pub fn key(parts: &[&str]) -> [u8; 32] {
    sha256(parts.join("\u{1f}").as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bytes(chance: &mut Chance, words: usize) -> String {
        let mut out = String::new();
        for _ in 0..words {
            for byte in chance.word().to_le_bytes() {
                out.push_str(&format!("{byte:02x}"));
            }
        }
        out
    }

    #[test]
    fn published_key_streams() {
        // RFC 8439, appendix A.1, test vectors 1 and 2: key and nonce zero, counters 0 and 1.
        let mut chance = Chance::from_key([0; 32]);
        assert_eq!(
            bytes(&mut chance, 16),
            "76b8e0ada0f13d90405d6ae55386bd28bdd219b8a08ded1aa836efcc8b770dc7\
             da41597c5157488d7724e03fb8d84a376a43b8f41518a11cc387b669b2ee6586"
        );
        assert_eq!(
            bytes(&mut chance, 16),
            "9f07e7be5551387a98ba977c732d080dcb0f29a048e3656912c6533e32ee7aed\
             29b721769ce64e43d57133b074d839d531ed1f28510afb45ace10a1f4b794d6f"
        );
        // Test vector 3: the last byte of the key is 1, counter 1.
        let mut last = [0; 32];
        last[31] = 1;
        let mut chance = Chance::from_key(last);
        bytes(&mut chance, 16);
        assert_eq!(
            bytes(&mut chance, 8),
            "3aeb5224ecf849929b9d828db1ced4dd832025e8018b8160b82284f3c949aa5a"
        );
    }

    fn cases(topic: &str) -> Vec<serde_json::Value> {
        let text = include_str!("../../../tests/reference/assessment-checks.json");
        let file: serde_json::Value = serde_json::from_str(text).unwrap();
        let all = file["cases"].as_array().unwrap().iter();
        let cases: Vec<_> = all.filter(|case| case["topic"] == topic).cloned().collect();
        assert!(!cases.is_empty(), "no reference case for {topic}");
        cases
    }

    #[test]
    fn words_and_forms_of_the_reference() {
        // Computed with an independent library; each case names it.
        for case in cases("prng_words") {
            assert_eq!(case["input"]["key"], "0".repeat(64));
            let mut chance = Chance::from_key([0; 32]);
            let words: Vec<u32> = (0..8).map(|_| chance.word()).collect();
            assert_eq!(case["expected"], serde_json::json!(words), "{}", case["library"]);
        }
        for case in cases("form_seed") {
            let parts = case["input"]["parts"].as_array().unwrap().iter();
            let parts: Vec<String> = parts
                .map(|part| part.as_str().map_or_else(|| part.to_string(), str::to_owned))
                .collect();
            let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
            let mut key_text = String::new();
            for byte in key(&parts) {
                key_text.push_str(&format!("{byte:02x}"));
            }
            let mut chance = Chance::of(&parts);
            let words: Vec<u32> = (0..4).map(|_| chance.word()).collect();
            let below: Vec<u32> = (0..6).map(|_| chance.below(6)).collect();
            let mut shuffled: Vec<u32> = (0..10).collect();
            Chance::of(&parts).shuffle(&mut shuffled);
            let found = serde_json::json!({
                "key": key_text, "words": words, "below6": below, "shuffle10": shuffled,
            });
            assert_eq!(case["expected"], found, "{} {}", case["id"], case["library"]);
        }
    }

    #[test]
    fn ranges_are_even() {
        let mut chance = Chance::of(&["test", "ranges"]);
        assert_eq!(chance.below(0), 0);
        assert_eq!(chance.below(1), 0);
        let mut counts = [0_u32; 7];
        for _ in 0..70_000 {
            counts[chance.place(7)] += 1;
        }
        // Six standard deviations of a binomial count of 10,000 are 556.
        assert!(counts.iter().all(|count| count.abs_diff(10_000) < 556), "{counts:?}");
    }

    #[test]
    fn parts_do_not_run_together() {
        assert_ne!(key(&["ab", "c"]), key(&["a", "bc"]));
        let mut lists = std::collections::BTreeSet::new();
        for seed in 0..1000 {
            let mut list = [0, 1, 2];
            Chance::of(&["test", &seed.to_string()]).shuffle(&mut list);
            lists.insert(list);
        }
        assert_eq!(lists.len(), 6);
    }
}
