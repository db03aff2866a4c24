//! Which keys the code asks the words for, and what it fills their blanks with.
//!
//! A key is written whole where it is asked for, or put together at run time; of those the
//! next file tells. Blanks are filled in the call, or else in its file.

use std::collections::{BTreeMap, BTreeSet};

use super::list::Sheet;
use super::sheet::blanks;
use super::source::{Ask, Source, is_key, pairs};
use super::tokens::{Token, inside, parts, tokens};
use super::told::{Code, shape, told};

/// All asks of some sources, path by text, and what cannot be made out.
pub(crate) fn asked<'s>(
    files: &'s BTreeMap<String, String>,
    groups: &'s BTreeSet<&'s str>,
) -> (BTreeSet<Ask>, Vec<String>) {
    let sources: Vec<Source<'s>> = files
        .iter()
        .filter(|(path, _)| !is_test(path))
        .map(|(path, text)| source(path, text))
        .collect();
    let code = Code { sources, groups };
    let (mut asks, mut faults) = (BTreeSet::new(), Vec::new());
    for source in &code.sources {
        let told = told(source);
        for (line, token) in &source.tokens {
            if let Token::Told(pattern) = token {
                match code.members(pattern, source) {
                    Ok(found) => asks.extend(found),
                    Err(why) => faults.push(format!("{}:{line}: {why}", source.path)),
                }
            }
        }
        for (at, (line, token)) in source.tokens.iter().enumerate() {
            let Token::Text(text) = token else { continue };
            // What a finding leaves to whoever prints it: ⟨kept.no-rig⟩.
            let inner = text.strip_prefix('⟨').and_then(|rest| rest.strip_suffix('⟩'));
            let text = &inner.unwrap_or(text).to_owned();
            if !is_key(text, groups) {
                continue;
            }
            let place = format!("{}:{line}", source.path);
            if !text.contains('{') {
                let fills = match filled(source, at) {
                    Filled::Beyond => continue,
                    Filled::Nowhere => None,
                    Filled::By(fills) => Some(fills),
                };
                asks.insert(Ask { key: text.clone(), at: place, fills });
            } else if !told.contains(&shape(text)) {
                faults.push(format!(
                    "{place}: \"{text}\" is put together, and no line says from what: \
                     // words: {text}"
                ));
            }
        }
    }
    (asks, faults)
}

/// What is wrong between the words and those who ask for them.
pub(crate) fn compared(sheet: &Sheet, asks: &BTreeSet<Ask>) -> Vec<String> {
    let mut faults = Vec::new();
    for ask in asks {
        let Some(sentence) = sheet.get(&ask.key) else {
            faults.push(format!("{} asks for {}, which is not there", ask.at, ask.key));
            continue;
        };
        let open = blanks(sentence).unwrap_or_default();
        let filled = |blank: &&String| {
            // What is only listed has its blanks filled where
            // one of the list is asked for.
            ask.fills.as_ref().is_none_or(|fills| fills.contains(*blank))
        };
        for blank in open.iter().filter(|blank| !filled(blank)) {
            faults.push(format!("{} does not fill {{{blank}}} of {}", ask.at, ask.key));
        }
    }
    faults
}

fn source<'s>(path: &'s str, text: &str) -> Source<'s> {
    let tokens = tokens(text);
    let mut fills = BTreeSet::new();
    for (at, (_, token)) in tokens.iter().enumerate() {
        let next = tokens.get(at + 1).map(|(_, token)| token);
        let after = tokens.get(at + 2).map(|(_, token)| token);
        if let (Token::Sign('('), Some(Token::Text(name)), Some(Token::Sign(','))) =
            (token, next, after)
        {
            fills.insert(name.clone());
        }
    }
    // `src`, the crate, the room: what a room puts together another room cannot ask for.
    let room: Vec<&str> = path.split('/').take(3).collect();
    Source { path, room: room.join("/"), tokens, fills }
}

/// Unit tests in a file of their own may ask for what is not there.
fn is_test(path: &str) -> bool {
    path.ends_with("tests.rs")
}

/// How the blanks of a whole key are filled.
enum Filled {
    /// It is only listed, and asked for somewhere else.
    Nowhere,
    /// It is completed by whoever it is handed to, and a line there tells with what.
    Beyond,
    /// By these.
    By(BTreeSet<String>),
}

/// How the blanks of the whole key at that place are filled.
fn filled(source: &Source<'_>, at: usize) -> Filled {
    let near = |at: Option<usize>| Some(&source.tokens.get(at?)?.1);
    let before = near(at.checked_sub(1));
    let sign = |token: Option<&Token>| match token {
        Some(Token::Sign(sign)) => *sign,
        _ => ' ',
    };
    // Between commas a key waits to be chosen; nobody asks for it yet.
    if matches!(sign(before), ',' | '[') && matches!(sign(near(Some(at + 1))), ',' | ']')
    {
        return Filled::Nowhere;
    }
    // Where the call itself lists none, the file has put them together above it.
    let whole = || Filled::By(source.fills.clone());
    if before != Some(&Token::Sign('(')) {
        return whole();
    }
    // Asked of somebody else than the words, it is completed by whoever asks those.
    let words = |at: Option<usize>| {
        near(at).is_none_or(|token| match token {
            Token::Name(name) => name == "words",
            Token::Sign(sign) => *sign == ')',
            _ => false,
        })
    };
    let method = near(at.checked_sub(3)) == Some(&Token::Sign('.'));
    match near(at.checked_sub(2)) {
        Some(Token::Name(name)) if name == "label" => Filled::Beyond,
        Some(Token::Name(name)) if matches!(name.as_str(), "get" | "say" | "find") => {
            if method && !words(at.checked_sub(4)) {
                return Filled::Beyond;
            }
            if name == "get" {
                return Filled::By(BTreeSet::new());
            }
            let arguments = parts(inside(&source.tokens, at - 1));
            arguments.get(1).and_then(|list| pairs(list)).map_or_else(whole, Filled::By)
        }
        _ => whole(),
    }
}
