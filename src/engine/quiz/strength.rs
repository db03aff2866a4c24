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

/// How good a seed is, and what of it counted for nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Strength {
    /// Bits, estimated with care.
    pub bits: u32,
    /// Words and numbers that anybody would try first.
    pub idle: Vec<String>,
}

/// A careful estimate of the bits of a typed seed, in words and digits that differ.
///
/// Three letters and more count as one word, however many they are; a year counts as seven bits.
/// What stands there a second time counts nothing, nor does what follows from what stands before
/// it (abcd, qwerty, 2 4 6 8), nor a word that is known: one of the module or of the program's own
/// sentences, which whoever guesses has in front of him.
pub fn seed_strength(text: &str, known: &BTreeSet<String>) -> Strength {
    if let Some(bits) = made(text) {
        return Strength { bits, idle: Vec::new() };
    }
    let mut before = Before::default();
    let (mut tenths, mut idle) = (0, Vec::new());
    for part in parts(text) {
        let small = part.to_lowercase();
        let fresh = before.fresh(&small);
        let length = small.chars().count();
        let word = small.chars().all(char::is_alphabetic);
        // Half, because two runs put together begin anew in the middle, and few words of a language
        // have so many letters that follow from those before them.
        let follows = fresh == 0 || (length >= 3 && fresh * 2 <= length.max(4));
        if follows || before.had(&small) || (word && is_known(&small, known)) {
            // A blank or a comma that stands there again needs no excuse.
            if small.chars().any(char::is_alphanumeric) {
                idle.push(part);
            }
        } else {
            tenths += worth(&small, u32::try_from(fresh).unwrap_or(u32::MAX));
        }
        before.add(small);
    }
    Strength { bits: tenths.div_euclid(10), idle }
}

/// Words of texts, as [`seed_strength`] asks for them.
pub fn words_known<'t>(texts: impl Iterator<Item = &'t str>) -> BTreeSet<String> {
    let words = texts.flat_map(|text| text.split(|c: char| !c.is_alphabetic()));
    // Shorter ones are too few to be worth a list: each letter of them counts for itself.
    words.filter(|word| word.chars().count() >= 3).map(str::to_lowercase).collect()
}

/// Whether a word is one of these, also read backwards or with a usual ending.
fn is_known(word: &str, known: &BTreeSet<String>) -> bool {
    let ends = ["s", "es", "ed", "er", "ing"];
    let stems = ends.iter().filter_map(|end| word.strip_suffix(end));
    let back: String = word.chars().rev().collect();
    known.contains(&back)
        || std::iter::once(word).chain(stems).any(|word| known.contains(word))
}

/// What of a seed was read so far.
#[derive(Debug, Default)]
struct Before {
    parts: Vec<String>,
    numbers: Vec<i64>,
    /// The last two signs.
    last: [Option<char>; 2],
}

impl Before {
    fn had(&self, part: &str) -> bool {
        self.parts.iter().any(|had| had == part)
    }

    /// How many signs of a part do not follow from those before them; no sign of a number does that
    /// goes on as those before it.
    fn fresh(&mut self, part: &str) -> usize {
        // A number too long to be read as one is no step of anything.
        if let Ok(number) = part.parse::<i64>() {
            let goes_on = match self.numbers.as_slice() {
                [.., one, two] => two.checked_sub(*one) == number.checked_sub(*two),
                _ => false,
            };
            self.numbers.push(number);
            if goes_on {
                self.last = [None, part.chars().last()];
                return 0;
            }
        }
        let mut fresh = 0;
        for sign in part.chars().filter(|c| c.is_alphanumeric()) {
            fresh += usize::from(!self.goes_on(sign));
            self.last = [self.last[1], Some(sign)];
        }
        // A sign by itself follows from nothing, and counts little anyhow.
        if part.chars().any(char::is_alphanumeric) { fresh } else { 1 }
    }

    /// Whether a sign is the last one again, or as far from it as that from the one before: in the
    /// alphabet, among the digits or along a keyboard.
    fn goes_on(&self, sign: char) -> bool {
        let [Some(one), Some(two)] = self.last else { return self.last[1] == Some(sign) };
        let steps = |place: &dyn Fn(char) -> Option<i64>| {
            let (one, two, three) = (place(one)?, place(two)?, place(sign)?);
            // Nobody counts along in larger steps; between two words they happen.
            Some(two - one == three - two && (two - one).abs() <= 2)
        };
        let along = |row: &str| {
            let place = |sign| row.chars().position(|c| c == sign);
            steps(&|sign| place(sign).and_then(|at| i64::try_from(at).ok()))
        };
        two == sign
            || steps(&|sign| Some(i64::from(u32::from(sign)))) == Some(true)
            || ROWS.iter().any(|row| along(row) == Some(true))
    }

    fn add(&mut self, part: String) {
        self.parts.push(part);
    }
}

/// Rows and columns of the keyboards of English, German and French, as fingers run over them.
const ROWS: [&str; 19] = [
    "qwertyuiop",
    "asdfghjkl",
    "zxcvbnm",
    "qwertzuiop",
    "yxcvbnm",
    "azertyuiop",
    "qsdfghjklm",
    "wxcvbn",
    "1234567890",
    "1qaz",
    "2wsx",
    "3edc",
    "4rfv",
    "5tgb",
    "6yhn",
    "7ujm",
    "8ik",
    "9ol",
    "147258369",
];

/// Bits of a seed that this program made: its check letter fits, and few of its letters are the
/// same.
fn made(text: &str) -> Option<u32> {
    let code = check_code(text)?;
    // As it is printed and no otherwise: of what people make up, one in 32 fits the check letter.
    if !text.trim().eq_ignore_ascii_case(&code) {
        return None;
    }
    let letters: Vec<char> = code.chars().filter(|letter| *letter != '-').collect();
    let small: String = letters.iter().collect::<String>().to_lowercase();
    let mut before = Before::default();
    // Letters drawn by chance do not go on from one another.
    if before.fresh(&small) * 2 <= letters.len() {
        return None;
    }
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

/// What a part is worth, of whose signs so many do not follow from those before them.
fn worth(part: &str, fresh: u32) -> u32 {
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
        // One and two letters are no word: each counts for itself. From three on they are one,
        // and a long word is guessed no later than a short one.
        c if c.is_alphabetic() && length >= 3 => WORD,
        c if c.is_alphabetic() => LETTER * kinds.min(fresh),
        _ if year => 70,
        // Of 1111 or 1010 only the different digits count.
        c if c.is_numeric() => DIGIT * fresh.min(kinds * 2),
        _ => SIGN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quiz::seed_text;

    fn known() -> BTreeSet<String> {
        words_known(
            ["The pump panel: open the discharge slowly, and flush foam lines."]
                .into_iter(),
        )
    }

    fn bits(text: &str) -> u32 {
        seed_strength(text, &known()).bits
    }

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
            assert!(bits(text) < SEED_BITS, "{text}: {}", bits(text));
        }
        let good = seed_strength("marble onion gravel pencil otter velvet", &known());
        assert!(good.bits >= SEED_BITS, "{good:?}");
        assert!(bits("83 19402 71 64821 05 99312 407") >= SEED_BITS);
    }

    #[test]
    fn sequences_repeated_words_and_known_words_count_for_nothing() {
        let nothing = [
            // Its letters fit the check letter of a code.
            "1234 5678 qwerty asdfgh zxcvbn",
            "abcd",
            "zyxw",
            "qwerty",
            "QWERTZ",
            "azerty",
            "asdfghjkl",
            "1234 qwer 5678",
            "poiuyt",
            "a b c d e f g h i j k l m n o p q r s t",
            "abcdqwer defg hijk lmno pqrs tuvw",
            "1qaz 2wsx 3edc 4rfv 5tgb 6yhn 7ujm",
            "100 200 300 400 500 600 700 800 900",
            "10 20 30 40 50 60 70 80 90 100 110 120 130",
            "2468 1357 9753 8642 1470 2580 3690",
            "aceg ikmo qsuw bdfh jlnp rtvx",
            "aabb ccdd eeff gghh iijj kkll mmnn",
            "pump panel open discharge slowly flush foam",
            "Pump PANEL Open Discharge SLOWLY flush",
            "pmup? panels opened discharges foaming flushes flushing",
            "maof hsulf lenap pmup nepo senil",
            "marble marble marble marble marble marble marble",
            "Marble marble MARBLE mArBle marblE maRble",
        ];
        for text in nothing {
            let strength = seed_strength(text, &known());
            assert!(strength.bits * 2 < SEED_BITS, "{text}: {strength:?}");
            assert!(!strength.idle.is_empty(), "{text}");
        }
        // Good words stay good beside them, and are the only ones that count.
        let mixed = seed_strength(
            "foam marble onion abcd gravel pencil otter 1234 velvet",
            &known(),
        );
        assert!(mixed.bits >= SEED_BITS, "{mixed:?}");
        assert_eq!(mixed.idle, ["foam", "abcd", "1234"]);
    }

    #[test]
    fn every_seed_of_the_tool_is_let_through() {
        let mut chance = crate::quiz::Chance::of(&["test", "seeds"]);
        for _ in 0..5000 {
            let word = u64::from(chance.word()) << 32 | u64::from(chance.word());
            let seed = seed_text(word);
            assert!(bits(&seed) >= SEED_BITS, "{seed}");
        }
        assert!(bits("0000-0000-0000-00") < SEED_BITS);
    }
}
