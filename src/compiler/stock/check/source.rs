//! A source that asks for words, and what it asks for.

use std::collections::BTreeSet;

use super::tokens::{Placed, Token, inside, parts, texts};

/// One asked key.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Ask {
    /// The key, whole.
    pub(crate) key: String,
    /// File and line that ask.
    pub(crate) at: String,
    /// Blanks that are filled there; nothing where a key is only listed.
    pub(crate) fills: Option<BTreeSet<String>>,
}

/// A source and its signs.
pub(super) struct Source<'s> {
    pub(super) path: &'s str,
    /// Crate and room of it, `engine/scoring`.
    pub(super) room: String,
    pub(super) tokens: Vec<Placed>,
    /// Names that stand first in a pair: what the file fills blanks with.
    pub(super) fills: BTreeSet<String>,
}

/// Whether a text has the form of a key of one of the groups at the top of the words file.
pub(super) fn is_key(text: &str, groups: &BTreeSet<&str>) -> bool {
    let mut names = text.split('.');
    let group = names.next().is_some_and(|group| groups.contains(group));
    let sign = |c: char| {
        c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | '{' | '}' | '_')
    };
    let mut rest = names.peekable();
    // `page.js` is a file and would else be a key of the group `page`.
    let file = [".js", ".css", ".html", ".yaml"].iter().any(|end| text.ends_with(end));
    group
        && !file
        && rest.peek().is_some()
        && rest.all(|name| !name.is_empty() && name.chars().all(sign))
}

/// The first texts of the pairs of a written list; nothing when no list is written.
pub(super) fn pairs(tokens: &[Placed]) -> Option<BTreeSet<String>> {
    let open = tokens.iter().position(|(_, token)| *token == Token::Sign('['))?;
    // `[` or `&[`: a bracket further in belongs to something else.
    if open > 1 {
        return None;
    }
    let each = parts(inside(tokens, open));
    Some(
        each.into_iter()
            .filter_map(|pair| texts(pair).next().map(str::to_owned))
            .collect(),
    )
}
