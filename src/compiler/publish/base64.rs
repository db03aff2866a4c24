//! Bytes as letters, for addresses and policies that hold them.

/// RFC 4648, section 4.
pub(super) fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] =
        b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::new();
    // Three bytes are four letters of six bits: 24 is the least that both divide without a
    // rest.
    for three in bytes.chunks(3) {
        let byte = |at: usize| u32::from(three.get(at).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for at in 0..4_usize {
            let six = usize::try_from(bits >> (18 - 6 * at) & 63).unwrap_or(0);
            let letter = LETTERS.get(six).copied().map_or('=', char::from);
            out.push(if at > three.len() { '=' } else { letter });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn vectors_of_the_standard() {
        // RFC 4648, section 10.
        let vectors = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (bytes, text) in vectors {
            assert_eq!(base64(bytes.as_bytes()), text);
        }
    }
}
