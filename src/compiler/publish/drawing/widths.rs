//! How wide a text is, and where its lines break.
//!
//! The pages use the system's own fonts, so nobody knows the width before the page is shown.
//! Every letter is counted as in a common bold sans, and a little more: a text that fits here
//! fits with any of the fonts that the style sheet names.

/// How a text looks. The sizes are those of `drawing.css`, in tenths of a pixel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::publish) enum Face {
    /// A name: bold.
    Name,
    /// What is said of it.
    Note,
    /// Head of a row.
    Head,
    /// A figure that is looked for: the largest.
    Figure,
    /// A name that must be acted on.
    Act,
    /// A note that must be acted on.
    ActNote,
}

/// From one line of a text to the next: a little more than the text is high, so that lines stand
/// apart.
pub(in crate::publish) const LEADING: i64 = 14;

/// In percent, because other fonts of the list are wider than the one counted by up to so much.
const WIDER: i64 = 106;

impl Face {
    /// Class in the style sheet.
    pub(in crate::publish) const fn class(self) -> &'static str {
        match self {
            Self::Name => "b",
            Self::Note => "s",
            Self::Head => "b h",
            Self::Figure => "b f",
            Self::Act => "b act",
            Self::ActNote => "b s act",
        }
    }

    const fn tenths(self) -> i64 {
        match self {
            Self::Name | Self::Act => 125,
            Self::Note | Self::ActNote => 115,
            Self::Head => 135,
            Self::Figure => 150,
        }
    }

    /// Width of a text in whole units, rounded up.
    pub(in crate::publish) fn width(self, text: &str) -> i64 {
        let thousandths: i64 = text.chars().map(thousandths).sum();
        // Thousandths of the size, which is in tenths; then the percent.
        let all = thousandths * self.tenths() * WIDER;
        -(-all).div_euclid(1_000_000)
    }

    /// The text in lines that are not wider than that. A word that is wider is broken inside,
    /// because a name is never cut off.
    pub(in crate::publish) fn lines(self, text: &str, width: i64) -> Vec<String> {
        let mut lines = Vec::new();
        let mut line = String::new();
        // Not at a no-break space, which holds a figure and its unit together.
        for word in text.split([' ', '\n', '\t']).filter(|word| !word.is_empty()) {
            let longer =
                if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
            if self.width(&longer) <= width {
                line = longer;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            for letter in word.chars() {
                line.push(letter);
                if self.width(&line) > width && line.chars().count() > 1 {
                    line.pop();
                    lines.push(std::mem::take(&mut line));
                    line.push(letter);
                }
            }
        }
        if !line.is_empty() {
            lines.push(line);
        }
        lines
    }

    /// The lines of several texts, each begun on a line of its own.
    pub(in crate::publish) fn all(self, texts: &[String], width: i64) -> Vec<String> {
        texts.iter().flat_map(|text| self.lines(text, width)).collect()
    }
}

/// Width of a letter in thousandths of the size of its font.
const fn thousandths(letter: char) -> i64 {
    match letter {
        ' ' | '\u{a0}' | ',' | '.' | '/' | 'I' | 'i' | 'j' | 'l' | '\\' | '\'' | '|'
        | '’' => 280,
        '!' | '-' | ':' | ';' | '[' | ']' | '(' | ')' | 'f' | 't' | '`' => 334,
        'r' | '*' | '{' | '}' | '"' => 400,
        '0'..='9' | '$' | '#' | '?' | '_' | '–' => 556,
        'a' | 'c' | 'e' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 556,
        'b' | 'd' | 'g' | 'h' | 'n' | 'o' | 'p' | 'q' | 'u' | 'F' | 'L' | 'T' | 'Z'
        | '+' | '<' | '=' | '>' | '~' | '^' | '±' | '×' | '÷' | '−' => 611,
        'E' | 'P' | 'S' | 'V' | 'X' | 'Y' => 667,
        'G' | 'O' | 'Q' | 'w' => 778,
        'A'..='Z' if !matches!(letter, 'M' | 'W') => 722,
        '&' | '\u{c0}'..='\u{24f}' => 778,
        'M' | 'm' | '%' => 889,
        'W' | '@' | '…' => 1000,
        // Letters of other scripts are at most as wide as they are high.
        _ => 1000,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_breaks_between_words_and_a_long_word_inside_itself() {
        let lines = |text: &str, width| Face::Name.lines(text, width).join("/");
        assert_eq!(lines("Rear foam outlet", 300), "Rear foam outlet");
        assert_eq!(lines("Rear foam outlet", 80), "Rear foam/outlet");
        assert_eq!(lines("at 125\u{a0}gpm", 60), "at/125\u{a0}gpm");
        assert_eq!(lines("", 60), "");
        assert_eq!(lines("WWWW", 30), "WW/WW");
        // Narrower than any letter: one on each line, and an end.
        assert_eq!(lines("ab c", 1), "a/b/c");
    }

    #[test]
    fn no_line_is_wider_than_asked_and_no_letter_is_lost() {
        for text in ["Pump recirculation to the tank", "Überdruckbegrenzungsventil 3"] {
            for width in [40, 77, 140] {
                let lines = Face::Note.lines(text, width);
                assert!(lines.iter().all(|line| Face::Note.width(line) <= width));
                let bare = |text: &str| text.replace(' ', "");
                assert_eq!(bare(&lines.concat()), bare(text));
            }
        }
    }
}
