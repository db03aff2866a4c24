//! Signs that nobody sees and that do something: they steer a terminal, or turn a text round.

use std::borrow::Cow;

/// What stands in the place of such a sign, as for letters that cannot be read.
const INSTEAD: char = '\u{fffd}';

/// Whether a sign steers a terminal (all control signs but the end of a line and the tab) or turns
/// the direction of what follows, so that a reader sees another order than the machine.
pub fn is_hidden(sign: char) -> bool {
    match sign {
        '\n' | '\r' | '\t' => false,
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => true,
        _ => sign.is_control(),
    }
}

/// A text in which every hidden sign can be seen.
pub fn visible(text: &str) -> Cow<'_, str> {
    if text.contains(is_hidden) {
        Cow::Owned(text.replace(is_hidden, INSTEAD.encode_utf8(&mut [0; 4])))
    } else {
        Cow::Borrowed(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_steers_or_turns_is_seen_and_a_text_stays_as_it_is() {
        assert_eq!(
            visible("a\u{1b}[31mb\u{202e}c\u{9b}\u{7}"),
            "a\u{fffd}[31mb\u{fffd}c\u{fffd}\u{fffd}"
        );
        let plain = "50 °F,\tÄrger\r\n−1\u{a0}½ \u{200f}\u{feff}";
        assert!(matches!(visible(plain), Cow::Borrowed(text) if text == plain));
    }
}
