//! Text of a line → tokens with their bytes.

use super::fault::FaultKind;
use crate::quantity::{Dimension, Fraction, UNITS, Unit};

/// What a token is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Token {
    Number(Fraction),
    Name(String),
    Sign(&'static str),
}

/// A token and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spanned {
    pub(super) token: Token,
    pub(super) start: usize,
    pub(super) end: usize,
}

const SIGNS: &[&str] =
    // The longer signs come first, because the first that fits is taken.
    &["<=", ">=", "<", ">", "=", "+", "-", "*", "/", "^", "(", ")", ",", "%"];

/// Longest line that is read: nobody checks a longer one by eye, and a hostile file would hold
/// the reader up with it.
pub(super) const LONGEST: usize = 400;

/// Cuts a line into tokens.
///
/// A hyphen between two letters belongs to a name (`foam-time`), so a minus between names
/// has blanks around it.
pub(super) fn tokens(text: &str) -> Result<Vec<Spanned>, (FaultKind, usize, usize)> {
    if text.len() > LONGEST {
        return Err((FaultKind::TooLong, 0, text.len()));
    }
    let mut out = Vec::new();
    let mut at = 0;
    while let Some(rest) = text.get(at..)
        && let Some(first) = rest.chars().next()
    {
        if first.is_whitespace() {
            at += first.len_utf8();
            continue;
        }
        let (token, length) = if first.is_ascii_digit() || first == '.' {
            number(rest).ok_or((FaultKind::BadNumber, at, at + first.len_utf8()))?
        } else if first.is_ascii_alphabetic() {
            let length = name_length(rest);
            (Token::Name(rest.get(..length).unwrap_or_default().to_owned()), length)
        } else if let Some(sign) = SIGNS.iter().find(|sign| rest.starts_with(**sign)) {
            (Token::Sign(sign), sign.len())
        } else {
            let end = at + first.len_utf8();
            return Err((FaultKind::StrayCharacter(first), at, end));
        };
        out.push(Spanned { token, start: at, end: at + length });
        at += length;
    }
    Ok(out)
}

fn number(rest: &str) -> Option<(Token, usize)> {
    let length =
        rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
    Some((Token::Number(Fraction::read(rest.get(..length)?)?), length))
}

fn name_length(rest: &str) -> usize {
    let mut end = 0;
    let mut chars = rest.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        // A hyphen that nothing follows is a minus.
        let joins =
            c == '-' && chars.peek().is_some_and(|(_, n)| n.is_ascii_alphanumeric());
        if c.is_ascii_alphanumeric() || joins {
            end = at + c.len_utf8();
        } else {
            break;
        }
    }
    end
}

/// A unit of friction coefficients, which is more than a word, and its tokens.
pub(super) fn friction(at: &[Spanned]) -> Option<(&'static Unit, usize)> {
    let of = |unit: &&Unit| unit.dimension == Dimension::FRICTION;
    UNITS.iter().filter(of).find_map(|unit| {
        let wanted = tokens(unit.symbol).ok()?;
        let own = at.get(..wanted.len())?;
        let same = own.iter().zip(&wanted).all(|(a, b)| a.token == b.token);
        same.then_some((unit, wanted.len()))
    })
}
