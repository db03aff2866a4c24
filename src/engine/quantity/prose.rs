//! Figures in a text of somebody else, with the decimal sign of the module that prints it.

use std::borrow::Cow;

use super::read::Quantity;
use super::written::{decimal_mark, join};

/// A figure, or a list of figures in brackets, as it is typed into a file, with the sign of the
/// module; any other text comes back as it is. A number without a unit may be a chapter, a date or
/// a version, and stays.
pub fn figure_written(text: &str) -> Cow<'_, str> {
    if let Some(inside) = text.strip_prefix('[').and_then(|text| text.strip_suffix(']')) {
        let parts: Vec<Cow<'_, str>> = inside.split(", ").map(figure_written).collect();
        return flow(format!("[{}]", parts.join(", "))).into();
    }
    match Quantity::read(text) {
        Ok(quantity) if !quantity.unit().symbol.is_empty() && text.contains('.') => {
            quantity.typed().into()
        }
        _ => text.into(),
    }
}

/// A list or a group in one line, as it can be typed into a file: inside its brackets a comma ends a
/// value, so a figure with a decimal comma stands in quotation marks.
pub(super) fn flow(text: String) -> String {
    if !text.starts_with(['[', '{']) {
        return text;
    }
    let (mut out, mut quoted) = (String::with_capacity(text.len()), false);
    let mut rest = text.as_str();
    while let Some(first) = rest.chars().next() {
        quoted ^= first == '"';
        // A sign belongs to its number.
        let unsigned = rest.strip_prefix(['-', '−']).unwrap_or(rest);
        let begins = !quoted && unsigned.starts_with(char::is_alphanumeric);
        let length = if begins { value_length(rest) } else { first.len_utf8() };
        let (value, after) = rest.split_at_checked(length).unwrap_or((rest, ""));
        if begins && value.contains(',') {
            out.push_str(&format!("\"{value}\""));
        } else {
            out.push_str(value);
        }
        rest = after;
    }
    out
}

/// How long the value is that begins there: up to a bracket, a colon, or a comma that no digit follows.
fn value_length(text: &str) -> usize {
    let ends = |(at, letter): (usize, char)| {
        let next =
            text.get(at + letter.len_utf8()..).and_then(|rest| rest.chars().next());
        match letter {
            ',' => !next.is_some_and(|next| next.is_ascii_digit()),
            ':' => next.is_none_or(char::is_whitespace),
            letter => "[]{}\"".contains(letter),
        }
    };
    let end = text.char_indices().find(|one| ends(*one));
    end.map_or(text.len(), |(at, _)| at)
}

/// A sentence with the sign of the module in its figures. Letters before a number make it a name,
/// and a second point a number of chapters.
pub fn prose_written(text: &str) -> Cow<'_, str> {
    let mark = decimal_mark();
    if mark == '.' || !text.contains('.') {
        return text.into();
    }
    let mut out = String::with_capacity(text.len());
    let mut word = String::new();
    for letter in text.chars().chain([' ']) {
        if letter.is_alphanumeric() || letter == '.' {
            word.push(letter);
            continue;
        }
        // The full stop of a sentence stands behind its last number.
        let number = word.trim_end_matches('.');
        let digits =
            |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
        match number.split_once('.') {
            Some((whole, part)) if digits(whole) && digits(part) => {
                out.push_str(&join(whole, part, mark));
                out.push_str(word.get(number.len()..).unwrap_or_default());
            }
            _ => out.push_str(&word),
        }
        word.clear();
        out.push(letter);
    }
    // The blank that ended the last word was none of the text.
    out.pop();
    out.into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Comma, Writing};

    #[test]
    fn a_figure_is_typed_with_the_sign_of_the_module_and_nothing_else_is() {
        for (point, comma) in [
            ("0.5 %", "0,5 %"),
            ("-2.5 psi", "-2,5 psi"),
            ("[0.3 %, 0.5 %, 1 %]", "[\"0,3 %\", \"0,5 %\", 1 %]"),
            ("[-2.5 psi, 3 psi]", "[\"-2,5 psi\", 3 psi]"),
            ("3.5", "3.5"),
            ("section 3.5 %", "section 3.5 %"),
            ("2026.5.1 min", "2026.5.1 min"),
            ("[a, b]", "[a, b]"),
            ("125 gpm", "125 gpm"),
        ] {
            assert_eq!(figure_written(point), point);
            let _comma = Writing::of(Comma::Decimal);
            assert_eq!(figure_written(point), comma);
        }
    }

    #[test]
    fn figures_of_a_sentence_have_the_sign_of_the_module() {
        let text = "The point slipped; 0.5 percent is not 5 percent, but 1.25. See Z358.1, 2.3.4 and 1.";
        assert_eq!(prose_written(text), text);
        let _comma = Writing::of(Comma::Decimal);
        assert_eq!(
            prose_written(text),
            "The point slipped; 0,5 percent is not 5 percent, but 1,25. See Z358.1, 2.3.4 and 1."
        );
        assert_eq!(prose_written("End."), "End.");
    }
}
