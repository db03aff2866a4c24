//! Short codes for reading aloud: letters and digits that are not mistaken for each other,
//! the last one a check.

/// No I, L, O or U: they are taken for 1, 1, 0 and V.
const LETTERS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// The first `length` letters of a hash and a check letter, in groups of four: `7K2M-9QX4-C`.
///
/// One letter carries five bits. One wrong letter, or two neighbours swapped, is noticed by
/// [`check_code`] (weights are odd and differ from letter to letter).
pub fn short_code(hash: &[u8; 32], length: usize) -> String {
    spelled(&code_values(hash, length))
}

/// The first values of five bits of a hash, 51 at most: what a code is spelled from.
pub fn code_values(hash: &[u8; 32], length: usize) -> Vec<u8> {
    // A hash of 256 bits has 51 whole groups of five; a letter cannot be made of the last bit alone.
    (0..length.min(51)).map(|index| five_bits(hash, index * 5)).collect()
}

/// Values of five bits each as a code with its check letter, in groups of four.
pub fn spelled(values: &[u8]) -> String {
    let mut letters = values.to_vec();
    letters.push(check(values));
    let mut out = String::new();
    for (index, letter) in letters.iter().enumerate() {
        if index > 0 && index % 4 == 0 {
            out.push('-');
        }
        out.push(LETTERS.get(usize::from(*letter)).copied().map_or('?', char::from));
    }
    out
}

/// The values of a code as typed (small letters, O for 0, I or L for 1, blanks), without its
/// check letter; nothing when it is not well formed.
pub fn read_code(typed: &str) -> Option<Vec<u8>> {
    let mut letters = Vec::new();
    // Whoever types it from a phone leaves out the hyphens or writes blanks for them.
    for letter in typed.chars().filter(|c| !matches!(c, '-' | '–' | ' ')) {
        let letter = match letter.to_ascii_uppercase() {
            'O' => '0',
            'I' | 'L' => '1',
            other => other,
        };
        let place = LETTERS.iter().position(|known| char::from(*known) == letter)?;
        letters.push(u8::try_from(place).ok()?);
    }
    // The check letter stands last, so that a code that was cut off does not pass.
    let last = letters.pop()?;
    (!letters.is_empty() && last == check(&letters)).then_some(letters)
}

/// Whether a code as typed is well formed; if so, its proper spelling.
pub fn check_code(typed: &str) -> Option<String> {
    read_code(typed).map(|values| spelled(&values))
}

fn five_bits(hash: &[u8; 32], start: usize) -> u8 {
    (start..start + 5).fold(0, |bits, bit| {
        let byte = hash.get(bit >> 3).copied().unwrap_or(0);
        bits << 1 | (byte >> (7 - (bit & 7))) & 1
    })
}

/// A weighted sum modulo 31: two different letters at one place differ unless they are the
/// first and the last of the alphabet.
fn check(letters: &[u8]) -> u8 {
    let mut sum = 0_u32;
    for (index, letter) in (1_u32..).zip(letters) {
        // 31 is a prime below the 32 letters: no weight but a multiple of it hides a change.
        // The weights of neighbours differ, so that two letters swapped are noticed.
        sum = (sum + (index % 30 + 2) * (u32::from(*letter) + 1)) % 31;
    }
    u8::try_from(sum).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mistyped_code_is_noticed() {
        let code = short_code(&super::super::sha256(b"flush"), 8);
        assert_eq!(check_code(&code.to_lowercase()), Some(code.clone()));
        let plain: Vec<char> = code.chars().filter(|c| *c != '-').collect();
        let mut missed = 0;
        for place in 0..plain.len() {
            for letter in LETTERS {
                let mut wrong = plain.clone();
                wrong[place] = char::from(*letter);
                let text: String = wrong.iter().collect();
                missed += usize::from(wrong != plain && check_code(&text).is_some());
            }
        }
        // 0 and the last letter are equal in a field of 31: one pair of 32 may slip through.
        assert!(missed <= 2 * plain.len(), "{missed} single slips were not noticed");
    }
}
