//! Canonical JSON (RFC 8785), SHA-256 and short codes that a person can read out.
//!
//! Never sees a file or a clock. Numbers in canonical JSON are whole; everything with a
//! point is a decimal string, because the standard formats numbers as binary floats.

mod canonical;
mod code;

pub use canonical::{NotCanonical, canonical, canonical_text};
pub use code::{check_code, code_values, read_code, short_code, spelled};

use serde::Serialize;
use sha2::{Digest, Sha256};

/// SHA-256 of bytes.
pub fn sha256(bytes: &[u8]) -> [u8; 32] {
    Sha256::digest(bytes).into()
}

/// SHA-256 as 64 lower-case hexadecimal digits.
pub fn hex_hash(bytes: &[u8]) -> String {
    sha256(bytes).iter().fold(String::new(), |hex, byte| hex + &format!("{byte:02x}"))
}

/// The hexadecimal SHA-256 of a thing's canonical JSON: its revision hash.
pub fn revision(thing: &impl Serialize) -> Result<String, NotCanonical> {
    Ok(hex_hash(canonical(thing)?.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_vector() {
        // FIPS 180-4 example: the three letters abc.
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(hex_hash(b"abc"), expected);
    }
}
