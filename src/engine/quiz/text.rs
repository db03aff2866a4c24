//! A question's text with the drawn values put in.

use super::draw::Drawn;
use crate::quantity::{Fraction, Quantity};

/// A piece of an author's text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Piece<'t> {
    Plain(&'t str),
    /// `{name}`
    Blank(&'t str),
    /// `{name|one|many}`
    Counted(&'t str, &'t str, &'t str),
}

fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut out = Vec::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        // A brace that nothing closes is text.
        let Some((inside, tail)) = after.split_once('}') else { break };
        out.push(Piece::Plain(before));
        let mut parts = inside.split('|');
        let piece = match (parts.next(), parts.next(), parts.next(), parts.next()) {
            (Some(name), Some(one), Some(many), None) => Piece::Counted(name, one, many),
            _ => Piece::Blank(inside),
        };
        out.push(piece);
        rest = tail;
    }
    out.push(Piece::Plain(rest));
    out
}

/// Fills `{name}` with a drawn value or, as `{rig.name}`, a figure of the rig, and
/// `{name|one|many}` with the first word for exactly one and the second for anything else.
/// Units are held to their numbers by no-break spaces.
pub(super) fn filled(text: &str, drawn: &Drawn) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    for piece in pieces(text.trim()) {
        match piece {
            Piece::Plain(plain) => out.push_str(plain),
            Piece::Blank(name) => match value(name, drawn) {
                Some(text) => out.push_str(&text),
                None => out.push_str(&format!("{{{name}}}")),
            },
            Piece::Counted(name, one, many) => {
                let single =
                    number(name, drawn).is_some_and(|q| q.number() == Fraction::ONE);
                out.push_str(if single { one } else { many });
            }
        }
    }
    out
}

/// The blanks of a text that nothing fills.
pub(super) fn unfilled(text: &str, drawn: &Drawn) -> Vec<String> {
    let missing = |piece: &Piece<'_>| match piece {
        Piece::Plain(_) => None,
        Piece::Blank(name) => value(name, drawn).is_none().then(|| (*name).to_owned()),
        Piece::Counted(name, ..) => {
            number(name, drawn).is_none().then(|| (*name).to_owned())
        }
    };
    pieces(text).iter().filter_map(missing).collect()
}

fn number(name: &str, drawn: &Drawn) -> Option<Quantity> {
    let of_rig = || drawn.figures.get(name.strip_prefix("rig.")?).copied();
    drawn.numbers.get(name).copied().or_else(of_rig)
}

fn value(name: &str, drawn: &Drawn) -> Option<String> {
    let word = || drawn.words.get(name).cloned();
    number(name, drawn).map(|quantity| quantity.in_text()).or_else(word)
}

/// The drawn values in one line: `flow 95 gpm, percent 3 %`.
pub(super) fn summary(drawn: &Drawn) -> String {
    // The figures of a drawn line go without saying; the line itself is named.
    let numbers = drawn.numbers.iter().filter(|(name, _)| !name.contains('.'));
    let numbers = numbers.map(|(name, value)| format!("{name} {}", value.in_text()));
    let words = drawn.words.iter().filter(|(name, _)| !name.contains('.'));
    let words = words.map(|(name, word)| format!("{name} {word}"));
    numbers.chain(words).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_keep_their_units_and_words_their_number() {
        let mut drawn = Drawn::default();
        for (name, value) in [("flow", "12500 gpm"), ("pails", "1"), ("lines", "2")] {
            drawn.numbers.insert(name.into(), Quantity::read(value).unwrap());
        }
        drawn.words.insert("line".into(), "Crosslay 1".into());
        drawn.figures.insert("water".into(), Quantity::read("720 gal").unwrap());
        let text = "{line}: {flow}, {pails} {pails|pail|pails}, {lines} {lines|line|lines} of {rig.water}.";
        assert_eq!(
            filled(text, &drawn),
            "Crosslay 1: 12,500\u{a0}gpm, 1 pail, 2 lines of 720\u{a0}gal."
        );
        assert_eq!(filled("{nobody} and {open", &drawn), "{nobody} and {open");
        assert_eq!(unfilled("{nobody} {line|a|b} {flow}", &drawn), ["nobody", "line"]);
        assert_eq!(
            summary(&drawn),
            "flow 12,500\u{a0}gpm, lines 2, pails 1, line Crosslay 1"
        );
    }
}
