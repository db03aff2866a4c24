//! Where in the signs of a source the texts stand that a told pattern names.

use super::source::Source;
use super::tokens::{Placed, Token, inside, texts, tokens};

/// Where the brackets of the calls of a name open. A name with a receiver, `desk.get`, is
/// that receiver's alone; one with a point before it, `.means`, is anybody's method.
pub(super) fn calls(call: &str, found: &[Placed]) -> Vec<usize> {
    let wanted = tokens(&format!("{call}("));
    let is = |at: usize, sign: char| {
        found.get(at).is_some_and(|(_, token)| *token == Token::Sign(sign))
    };
    let same = |at: &usize| {
        let free =
            call.starts_with('.') || !at.checked_sub(1).is_some_and(|at| is(at, '.'));
        free && wanted.iter().enumerate().all(|(n, (_, sign))| {
            found.get(at + n).is_some_and(|(_, token)| token == sign)
        })
    };
    (0..found.len()).filter(same).map(|at| at + wanted.len() - 1).collect()
}

/// The texts that a name stands for which was given above, `let key = if … { "a" } else …;`.
pub(super) fn named<'t>(
    keys: &[Placed],
    found: &'t [Placed],
    before: usize,
) -> Vec<&'t str> {
    let [(_, Token::Name(name))] = keys else { return Vec::new() };
    let is = |at: usize, token: &Token| found.get(at).is_some_and(|(_, t)| t == token);
    let given = |at: &usize| {
        is(*at, &Token::Name("let".to_owned()))
            && is(at + 1, &Token::Name(name.clone()))
            && is(at + 2, &Token::Sign('='))
    };
    // The nearest above: each function may give the name anew.
    let Some(start) = (0..before).rev().find(given) else { return Vec::new() };
    let end = (start..before).find(|at| is(*at, &Token::Sign(';')));
    texts(found.get(start..end.unwrap_or(start)).unwrap_or_default()).collect()
}

/// Whether these brackets belong to the head of a function, which hands over nothing.
pub(super) fn is_head(found: &[Placed], open: usize) -> bool {
    let at = open.checked_sub(2).and_then(|at| found.get(at));
    at.is_some_and(|(_, token)| *token == Token::Name("fn".to_owned()))
}

/// Whether a name is a closure or a private function of this file.
pub(super) fn is_local(source: &Source<'_>, name: &str) -> bool {
    let token = |at: usize| source.tokens.get(at).map(|(_, token)| token);
    let is = |at: usize, wanted: &str| {
        token(at).is_some_and(|token| *token == Token::Name(wanted.to_owned()))
    };
    let private = |at: usize| {
        // Behind a bracket stands `pub(super)`, and such a function is the whole room's.
        let before = at.checked_sub(1).and_then(token);
        is(at, "fn") && is(at + 1, name) && before != Some(&Token::Sign(')'))
    };
    let given = |at: usize| {
        is(at, "let") && (is(at + 1, name) || (is(at + 1, "mut") && is(at + 2, name)))
    };
    let mut all = 0..source.tokens.len();
    let written = all.clone().any(|at| is(at, "fn") && is(at + 1, name));
    all.any(|at| private(at) || (given(at) && !written))
}

/// The texts of a constant of that name.
pub(super) fn of_const(name: &str, tokens: &[Placed]) -> Vec<String> {
    let is = |at: usize, wanted: &Token| tokens.get(at).is_some_and(|(_, t)| t == wanted);
    let head = |at: &usize| {
        is(*at, &Token::Name("const".to_owned()))
            && is(at + 1, &Token::Name(name.to_owned()))
    };
    let value = |at: usize| {
        let end = (at..tokens.len()).find(|at| is(*at, &Token::Sign(';')));
        tokens.get(at..end.unwrap_or(at)).unwrap_or_default()
    };
    // `[&str; 3]` in the type of a constant holds the first semicolon.
    let equals = |at: usize| (at..tokens.len()).find(|at| is(*at, &Token::Sign('=')));
    let values = (0..tokens.len()).filter(head).filter_map(equals).map(value);
    values.flat_map(texts).map(str::to_owned).collect()
}

/// The texts in what a macro of that name is called with.
pub(super) fn of_macro(name: &str, tokens: &[Placed]) -> Vec<String> {
    let is = |at: usize, wanted: &Token| tokens.get(at).is_some_and(|(_, t)| t == wanted);
    let call = |at: &usize| {
        is(*at, &Token::Name(name.to_owned())) && is(at + 1, &Token::Sign('!'))
    };
    let calls = (0..tokens.len()).filter(call);
    calls.flat_map(|at| texts(inside(tokens, at + 2))).map(str::to_owned).collect()
}

/// The texts in the body of the function of that name.
pub(super) fn body(function: &str, tokens: &[Placed]) -> Vec<String> {
    let is = |at: usize, wanted: &Token| tokens.get(at).is_some_and(|(_, t)| t == wanted);
    let head = |at: &usize| {
        is(*at, &Token::Name("fn".to_owned()))
            && is(at + 1, &Token::Name(function.to_owned()))
    };
    let open = |at: usize| {
        (at..tokens.len()).find(|at| is(*at, &Token::Sign('{'))).unwrap_or(at)
    };
    let bodies = (0..tokens.len()).filter(head).map(|at| inside(tokens, open(at)));
    bodies.flat_map(texts).map(str::to_owned).collect()
}

/// The words of a type: those of a list `Type: "word" Variant, …` or `Type { "word" Variant, …
/// }`, or of its function `key`. A blank in a word is a hyphen in a key.
pub(super) fn variants(name: &str, tokens: &[Placed]) -> Vec<String> {
    let token = |at: usize| tokens.get(at).map(|(_, token)| token);
    let named = |at: &usize| token(*at) == Some(&Token::Name(name.to_owned()));
    let listed = |at: usize| -> Vec<String> {
        let before = at.checked_sub(1).and_then(token);
        match (before, token(at + 1), token(at + 2)) {
            (Some(Token::Sign('(')), Some(Token::Sign(':')), Some(Token::Text(_))) => {
                texts(inside(tokens, at - 1)).map(str::to_owned).collect()
            }
            (_, Some(Token::Sign('{')), Some(Token::Text(_))) => {
                texts(inside(tokens, at + 1)).map(str::to_owned).collect()
            }
            (Some(Token::Name(word)), Some(Token::Sign('{')), _) if word == "impl" => {
                body("key", inside(tokens, at + 1))
            }
            _ => Vec::new(),
        }
    };
    let words = (0..tokens.len()).filter(named).flat_map(listed);
    words.map(|word| word.replace(' ', "-")).collect()
}
